"""Going from one page to another by name."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st
from streamlit.navigation.page import StreamlitPage

_VISIT, _WANTED = "navigation_visit", "navigation_wanted"


def offer(pages: Mapping[str, StreamlitPage]) -> StreamlitPage:
    """Show the pages in the bar at the top, and return the one that the user is on."""
    chosen = st.navigation(list(pages.values()), position="top")
    number, last = st.session_state.get(_VISIT, (0, chosen.url_path))
    st.session_state[_VISIT] = (number + (last != chosen.url_path), chosen.url_path)
    _go(pages, chosen)
    return chosen


def _go(pages: Mapping[str, StreamlitPage], chosen: StreamlitPage) -> None:
    """Leave the page for the one that a button asked for."""
    wanted = pages.get(st.session_state.get(_WANTED, ""))
    if wanted is not None and wanted.url_path != chosen.url_path:
        st.switch_page(wanted)
    st.session_state.pop(_WANTED, None)


def visit() -> int:
    """Return a number that is another one whenever the user has come from another page.

    Whether a field is in the session does not tell that: a run that is broken off by the next one
    leaves none of its fields there.
    """
    return int(st.session_state.get(_VISIT, (0, ""))[0])


def go_to(name: str) -> None:
    """Leave this page for another of those offered; to be called when a button is clicked.

    What a button says it is, is true in one run alone, and a run is broken off by the next one. So
    the page that is wanted is remembered until it is there.
    """
    st.session_state[_WANTED] = name
