"""What the app estimates with: the price book and supply policy in use."""

from __future__ import annotations

from datetime import date

import streamlit as st

from meshcore.costing.agreed import for_customer
from meshcore.costing.book.edits import as_edited
from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.customer import Customer, CustomerError, customer_from_toml
from meshcore.demo import default_price_book, policy_in_use
from meshcore.supply.policy import SupplyPolicy

_BOOK, _POLICY = "settings_book", "settings_policy"
#: Text of a customer's terms; the book with them in it, and the one that it was made of; and why
#: terms that were chosen are not used.
_CUSTOMER, _ADAPTED, _PROBLEM = "settings_customer", "settings_adapted", "settings_not_used"


def price_book() -> PriceBook:
    """Return the price book in use, with the terms of the customer chosen.

    Raises
    ------
    PriceBookError
        If the default book cannot be read.
    """
    book, text = own_book(), customer_text()
    if not text:
        return book
    held = st.session_state.get(_ADAPTED)
    if held is None or held[0] is not book or held[1] != text:
        try:
            adapted = for_customer(book, _customer(text))
        except (CustomerError, PriceBookError) as error:
            leave_customer()
            st.session_state[_PROBLEM] = f"the terms do not go with the price book: {error}"
            return book
        held = st.session_state[_ADAPTED] = (book, text, adapted)
    priced: PriceBook = held[2]
    return priced


def own_book() -> PriceBook:
    """Return the mill's price book in use, as it prices for anybody.

    Raises
    ------
    PriceBookError
        If the default book cannot be read.
    """
    chosen = st.session_state.get(_BOOK)
    return chosen if isinstance(chosen, PriceBook) else default_price_book()


def use_customer(text: str, name: str) -> None:
    """Estimate on a customer's terms from now on.

    Parameters
    ----------
    text
        The terms, as a file of TOML.
    name
        Of the file, for messages.

    Raises
    ------
    CustomerError, PriceBookError
        If they cannot be read, or do not go with the book in use.
    """
    for_customer(own_book(), customer_from_toml(text, name))
    st.session_state[_PROBLEM] = None
    st.session_state[_CUSTOMER] = text


def leave_customer() -> None:
    """Estimate for anybody from now on."""
    st.session_state.pop(_CUSTOMER, None)
    st.session_state.pop(_ADAPTED, None)
    st.session_state[_PROBLEM] = None


def customer_name() -> str:
    """Whose terms are in use; empty where all is priced for anybody."""
    return _customer(customer_text()).name if customer_text() else ""


def customer_problem() -> str:
    """Why terms that were chosen are not used any more; empty where there is nothing to say."""
    return st.session_state.get(_PROBLEM) or ""


def customer_text() -> str:
    """Return the customer's terms in use as text, to be kept over a reload."""
    return str(st.session_state.get(_CUSTOMER, ""))


def restore_customer(text: str) -> None:
    """Put back what `customer_text` returned."""
    st.session_state[_CUSTOMER] = text


def _customer(text: str) -> Customer:
    return customer_from_toml(text, "customer's terms")


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
    used = own_book()
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
