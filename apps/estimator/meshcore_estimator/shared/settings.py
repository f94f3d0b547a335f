"""What the app estimates with: the price book and supply policy in use."""

from __future__ import annotations

import os

import streamlit as st

from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import default_price_book, demo_data
from meshcore.supply.policy import SupplyPolicy, default_supply_policy, read_supply_policy

#: Set where the app is to open on the invented mill.
DEMO_VARIABLE = "MESHCORE_ESTIMATOR_DEMO"
#: Path of the supply policy to use where none is chosen; the customary one without it.
POLICY_VARIABLE = "MESHCORE_SUPPLY_POLICY"

_BOOK, _POLICY = "settings_book", "settings_policy"


def is_demo() -> bool:
    """Whether the app opens on the demonstration data."""
    return bool(os.environ.get(DEMO_VARIABLE))


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
        st.session_state[_POLICY] = _default_policy()
    policy: SupplyPolicy = st.session_state[_POLICY]
    return policy


def _default_policy() -> SupplyPolicy:
    if path := os.environ.get(POLICY_VARIABLE):
        return read_supply_policy(path)
    return (
        read_supply_policy(demo_data() / "supply_policy.toml")
        if is_demo()
        else (default_supply_policy())
    )
