"""Sentences that stand with every result, on screen, in print and in files."""

from __future__ import annotations

from datetime import date

from meshcore.costing.book.price_book import PriceBook
from meshcore.supply.policy import SupplyPolicy

#: Stands with every result, on screen, in print and in the workbook.
CAUTION = (
    "Estimates are for budgeting and quoting. Whether cloth suits a load, a guard, food contact or "
    "a corrosive service is for local codes and licensed practice to decide, and for test in "
    "service. Cut wire edges are sharp: handle with gloves."
)


#: As many refused lines as are named one by one; who has more reads them in the file.
REFUSALS_NAMED = 100
#: Said of a list that has headings and nothing below them.
NO_LINES = "The list has no lines: there is nothing below its headings. Fill in a line an item."


def book_text(book: PriceBook) -> str:
    """Name the price book, with its date and note."""
    return _named(book.name, book.date, book.note)


def policy_text(policy: SupplyPolicy) -> str:
    """Name the supply policy, with its date and note."""
    return _named(policy.name, policy.date, policy.note)


def _named(name: str, day: date, note: str) -> str:
    return f"{name} ({day}; {note})" if note else f"{name} ({day})"
