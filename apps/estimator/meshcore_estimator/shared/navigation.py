"""Going from one page to another by name."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NoReturn

import streamlit as st
from streamlit.navigation.page import StreamlitPage

_PAGES = "navigation_pages"


def offer(pages: Mapping[str, StreamlitPage]) -> StreamlitPage:
    """Show the pages in the bar at the top, and return the one that the user is on."""
    st.session_state[_PAGES] = dict(pages)
    return st.navigation(list(pages.values()), position="top")


def go_to(name: str) -> NoReturn:
    """Leave this page for another of those offered."""
    st.switch_page(st.session_state[_PAGES][name])
