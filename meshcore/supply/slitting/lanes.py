"""Strips of mixed lengths by lanes first: lanes as long as a roll are filled, then laid across."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.slitting.patterns import Across, cells_down, cells_up, common_grid, fill
from meshcore.supply.slitting.plan import StripOrder
from meshcore.supply.slitting.runs import RunLayout
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.cutting_stock import solve
from meshcore.supply.solver.whole_numbers import SAME_COST, Cutting, at_most, gathered

#: Seconds for filling the lanes of one width [s].
_LANE_SECONDS = 0.3
#: A lane filled to this share of a roll [-] is laid across as a whole roll.
_FULL = 0.97
#: Lanes, next in length, that may lie beside the longest one in its run.
_NEIGHBOURS = 200

#: (item, count) of the strips along one lane.
Filling = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Stocks:
    """Widths and usable widths [m], the cost of a metre of each, and the loss between lanes [m]."""

    widths_m: FloatArray
    usable_m: FloatArray
    metre_costs: FloatArray
    kerf_m: float


@dataclass(frozen=True, slots=True)
class _Short:
    """A lane shorter than a roll."""

    width_m: float
    length_m: float
    strips: Filling


def lanes_first(
    items: StripOrder,
    roll_m: float,
    stocks: Stocks,
    across: Callable[[StripOrder], Cutting],
    seconds: float,
) -> Cutting:
    """Fill lanes of one width with strips, as long as a roll, then lay the lanes across the cloth.

    Parameters
    ----------
    items
        Strips wanted.
    roll_m
        Length of a full roll [m].
    stocks
        What they may be cut from.
    across
        Cuts lanes of one length from the stock widths.
    seconds
        Time that filling the lanes of all widths may take [s].

    Returns
    -------
    Runs that meet the demand. Where lanes fill up, nothing can be better; where they do not, it is
    a start for the search over runs of all lengths.
    """
    widths, group = np.unique(items.width_m, return_inverse=True)
    fillings: list[list[Filling]] = []
    short: list[_Short] = []
    each = at_most(_LANE_SECONDS, seconds / len(widths))
    for g, width in enumerate(widths.tolist()):
        members = np.flatnonzero(group == g)
        lanes = _filled(members, items.length_m[members], items.quantity[members], roll_m, each)
        lengths = [_length(lane, items) for lane in lanes]
        fillings.append([f for f, m in zip(lanes, lengths, strict=True) if m >= _FULL * roll_m])
        short += [
            _Short(width, m, f) for f, m in zip(lanes, lengths, strict=True) if m < _FULL * roll_m
        ]
    made = _shelves(short, stocks)
    counts = np.array([len(lanes) for lanes in fillings], dtype=np.int64)
    some = counts > 0
    if some.any():
        full = [lanes for lanes in fillings if lanes]
        cut = across(StripOrder(widths[some], np.full(some.sum(), roll_m), counts[some]))
        patterns = [c for c, n in zip(cut.columns, cut.uses, strict=True) for _ in range(n)]
        made += [_run(pattern, widths[some], full) for pattern in patterns]
    columns = [_column(run, items, stocks.metre_costs) for run in made if run.lanes]
    return gathered(columns, np.ones(len(columns), dtype=np.int64))


def _length(lane: Filling, items: StripOrder) -> float:
    return sum(float(items.length_m[i]) * n for i, n in lane)


def _shelves(short: list[_Short], stocks: Stocks) -> list[RunLayout]:
    """Lay lanes that are no whole roll side by side, long ones with long ones."""
    if not short:
        return []
    left = sorted(short, key=lambda lane: -lane.length_m)
    across = np.array([lane.width_m for lane in left]) + stocks.kerf_m
    usable = stocks.usable_m + stocks.kerf_m
    grid = common_grid(np.unique(across).tolist(), usable.tolist())
    sizes, capacities = cells_up(across, grid), cells_down(usable, grid)
    areas = np.array([lane.width_m * lane.length_m for lane in left])
    open_lanes = np.ones(len(left), dtype=np.int64)
    runs = []
    while open_lanes.any():
        # The longest lane left makes the run; those that use it best lie beside it.
        first = int(np.argmax(open_lanes))
        open_lanes[first] = 0
        room = capacities - sizes[first]
        if room.max() < 0:
            # As wide as a cloth, it is delivered as woven.
            stock = int(np.argmin(np.abs(stocks.widths_m - left[first].width_m)))
            runs.append(_whole_width(left[first], stock))
            continue
        near = np.flatnonzero(open_lanes)[:_NEIGHBOURS]
        best = fill(sizes[near], areas[near], open_lanes[near], max(int(room.max()), 0))
        fits = np.flatnonzero(room >= 0).tolist()
        stock = max(
            fits,
            key=lambda s: (areas[first] + best.worth[room[s]]) / float(stocks.metre_costs[s]),
        )
        beside = near[np.flatnonzero(best.filling(int(room[stock])))].tolist()
        open_lanes[beside] = 0
        lanes = tuple((left[i].width_m, left[i].strips, 1) for i in (first, *beside))
        runs.append(RunLayout(stock, left[first].length_m, lanes))
    return runs


def _whole_width(lane: _Short, stock: int) -> RunLayout:
    return RunLayout(stock, lane.length_m, ((lane.width_m, lane.strips, 1),))


def _filled(
    members: IntArray, lengths_m: FloatArray, quantity: IntArray, roll_m: float, seconds: float
) -> list[Filling]:
    """Fill as few lanes as possible with the strips of one width."""
    along = Across(lengths_m, np.array([roll_m]), np.array([1.0]))
    cut = solve(
        quantity, along.singles(quantity), along.pricer(), seconds,
        raise_bound=lambda bound: float(np.ceil(bound - SAME_COST)), lister=along.lister(),
    )  # fmt: skip
    left = quantity.copy()
    lanes: list[Filling] = []
    for column, uses in zip(cut.columns, cut.uses, strict=True):
        for _ in range(uses):
            held = np.minimum(np.array(column.counts), left)
            left = left - held
            strips = zip(members.tolist(), held.tolist(), strict=True)
            if held.any():
                lanes.append(tuple((item, n) for item, n in strips if n))
    return lanes


def _run(column: Column, widths: FloatArray, fillings: list[list[Filling]]) -> RunLayout:
    """Lay lanes in a pattern that was found for lanes of their widths, as long as there are any."""
    layout = column.layout
    if not isinstance(layout, RunLayout):
        raise TypeError("lanes are laid across in runs")
    lanes = [
        (float(widths[g]), fillings[g].pop(), 1)
        for g, wanted in enumerate(column.counts)
        for _ in range(min(wanted, len(fillings[g])))
    ]
    return RunLayout(layout.stock, layout.length_m, tuple(lanes))


def _column(run: RunLayout, items: StripOrder, metre_costs: FloatArray) -> Column:
    counts = np.zeros(len(items.width_m), dtype=np.int64)
    for _, strips, lanes in run.lanes:
        for item, n in strips:
            counts[item] += n * lanes
    length = max(_length(strips, items) for _, strips, _ in run.lanes)
    cost = float(metre_costs[run.stock]) * length
    return Column(cost, tuple(counts.tolist()), RunLayout(run.stock, length, run.lanes))
