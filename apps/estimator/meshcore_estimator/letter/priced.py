"""The letter in hand with its prices, on whichever page it is looked at."""

from __future__ import annotations

import operator
from dataclasses import dataclass

import streamlit as st

from meshcore.estimates.letters import PricedLetter
from meshcore.reading.letters.letter import Letter
from meshcore_estimator.letter import source
from meshcore_estimator.shared import settings
from meshcore_estimator.shared.pricing import price_letter

_PRICED = "letter_priced"


@dataclass(frozen=True, slots=True)
class Kept:
    """A priced letter; kept while neither the letter nor what it is priced with changes."""

    words: tuple[str, str]
    settings: tuple[object, ...]
    priced: PricedLetter


def in_hand() -> Letter | None:
    """Return the letter in hand as it is mended; None where it has no line."""
    if not source.text().strip():
        return None
    letter = source.read()
    made = source.current(letter, source.holding(letter, source.changes()))
    return made if len(made.lines) else None


def current() -> PricedLetter | None:
    """Return the letter in hand, as it is mended, priced; None where it has no line."""
    made = in_hand()
    if made is None:
        return None
    book, policy = settings.price_book(), settings.supply_policy()
    words, with_ = (made.text, made.lines.to_json()), (book, policy)
    kept: Kept | None = st.session_state.get(_PRICED)
    if kept is not None and kept.words == words and all(map(operator.is_, kept.settings, with_)):
        return kept.priced
    priced = price_letter(made, book, policy)
    st.session_state[_PRICED] = Kept(words, with_, priced)
    return priced
