"""The box that finds anything on file, and the quotation that is chosen."""

from __future__ import annotations

import streamlit as st

from meshcore.register.amounts import amount_text
from meshcore.register.connecting import Register
from meshcore.register.entries import entry_of
from meshcore.register.finding import Found, find
from meshcore_estimator.quotations import state
from meshcore_estimator.shared.parts import Cell, aside, lines, soft, table

_TEXT = "quotation_find_text"
#: Fields that are kept over a reload.
KEPT = (_TEXT,)
#: Things that are listed on the screen.
_LISTED = 20


def draw(register: Register) -> None:
    """Draw the box, what it finds, and which quotation is looked at."""
    st.header("On file", anchor=False)
    text = st.text_input(
        "Find", key=_TEXT, persist_state="session",
        placeholder="Number, reference, sender, label, 10 mesh 316L 48 in, 2026-11, sent …",
    )  # fmt: skip
    found = find(register, text, limit=_LISTED)
    if not found:
        st.html(aside("Nothing on file agrees." if text else "Nothing is on file yet."))
        return
    st.html(table(("Number", "For", "Line", "Amount"), map(_row, found), numeric=(3,)))
    numbers = list(dict.fromkeys(number for one in found if (number := _quotation(register, one))))
    if not numbers:
        return
    known = state.chosen()
    options = numbers if not known or known in numbers else [known, *numbers]
    st.selectbox("Look at quotation", options, index=options.index(known) if known else 0,
                 key=f"quotation_look_{len(options)}_{known}", on_change=_look,
                 args=(f"quotation_look_{len(options)}_{known}",))  # fmt: skip
    if not known:
        state.choose(numbers[0])


def _look(key: str) -> None:
    state.choose(str(st.session_state[key]))


def _quotation(register: Register, one: Found) -> str:
    """Return the number of the quotation that a thing came from; empty where from none."""
    if one.kind == "quotation":
        return one.number
    opened = entry_of(register, one.id)
    while opened.parent is not None and opened.kind != "quotation":
        opened = entry_of(register, opened.parent)
    return opened.number if opened.kind == "quotation" else ""


def _row(one: Found) -> tuple[Cell, ...]:
    amount = amount_text(one.total_minor, one.choice_minor, one.digits, one.currency)
    about = one.reference or one.title
    return (
        lines(one.number, soft(f"{one.kind}, {one.state}")),
        lines(one.sender or "–", soft(f"{about} · {one.day}" if about else one.day)),
        one.line,
        amount,
    )
