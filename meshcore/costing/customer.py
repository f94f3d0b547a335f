"""Terms of a customer as data: what a price book becomes where a list is priced for one.

Everything that bears on a price is a rate with its unit, date and note, so it is looked over,
explained and kept as the rates of the book are.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from difflib import get_close_matches
from itertools import combinations
from pathlib import Path
from typing import Any

from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.checking import RATE_COLUMNS, read_rate
from meshcore.costing.book.price_book import Rate
from meshcore.costing.money import CURRENCIES
from meshcore.costing.net_prices import NET_COLUMNS, hold_together, net_prices
from meshcore.reading.settings_files import read_toml

#: The rules of Incoterms 2020 (International Chamber of Commerce, from memory); each is named with
#: a place.
INCOTERMS: tuple[str, ...] = (
    "EXW", "FCA", "CPT", "CIP", "DAP", "DPU", "DDP", "FAS", "FOB", "CFR", "CIF",
)  # fmt: skip
_ENTRIES = (
    "name", "currency", "payment", "incoterm", "place", "zone", "destination", "valid_from",
    "valid_to", "note",
)  # fmt: skip
_DAYS = ("valid_from", "valid_to")


class CustomerError(ValueError):
    """Terms of a customer that cannot be used; the message names each entry and what mends it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Customer:
    """A customer's terms.

    Parameters
    ----------
    name
        Of the customer.
    rates
        Theirs: `customer.discount`, `customer.rebate`, `customer.commission`, net prices, or any
        key of the book, whose row of the same selectors they stand in for.
    currency
        In which they are quoted; the book's where empty.
    payment
        Terms of payment, as they are to be said.
    incoterm, place
        Rule of Incoterms 2020 and the place named with it; empty where none was agreed.
    zone
        Of the mill's freight tariff: the rows ``freight.zone.`` and its name.
    destination
        Country or region by whose tax the price is taxed: the rows ``tax.destination.`` and its
        name.
    valid_from, valid_to
        First and last day on which the terms hold; None is without limit.
    note
        Where they come from.
    """

    name: str
    rates: tuple[Rate, ...]
    currency: str = ""
    payment: str = ""
    incoterm: str = ""
    place: str = ""
    zone: str = ""
    destination: str = ""
    valid_from: date | None = None
    valid_to: date | None = None
    note: str = ""

    @property
    def delivery(self) -> str:
        """Delivery as Incoterms have it, with its place; empty where none was agreed."""
        return f"{self.incoterm} {self.place} (Incoterms 2020)" if self.incoterm else ""


def read_customer(path: str | Path) -> Customer:
    """Read a customer's terms from a TOML file.

    Raises
    ------
    CustomerError
        If the file cannot be read, or an entry makes no sense.
    """
    return parse_customer(read_toml(Path(path), str(path), CustomerError), str(path))


def customer_from_toml(text: str, where: str) -> Customer:
    """Read a customer's terms from the text of a TOML file.

    Raises
    ------
    CustomerError
        If it is no TOML, or an entry makes no sense.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise CustomerError(f"{where}: no TOML: {error}.") from error
    return parse_customer(data, where)


def parse_customer(data: Mapping[str, Any], where: str) -> Customer:
    """Build a customer's terms from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    CustomerError
        If an entry makes no sense.

    Examples
    --------
    >>> parse_customer({"customer": {"name": "Weir", "incoterm": "DAP"}}, "weir.toml")
    Traceback (most recent call last):
    ...
    meshcore.costing.customer.CustomerError: weir.toml: customer.place: DAP is agreed with \
