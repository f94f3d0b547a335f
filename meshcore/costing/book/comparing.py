"""Figures of a price book held against each other: tables, metals, an index and its base."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from itertools import pairwise
from statistics import median

from meshcore.costing.book.plausible import bands, implausible, row_name, rows_of, worth
from meshcore.costing.book.price_book import PriceBook, Rate, conversion
from meshcore.messages import Message

_PLAIN = "plain"
_METAL, _SURCHARGE, _BREAK = "wire.metal", "wire.alloy_surcharge", "break.discount"
_CARBON = "plain carbon steel"
#: How far a metal may lie from the middle of its kin, as a factor either way, and how many others
#: it takes to say so: a decimal point is a factor of ten (common practice, no source).
_FROM_KIN, _KIN = 6.0, 3


def judge_tables(book: PriceBook) -> Iterator[Message]:
    """Say of each row that does not go with its neighbours what is odd about it.

    Parameters
    ----------
    book
        As it was read.
    """
    yield from _breaks(book)
    for entry in bands()["tables"]:
        for rows in _ladders(rows_of(book, entry["key"])):
            yield from _out_of_line(rows, entry)
    yield from _plain_worst(book)
    yield from _index(book)


def _plain_worst(book: PriceBook) -> Iterator[Message]:
    """Say where plain weave does worse than each other weave that has rows."""
    for entry in bands()["plain"]:
        way = 1.0 if entry["better"] == "more" else -1.0
        rows = [r for r in book.by_key.get(entry["key"], ()) if r.size is None]
        plain = [r for r in rows if r.weave in ("", _PLAIN) and not (r.alloy or r.family)]
        others = [way * _figure(r) for r in rows if r.weave not in ("", _PLAIN)]
        for rate in plain:
            if len(others) > 1 and way * _figure(rate) < min(others):
                text = (
                    f"{rate.amount:g} {rate.unit} for plain weave is worse than every other "
                    f"weave's: {entry['reason']}. Check it."
                )
                yield Message("price book", row_name(rate), text, "review", code="book.plain_worst")


def _ladders(rows: Iterator[Rate]) -> Iterator[list[Rate]]:
    """Yield the rows that make one table over size, in the order of size."""
    held: dict[tuple[str, ...], list[Rate]] = defaultdict(list)
    for rate in rows:
        if rate.size is not None:
            held[rate.key, *rate.selectors[:-1]].append(rate)
    for table in held.values():
        yield sorted(table, key=lambda r: r.size.factor if r.size else 0.0)


def _figure(rate: Rate) -> float:
    """Return what a row stands for in the canonical unit, so that rows can be compared."""
    return rate.amount / rate.per.factor if rate.currency else rate.amount * rate.per.factor


def _out_of_line(rows: Sequence[Rate], entry: dict[str, str | float]) -> Iterator[Message]:
    """Say of each row where a table turns against its way, or leaps from its neighbours."""
    way = {"rising": 1.0, "falling": -1.0}.get(str(entry.get("goes", "")), 0.0)
    leap = float(entry["leap"])
    for place, rate in enumerate(rows):
        beside = [_figure(r) for r in rows[max(place - 1, 0) : place + 2] if r is not rate]
        before = _figure(rows[place - 1]) if place else None
        turns = way and before is not None and way * (_figure(rate) - before) < 0.0
        leaps = beside and not (
            min(beside) / leap <= _figure(rate) <= max(beside) * leap  # a spike, up or down
        )
        if turns or leaps:
            text = (
                f"{rate.amount:g} {rate.unit} does not go with the rows beside it: "
                f"{entry['reason']}. Check it and its size."
            )
            yield Message("price book", row_name(rate), text, "review", code="book.row_out_of_line")


def _breaks(book: PriceBook) -> Iterator[Message]:
    for rows in _ladders(iter(book.by_key.get(_BREAK, ()))):
        for less, more in pairwise(rows):
            if _figure(less) >= _figure(more):
                text = (
                    f"the step at {less.at} gives {less.amount:g} {less.unit}, "
                    "no less than this one."
                )
                yield Message(
                    "price book", row_name(more), text, "review", code="book.breaks_not_rising"
                )


def _index(book: PriceBook) -> Iterator[Message]:
    """Hold each metal index against the base that was agreed with it."""
    for entry in bands()["pairs"]:
        bases = {r.selectors: r for r in book.by_key.get(entry["base"], ())}
        for rate in book.by_key.get(entry["key"], ()):
            base = bases.get(rate.selectors)
            if base is None or not base.amount or base.currency != rate.currency:
                continue
            times = _figure(rate) / _figure(base)
            if not entry["least"] <= times <= entry["most"]:
                text = (
                    f"{times:.3g} times {base.name} at {base.where} is not plausible: "
                    f"{entry['reason']}. Check the units of both."
                )
                yield Message(
                    "price book", row_name(rate), text, "review", code="book.index_implausible"
                )


def judge_metals(
    book: PriceBook, family_of: Callable[[str], str], alloy: Callable[[str], str]
) -> Iterator[Message]:
    """Hold each metal against the book's own carbon steel and its kin: no price is known here.

    Parameters
    ----------
    book
        As it was read.
    family_of, alloy
        Family, and designation, of the alloy that a text names; empty where it names none.
    """
    prices = {r: price for r in book.by_key.get(_METAL, ()) if (price := _price(book, r))}
    families = {r: family_of(r.alloy) for r in prices}
    carbon = [p for r, p in prices.items() if families[r].startswith(_CARBON)]
    said: set[Rate] = set()
    for rate, price in prices.items():
        if text := _beside_carbon(price, families[rate], min(carbon, default=0.0)):
            yield Message(
                "price book", row_name(rate), text, "review", code="book.metal_implausible"
            )
        elif text := _beside_kin(rate, prices, families):
            yield Message("price book", row_name(rate), text, "review", code="book.metal_off_kin")
        else:
            continue
        said.add(rate)
    named = {alloy(rate.alloy): rate for rate in prices}
    whole = {rate: price + _surcharge(book, rate, families[rate]) for rate, price in prices.items()}
    beside = [*_beside_others(named, whole, said)]
    yield from beside
    told = {row_name(rate) for rate in said} | {message.read for message in beside}
    value = worth(book.currency)
    for band in bands()["metal_price"]:
        one = named.get(alloy(band["alloy"]) or band["alloy"])
        if value is None or one is None or row_name(one) in told:
            continue
        if whole[one] * value[1] < band["least"] or whole[one] * value[0] > band["most"]:
            yield implausible(one, f"surcharge included, {band['reason']}")


def _surcharge(book: PriceBook, rate: Rate, family: str) -> float:
    """Return the surcharge on an alloy's metal in the book's currency per kg."""
    rows = [r for r in book.by_key.get(_SURCHARGE, ()) if r.currency]
    for held in (
        [r for r in rows if r.alloy and r.alloy.casefold() == rate.alloy.casefold()],
        [r for r in rows if not r.alloy and r.family.casefold() == family.casefold()],
        [r for r in rows if not r.alloy and not r.family],
    ):
        if held:
            found = conversion(book, held[0].currency)
            return held[0].amount / held[0].per.factor * found.factor if found else 0.0
    return 0.0


def _beside_others(
    named: Mapping[str, Rate], prices: Mapping[Rate, float], said: Set[Rate]
) -> Iterator[Message]:
    """Hold alloys against each other; of several doubts the row that most of them name is told."""
    doubts: list[tuple[Rate, Rate, str]] = []
    for band in bands()["beside"]:
        first, other = named.get(band["alloy"]), named.get(band["other"])
        if first is None or other is None or {first, other} & said:
            continue
        times = prices[first] / prices[other]
        if not band["least"] <= times <= band["most"]:
            doubts.append((first, other, f"{times:.3g} times {{}}: {band['reason']}"))
    while doubts:
        rows = Counter(row for first, other, _ in doubts for row in (first, other))
        blamed = max(rows, key=rows.__getitem__)
        first, other, why = next(d for d in doubts if blamed in d[:2])
        beside = why.format(f"{other.name} ({other.where})" if other.where else other.name)
        text = (
            f"{first.alloy} with its surcharge is not plausible at {beside}. Check the unit, and "
            "whether two rows are exchanged."
        )
        yield Message("price book", row_name(blamed), text, "review", code="book.metal_beside")
        doubts = [d for d in doubts if blamed not in d[:2]]


def _price(book: PriceBook, rate: Rate) -> float:
    """Return a metal's price in the book's currency per kg; 0 where it is of no one alloy."""
    held = conversion(book, rate.currency) if rate.alloy and rate.currency else None
    return rate.amount / rate.per.factor * held.factor if held else 0.0


def _beside_carbon(price: float, family: str, carbon: float) -> str:
    for band in bands()["metals"]:
        if carbon and family.startswith(band["family"]):
            times = price / carbon
            if not band["least"] <= times <= band["most"]:
                return (
                    f"{times:.3g} times the book's carbon steel is not plausible: {band['reason']}."
                )
    return ""


def _beside_kin(rate: Rate, prices: dict[Rate, float], families: dict[Rate, str]) -> str:
    kin = families[rate].split()[-2:]
    others = [p for r, p in prices.items() if r is not rate and families[r].split()[-2:] == kin]
    if not kin or len(others) < _KIN:
        return ""
    times = prices[rate] / median(others)
    if 1.0 / _FROM_KIN <= times <= _FROM_KIN:
        return ""
    return (
        f"{times:.2g} times the middle of the book's other {' '.join(kin)} is not plausible. "
        "Check the decimal point and the unit."
    )
