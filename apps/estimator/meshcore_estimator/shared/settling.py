"""What a person does and what the app has done with it, kept in step.

``settling.js`` numbers what it sends; the page says twice how far it is: when the fields' values
are taken, and when all that rests on them is drawn. A link waits for the first, a file for the
second.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

_SCRIPT = Path(__file__).with_suffix(".js")
_KEY, _PLACES, _KEEP = "settling", "settling_places", "settling_keep"


def begin(keep: Callable[[bool], None]) -> None:
    """Make the places of the two marks; to be called first, at the head of the page.

    Parameters
    ----------
    keep
        Called before each mark with whether it is the last one, so that what is said to be taken
        is also kept.
    """
    listen = st.components.v2.component(_KEY, js=_SCRIPT.read_text(encoding="utf-8"))
    with st.container(key="settling_marks"):
        listen(key=_KEY, on_asked_change=_nothing)
        st.session_state[_PLACES] = (st.empty(), st.empty())
    st.session_state[_KEEP] = keep


def _nothing() -> None:
    """Take a change whose only use is the run that it brings about."""


def taken() -> None:
    """Say that every field's value is kept: the page may be left."""
    _mark(0, "taken")


def done() -> None:
    """Say that all that rests on the fields is drawn."""
    _mark(1, "done")


def _mark(place: int, name: str) -> None:
    places: tuple[DeltaGenerator, DeltaGenerator] | None = st.session_state.get(_PLACES)
    if places is not None:
        st.session_state[_KEEP](name == "done")
        places[place].html(f'<div class="mc-{name}" data-asked="{_asked()}"></div>')


def _asked() -> int:
    """Return the number of the latest message from the page."""
    state = st.session_state.get(_KEY)
    return int(state["asked"] or 0) if state else 0
