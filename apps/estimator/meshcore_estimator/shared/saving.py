"""Saving the enquiry's estimate, on whichever page that is wanted, and saying what came of it."""

from __future__ import annotations

from functools import partial

import streamlit as st

from meshcore.register.connecting import REGISTER_VARIABLE
from meshcore.register.opening import open_register
from meshcore.register.records import RecordsError, save_estimate
from meshcore_estimator.shared import result, settling, who
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.roles import Deed, need

_TITLE, _NOTE, _SAID = "save_title", "save_note", "save_said"


def ask(line: Line, side_by_side: bool = True) -> None:
    """Draw the fields under which an estimate is saved, and the button that does it."""
    places = (
        st.columns([4, 4, 2], vertical_alignment="bottom")
        if side_by_side
        else [st.container() for _ in range(3)]
    )
    title, note_, button = places
    title.text_input("Title", key=_TITLE, placeholder=result.subject(line), persist_state="session")
    note_.text_input("Note", key=_NOTE, placeholder="e.g. for whom, and why",
                     persist_state="session")  # fmt: skip
    button.button("Save the estimate", icon=":material/save:", key="save_estimate",
                  on_click=partial(_save, line), width="stretch")  # fmt: skip


def _save(line: Line) -> None:
    title = str(st.session_state[_TITLE]).strip() or result.subject(line)
    try:
        need(Deed.REGISTER)
        note_ = str(st.session_state[_NOTE]).strip()
        number = save_estimate(line.estimates, title, note_, who=who.name())
    except RecordsError as error:
        note(str(error), "refused")
        return
    note(f"Saved as number {number}, with the price book of today.", "ok")
    settling.write({_TITLE: "", _NOTE: ""})


def note(text: str, kind: str) -> None:
    """Have something said of the file when the page is drawn."""
    st.session_state[_SAID] = (text, kind)


def say() -> None:
    """Say what came of the last deed, once, and where the file is."""
    if said := st.session_state.pop(_SAID, None):
        st.html(aside(*said))
    try:
        where = open_register().where
    except RecordsError:
        # What is wrong with the register is said where the estimates are listed.
        return
    st.caption(f"Kept in {place_name(where)}. {REGISTER_VARIABLE} names another register.")


def place_name(where: str) -> str:
    """Return what a page calls a register: where on the server's disk it lies is not for visitors.

    Examples
    --------
    >>> place_name("/srv/mill/register.sqlite"), place_name("postgresql+psycopg://db/mill")
    ('register.sqlite', 'mill')
    """
    return where.replace("\\", "/").rsplit("/", 1)[-1]
