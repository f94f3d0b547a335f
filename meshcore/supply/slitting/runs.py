"""Runs of cloth slit into lanes, each lane cut to strips of different lengths."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.slitting.patterns import (
    cells_down,
    cells_up,
    common_grid,
    fill,
)
from meshcore.supply.solver.column_generation import Column, Priced, Pricer

#: Run lengths that are tried at most; each costs one search per turn.
MOST_RUN_LENGTHS = 24
#: Strip lengths that are run lengths in their own right at most; the others share a longer run.
_MOST_OWN_LENGTHS = 10
#: Patterns that enter per turn at most.
_PATTERNS_PER_TURN = 8


@dataclass(frozen=True, slots=True)
class RunLayout:
    """How a run is slit.

    Parameters
    ----------
    stock
        Number of the stock width.
    length_m
        Length of the run [m].
    lanes
        (width [m], strips of each item along the lane, how many lanes are so).
    """

    stock: int
    length_m: float
    lanes: tuple[tuple[float, tuple[tuple[int, int], ...], int], ...]


def run_lengths(lengths_m: FloatArray, weights: FloatArray, rolls_m: list[float]) -> FloatArray:
    """Lengths of run that are worth trying [m].

    Parameters
    ----------
    lengths_m, weights
        Strip lengths [m] and how much cloth each takes.
    rolls_m
        Lengths of whole rolls [m].

    Returns
    -------
    Strip lengths, roll lengths, and multiples and sums of strip lengths, ascending.
    """
    longest = max(rolls_m)
    distinct = np.unique(lengths_m)
    weight = np.array([weights[lengths_m == length].sum() for length in distinct])
    keep = np.argsort(-weight, kind="stable")[:_MOST_OWN_LENGTHS]
    own = sorted({*distinct[keep].tolist(), float(distinct.max())})
    chosen = [*own, *(length for length in rolls_m if length >= distinct.min())]
    sums = {a + b for a in own for b in own} | {n * a for a in own for n in range(3, 9)}
    for length in sorted((s for s in sums if s <= longest * (1 + SLACK)), reverse=True):
        if len(chosen) < MOST_RUN_LENGTHS and not np.isclose(chosen, length, SLACK, 0).any():
            chosen.append(length)
    return np.unique(np.array(chosen))


@dataclass(frozen=True, slots=True)
class Runs:
    """Patterns of lanes on runs of several lengths of several widths of cloth.

    Parameters
    ----------
    widths_m, lengths_m
        Size of each item [m].
    usable_m, metre_costs
        Usable width of each stock [m], and the cost of a metre.
    runs_m
        Run lengths to try [m].
    kerf_m
        Lost between lanes [m].
    """

    widths_m: FloatArray
    lengths_m: FloatArray
    usable_m: FloatArray
    metre_costs: FloatArray
    runs_m: FloatArray
    kerf_m: float

    def pricer(self) -> Pricer:
        """Return the maker of the best runs."""
        lane_widths, group = np.unique(self.widths_m, return_inverse=True)
        members = [np.flatnonzero(group == g) for g in range(len(lane_widths))]
        across, usable = lane_widths + self.kerf_m, self.usable_m + self.kerf_m
        grid = common_grid(across.tolist(), usable.tolist())
        lanes, widths = cells_up(across, grid), cells_down(usable, grid)
        along = common_grid(self.lengths_m.tolist(), self.runs_m.tolist())
        strips, runs = cells_up(self.lengths_m, along), cells_down(self.runs_m, along)

        def price(worths: FloatArray, most: IntArray) -> list[Priced]:
            along_lanes = [fill(strips[m], worths[m], most[m], int(runs.max())) for m in members]
            runs_made: list[tuple[float, Column]] = []
            for run_m, run in zip(self.runs_m.tolist(), runs.tolist(), strict=True):
                fillings = [k.filling(run) for k in along_lanes]
                limits = _lane_limits(fillings, members, most)
                lane_worths = np.array([float(k.worth[run]) for k in along_lanes])
                best = fill(lanes, lane_worths, limits, int(widths.max()))
                for stock, width in enumerate(widths.tolist()):
                    counts = best.filling(width)
                    if counts.any():
                        column = self._column(stock, run_m, counts, fillings, members, lane_widths)
                        runs_made.append((float(np.dot(column.counts, worths)), column))
            runs_made.sort(key=lambda pair: -pair[0] / pair[1].cost)
            return [Priced(c, worth, c.cost) for worth, c in runs_made[:_PATTERNS_PER_TURN]]

        return price

    def _column(
        self,
        stock: int,
        run_m: float,
        lane_counts: IntArray,
        fillings: list[IntArray],
        members: list[IntArray],
        lane_widths: FloatArray,
    ) -> Column:
        counts = np.zeros(len(self.widths_m), dtype=np.int64)
        lanes = []
        for g in np.flatnonzero(lane_counts).tolist():
            counts[members[g]] += lane_counts[g] * fillings[g]
            strips = zip(members[g].tolist(), fillings[g].tolist(), strict=True)
            held = tuple((item, n) for item, n in strips if n)
            lanes.append((float(lane_widths[g]), held, int(lane_counts[g])))
        layout = RunLayout(stock, run_m, tuple(lanes))
        return Column(float(self.metre_costs[stock]) * run_m, tuple(counts.tolist()), layout)

    def singles(self, most: IntArray) -> list[Column]:
        """Return runs of one item only, so that any demand can be met."""
        columns = []
        for item in range(len(self.widths_m)):
            run = float(self.runs_m[np.searchsorted(self.runs_m, self.lengths_m[item] * _LESS)])
            width = float(self.widths_m[item])
            for stock, usable in enumerate(self.usable_m.tolist()):
                room = int((usable + self.kerf_m) / (width + self.kerf_m) + SLACK)
                if lanes := min(room, int(most[item])):
                    counts = [0] * len(self.widths_m)
                    counts[item] = lanes
                    layout = RunLayout(stock, run, ((width, ((item, 1),), lanes),))
                    cost = float(self.metre_costs[stock]) * run
                    columns.append(Column(cost, tuple(counts), layout))
        return columns


#: A run this much shorter, as a share, than its strip still holds it: both went through units.
_LESS = 1.0 - SLACK


def _lane_limits(fillings: list[IntArray], members: list[IntArray], most: IntArray) -> IntArray:
    """Lanes of each width before some strip in them would be more than is wanted."""
    limits = []
    for filling, items in zip(fillings, members, strict=True):
        held = filling > 0
        limits.append(int((most[items][held] // filling[held]).min()) if held.any() else 0)
    return np.array(limits, dtype=np.int64)
