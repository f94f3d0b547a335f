"""Prices agreed for one cloth each, as rates of a book."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from meshcore.alloys.records.registry import designation, installed_registry
from meshcore.costing.book.cells import CellReader, Row
from meshcore.costing.book.checking import RATE_COLUMNS, read_rate
from meshcore.costing.book.price_book import Rate
from meshcore.costing.delivered import UNITS
from meshcore.messages import Message
from meshcore.reading.texts import POINT, read_text
from meshcore.supply.together import CLOTH_DECIMALS
from meshcore.units import Kind

NET = "price.net."
#: Ends of the keys beside each net price: the sizes of its cloth, and that it includes services.
NET_FACTS = (".pitch", ".wire", ".services")
_INCLUDED = "included"
#: What says which cloth it is; all else is as in a rate.
_CLOTH = ("mesh_count", "pitch", "wire_diameter")
_SERVICES = "services"
#: Columns of a net price.
NET_COLUMNS: tuple[str, ...] = (
    *_CLOTH,
    _SERVICES,
    *(name for name in RATE_COLUMNS if name not in ("key", "at", "base")),
)


def net_prices(check: CellReader, rows: Sequence[Row]) -> list[Rate]:
    """Return net prices as rates: the price, and pitch and wire of the cloth that it is for.

    Parameters
    ----------
    check
        Gathers what is wrong with them.
    rows
        Each with the cloth, and the cells of a rate; those of one cloth and unit have one key.
    """
    keys: dict[tuple[float, float, str, bool], str] = {}
    prices: list[tuple[tuple[float, float], Rate]] = []
    for row in rows:
        made = _net_price(check, row)
        if made is None:
            continue
        price, cloth = made
        with_services = check.choice(row, _SERVICES, (_INCLUDED,)) == _INCLUDED
        kind = (*cloth, price.per.name, with_services)
        key = keys.setdefault(kind, f"{NET}{len(keys) + 1}")
        named = designation(installed_registry(), price.alloy) if price.alloy else ""
        price = replace(price, key=key, alloy=named or price.alloy)
        _judge_beside(check, row, price, [p for own, p in prices if own == cloth])
        prices.append((cloth, price))
    rates = [price for _, price in prices]
    for (pitch, wire, _, with_services), key in keys.items():
        first = next(rate for rate in rates if rate.key == key)
        if with_services:
            rates.append(replace(first, key=f"{key}.{_SERVICES}", amount=1.0, unit="", currency=""))
        rates += [
            Rate(key=f"{key}.{what}", amount=size * 1e3, unit="mm", date=first.date,
                 note=first.note, where=first.where)
            for what, size in (("pitch", pitch), ("wire", wire))
        ]  # fmt: skip
    return rates


def _net_price(check: CellReader, row: Row) -> tuple[Rate, tuple[float, float]] | None:
    """Read a net price and pitch and wire of its cloth [m]; None where something is wrong."""
    before = len(check.messages)
    if row.cells.get("pitch"):
        pitch = _size(check, row, "pitch")
    else:
        count = _size(check, row, "mesh_count", "count")
        pitch = 1.0 / count if count else None
    wire = _size(check, row, "wire_diameter")
    price = read_rate(check, Row({**row.cells, "key": f"{NET}1"}, row.place))
    if not price.currency:
        text = 'a price is in a currency. Name it, as "EUR".'
        check.wrong(row, "currency", text, code="terms.currency_missing")
    if price.amount == 0.0:
        check.wrong(row, "amount", "a price is above 0.", code="terms.price_zero")
    if len(check.messages) > before or pitch is None or wire is None:
        return None
    if price.per.name not in UNITS:
        text = f"a net price is per {', '.join(UNITS)}."
        check.wrong(row, "unit", text, code="terms.unit_unknown")
        return None
    return price, (round(pitch, CLOTH_DECIMALS), round(wire, CLOTH_DECIMALS))


def _size(check: CellReader, row: Row, name: str, kind: Kind = "length") -> float | None:
    text = str(row.cells.get(name, ""))
    size = read_text(text, kind, name, hints=POINT)
    if isinstance(size, Message):
        check.messages.append(replace(size, field=row.place(name)))
        return None
    return size.value


def _judge_beside(check: CellReader, row: Row, price: Rate, others: Sequence[Rate]) -> None:
    """Say of a price that a line could be priced by as well as by another."""
    for other in others:
        same = price.key == other.key
        counts = {price.per.name, other.per.name}
        if counts == {"roll", "piece"} or not hold_together(price, other):
            continue
        # Of rows with one key the most particular holds; of different keys, both would.
        if price.selectors == other.selectors if same else _share_lines(price, other):
            text = (
                f"{other.where} agrees {other.amount:g} {other.currency} per {other.unit} for the "
                "same cloth and days. Keep one, or say which form, or which days, each is for."
            )
            check.wrong(row, "amount", text, code="terms.price_twice")


def _share_lines(one: Rate, other: Rate) -> bool:
    return all(
        not a or not b or a == b for a, b in zip(one.selectors, other.selectors, strict=True)
    )


def hold_together(one: Rate, other: Rate) -> bool:
    """Whether there is a day on which both rows hold.

    One that begins later stands in for one that began before, so only rows of one beginning do,
    where they are for the same.
    """
    if one.key == other.key and one.selectors == other.selectors:
        return one.valid_from == other.valid_from
    starts = [rate.valid_from or date.min for rate in (one, other)]
    ends = [rate.valid_to or date.max for rate in (one, other)]
    return max(starts) <= min(ends)
