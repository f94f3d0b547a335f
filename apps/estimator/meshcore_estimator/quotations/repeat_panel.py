"""The repeat order: a label's text or a number, and what it comes to today."""

from __future__ import annotations

from functools import partial

import streamlit as st

from meshcore.documents.cloth_rows import described, quantity_text
from meshcore.documents.wording import words
from meshcore.register.connecting import Register
from meshcore.register.errors import RecordsError
from meshcore.register.finding import Found
from meshcore.register.quotations import file_quotation
from meshcore.register.repeating import Repeat, SeveralError, repeat
from meshcore.register.requoting import origin_note, quoted_anew
from meshcore_estimator.quotations import state
from meshcore_estimator.shared import settings, side_by_side
from meshcore_estimator.shared.parts import aside, verbatim

_TEXT, _WHICH = "repeat_text", "repeat_which"
#: Fields that are kept over a reload.
KEPT = (_TEXT,)


def draw(register: Register) -> None:
    """Draw the box for a label or a number, and the old line beside the new."""
    st.header("Repeat order", anchor=False)
    text = st.text_input("Label or number to repeat", key=_TEXT,
                         placeholder="Type or scan it", persist_state="session")  # fmt: skip
    if not text.strip():
        return
    try:
        again = _repeated(register, text)
    except RecordsError as error:
        st.html(aside(str(error), "review"))
        return
    line = f", line {again.label}" if again.label else ""
    sender = verbatim(again.source.head.sender) or "–"
    st.caption(f"{again.source.kind.capitalize()} {again.source.number}{line}, for {sender}, "
               f"of {again.source.head.day}")  # fmt: skip
    if again.order:
        st.html(aside(f"Ordered as {again.order.number}, {again.order.head.reference}", "note"))
    say = words("en")
    for one in again.lines:
        if one.cloth:
            told = "; ".join((*described(say, one.cloth), quantity_text(say, one.cloth)))
            st.html(aside(f"Line {one.label}: {told}", "note"))
        for message in one.missing:
            st.html(aside(f"Line {one.label}, no more to be had: {message}", "refused"))
    for gone in again.gone:
        st.html(aside(f"No longer as it was: {gone}", "review"))
    if again.compared is not None:
        st.html(side_by_side.comparison(again.compared, again.today.ledger.currency,
                                        (f"Then ({again.then.book.date})",
                                         f"Today ({again.today.book.date})")))  # fmt: skip
    if again.source.kind == "quotation":
        st.button("Quote it anew", icon=":material/draft:", key="repeat_quote", on_click=state.do,
                  args=(partial(_quote, register, again),))  # fmt: skip


def _repeated(register: Register, text: str) -> Repeat:
    """Find the old line; where several agree, ask which."""
    book, policy = settings.price_book(), settings.supply_policy()
    try:
        return repeat(register, text, book, policy)
    except SeveralError as error:
        several = {one.id: one for one in error.found}
    st.html(aside(f"{len(several)} lines on file agree. Choose one.", "review"))
    item = st.selectbox("Which of them", list(several), key=_WHICH,
                        format_func=lambda n: _named(several[n]))  # fmt: skip
    return repeat(register, text, book, policy, item=int(item))


def _named(one: Found) -> str:
    line = f", line {one.label}" if one.label else ""
    return f"{one.number}{line} · {one.sender or '–'} · {one.day} · {one.line}"


def _quote(register: Register, again: Repeat) -> str:
    facts = quoted_anew(again, state.terms())
    filed = file_quotation(register, facts, again.today, note=origin_note(again))
    state.choose(filed.number)
    return f"Drafted as {filed.number}, from {again.source.number}."
