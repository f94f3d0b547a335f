"""What is doubtful in a price book that reads well: said on every estimate that is made with it."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from functools import cache
from importlib import resources
from itertools import combinations, pairwise
from typing import Any

from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.items import PricingRule
from meshcore.costing.ranges import MASS, QUANTITY, STATED, YIELD
from meshcore.messages import Message, Severity

#: A rate older than this many times the book's age for a warning is put to review.
SECOND_AGE = 2
#: Working figures whose zero says something; any other zero is a rate that charges nothing.
_ZERO_MEANT = ("weaving.set_up_time", "wire.scrap", "break.discount")
#: Keys without which a price holds no profit, or none of the works' cost.
_MARGIN, _OVERHEAD = "margin.share", "overhead.share"
_METAL, _BREAK = "wire.metal", "break.discount"
_CARBON = "plain carbon steel"
#: Rules that read nothing of the book; another that names no keys may read any.
_READS_NOTHING = ("offcut credit",)


@dataclass(frozen=True, slots=True)
class Known:
    """What is installed beside the book: rules, and names of alloys and families."""

    rules: Sequence[PricingRule]
    alloy: Callable[[str], str]
    families: frozenset[str]
    family_of: Callable[[str], str]


def with_designations(book: PriceBook, alloy: Callable[[str], str]) -> PriceBook:
    """Return the book with its alloys named as the registry names them.

    Parameters
    ----------
    book
        The book; returned itself where nothing is named otherwise.
    alloy
        Designation of the alloy that a text names; empty where it names none.
    """
    names = {r.alloy: alloy(r.alloy) or r.alloy for r in book.rates if r.alloy}
    if all(name.casefold() == own.casefold() for own, name in names.items()):
        return book
    rates = tuple(replace(r, alloy=names[r.alloy]) if r.alloy else r for r in book.rates)
    return replace(book, rates=rates)


def judge_book(book: PriceBook, known: Known, today: date) -> tuple[Message, ...]:
    """Say what is doubtful in a book, each with its cell.

    Parameters
    ----------
    book
        As it was read.
    known
        What is installed.
    today
        Day on which dates are judged.
    """
    return (
        *_stand_in(book),
        *_keys(book, known),
        *_names(book, known),
        *_twice(book, known),
        *_missing(book),
        *_zeros(book),
        *_dates(book, today),
        *_exchange(book),
        *_figures(book),
        *_units(book),
        *_breaks(book),
        *_metals(book, known),
    )


def _stand_in(book: PriceBook) -> Iterator[Message]:
    if book.stand_in:
        text = (
            "no price book was named, so this is priced at these rates, which are invented and "
            "nobody's. Name the mill's own with --book, MESHCORE_PRICE_BOOK or price_book=, or ask "
            "for the demonstration with --demo."
        )
        yield Message("price book", book.name, text, "review", code="book.none_named")


def _where(rate: Rate) -> str:
    return f"{rate.where}: {rate.name}" if rate.where else rate.name


def _keys(book: PriceBook, known: Known) -> Iterator[Message]:
    read = [name for rule in known.rules for name in rule.reads]
    whole = [name for name in read if not name.endswith(".")]
    silent = any(not r.reads and r.name not in _READS_NOTHING for r in known.rules)
    severity: Severity = "note" if silent else "review"
    drivers = {YIELD, MASS, QUANTITY, *whole}
    for key, rows in book.by_key.items():
        plain = key.removeprefix(STATED)
        if key.startswith(STATED):
            fine = plain in drivers or any(n.endswith(".") and plain.startswith(n) for n in read)
        else:
            fine = any(key.startswith(n) if n.endswith(".") else key == n for n in read)
        if not fine:
            near = get_close_matches(plain, sorted(drivers), n=1)
            meant = f' Is "{near[0]}" meant?' if near else ""
            text = f"no rule is known to read this key, so it charges nothing.{meant}"
            yield Message("price book", _where(rows[0]), text, severity, code="book.key_unread")


def _names(book: PriceBook, known: Known) -> Iterator[Message]:
    for rate in book.rates:
        if rate.alloy and not known.alloy(rate.alloy):
            text = (
                f'no installed plugin knows an alloy "{rate.alloy}", so the row holds for nothing.'
            )
            yield Message("price book", _where(rate), text, "review", code="book.alloy_unknown")
        if rate.family and rate.family.casefold() not in known.families:
            near = get_close_matches(rate.family.casefold(), sorted(known.families), n=1)
            meant = f' Is "{near[0]}" meant?' if near else ""
            text = f'no alloy is of a family "{rate.family}", so the row holds for nothing.{meant}'
            yield Message("price book", _where(rate), text, "review", code="book.family_unknown")


def _twice(book: PriceBook, known: Known) -> Iterator[Message]:
    seen: dict[tuple[str, ...], Rate] = {}
    for rate in book.rates:
        alloy = known.alloy(rate.alloy) if rate.alloy else ""
        key = (rate.key, alloy.casefold(), *rate.selectors[1:])
        first = seen.setdefault(key, rate)
        if first is not rate and alloy:
            text = f"{first.name} at {first.where} is the same alloy. Keep one."
            yield Message("price book", _where(rate), text, "review", code="book.alloy_twice")


def _missing(book: PriceBook) -> Iterator[Message]:
    missing: tuple[tuple[str, str, Severity], ...] = (
        (_MARGIN, "margin: prices are cost", "review"),
        (_OVERHEAD, "overhead: prices hold none of it", "note"),
    )
    for key, what, severity in missing:
        if key not in book.by_key and key.partition(".")[0] not in book.rules_disabled:
            text = f"the book has no {what}. Add {key}, or switch the rule off by its name."
            yield Message("price book", key, text, severity, code="book.rate_absent")


def _zeros(book: PriceBook) -> Iterator[Message]:
    for rate in book.rates:
        if rate.amount == 0.0 and rate.key not in _ZERO_MEANT and not rate.key.startswith(STATED):
            text = "a rate of zero charges nothing. Enter the rate, or take the row out."
            yield Message("price book", _where(rate), text, "review", code="book.rate_zero")


def _dates(book: PriceBook, today: date) -> Iterator[Message]:
    second = SECOND_AGE * book.stale_after_days
    if book.date > today:
        text = f"the book is dated {book.date}, a day to come."
        yield Message("price book", "date", text, "review", code="book.issued_in_future")
    for rate in book.rates:
        if rate.date > today:
            text = f"dated {rate.date}, a day to come. Use the rate that holds today."
            yield Message("price book", _where(rate), text, "review", code="book.date_to_come")
        elif (today - rate.date).days > second:
            text = (
                f"{(today - rate.date).days} days old, of {rate.date}; beyond {second} days a rate "
                "is to be confirmed before it is quoted on."
            )
            yield Message("price book", _where(rate), text, "review", code="book.rate_too_old")


def _exchange(book: PriceBook) -> Iterator[Message]:
    for first, second in combinations(book.exchange, 2):
        ways = {first.currency, first.to}, {second.currency, second.to}
        if ways[0] == ways[1]:
            which = "again" if first.currency == second.currency else "the other way round"
            where = f"{second.where}: {second.currency} to {second.to}"
            text = f"{first.currency} to {first.to} at {first.where} is given {which}. Keep one."
            yield Message("price book", where, text, "review", code="book.exchange_twice")
    for entry in book.exchange:
        if entry.currency == entry.to:
            text = "a currency is exchanged for itself. Take the row out."
            yield Message(
                "price book", entry.where, text, "review", code="book.exchange_for_itself"
            )


@cache
def _bands() -> dict[str, list[dict[str, Any]]]:
    text = resources.files("meshcore.costing.book").joinpath("bands.toml").read_text("utf-8")
    return tomllib.loads(text)


def _figures(book: PriceBook) -> Iterator[Message]:
    for band in _bands()["bands"]:
        for rate in book.by_key.get(band["key"], ()):
            figure = rate.amount * rate.per.factor
            if rate.currency or band["least"] <= figure <= band["most"]:
                continue
            text = f"{rate.amount:g} {rate.unit} is not plausible: {band['reason']}. Check it."
            yield Message(
                "price book", _where(rate), text, "review", code="book.figure_implausible"
            )


def _units(book: PriceBook) -> Iterator[Message]:
    for entry in _bands()["units"]:
        for rate in book.by_key.get(entry["key"], ()):
            unit = rate.unit.casefold().removeprefix("per ").strip()
            odd = unit.split()[-1:] not in [u.split()[-1:] for u in entry["units"]]
            by_tonne = unit.split()[-1:] in (["t"], ["tonne"])
            least = entry.get("per_tonne_above")
            if odd or (least is not None and by_tonne and rate.amount < least):
                text = f"{rate.amount:g} per {rate.unit} can hardly be meant: {entry['reason']}."
                yield Message(
                    "price book", _where(rate), text, "review", code="book.unit_implausible"
                )


def _breaks(book: PriceBook) -> Iterator[Message]:
    sized = [r for r in book.by_key.get(_BREAK, ()) if r.size is not None]
    ranked = sorted(sized, key=lambda r: (r.selectors[:-1], r.size.factor if r.size else 0.0))
    for less, more in pairwise(ranked):
        if less.selectors[:-1] == more.selectors[:-1] and (
            less.amount * less.per.factor >= more.amount * more.per.factor
        ):
            text = (
                f"the step at {less.at} gives {less.amount:g} {less.unit}, no less than this one."
            )
            yield Message("price book", _where(more), text, "review", code="book.breaks_not_rising")


def _metals(book: PriceBook, known: Known) -> Iterator[Message]:
    """Hold each metal against the book's own carbon steel, so that no currency matters."""
    rows = [r for r in book.by_key.get(_METAL, ()) if r.currency == book.currency and r.alloy]
    prices = {r: r.amount / r.per.factor for r in rows if r.amount > 0.0}
    carbon = [p for r, p in prices.items() if known.family_of(r.alloy).startswith(_CARBON)]
    if not carbon:
        return
    for rate, price in prices.items():
        family = known.family_of(rate.alloy)
        for band in _bands()["metals"]:
            times = price / min(carbon)
            if family.startswith(band["family"]) and not band["least"] <= times <= band["most"]:
                text = (
                    f"{times:.3g} times the book's carbon steel is not plausible: {band['reason']}."
                )
                yield Message(
                    "price book", _where(rate), text, "review", code="book.metal_implausible"
                )
