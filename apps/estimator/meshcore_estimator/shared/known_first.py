"""Lists to choose from: where what is typed is one of them, that one is first, and marked."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

_SCRIPT = Path(__file__).with_suffix(".js")
_KEY = "known_first"


def listen() -> None:
    """Have the choice that is typed out marked, rather than the offer to add it as a new one."""
    with st.container(key="known_first_mark"):
        script = _SCRIPT.read_text(encoding="utf-8")
        st.components.v2.component(_KEY, js=script)(key=_KEY)
