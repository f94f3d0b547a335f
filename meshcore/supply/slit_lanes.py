"""Strips of mixed lengths by lanes first: lanes as long as a roll are filled, then laid across."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.column_generation import Column
from meshcore.supply.cutting_stock import SAME_COST, Cutting, gathered, solve
from meshcore.supply.slit_patterns import Across
from meshcore.supply.slit_plan import StripOrder
from meshcore.supply.slit_runs import RunLayout

#: Seconds for filling the lanes of one width [s].
_LANE_SECONDS = 0.3

#: (item, count) of the strips along one lane.
Filling = tuple[tuple[int, int], ...]


def lanes_first(
    items: StripOrder,
    roll_m: float,
    metre_costs: FloatArray,
    across: Callable[[StripOrder], Cutting],
) -> Cutting:
    """Fill lanes of one width with strips, as long as a roll, then lay the lanes across the cloth.

    Parameters
    ----------
    items
        Strips wanted.
    roll_m
        Length of a full roll [m].
    metre_costs
        Cost of a metre of each stock width.
    across
        Cuts lanes of one length from the stock widths.

    Returns
    -------
    Runs that meet the demand. Where lanes fill up, nothing can be better; where they do not, it is
    a start for the search over runs of all lengths.
    """
    widths, group = np.unique(items.width_m, return_inverse=True)
    fillings: list[list[Filling]] = []
    for g in range(len(widths)):
        members = np.flatnonzero(group == g)
        lanes = _filled(members, items.length_m[members], items.quantity[members], roll_m)
        # Short lanes go last and so lie side by side, which makes their run short.
        lanes.sort(key=lambda lane: -sum(float(items.length_m[i]) * n for i, n in lane))
        fillings.append(lanes)
    counts = np.array([len(lanes) for lanes in fillings], dtype=np.int64)
    cut = across(StripOrder(widths, np.full(len(widths), roll_m), counts))
    patterns = [c for c, uses in zip(cut.columns, cut.uses, strict=True) for _ in range(uses)]
    runs = [_run(pattern, widths, fillings, items, metre_costs) for pattern in patterns]
    made = [run for run in runs if run is not None]
    return gathered(made, np.ones(len(made), dtype=np.int64))


def _filled(
    members: IntArray, lengths_m: FloatArray, quantity: IntArray, roll_m: float
) -> list[Filling]:
    """Fill as few lanes as possible with the strips of one width."""
    along = Across(lengths_m, np.array([roll_m]), np.array([1.0]))
    cut = solve(
        quantity, along.singles(quantity), along.pricer(), _LANE_SECONDS,
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


def _run(
    column: Column,
    widths: FloatArray,
    fillings: list[list[Filling]],
    items: StripOrder,
    metre_costs: FloatArray,
) -> Column | None:
    """Lay the fullest lanes left in one pattern; None where none are left for it."""
    layout = column.layout
    if not isinstance(layout, RunLayout):
        raise TypeError("lanes are laid across in runs")
    counts = np.zeros(len(items.width_m), dtype=np.int64)
    lanes = []
    length = 0.0
    for g, wanted in enumerate(column.counts):
        for _ in range(min(wanted, len(fillings[g]))):
            strips = fillings[g].pop(0)
            lanes.append((float(widths[g]), strips, 1))
            length = max(length, sum(float(items.length_m[i]) * n for i, n in strips))
            for item, n in strips:
                counts[item] += n
    if not lanes:
        return None
    cost = float(metre_costs[layout.stock]) * length
    return Column(cost, tuple(counts.tolist()), RunLayout(layout.stock, length, tuple(lanes)))
