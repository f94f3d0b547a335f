"""What the page shows, for those who hear it: its title, what is refused, and the new price."""

from __future__ import annotations

from html import escape
from pathlib import Path

import streamlit as st

_SCRIPT = Path(__file__).with_suffix(".js")
_KEY = "aloud"


def heading(title: str) -> str:
    """Return the title of a page; the bar at the top shows it already to those who see."""
    return f'<h1 class="mc-unseen">{escape(title)}</h1>'


def listen() -> None:
    """Bind what is said of a field to that field, and announce each new price."""
    with st.container(key="aloud_mark"):
        script = _SCRIPT.read_text(encoding="utf-8")
        st.components.v2.component(_KEY, js=script)(key=_KEY)
