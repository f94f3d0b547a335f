"""Quantities a little above the one asked for that cost less, since a break begins there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.costing.money import money_text
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.set_prices import without_amounts
from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message
from meshcore.reading.tables.field_names import ORDER
from meshcore.rounding import SLACK

if TYPE_CHECKING:
    import pandas as pd

#: Key of the discount for quantity, and the column that each unit of its sizes counts.
_BREAK = "break.discount"
_COUNTED: dict[str, Callable[[OrderColumns], FloatArray]] = {
    "m2": lambda columns: columns.net_area_m2,
    "kg": lambda columns: columns.net_mass_kg,
    "piece": lambda columns: columns.quantity,
    "roll": lambda columns: columns.roll_count,
}
#: Lines tried, lines of one cloth priced for each, and lines of a list that is looked through;
#: longer ones come from programs.
_MOST_TRIED, _MOST_TOGETHER, _LONGEST = 100, 50, 20_000
#: How much more than the discount itself a step may lie above what is asked for, so that the set-up
#: which more cloth shares is not missed; what is tried is priced before it is said.
_REACH = 0.02


@dataclass(frozen=True, slots=True)
class _Try:
    """A line, the lines of its cloth, and the quantity tried in its place."""

    line: int
    together: tuple[int, ...]
    quantity: int


def say_better_quantities(
    estimates: EstimateSet, price: Callable[[pd.DataFrame], EstimateSet]
) -> None:
    """Say on each line which would cost less for a few more that it would, and what it would cost.

    Parameters
    ----------
    estimates
        The priced list; its log receives the notes.
    price
        Prices lines with the same book, policy and path rule.

    Notes
    -----
    A line is tried with the lines of its cloth, as an order of their own. Lines whose quantity
    stands in no column of its own, and lines that are cut by a plan, are not tried.
    """
    heading = estimates.headings.column.get("quantity")
    if len(estimates) > _LONGEST:
        return
    tried = list(islice(_within_reach(estimates), _MOST_TRIED))
    if heading is None or not tried:
        return
    ledger = price(_variants(estimates, tried, heading)).ledger
    minor = np.where(ledger.priced, ledger.price_minor, np.nan)
    start = 0
    for one in tried:
        count = len(one.together)
        asked, more = (
            float(minor[start + n * count : start + (n + 1) * count].sum()) for n in (0, 1)
        )
        start += 2 * count
        if more < asked:
            _say(estimates, one, asked / 10.0**ledger.digits, more / 10.0**ledger.digits)


def _within_reach(estimates: EstimateSet) -> Iterator[_Try]:
    """Lines to which a next step of the discount is nearer than what it saves."""
    columns = estimates.orders
    steps = [r for r in estimates.book.by_key.get(_BREAK, ()) if r.size is not None]
    counted = _COUNTED.get(steps[0].size.name) if steps and steps[0].size else None
    if counted is None:
        return
    own = counted(columns)
    standing = np.isfinite(own) & ~estimates.log.refused()
    for plan in estimates.plans:
        # In another quantity they would have to be planned anew.
        standing[plan.rows] = False
    group = columns.over_cloth(np.where(standing, own, 0.0))
    for step in steps:
        size, share = step.size.factor if step.size else np.inf, step.amount * step.per.factor
        near = standing & (group < size) & (size * (1.0 - share - _REACH) < group)
        for line in np.flatnonzero(near).tolist():
            more = np.ceil((size - group[line]) / (own[line] / columns.quantity[line]) - SLACK)
            with_it = np.flatnonzero(standing & (columns.same_cloth == columns.same_cloth[line]))
            if len(with_it) <= _MOST_TOGETHER:
                quantity = int(columns.quantity[line] + more)
                yield _Try(line, tuple(with_it.tolist()), quantity)


def _variants(estimates: EstimateSet, tried: list[_Try], heading: str) -> pd.DataFrame:
    """Return for each line tried its cloth's lines as they are, then with the other quantity."""
    rows = [row for one in tried for _ in range(2) for row in one.together]
    lines = without_amounts(estimates.enquiries.iloc[rows].reset_index(drop=True).astype(object))
    place = 0
    orders: list[str] = []
    cells = lines[heading].tolist()
    for number, one in enumerate(tried):
        for way in ("asked", "more"):
            for row in one.together:
                if way == "more" and row == one.line:
                    cells[place] = str(one.quantity)
                orders.append(f"{number} {way}")
                place += 1
    lines[heading] = cells
    lines[estimates.headings.column.get(ORDER, ORDER)] = orders
    return lines


def _say(estimates: EstimateSet, one: _Try, asked: float, more: float) -> None:
    currency = estimates.book.currency
    quantity = float(estimates.orders.quantity[one.line])
    others = " with the other lines of its cloth" if len(one.together) > 1 else ""
    text = (
        f"{one.quantity} cost less than {quantity:g}: {money_text(more, currency)} where "
        f"{quantity:g} cost {money_text(asked, currency)}{others}, as a break begins there. Ask "
        f"whether {one.quantity} will do."
    )
    said = Message("quantity", f"{quantity:g}", text, "note", code="price.falls_with_quantity")
    estimates.log.add([one.line], said)
