"""Rows of a price book held against their kin: those of other forms, sizes and units."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np

from meshcore.costing.book.plausible import bands, implausible, row_name, rows_name, rows_of, worth
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.book.units import read_unit
from meshcore.messages import Message

#: Dimensions that two systems of units measure, by the canonical unit.
_MEASURED = ("kg", "m", "m2")
_IMPERIAL = re.compile(r"\b(?:lbs?|oz|ft|foot|in|inch|yd|sqft)(?:2|²)?(?![\w²])")


def judge_kin(book: PriceBook) -> Iterator[Message]:
    """Say of each row that does not go with those of its kind what is odd about it.

    Parameters
    ----------
    book
        As it was read.

    Examples
    --------
    >>> from datetime import date
    >>> shared = {"date": date(2026, 10, 1), "note": "x", "unit": "%", "key": "break.discount"}
    >>> rows = tuple(Rate(amount=a, at=at, **shared)
    ...              for a, at in ((2, "100 ft2"), (4, "250 m2"), (6.5, "600 m2")))
    >>> book = PriceBook(name="x", currency="EUR", date=date(2026, 10, 1), note="", rates=rows)
    >>> [message.read for message in judge_kin(book)]
    ['break.discount at 100 ft2']
    """
    yield from _sizes_in_two_systems(book)
    yield from _units_in_two_systems(book)
    yield from _off_other_forms(book)
    yield from _off_for_their_size(book)


def _is_imperial(unit: str) -> bool | None:
    """Whether a unit is of the foot and the pound; None where it measures neither way."""
    read = read_unit(unit)
    if read is None or read.name not in _MEASURED:
        return None
    return _IMPERIAL.search(unit.casefold()) is not None


def _sizes_in_two_systems(book: PriceBook) -> Iterator[Message]:
    """Say of the fewer sizes of a table that they are in units of another system than the rest."""
    tables: dict[tuple[str, ...], list[Rate]] = {}
    for rate in book.rates:
        if rate.at and _is_imperial(rate.at) is not None:
            tables.setdefault((rate.key, *rate.selectors[:-1]), []).append(rate)
    for rows in tables.values():
        ways: dict[bool, list[Rate]] = {True: [], False: []}
        for rate in rows:
            ways[bool(_is_imperial(rate.at))].append(rate)
        fewer, more = sorted(ways.values(), key=len)
        for rate in fewer:
            text = (
                f"{rate.at} is in another unit than the sizes beside it, as {more[0].at}. Check "
                "it, and write all sizes of a table in one unit."
            )
            yield Message("price book", row_name(rate), text, "review", code="book.sizes_mixed")


def _units_in_two_systems(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["one_system"]:
        first, *others = entry["keys"]
        for key in others:
            apart = [
                (rate, beside)
                for rate in book.by_key.get(key, ())
                if (beside := _apart(rate, book.by_key.get(first, ()))) is not None
            ]
            if apart:
                rate, beside = apart[0]
                text = (
                    f"{rate.unit} is of another kind than {beside.unit} of {row_name(beside)}. "
                    "Check both units, and write them in one system."
                )
                read = rows_name([row for row, _ in apart])
                yield Message("price book", read, text, "review", code="book.units_mixed")


def _apart(rate: Rate, beside: Sequence[Rate]) -> Rate | None:
    """Return the first row of what a row should go with, where none of them shares its system."""
    same = [
        other
        for other in beside
        if other.currency == rate.currency and other.per.name == rate.per.name
    ]
    ways = {_is_imperial(other.unit) for other in same}
    return same[0] if same and None not in ways and _is_imperial(rate.unit) not in ways else None


def _off_other_forms(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["forms"]:
        rows = [r for r in rows_of(book, entry["key"]) if r.form and r.currency and r.amount]
        for rate in rows:
            others = [
                r.amount / r.per.factor
                for r in rows
                if r.form != rate.form and r.currency == rate.currency
            ]
            figure = rate.amount / rate.per.factor
            if len(others) > 1 and not (
                min(others) / entry["leap"] <= figure <= max(others) * entry["leap"]
            ):
                text = (
                    f"{rate.amount:g} {rate.currency} per {rate.unit} does not go with the rows "
                    f"for other forms: {entry['reason']}. Check it."
                )
                yield Message(
                    "price book", row_name(rate), text, "review", code="book.form_out_of_line"
                )


def _off_for_their_size(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["by_size"]:
        for rate in rows_of(book, entry["key"]):
            value = worth(rate.currency) if rate.currency else (1.0, 1.0)
            size = rate.size
            if value is None or size is None or size.name != "m" or not rate.amount:
                continue
            if rate.per.name != entry["unit"]:
                continue
            per = rate.per.factor
            figure = rate.amount / per if rate.currency else rate.amount * per
            at = np.log(entry["at_m"])
            least, most = (
                float(np.exp(np.interp(np.log(size.factor), at, np.log(entry[end]))))
                for end in ("least", "most")
            )
            if figure * value[1] < least or figure * value[0] > most:
                yield implausible(rate, entry["reason"])
