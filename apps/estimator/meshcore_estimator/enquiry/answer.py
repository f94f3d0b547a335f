"""The estimate of one line, section by section; what the line needs first stands first."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import streamlit as st

from meshcore.estimates.questions import QuestionList
from meshcore.weave.judging.practicality import CANNOT, REVIEW
from meshcore_estimator.enquiry import bill_panel, cloth_view, nearest_offers, weave_choice
from meshcore_estimator.shared import breakdown, question_panel, result
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import aside
from meshcore_estimator.shared.roles import Deed, may

_NEAREST, _QUESTIONS = "Nearest that can be woven", "Questions to ask back"
#: Under which the page keeps the tab that is open.
_TABS = "answer_tabs"
#: Under which it keeps whether the cloth is drawn or shown as a model.
_SHOWN = "cloth_shown"
#: Draws one section.
Section = Callable[[], None]


def draw(line: Line, asked: Callable[[], QuestionList], in_form: bool) -> None:
    """Draw an estimate below its headline.

    Parameters
    ----------
    line
        The line.
    asked
        Works out the questions to ask back; called only where they are wanted.
    in_form
        Whether the line is the one in the form, which offers can be put into.
    """
    verdict = int(line.estimates.practicality.verdict[line.number])
    offer_first = in_form and verdict in (REVIEW, CANNOT)
    # Only a line without a price has a question that has to be answered for one.
    is_open = line.status == "refused" and verdict != CANNOT
    ask_first = is_open and question_panel.needed(asked(), line.number) > 0

    def ask() -> None:
        question_panel.draw(asked().text_for_all() if in_form else asked().text(line.number))

    # Places and tabs stay where they are, whatever is in them: what came and went would make the
    # page draw all that follows anew, and drop what is half typed there.
    with st.container(key="first"):
        if offer_first:
            _section(_NEAREST, "alternatives", lambda: nearest_offers.draw(line))
        if ask_first:
            _section(_QUESTIONS, "questions", ask)
    shown = _SHOWN if in_form else f"{_SHOWN}_of_line"
    left, right = st.columns(2, gap="medium")
    with left:
        _box("price", lambda: breakdown.price(line))
        _box("specification", lambda: result.specification(line))
    with right:
        _box("mass", lambda: result.mass_and_supply(line))
        _box("drawing", lambda: cloth_view.shape(line, shown))
    more: dict[str, tuple[str, Section]] = {
        **({"Cost items": ("cost_items", lambda: _cost_items(line))} if may(Deed.COSTS) else {}),
        "Can it be woven?": ("verdict", lambda: _verdict(line, in_form)),
        "Tolerances and strength": ("tolerances", lambda: cloth_view.tolerances(line)),
    }
    if in_form:
        more[_NEAREST] = (
            ("nearest_above", _above) if offer_first
            else ("alternatives", lambda: nearest_offers.draw(line))
        )  # fmt: skip
    more[_QUESTIONS] = ("questions_above", _above) if ask_first else ("questions", ask)
    if in_form and may(Deed.REGISTER) and bill_panel.applies(line):
        more["Bill what was delivered"] = ("bill", lambda: bill_panel.draw(line))
    _tabs(more, _TABS if in_form else f"{_TABS}_of_line")


def _tabs(more: Mapping[str, tuple[str, Section]], key: str) -> None:
    """Draw sections in tabs; what nobody looks at is not worked out."""
    tabs = st.tabs(list(more), key=key, on_change="rerun")
    for tab, (box, section) in zip(tabs, more.values(), strict=True):
        if tab.open:
            with tab:
                _box(box, section)


def _cost_items(line: Line) -> None:
    if line.status == "refused":
        st.html(aside("There is no price, so there are no cost items."))
    else:
        breakdown.cost_items(line)


def _above() -> None:
    st.html(aside("It stands first, above the specification."))


def _section(title: str, key: str, section: Section) -> None:
    with st.container(key=key):
        st.header(title, anchor=False)
        section()


def _box(key: str, section: Section) -> None:
    with st.container(key=key):
        section()


def _verdict(line: Line, in_form: bool) -> None:
    if in_form:
        weave_choice.draw(line)
    breakdown.verdict(line)
