"""Rates that hold for a time: what is in force on a day, and what has lapsed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from meshcore.costing.book.plausible import row_name
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.messages import Message

#: Where a book keeps what was in force of it, beside what rates made of its rows.
_KEPT = ("", "in force")


def in_force(book: PriceBook, day: date) -> PriceBook:
    """Return the book as it holds on a day: the rows in force, and of those for the same the last.

    Parameters
    ----------
    book
        The book; returned itself where no row is limited.
    day
        Day on which lines are priced.

    Examples
    --------
    >>> now, soon = date(2026, 11, 26), date(2026, 12, 1)
    >>> metal = Rate(key="wire.metal", amount=3.0, unit="kg", currency="EUR", date=now, note="")
    >>> rows = (metal, replace(metal, amount=3.5, valid_from=soon))
    >>> book = PriceBook(name="x", currency="EUR", date=now, note="", rates=rows)
    >>> [in_force(book, day).rates[0].amount for day in (now, soon)]
    [3.0, 3.5]
    """
    if not any(rate.valid_from or rate.valid_to for rate in book.rates):
        return book
    kept = book.resolved.get(_KEPT)
    if kept is None or kept[0] != day:
        kept = (day, replace(book, rates=tuple(_holding(book, day))))
        book.resolved[_KEPT] = kept
    held: PriceBook = kept[1]
    return held


def _holding(book: PriceBook, day: date) -> Iterator[Rate]:
    last: dict[tuple[str, tuple[str, ...]], Rate] = {}
    for rate in book.rates:
        if (rate.valid_from or day) <= day <= (rate.valid_to or day):
            same = (rate.key, rate.selectors)
            other = last.get(same)
            if other is None or (rate.valid_from or date.min) > (other.valid_from or date.min):
                last[same] = rate
    # A price made today must come out the same when it is made again from what it was made with.
    return (replace(rate, valid_from=None, valid_to=None) for rate in last.values())


def judge_validity(book: PriceBook, day: date) -> Iterator[Message]:
    """Say of each row that has lapsed, or is to come, with nothing in force in its place."""
    held = in_force(book, day)
    if held is book:
        return
    standing = {(rate.key, rate.selectors) for rate in held.rates}
    for rate in book.rates:
        if (rate.key, rate.selectors) not in standing:
            lapsed = rate.valid_to is not None and rate.valid_to < day
            when = f"it held to {rate.valid_to}" if lapsed else f"it holds from {rate.valid_from}"
            text = f"{when}, and no other row is in force in its place. Enter the one that holds."
            yield Message(
                "price book", row_name(rate), text, "review", code="book.rate_not_in_force"
            )
