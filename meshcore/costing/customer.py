"""Terms of a customer as data: what a price book becomes where a list is priced for one.

Everything that bears on a price is a rate with its unit, date and note, so it is looked over,
explained and kept as the rates of the book are.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.checking import read_rate
from meshcore.costing.book.price_book import PriceBook, Rate, in_currency
from meshcore.costing.money import CURRENCIES
from meshcore.messages import Message
from meshcore.reading.settings_files import read_toml
from meshcore.reading.texts import POINT, read_text

#: The rules of Incoterms 2020 (International Chamber of Commerce, from memory); each is named with
#: a place.
INCOTERMS: tuple[str, ...] = (
    "EXW", "FCA", "CPT", "CIP", "DAP", "DPU", "DDP", "FAS", "FOB", "CFR", "CIF",
)  # fmt: skip
#: Those under which the buyer bears the carriage from the mill on.
_BUYER_CARRIES = ("EXW", "FCA")
#: Rates of a book that stand for one zone or destination each, and what they become when chosen.
ZONE, PALLET = "freight.zone.", "freight.pallet"
DESTINATION, TAX = "tax.destination.", "tax.rate"
#: Freight by other measures, which a zone's freight by pallet stands in for.
_BY_OTHERS = ("freight.kg", "freight.roll", "freight.consignment")
NET = "price.net."
_ENTRIES = (
    "name", "currency", "payment", "incoterm", "place", "zone", "destination", "valid_from",
    "valid_to", "note",
)  # fmt: skip


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
    settings = data.get("customer", {})
    texts = {name: str(settings.get(name, "")).strip() for name in _ENTRIES}
    wrong = [
        f"{name}: only customer, rates and net_prices are known."
        for name in data.keys() - {"customer", "rates", "net_prices"}
    ]
    wrong += [
        f"customer.{n}: nothing of that name is known." for n in settings.keys() - {*_ENTRIES}
    ]
    wrong += _wrong_settings(texts)
    start, end = (_day(settings, name, wrong) for name in ("valid_from", "valid_to"))
    check = CellReader()
    rows = [_row(cells, f"rates[{n}]") for n, cells in enumerate(data.get("rates", ()), 1)]
    rates = [read_rate(check, row) for row in rows]
    for number, cells in enumerate(data.get("net_prices", ()), 1):
        rates += _net_price(check, cells, f"net_prices[{number}]", number)
    wrong += [str(message) for message in check.messages]
    if wrong:
        raise CustomerError(f"{where}: " + " ".join(sorted(wrong)))
    return Customer(
        name=texts["name"],
        rates=tuple(_limited(rate, start, end) for rate in rates),
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
    if day is not None and not isinstance(day, date):
        wrong.append(f"customer.{name}: read {day!r}; a date is due, as 2026-10-01.")
    return day if isinstance(day, date) else None


def _wrong_settings(texts: Mapping[str, str]) -> list[str]:
    wrong = [] if texts["name"] else ["customer.name: a name is needed."]
    if texts["currency"] and texts["currency"] not in CURRENCIES:
        wrong.append('customer.currency: a currency of ISO 4217 is needed, as "EUR".')
    if texts["incoterm"] and texts["incoterm"] not in INCOTERMS:
        wrong.append(f"customer.incoterm: a rule of Incoterms 2020 is due: {', '.join(INCOTERMS)}.")
    elif texts["incoterm"] and not texts["place"]:
        wrong.append(f"customer.place: {texts['incoterm']} is agreed with a place. Name it.")
    return wrong


def _row(cells: Mapping[str, Any], place: str) -> Row:
    return Row(cells, lambda column: f"{place}.{column}")


#: What a net price says of the cloth that it is for; all else is as in a rate.
_CLOTH = ("mesh_count", "pitch", "wire_diameter")


def _net_price(
    check: CellReader, cells: Mapping[str, Any], place: str, number: int
) -> Sequence[Rate]:
    """Return a net price as rates: the price, and pitch and wire of the cloth that it is for."""
    key = f"{NET}{number}"
    row = _row({n: c for n, c in cells.items() if n not in _CLOTH} | {"key": key}, place)
    pitch = _size(check, cells, "pitch", place) if "pitch" in cells else None
    if pitch is None:
        count = read_text(str(cells.get("mesh_count", "")), "count", "mesh_count", hints=POINT)
        if isinstance(count, Message):
            check.messages.append(replace(count, field=f"{place}.mesh_count"))
            return []
        pitch = 1.0 / count.value
    wire = _size(check, cells, "wire_diameter", place)
    price = read_rate(check, row)
    if wire is None:
        return []
    return [
        price,
        *(
            Rate(key=f"{key}.{what}", amount=size * 1e3, unit="mm", date=price.date,
                 note=price.note, where=price.where)
            for what, size in (("pitch", pitch), ("wire", wire))
        ),
    ]  # fmt: skip


def _size(check: CellReader, cells: Mapping[str, Any], name: str, place: str) -> float | None:
    size = read_text(str(cells.get(name, "")), "length", name, hints=POINT)
    if isinstance(size, Message):
        check.messages.append(replace(size, field=f"{place}.{name}"))
        return None
    return size.value


def _limited(rate: Rate, start: date | None, end: date | None) -> Rate:
    return replace(rate, valid_from=rate.valid_from or start, valid_to=rate.valid_to or end)


def for_customer(book: PriceBook, customer: Customer) -> PriceBook:
    """Return a price book with a customer's terms in it.

    Parameters
    ----------
    book
        The mill's.
    customer
        Their terms.

    Returns
    -------
    The book in the customer's currency, its note naming whose terms are in it.

    Raises
    ------
    CustomerError
        If the book has no freight for the customer's zone.
    PriceBookError
        If some rate cannot be converted to the customer's currency.
    """
    rates = [*_without_freight(book.rates, customer)]
    disabled = book.rules_disabled
    taxed = [r for r in rates if r.key == f"{DESTINATION}{customer.destination.casefold()}"]
    if customer.destination and taxed:
        rates = [r for r in rates if r.key != TAX and r not in taxed]
        rates += [replace(r, key=TAX) for r in taxed]
        disabled = tuple(name for name in disabled if name != "tax")
    own = {(rate.key, rate.selectors) for rate in customer.rates if not rate.valid_from}
    kept = [rate for rate in rates if (rate.key, rate.selectors) not in own]
    said = ", ".join(filter(None, (customer.delivery, customer.payment)))
    terms = f"on the terms of {customer.name}" + (f": {said}" if said else "")
    adapted = replace(
        book,
        rates=(*kept, *customer.rates),
        rules_disabled=disabled,
        note=f"{book.note}; {terms}" if book.note else terms,
    )
    return in_currency(adapted, customer.currency) if customer.currency else adapted


def _without_freight(rates: Sequence[Rate], customer: Customer) -> Sequence[Rate]:
    """Return the rates with the freight of the customer's zone, or none where the buyer carries."""
    if customer.incoterm in _BUYER_CARRIES:
        return [rate for rate in rates if not rate.key.startswith("freight.")]
    if not customer.zone:
        return rates
    chosen = f"{ZONE}{customer.zone.casefold()}"
    zone = [replace(rate, key=PALLET) for rate in rates if rate.key == chosen]
    if not zone:
        known = sorted({r.key.removeprefix(ZONE) for r in rates if r.key.startswith(ZONE)})
        there = f"There are {', '.join(known)}." if known else "It has none."
        raise CustomerError(
            f"customer.zone: the price book has no {chosen}. {there} Enter the zone, or mend it."
        )
    left = (*_BY_OTHERS, chosen, PALLET)
    return [*(rate for rate in rates if rate.key not in left), *zone]
