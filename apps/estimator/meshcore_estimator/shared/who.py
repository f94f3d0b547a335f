"""Who does what is done: the name that stands beside it in what is kept."""

from __future__ import annotations

import streamlit as st

from meshcore.register.storing import who_is_at_work
from meshcore_estimator.shared import signing_in

#: Under which the name is held in the session, and kept over a reload.
KEY = "who"


def ask() -> None:
    """Draw the field for the name; to be drawn once on a page."""
    st.text_input(
        "By", key=KEY, placeholder=who_is_at_work(), persist_state="session",
        help="Stands beside what is done. Blank is the name under which the estimator runs.",
    )  # fmt: skip


def name() -> str:
    """Return the name that was given, or that of whoever runs the estimator."""
    typed = str(st.session_state.get(KEY) or "").strip()
    # Who signed in is known, whatever is typed.
    return signing_in.signed_in_name() or typed or who_is_at_work()
