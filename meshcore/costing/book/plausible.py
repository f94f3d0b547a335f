"""Figures of a price book that can hardly be meant, each by itself: bands that are data."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Sequence
from functools import cache
from importlib import resources
from math import sqrt
from typing import Any

from meshcore.costing.book.price_book import ROUNDING, Exchange, PriceBook, Rate, conversion
from meshcore.costing.money import minor_digits
from meshcore.messages import Message
from meshcore.rounding import SLACK


@cache
def bands() -> dict[str, list[dict[str, Any]]]:
    """Return what figures may plausibly be, by kind of band, as ``bands.toml`` has it."""
    text = resources.files("meshcore.costing.book").joinpath("bands.toml").read_text("utf-8")
    return tomllib.loads(text)


def row_name(rate: Rate) -> str:
    """Name a row by its place in the file and by what it is."""
    return f"{rate.where}: {rate.name}" if rate.where else rate.name


def rows_name(rows: Sequence[Rate]) -> str:
    """Name the first of some rows, and how many more there are."""
    others = f" and {len(rows) - 1} more" if len(rows) > 1 else ""
    return f"{row_name(rows[0])}{others}"


def exchange_name(entry: Exchange) -> str:
    """Name an exchange rate by its place in the file and by its currencies."""
    return f"{entry.where}: {entry.currency} to {entry.to}"


def rows_of(book: PriceBook, key: str) -> Iterator[Rate]:
    """Yield the rows of a key; of one that ends in a point, of all that begin with it."""
    for own, rows in book.by_key.items():
        if own == key or (key.endswith(".") and own.startswith(key)):
            yield from rows


def judge_figures(book: PriceBook) -> Iterator[Message]:
    """Say of each figure outside its band, and of each unit that cannot be meant, why.

    Parameters
    ----------
    book
        As it was read.

    Examples
    --------
    >>> from datetime import date
    >>> loom = Rate(key="weaving.loom", amount=38.5, unit="day", currency="EUR",
    ...             date=date(2026, 9, 14), note="x")
    >>> book = PriceBook(name="x", currency="EUR", date=date(2026, 10, 1), note="", rates=(loom,))
    >>> [message.code for message in judge_figures(book)]
    ['book.unit_implausible']
    """
    yield from _shares(book)
    yield from _uncertainties(book)
    yield from _units(book)
    yield from _unusual(book)
    yield from _money(book)
    yield from _steps(book)
    yield from _exchange(book)


def _steps(book: PriceBook) -> Iterator[Message]:
    """Say of a rounding step that no price can be brought to it in whole minor units."""
    digits = minor_digits(book.currency)
    for rate in book.by_key.get(ROUNDING, ()):
        held = conversion(book, rate.currency) if rate.currency else None
        minor = rate.amount / rate.per.factor * held.factor * 10**digits if held else 0.0
        if abs(minor - round(minor)) > SLACK * max(minor, 1.0):
            least = f"{10.0**-digits:.{digits}f} {book.currency}"
            yield implausible(rate, f"a step is a whole number of {least}, the least money")


def implausible(rate: Rate, reason: str) -> Message:
    """Say of a row that its figure can hardly be meant, and why."""
    text = f"{_as_entered(rate)} is not plausible: {reason}. Check it."
    return Message("price book", row_name(rate), text, "review", code="book.figure_implausible")


def _as_entered(rate: Rate) -> str:
    per = f"{rate.currency} per " if rate.currency else ""
    return f"{rate.amount:g} {per}{rate.unit}".rstrip()


def _shares(book: PriceBook) -> Iterator[Message]:
    doubted = set()
    for band in bands()["bands"]:
        for rate in rows_of(book, band["key"]):
            figure = rate.amount * rate.per.factor
            none = figure == 0.0 and band.get("or_none", False)
            apart = "only_of" in band and not set(rate.base.split(", ")) <= set(band["only_of"])
            fits = none or band["least"] <= figure <= band["most"]
            if rate.currency or apart or fits or row_name(rate) in doubted:
                continue
            doubted.add(row_name(rate))
            yield implausible(rate, band["reason"])


def _uncertainties(book: PriceBook) -> Iterator[Message]:
    """Say once for a key and an uncertainty that it can hardly be meant."""
    held: dict[tuple[str, float], list[Rate]] = {}
    for rate in book.rates:
        if rate.uncertainty_pct:
            held.setdefault((rate.key, rate.uncertainty_pct), []).append(rate)
    for (key, percent), rows in held.items():
        band = next(b for b in bands()["uncertainties"] if b["key"] in ("", key))
        if not band["least"] <= percent <= band["most"]:
            text = (
                f"an uncertainty of {percent:g} % is not plausible: {band['reason']}. It is "
                "written in percent: 10 is 10 % either way. Check it."
            )
            yield Message(
                "price book", rows_name(rows), text, "review", code="book.uncertainty_implausible"
            )


def _units(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["units"]:
        for rate in book.by_key.get(entry["key"], ()):
            unit = rate.unit.casefold().removeprefix("per ").strip()
            odd = unit.split()[-1:] not in [u.split()[-1:] for u in entry["units"]]
            by_tonne = unit.split()[-1:] in (["t"], ["tonne"])
            least = entry.get("per_tonne_above")
            if odd or (least is not None and by_tonne and rate.amount < least):
                text = f"{rate.amount:g} per {rate.unit} can hardly be meant: {entry['reason']}."
                yield Message(
                    "price book", row_name(rate), text, "review", code="book.unit_implausible"
                )


def _unusual(book: PriceBook) -> Iterator[Message]:
    for entry in bands()["customary"]:
        for rate in book.by_key.get(entry["key"], ()):
            if rate.currency and rate.per.name not in entry["per"]:
                text = f"per {rate.unit} is unusual: {entry['reason']}. Check the unit."
                yield Message("price book", row_name(rate), text, "note", code="book.unit_unusual")


def worth(currency: str) -> tuple[float, float] | None:
    """Least and most that one unit of a currency has been worth, in that of the money bands."""
    if currency == bands()["money_in"][0]["currency"]:
        return 1.0, 1.0
    for entry in bands()["currencies"]:
        if entry["currency"] == currency:
            return entry["least"], entry["most"]
    return None


def _money(book: PriceBook) -> Iterator[Message]:
    """Hold money against its band; of a currency that has none, nothing can be said."""
    # Of a row with a band of its own, the wider one of its kind says nothing more.
    doubted = {m.read for m in _units(book)}
    for band in bands()["money"]:
        for rate in rows_of(book, band["key"]):
            value = worth(rate.currency)
            apart = band.get("unit", rate.per.name) != rate.per.name
            apart = apart or band.get("form", rate.form) != rate.form
            if value is None or apart or rate.amount == 0.0 or row_name(rate) in doubted:
                continue
            amount = rate.amount / rate.per.factor
            if amount * value[1] < band["least"] or amount * value[0] > band["most"]:
                doubted.add(row_name(rate))
                yield implausible(rate, band["reason"])


def _exchange(book: PriceBook) -> Iterator[Message]:
    for entry in book.exchange:
        start, end = worth(entry.currency), worth(entry.to)
        if start is None or end is None or entry.currency == entry.to:
            continue
        least, most = start[0] / end[1], start[1] / end[0]
        if not least <= entry.amount <= most:
            yield _astray(entry, least, most)


def _astray(entry: Exchange, least: float, most: float) -> Message:
    turned = least <= 1.0 / entry.amount <= most
    middle = f"{sqrt(least * most):.2g}"
    meant = " It may be the other way round." if turned else ""
    text = (
        f"1 {entry.currency} = {entry.amount:g} {entry.to} is not plausible: it has been about "
        f"{middle} for years.{meant} Check it."
    )
    return Message(
        "price book", exchange_name(entry), text, "review", code="book.exchange_implausible"
    )
