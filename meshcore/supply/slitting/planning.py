"""Slitting strips of many sizes from several stock widths at the least cost of cloth."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.assembly import cheapest_plan
from meshcore.supply.slitting.lanes import Stocks, lanes_first
from meshcore.supply.slitting.patterns import Across
from meshcore.supply.slitting.plan import SlitPlan, SlitTerms, StripOrder
from meshcore.supply.slitting.runs import RunLayout, Runs, run_lengths
from meshcore.supply.solver.column_generation import Column, Priced, join_columns, relax
from meshcore.supply.solver.cutting_stock import solve
from meshcore.supply.solver.whole_numbers import Cutting, least_sum

#: Share of the time budget that goes into the lower bound of strips of mixed lengths [-].
_BOUND_SHARE = 0.2
#: Share that goes into laying full lanes across [-].
_LANES_SHARE = 0.4
#: Gap at which strips of mixed lengths are done [-]: their bound lets strips be cut in any
#: lengths, so it is seldom reached.
_NEAR_ENOUGH = 0.002
_MM = 1e3


def slit(
    order: StripOrder, terms: SlitTerms, seconds: float = 5.0, seed: int = 0
) -> SlitPlan | list[Message]:
    """Plan how to slit strips at the least cost of cloth.

    Parameters
    ----------
    order
        Strips wanted; sizes and quantities above zero.
    terms
        Stock widths, rolls, trim and kerf.
    seconds
        Time budget [s]; infinite to stop by steps of the search instead, so that no clock has a
        say and the same order has the same plan on every machine.
    seed
        Of the random choices; the same seed gives the same plan unless the time runs out.

    Returns
    -------
    The plan, or what cannot be slit and why.

    Raises
    ------
    ValueError
        If a size or a quantity is not above zero: an order is judged where it enters.

    Notes
    -----
    Strips lie along the cloth. A run of cloth is slit into lanes, a lane is cut to strips. Strips
    of one length give runs of that length; of mixed lengths, runs of strip lengths, of their sums
    and of whole rolls are tried. The bound is the linear programme in which each width may be cut
    in any lengths at all.

    Examples
    --------
    >>> from meshcore.supply.slitting.plan import SlitStock
    >>> rolls = RollTerms(full_m=30.0, part_m=(0.0, 30.0), metre_cost=1.2)
    >>> terms = SlitTerms((SlitStock(1.2, rolls),), edge_trim_m=0.0, kerf_m=0.0, join=False)
    >>> order = StripOrder(np.array([0.5, 0.2]), np.array([30.0, 30.0]), np.array([4, 2]))
    >>> plan = slit(order, terms)
    >>> plan.cost, plan.gap, plan.overs.tolist()
    (72.0, 0.0, [0, 0])
    """
    if not (
        np.all(order.width_m > 0) and np.all(order.length_m > 0) and np.all(order.quantity > 0)
    ):
        raise ValueError("strips need widths, lengths and quantities above zero")
    refused = _refusals(order, terms)
    if refused:
        return refused
    items, parts = _items(order, terms)
    one_length = len(items.length_m) == 1 or np.ptp(items.length_m) <= SLACK
    work = _one_length if one_length else _mixed_lengths
    cut = work(items, terms, seconds, seed)
    return cheapest_plan(order, terms, items, parts, cut, seconds)


def _refusals(order: StripOrder, terms: SlitTerms) -> list[Message]:
    widest = max(stock.width_m for stock in terms.stocks)
    usable = widest - 2.0 * terms.edge_trim_m
    longest = max(stock.rolls.full_m for stock in terms.stocks)
    stocked = np.array([stock.width_m for stock in terms.stocks])
    refused = []
    for width, length in zip(order.width_m.tolist(), order.length_m.tolist(), strict=True):
        as_woven = bool((np.abs(stocked - width) <= width * SLACK).any())
        if width > usable * (1.0 + SLACK) and not as_woven:
            refused.append(
                Message(
                    "width", f"{width * _MM:g} mm",
                    f"wider than the widest cloth can give, {usable * _MM:g} mm between its "
                    "trimmed edges. Ask for that width or less.",
                    code="slitting.strip_too_wide",
                )
            )  # fmt: skip
        if length > longest * (1.0 + SLACK) and not terms.join:
            refused.append(
                Message(
                    "length", f"{length:g} m",
                    f"longer than a full roll, {longest:g} m, and the supply policy joins no "
                    "strips. Ask for that length or less.",
                    code="slitting.strip_too_long",
                )
            )  # fmt: skip
    return refused


def _items(
    order: StripOrder, terms: SlitTerms
) -> tuple[StripOrder, tuple[tuple[tuple[int, int], ...], ...]]:
    """Return the different strips to slit, and what each strip ordered is made of."""
    longest = max(stock.rolls.full_m for stock in terms.stocks)
    wanted: dict[tuple[float, float], int] = {}
    made_of: list[list[tuple[tuple[float, float], int]]] = []
    rows = zip(
        order.width_m.tolist(), order.length_m.tolist(), order.quantity.tolist(), strict=True
    )
    for width, length, quantity in rows:
        whole = math.floor(length / longest * (1.0 + SLACK))
        rest = length - whole * longest
        pieces = [((width, longest), whole)] if whole else []
        if rest > length * SLACK:
            pieces.append(((width, rest), 1))
        for size, count in pieces:
            wanted[size] = wanted.get(size, 0) + count * quantity
        made_of.append(pieces)
    number = {size: i for i, size in enumerate(wanted)}
    sizes = np.array(list(wanted))
    items = StripOrder(sizes[:, 0], sizes[:, 1], np.array(list(wanted.values()), dtype=np.int64))
    parts = tuple(tuple((number[size], n) for size, n in pieces) for pieces in made_of)
    return items, parts


def _usable(terms: SlitTerms) -> FloatArray:
    return np.array([stock.width_m - 2.0 * terms.edge_trim_m for stock in terms.stocks])


def _one_length(items: StripOrder, terms: SlitTerms, seconds: float, seed: int) -> Cutting:
    """Cut runs of one length, so that only widths are to be combined."""
    length = float(items.length_m[0])
    costs = np.array([_run_cost(stock.rolls, length) for stock in terms.stocks])
    across = Across(items.width_m, _usable(terms), costs, terms.kerf_m)
    first = across.singles(items.quantity) + _as_woven(items, terms, costs / length)

    least = _area_bound(items, terms, costs / length)

    def raised(bound: float) -> float:
        bound = max(bound, least)
        units = _units(terms, length)
        return least_sum(units, bound, seconds) if units else bound

    cut = solve(items.quantity, first, across.pricer(), seconds, seed, raised, across.lister())
    columns = tuple(_with_lanes(c, items, length) for c in cut.columns)
    pool = tuple(_with_lanes(c, items, length) for c in cut.pool)
    return replace(cut, columns=columns, pool=pool)


def _with_lanes(column: Column, items: StripOrder, length: float) -> Column:
    if isinstance(column.layout, RunLayout):
        return column
    lanes = tuple((float(items.width_m[i]), ((i, 1),), n) for i, n in enumerate(column.counts) if n)
    return replace(column, layout=RunLayout(int(str(column.layout)), length, lanes))


def _run_cost(rolls: RollTerms, length: float) -> float:
    """Least cost of a run of `length`, its share of what a roll has left over included."""
    options = [
        roll * rolls.metre_cost / runs
        for roll in (rolls.full_m, *rolls.halves_m)
        if (runs := math.floor(roll / length * (1.0 + SLACK)))
    ]
    if rolls.part_m and (runs := math.floor(rolls.part_m[1] / length * (1.0 + SLACK))):
        part = max(runs * length, rolls.part_m[0])
        options.append((part * rolls.metre_cost + rolls.part_charge) / runs)
    return min(options, default=math.inf)


def _units(terms: SlitTerms, length: float | None) -> list[float]:
    """Costs that every purchase is a sum of; none where part rolls can cost anything.

    With part rolls free of charge, runs of one `length` are bought one by one.
    """
    units: list[float] = []
    for rolls in (stock.rolls for stock in terms.stocks):
        units += [
            roll * rolls.metre_cost
            for roll in (rolls.full_m, *rolls.halves_m)
            if length is None or roll >= length * (1.0 - SLACK)
        ]
        if rolls.part_m:
            if length is None or rolls.part_charge or rolls.part_m[0]:
                return []
            units.append(length * rolls.metre_cost)
    return units


def _as_woven(items: StripOrder, terms: SlitTerms, metre_costs: FloatArray) -> list[Column]:
    """Make runs of strips as wide as the cloth itself, which need no trimming."""
    columns = []
    for number, stock in enumerate(terms.stocks):
        same = np.abs(items.width_m - stock.width_m) <= stock.width_m * SLACK
        for item in np.flatnonzero(same).tolist():
            counts = [0] * len(items.width_m)
            counts[item] = 1
            length = float(items.length_m[item])
            layout = RunLayout(number, length, ((stock.width_m, ((item, 1),), 1),))
            columns.append(Column(float(metre_costs[number]) * length, tuple(counts), layout))
    return columns


def _mixed_lengths(items: StripOrder, terms: SlitTerms, seconds: float, seed: int) -> Cutting:
    """Cut runs of several lengths, lanes with several strips end to end."""
    costs = np.array([stock.rolls.metre_cost for stock in terms.stocks])
    bound = _free_bound(items, terms, costs, seconds * _BOUND_SHARE)
    rolls = sorted({m for s in terms.stocks for m in (s.rolls.full_m, *s.rolls.halves_m)})
    weights = items.width_m * items.length_m * items.quantity
    runs = Runs(
        items.width_m,
        items.length_m,
        _usable(terms),
        costs,
        run_lengths(items.length_m, weights, rolls),
        terms.kerf_m,
    )
    first = runs.singles(items.quantity) + _as_woven(items, terms, costs)
    deadline = time.monotonic() + seconds * (1.0 - _BOUND_SHARE)

    def across(lanes: StripOrder) -> Cutting:
        return _one_length(lanes, terms, seconds * _LANES_SHARE, seed)

    widths = np.array([stock.width_m for stock in terms.stocks])
    stocks = Stocks(widths, _usable(terms), costs, terms.kerf_m)
    longest = max(stock.rolls.full_m for stock in terms.stocks)
    start = lanes_first(items, longest, stocks, across, seconds * _BOUND_SHARE)
    join_columns(first, start.columns)
    return solve(
        items.quantity,
        first,
        runs.pricer(),
        deadline - time.monotonic(),
        seed,
        lambda _: bound,
        start=start,
        enough=_NEAR_ENOUGH,
    )


def _area_bound(items: StripOrder, terms: SlitTerms, metre_costs: FloatArray) -> float:
    """Cost of the area of the strips, in the cloth that is cheapest by usable area.

    It is the bound of last resort, where time runs out before the linear programme has one.
    """
    widths = np.array([stock.width_m for stock in terms.stocks])
    as_woven = (np.abs(items.width_m[:, np.newaxis] - widths) <= widths * SLACK).any(axis=1)
    slit_cost = float((metre_costs / _usable(terms)).min())
    woven_cost = float((metre_costs / widths).min())
    area = items.width_m * items.length_m * items.quantity
    return float(area @ np.where(as_woven, min(woven_cost, slit_cost), slit_cost))


def _free_bound(
    items: StripOrder, terms: SlitTerms, metre_costs: FloatArray, seconds: float
) -> float:
    """Bound of the cost of cloth where each width may be cut in any lengths.

    A cross-section of the cloth anywhere holds strips that fit side by side; so the metres of
    cross-sections of each kind meet the metres wanted of each width.
    """
    widths, group = np.unique(items.width_m, return_inverse=True)
    wanted = np.bincount(group, items.length_m * items.quantity)
    strips = np.bincount(group, items.quantity).astype(np.int64)
    across = Across(widths, _usable(terms), metre_costs, terms.kerf_m)
    merged = StripOrder(widths, np.ones(len(widths)), strips)
    first = across.singles(strips) + _as_woven(merged, terms, metre_costs)
    pricer = across.pricer()

    def of_strips(worths: FloatArray, _: IntArray) -> list[Priced]:
        return list(pricer(worths, strips))

    bound = relax(wanted, first, of_strips, time.monotonic() + seconds).bound
    bound = max(bound, _area_bound(items, terms, metre_costs))
    units = _units(terms, None)
    return least_sum(units, bound, seconds) if units else bound
