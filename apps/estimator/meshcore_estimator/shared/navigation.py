"""Going from one page to another by name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NoReturn

import streamlit as st
from streamlit.navigation.page import StreamlitPage

_PAGES, _VISIT = "navigation_pages", "navigation_visit"


def offer(pages: Mapping[str, StreamlitPage]) -> StreamlitPage:
    """Show the pages in the bar at the top, and return the one that the user is on."""
    st.session_state[_PAGES] = dict(pages)
    chosen = st.navigation(list(pages.values()), position="top")
    number, last = st.session_state.get(_VISIT, (0, chosen.url_path))
    st.session_state[_VISIT] = (number + (last != chosen.url_path), chosen.url_path)
    return chosen


def visit() -> int:
    """Return a number that is another one whenever the user has come from another page.

    Whether a field is in the session does not tell that: a run that is broken off by the next one
    leaves none of its fields there.
    """
    return int(st.session_state.get(_VISIT, (0, ""))[0])


def go_to(name: str) -> NoReturn:
    """Leave this page for another of those offered."""
    st.switch_page(st.session_state[_PAGES][name])