a place. Name it.
    """
    wrong = [
        f"{name}: only customer, rates and net_prices are known."
        for name in data.keys() - {"customer", "rates", "net_prices"}
    ]
    settings = data.get("customer", {})
    if not isinstance(settings, Mapping):
        settings = {}
        wrong.append("customer: a table [customer] is due, with its name.")
    wrong += [
        f"customer.{n}: nothing of that name is known.{_meant(n, _ENTRIES)}"
        for n in settings.keys() - {*_ENTRIES}
    ]
    wrong += [
        f"customer.{name}: read {settings[name]!r}; a text is due."
        for name in settings.keys() & {*_ENTRIES} - {*_DAYS}
        if not isinstance(settings[name], str)
    ]
    texts = {name: str(settings.get(name, "")).strip() for name in _ENTRIES}
    texts["incoterm"] = texts["incoterm"].upper()
    wrong += _wrong_settings(texts)
    start, end = (_day(settings, name, wrong) for name in _DAYS)
    if start and end and end < start:
        wrong.append(f"customer.valid_to: read {end}; it ends before it begins, on {start}.")
    check = CellReader()
    rates = [read_rate(check, row) for row in _rows(check, data, "rates", RATE_COLUMNS, wrong)]
    rates += net_prices(check, _rows(check, data, "net_prices", NET_COLUMNS, wrong))
    rates = [_limited(rate, start, end) for rate in rates]
    wrong += [str(message) for message in check.messages] or given_twice(rates)
    if wrong:
        raise CustomerError(f"{where}: " + " ".join(sorted(wrong)))
    return Customer(
        name=texts["name"],
        rates=tuple(rates),
        currency=texts["currency"],
        payment=texts["payment"],
        incoterm=texts["incoterm"],
        place=texts["place"],
        zone=texts["zone"],
        destination=texts["destination"],
        valid_from=start,
        valid_to=end,
        note=texts["note"],
    )


def _day(settings: Mapping[str, Any], name: str, wrong: list[str]) -> date | None:
    day = settings.get(name)
    if isinstance(day, datetime):
        return day.date()
    if day is not None and not isinstance(day, date):
        wrong.append(f"customer.{name}: read {day!r}; a date is due, as 2026-10-01.")
    return day if isinstance(day, date) else None


def _meant(name: str, known: Sequence[str]) -> str:
    near = get_close_matches(name, known, n=1)
    return f' Is "{near[0]}" meant?' if near else ""


def _rows(
    check: CellReader, data: Mapping[str, Any], name: str, known: Sequence[str], wrong: list[str]
) -> list[Row]:
    """Return the tables of one kind as rows; what is no table, or no column of it, is said."""
    held = data.get(name, [])
    if not isinstance(held, list) or not all(isinstance(cells, Mapping) for cells in held):
        wrong.append(f"{name}: each is written as a table, headed [[{name}]].")
        return []
    rows = [_row(cells, f"{name}[{n}]") for n, cells in enumerate(held, 1)]
    for row in rows:
        for column in row.cells.keys() - {*known}:
            text = f"nothing of that name is known.{_meant(column, known)}"
            check.wrong(row, column, text, code="terms.column_unknown")
    return rows


def _row(cells: Mapping[str, Any], place: str) -> Row:
    return Row(cells, lambda column: f"{place}.{column}")


def given_twice(rates: Sequence[Rate]) -> list[str]:
    """Say of rows for the same that hold on the same days; a net price is told apart elsewhere."""
    return [
        f"{second.where}: {second.name} is given at {first.where} too, for some of the same days. "
        "Keep one, or say from when to when each holds."
        for first, second in combinations(rates, 2)
        if (first.key, first.selectors) == (second.key, second.selectors)
        and hold_together(first, second)
    ]


def _wrong_settings(texts: Mapping[str, str]) -> list[str]:
    wrong = [] if texts["name"] else ["customer.name: a name is needed."]
    if texts["currency"] and texts["currency"] not in CURRENCIES:
        wrong.append('customer.currency: a currency of ISO 4217 is needed, as "EUR".')
    if texts["incoterm"] and texts["incoterm"] not in INCOTERMS:
        wrong.append(f"customer.incoterm: a rule of Incoterms 2020 is due: {', '.join(INCOTERMS)}.")
    elif texts["incoterm"] and not texts["place"]:
        wrong.append(f"customer.place: {texts['incoterm']} is agreed with a place. Name it.")
    return wrong


def _limited(rate: Rate, start: date | None, end: date | None) -> Rate:
    return replace(rate, valid_from=rate.valid_from or start, valid_to=rate.valid_to or end)
