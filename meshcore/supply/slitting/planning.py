"""Slitting strips of many sizes from several stock widths at the least cost of cloth."""

from __future__ import annotations

import math
import time
from dataclasses import replace

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.supply.cutting import Told
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.assembly import cheapest_plan
from meshcore.supply.slitting.bounds import as_woven, rolls_bound, usable
from meshcore.supply.slitting.improving import BOUND_SHARE, Way, improved, ways_for
from meshcore.supply.slitting.lanes import Stocks, lanes_first
from meshcore.supply.slitting.patterns import Across
from meshcore.supply.slitting.plan import SlitPlan, SlitTerms, StripOrder
from meshcore.supply.slitting.runs import RunLayout, Runs, run_lengths
from meshcore.supply.solver.column_generation import Column, join_columns
from meshcore.supply.solver.cutting_stock import solve
from meshcore.supply.solver.whole_numbers import Cutting

#: Share of the time that goes into filling lanes with strips of mixed lengths, and into laying full
#: lanes across [-].
_FILL_SHARE, _LANES_SHARE = 0.2, 0.4
#: Gap at which strips of mixed lengths are done [-]: their bound lets strips be cut in any
#: lengths, so it is seldom reached.
_NEAR_ENOUGH = 0.002
#: Ways of making patterns tried where no clock has a say and widths are charged.
_WAYS_WITHOUT_CLOCK = 2
#: How much dearer a width is made that a plan is to do without [-]: it is then cut only for
#: strips that fit no other.
_DEAR = 10.0
_MM = 1e3


def slit(
    order: StripOrder,
    terms: SlitTerms,
    seconds: float = 5.0,
    seed: int = 0,
    progress: Told = lambda _share, _words: None,
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
    progress
        Told how far it is, and the best plan so far.

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
    and of whole rolls are tried. The bound is
    that of the rolls, their charges with it, whose cross-sections hold the strips.

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
    deadline = time.monotonic() + seconds
    items, parts = _items(order, terms)
    bound = rolls_bound(items, terms, seconds * BOUND_SHARE)
    rates = bound.rates
    if np.ptp(items.length_m) <= SLACK:
        length = float(items.length_m[0])
        sections = tuple(_with_lanes(column, items, length) for column in bound.columns)
        bound = replace(bound, columns=sections)
    else:
        bound = replace(bound, columns=(), rates=None)

    def cut(seconds: float, seed: int, way: Way) -> Cutting:
        dear = _dearness(terms, way.widths)
        # Patterns bear no charge for their width, so the least that they come to is without it.
        least = bound.cost - sum(
            s.to_use for s, d in zip(terms.stocks, dear, strict=True) if d == 1
        )
        if np.ptp(items.length_m) > SLACK:
            return _mixed_lengths(items, terms, seconds, seed, least, dear)
        if way.by_rates and rates is not None:
            return _one_length(items, terms, seconds, seed, bound.cost, rates)
        costs = _run_costs(terms, float(items.length_m[0])) * dear
        return _one_length(items, terms, seconds, seed, least, costs)

    def plan(cutting: Cutting) -> SlitPlan:
        return cheapest_plan(order, terms, items, parts, cutting, deadline)

    def told(best: SlitPlan) -> None:
        clocked = 0.0 < seconds < math.inf
        left = max(deadline - time.monotonic(), 0.0) / seconds if clocked else 1.0
        progress(1.0 - left, f"slit {best.gap:.1%} above the least possible")

    ways = ways_for(bound, len(terms.stocks), charged=terms.charges_widths)
    if math.isinf(seconds):
        ways = ways[: _WAYS_WITHOUT_CLOCK if terms.charges_widths else 1]
    return improved(cut, plan, bound, ways, deadline, seed, told)


def _dearness(terms: SlitTerms, widths: tuple[int, ...] | None) -> FloatArray:
    """How much dearer each width is made than it is, to do with some of them where it can be."""
    chosen = range(len(terms.stocks)) if widths is None else widths
    return np.where(np.isin(np.arange(len(terms.stocks)), list(chosen)), 1.0, _DEAR)


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


def _one_length(
    items: StripOrder,
    terms: SlitTerms,
    seconds: float,
    seed: int,
    bound: float,
    costs: FloatArray,
) -> Cutting:
    """Cut runs of one length, so that only widths are to be combined, at a cost for each."""
    length = float(items.length_m[0])
    across = Across(items.width_m, usable(terms), costs, terms.kerf_m)
    first = across.singles(items.quantity) + as_woven(items, terms, costs / length)

    cut = solve(
        items.quantity, first, across.pricer(), seconds, seed, lambda linear: max(linear, bound),
        across.lister(),
    )  # fmt: skip
    columns = tuple(_with_lanes(c, items, length) for c in cut.columns)
    pool = tuple(_with_lanes(c, items, length) for c in cut.pool)
    return replace(cut, columns=columns, pool=pool)


def _with_lanes(column: Column, items: StripOrder, length: float) -> Column:
    if isinstance(column.layout, RunLayout):
        return column
    lanes = tuple((float(items.width_m[i]), ((i, 1),), n) for i, n in enumerate(column.counts) if n)
    return replace(column, layout=RunLayout(int(str(column.layout)), length, lanes))


def _run_costs(terms: SlitTerms, length: float) -> FloatArray:
    return np.array([_run_cost(stock.rolls, length) for stock in terms.stocks])


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


def _mixed_lengths(
    items: StripOrder,
    terms: SlitTerms,
    seconds: float,
    seed: int,
    bound: float,
    dear: FloatArray,
) -> Cutting:
    """Cut runs of several lengths, lanes with several strips end to end."""
    costs = np.array([stock.rolls.metre_cost for stock in terms.stocks]) * dear
    rolls = sorted({m for s in terms.stocks for m in (s.rolls.full_m, *s.rolls.halves_m)})
    weights = items.width_m * items.length_m * items.quantity
    runs = Runs(
        items.width_m,
        items.length_m,
        usable(terms),
        costs,
        run_lengths(items.length_m, weights, rolls),
        terms.kerf_m,
    )
    first = runs.singles(items.quantity) + as_woven(items, terms, costs)
    deadline = time.monotonic() + seconds

    def across(lanes: StripOrder) -> Cutting:
        across = _run_costs(terms, float(lanes.length_m[0])) * dear
        return _one_length(lanes, terms, seconds * _LANES_SHARE, seed, 0.0, across)

    widths = np.array([stock.width_m for stock in terms.stocks])
    stocks = Stocks(widths, usable(terms), costs, terms.kerf_m)
    longest = max(stock.rolls.full_m for stock in terms.stocks)
    start = lanes_first(items, longest, stocks, across, seconds * _FILL_SHARE)
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
