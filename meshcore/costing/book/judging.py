"""What is doubtful in a price book that reads well: said on every estimate that is made with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from difflib import get_close_matches
from itertools import combinations

from meshcore.costing.book.charging import judge_charges
from meshcore.costing.book.comparing import judge_metals, judge_tables
from meshcore.costing.book.kin import judge_kin
from meshcore.costing.book.plausible import exchange_name, judge_figures, row_name, rows_name
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.items import PricingRule
from meshcore.costing.ranges import MASS, QUANTITY, STATED, YIELD
from meshcore.messages import Message, Severity

#: A rate older than this many times the book's age for a warning is put to review.
SECOND_AGE = 2
#: A book that warns of no rate before it is ten years old warns of none (common sense, no source).
_LONGEST_AGE = 3660
#: Working figures whose zero says something; any other zero is a rate that charges nothing.
_ZERO_MEANT = ("weaving.set_up_time", "wire.scrap", "break.discount", "tax.rate")
_OVERHEAD = "overhead.share"
#: How a row can look as if it did not count, and what shows that it does.
_LOOKS_AWAY = {"hidden": "Show it", "struck through": "Take the line out of its cells"}
_SERVICE, _SET_UP = "service.", ".set_up"
#: Taxes of one destination each, of which none is taxed where the goods are exported.
_DESTINATION = "tax.destination."
#: Rules that read nothing of the book; another that names no keys may read any.
_READS_NOTHING = ("offcut credit",)


@dataclass(frozen=True, slots=True)
class Known:
    """What is installed beside the book: rules, and names of alloys and families."""

    rules: Sequence[PricingRule]
    alloy: Callable[[str], str]
    families: frozenset[str]
    family_of: Callable[[str], str]
    services: frozenset[str]


def with_designations(book: PriceBook, alloy: Callable[[str], str]) -> PriceBook:
    """Return the book with its alloys named as the registry names them.

    Parameters
    ----------
    book
        The book; returned itself where nothing is named otherwise.
    alloy
        Designation of the alloy that a text names; empty where it names none.
    """
    if book.terms:
        otherwise = with_designations(book.terms.otherwise, alloy)
        if otherwise is not book.terms.otherwise:
            book = replace(book, terms=replace(book.terms, otherwise=otherwise))
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
        *judge_charges(book, known.rules),
        *_zeros(book),
        *_dates(book, today),
        *_exchange(book),
        *_hidden(book),
        *_remarks(book),
        *judge_figures(book),
        *judge_tables(book),
        *judge_kin(book),
        *judge_metals(book, known.family_of, known.alloy),
    )


def _stand_in(book: PriceBook) -> Iterator[Message]:
    if book.stand_in:
        text = (
            "no price book was named, so this is priced at these rates, which are invented and "
            "nobody's. Name the mill's own with --book, MESHCORE_PRICE_BOOK or price_book=, or ask "
            "for the demonstration with --demo."
        )
        yield Message("price book", book.name, text, "review", code="book.none_named")


def _keys(book: PriceBook, known: Known) -> Iterator[Message]:
    read = [name for rule in known.rules for name in rule.reads]
    whole = [name for name in read if not name.endswith(".")]
    silent = any(not r.reads and r.name not in _READS_NOTHING for r in known.rules)
    severity: Severity = "note" if silent else "review"
    drivers = {YIELD, MASS, QUANTITY, *whole}
    services = {f"{_SERVICE}{s}{end}" for s in known.services for end in ("", _SET_UP)}
    for key, rows in book.by_key.items():
        plain = key.removeprefix(STATED)
        if key.startswith(STATED):
            fine = plain in drivers or any(n.endswith(".") and plain.startswith(n) for n in read)
        else:
            fine = any(key.startswith(n) if n.endswith(".") else key == n for n in read)
            fine = fine and (not key.startswith(_SERVICE) or key in services)
        if not fine:
            near = get_close_matches(plain, sorted(drivers | services), n=1)
            meant = f' Is "{near[0]}" meant?' if near else ""
            text = f"no rule is known to read this key, so it charges nothing.{meant}"
            yield Message("price book", row_name(rows[0]), text, severity, code="book.key_unread")


def _names(book: PriceBook, known: Known) -> Iterator[Message]:
    for rate in book.rates:
        if rate.alloy and not known.alloy(rate.alloy):
            text = (
                f'no installed plugin knows an alloy "{rate.alloy}", so the row holds for nothing.'
            )
            yield Message("price book", row_name(rate), text, "review", code="book.alloy_unknown")
        if rate.family and rate.family.casefold() not in known.families:
            near = get_close_matches(rate.family.casefold(), sorted(known.families), n=1)
            meant = f' Is "{near[0]}" meant?' if near else ""
            text = f'no alloy is of a family "{rate.family}", so the row holds for nothing.{meant}'
            yield Message("price book", row_name(rate), text, "review", code="book.family_unknown")


def _twice(book: PriceBook, known: Known) -> Iterator[Message]:
    seen: dict[tuple[str, ...], Rate] = {}
    for rate in book.rates:
        alloy = known.alloy(rate.alloy) if rate.alloy else ""
        key = (rate.key, alloy.casefold(), *rate.selectors[1:])
        first = seen.setdefault(key, rate)
        if first is not rate and alloy:
            text = f"{first.name} at {first.where} is the same alloy. Keep one."
            yield Message("price book", row_name(rate), text, "review", code="book.alloy_twice")


def _zeros(book: PriceBook) -> Iterator[Message]:
    for rate in book.rates:
        is_meant = rate.key in _ZERO_MEANT or rate.key.startswith((STATED, _DESTINATION))
        is_meant = is_meant or (rate.key == _OVERHEAD and rate.base != "")
        if rate.amount == 0.0 and not is_meant:
            text = "a rate of zero charges nothing. Enter the rate, or take the row out."
            yield Message("price book", row_name(rate), text, "review", code="book.rate_zero")


def _dates(book: PriceBook, today: date) -> Iterator[Message]:
    if book.date > today:
        text = f"the book is dated {book.date}, a day to come."
        yield Message("price book", "date", text, "review", code="book.issued_in_future")
    if book.stale_after_days > _LONGEST_AGE:
        text = "a rate is warned about after so many days: more than ten years. 90 is usual."
        read = f"stale_after_days: {book.stale_after_days}"
        yield Message("price book", read, text, "review", code="book.never_stale")
    second = SECOND_AGE * book.stale_after_days
    dated = [(row_name(rate), rate.date) for rate in book.rates]
    dated += [(exchange_name(e), e.date) for e in book.exchange]
    for name, day in dated:
        if day > today:
            text = f"dated {day}, a day to come. Use the rate that holds today."
            yield Message("price book", name, text, "review", code="book.date_to_come")
        elif (today - day).days > second:
            text = (
                f"{(today - day).days} days old, of {day}; beyond {second} days a rate "
                "is to be confirmed before it is quoted on."
            )
            yield Message("price book", name, text, "review", code="book.rate_too_old")


def _hidden(book: PriceBook) -> Iterator[Message]:
    """Say of rows that look as if they did not count that they do."""
    for how, mend in _LOOKS_AWAY.items():
        rows = [rate for rate in book.rates if rate.away == how]
        if rows:
            text = f"{how} in the workbook, and it counts all the same. {mend}, or delete the row."
            yield Message("price book", rows_name(rows), text, "review", code="book.row_away")


def _remarks(book: PriceBook) -> Iterator[Message]:
    """Say of what stands beside the tables that nothing is charged by it."""
    for remark in book.remarks:
        text = (
            f'"{remark.text}" stands beside the table as a remark: it is set aside, and nothing is '
            "charged by it."
        )
        yield Message("price book", remark.where, text, "note", code="book.remark_set_aside")


def _exchange(book: PriceBook) -> Iterator[Message]:
    for first, second in combinations(book.exchange, 2):
        ways = {first.currency, first.to}, {second.currency, second.to}
        if ways[0] == ways[1]:
            which = "again" if first.currency == second.currency else "the other way round"
            text = f"{first.currency} to {first.to} at {first.where} is given {which}. Keep one."
            yield Message(
                "price book", exchange_name(second), text, "review", code="book.exchange_twice"
            )
    for entry in book.exchange:
        if entry.currency == entry.to:
            text = "a currency is exchanged for itself. Take the row out."
            yield Message(
                "price book", entry.where, text, "review", code="book.exchange_for_itself"
            )
