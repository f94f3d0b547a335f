"""What the app estimates with: the price book and supply policy in use."""

from __future__ import annotations

from datetime import date

import streamlit as st

from meshcore.costing.book.edits import as_edited
from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import default_price_book, policy_in_use
from meshcore.supply.policy import SupplyPolicy

_BOOK, _POLICY = "settings_book", "settings_policy"


def price_book() -> PriceBook:
    """Return the price book in use.

    Raises
    ------
    PriceBookError
        If the default book cannot be read.
    """
    chosen = st.session_state.get(_BOOK)
    return chosen if isinstance(chosen, PriceBook) else default_price_book()


def use_price_book(book: PriceBook) -> None:
    """Estimate with `book` from now on."""
    st.session_state[_BOOK] = book


def use_default_book() -> None:
    """Estimate from now on with the book that is in use where none is chosen."""
    st.session_state.pop(_BOOK, None)


def use_edited_book(book: PriceBook, saved: PriceBook) -> None:
    """Estimate with a book that was changed since it was saved, and have it say so."""
    use_price_book(as_edited(book, saved, date.today()))


def is_in_use(book: PriceBook, saved: PriceBook) -> bool:
    """Whether the estimates are made with a book, saved or changed."""
    used = price_book()
    return used == as_edited(book, saved, used.date)


def book_text() -> str:
    """Return the book chosen in this session as text, to be kept over a reload."""
    chosen = st.session_state.get(_BOOK)
    return to_toml(chosen) if isinstance(chosen, PriceBook) else ""


def restore_book(text: str) -> None:
    """Put back what `book_text` returned."""
    use_price_book(from_toml(text, "the draft"))


def supply_policy() -> SupplyPolicy:
    """Return the supply policy in use.

    Raises
    ------
    SupplyPolicyError
        If the policy named by ``MESHCORE_SUPPLY_POLICY`` cannot be read.
    """
    if _POLICY not in st.session_state:
        st.session_state[_POLICY] = policy_in_use()
    policy: SupplyPolicy = st.session_state[_POLICY]
    return policy
