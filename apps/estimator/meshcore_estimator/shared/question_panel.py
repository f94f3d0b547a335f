"""Questions to ask the buyer back, as text ready to send."""

from __future__ import annotations

import streamlit as st

from meshcore.estimates.questions import QuestionList, questions
from meshcore.estimates.results import EstimateSet
from meshcore_estimator.shared.parts import aside

#: A long letter scrolls inside itself beyond this height [px].
_MOST_HEIGHT = 420
_LONG = 2500


def of(estimates: EstimateSet) -> QuestionList:
    """List what the lines of a list leave open."""
    return questions(estimates.enquiries, estimates.messages, estimates.policy, estimates.book)


def needed(asked: QuestionList, number: int) -> int:
    """Count the questions without whose answer a line has no price."""
    return sum(question.needed for question in asked.lines[number])


def draw(text: str) -> None:
    """Draw a letter, with a button that copies it."""
    if not text:
        st.html(aside("Nothing is open."))
        return
    st.code(
        text, language=None, wrap_lines=True,
        height=_MOST_HEIGHT if len(text) > _LONG else "content",
    )  # fmt: skip
