"""Rates that hold for a time: what is in force on a day, and what has lapsed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from meshcore.costing.book.plausible import row_name
from meshcore.costing.book.price_book import PriceBook, Rate, Terms
from meshcore.messages import Message

#: Where a book keeps what was in force of it, beside what rates made of its rows.
_KEPT = ("", "in force")
#: A key of which one row holds, whatever its base.
_MARGIN = "margin.share"


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
    if book.terms is not None and not _holds(book.terms, day):
        return in_force(book.terms.otherwise, day)
    if not any(rate.valid_from or rate.valid_to or rate.agreed for rate in book.rates):
        return book
    kept = book.resolved.get(_KEPT)
    if kept is None or kept[0] != day:
        terms = book.terms and replace(book.terms, valid_from=None, valid_to=None)
        kept = (day, replace(book, rates=tuple(_holding(book, day)), terms=terms))
        book.resolved[_KEPT] = kept
    held: PriceBook = kept[1]
    return held


def _holds(limited: Rate | Terms, day: date) -> bool:
    """Whether a row, or a customer's terms, hold on a day, the first and the last included."""
    return (limited.valid_from or day) <= day <= (limited.valid_to or day)


def stands_for(rate: Rate) -> tuple[str, ...]:
    """Name what a row, with those of other sizes, is for: rows of that name stand for each other.

    A margin is one, whatever it is reckoned on.
    """
    alloy, family, weave, form, base, _ = rate.selectors
    return rate.key, alloy, family, weave, form, "" if rate.key == _MARGIN else base


def _holding(book: PriceBook, day: date) -> Iterator[Rate]:
    """Yield the rows in force; those agreed with a customer go before the mill's own."""
    rows = [rate for rate in book.rates if _holds(rate, day)]
    agreed = {stands_for(rate) for rate in rows if rate.agreed}
    last: dict[tuple[str, tuple[str, ...]], Rate] = {}
    for rate in rows:
        if not rate.agreed and stands_for(rate) in agreed:
            continue
        same = (rate.key, rate.selectors)
        other = last.get(same)
        if other is None or (rate.valid_from or date.min) > (other.valid_from or date.min):
            last[same] = rate
    # A price made today must come out the same when it is made again from what it was made with.
    return (replace(r, valid_from=None, valid_to=None, agreed=False) for r in last.values())


def judge_validity(book: PriceBook, day: date) -> Iterator[Message]:
    """Say of each row that has lapsed, or is to come, with nothing in force in its place."""
    if book.terms is not None and not _holds(book.terms, day):
        yield _terms_not_in_force(book.terms, day)
        yield from judge_validity(book.terms.otherwise, day)
        return
    standing = {(r.key, r.selectors, r.agreed) for r in book.rates if _holds(r, day)}
    agreed = {stands_for(r) for r in book.rates if r.agreed and _holds(r, day)}
    for rate in book.rates:
        is_replaced = not rate.agreed and stands_for(rate) in agreed
        if is_replaced or (rate.key, rate.selectors, rate.agreed) in standing:
            continue
        in_place = (
            "so the mill's own holds, if it has one"
            if rate.agreed
            else "and no other row is in force in its place"
        )
        text = f"it {_when(rate, day)}, {in_place}. Enter the one that holds."
        yield Message("price book", row_name(rate), text, "review", code="book.rate_not_in_force")


def _when(limited: Rate | Terms, day: date) -> str:
    lapsed = limited.valid_to is not None and limited.valid_to < day
    return f"held to {limited.valid_to}" if lapsed else f"begins on {limited.valid_from}"


def _terms_not_in_force(terms: Terms, day: date) -> Message:
    text = (
        f"their time {_when(terms, day)}, so this is priced at the mill's own rates. Agree them "
        "anew, or price without them."
    )
    read = f"terms of {terms.customer}"
    return Message("price book", read, text, "review", code="book.terms_not_in_force")
