"""The enquiry that the user is at, on whichever page it is looked at."""

from __future__ import annotations

import streamlit as st

from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import demo_data, is_demo
from meshcore.estimates.results import EstimateSet
from meshcore.lists.reading import read_list
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import settings
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.pricing import estimate_list

_STARTED = "enquiry_started"


def start() -> None:
    """Bring back what was typed; put an enquiry into the form where the app opens on the demo."""
    if is_demo() and _STARTED not in st.session_state:
        first = read_list(demo_data() / "enquiries.csv").head(1)
        estimates = estimate_list(first, settings.price_book(), settings.supply_policy())
        enquiry_form.fill(Line(estimates, estimates.table, 0))
    st.session_state[_STARTED] = True
    enquiry_form.restore()


def to_text() -> str:
    """Return the enquiry as it is typed, to be kept over a reload."""
    return enquiry_form.to_text()


def from_text(text: str) -> None:
    """Put back what `to_text` returned, in place of the first enquiry of the demonstration."""
    enquiry_form.from_text(text)
    st.session_state[_STARTED] = True


def priced_with(book: PriceBook) -> EstimateSet | None:
    """Price the enquiry with a book; None while nothing has been typed.

    To be called after `start`.
    """
    if enquiry_form.is_empty():
        return None
    return estimate_list(
        enquiry_form.as_list(),
        book,
        settings.supply_policy(),
        "flat" if enquiry_form.path_model() == "flat" else "arc",
    )


def line() -> Line | None:
    """Price the enquiry with the book in use; None while nothing has been typed."""
    estimates = priced_with(settings.price_book())
    return None if estimates is None else Line(estimates, estimates.table, 0)
