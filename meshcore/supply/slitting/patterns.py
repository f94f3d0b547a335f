"""Patterns of strips across a cloth: the best one for given worths, by dynamic programming."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.solver.column_generation import Column, Lister, Priced, Pricer

#: Cells that a width is divided into at most. A finer grid than this is rounded: strips up to
#: the next cell, which costs less than 20 µm a strip on the widest cloth.
MOST_CELLS = 100_000
#: Sizes are exact to this [m]: it divides 1/64 in and 1 µm alike.
NANOMETRE = 1e-9
#: Worths below this share of the greatest [-] are rounding of the solver.
_NO_WORTH = 1e-12


def common_grid(sizes_m: Sequence[float], capacities_m: Sequence[float]) -> float:
    """Greatest length that divides all sizes, or the finest that is still workable [m].

    Examples
    --------
    >>> round(common_grid([0.0254, 0.05], [1.2192]), 9)
    0.0002
    """
    whole = [round(size / NANOMETRE) for size in (*sizes_m, *capacities_m)]
    grid = math.gcd(*whole)
    finest = max(capacities_m) / MOST_CELLS
    return max(grid * NANOMETRE, finest)


def cells_up(sizes_m: FloatArray, grid_m: float) -> IntArray:
    """Cells that each size fills, rounded up; rounding of the division is not a cell."""
    return np.ceil(sizes_m / grid_m - NANOMETRE / grid_m).astype(np.int64)


def cells_down(sizes_m: FloatArray, grid_m: float) -> IntArray:
    """Whole cells in each size."""
    return np.floor(sizes_m / grid_m + NANOMETRE / grid_m).astype(np.int64)


@dataclass(frozen=True, slots=True)
class Knapsacks:
    """Best filling of every capacity up to the greatest, kept so that each can be traced.

    Parameters
    ----------
    worth
        Worth of the best filling of each capacity, in cells.
    bundles
        (item, count) of each step of the search.
    taken
        For each step, whether a capacity's best filling takes the bundle.
    sizes
        Size of each item in cells.
    """

    worth: FloatArray
    bundles: tuple[tuple[int, int], ...]
    taken: tuple[BoolArray, ...]
    sizes: IntArray

    def filling(self, capacity: int) -> IntArray:
        """Count of each item in the best filling of `capacity` cells."""
        counts = np.zeros(len(self.sizes), dtype=np.int64)
        for (item, count), taken in zip(self.bundles[::-1], self.taken[::-1], strict=True):
            if taken[capacity]:
                counts[item] += count
                capacity -= count * int(self.sizes[item])
        return counts


def fill(sizes: IntArray, worths: FloatArray, most: IntArray, capacity: int) -> Knapsacks:
    """Fill capacities with items so that they are worth the most.

    Parameters
    ----------
    sizes
        Size of each item in cells, above zero.
    worths
        Worth of each item; those of no worth are left out.
    most
        How many of each there are.
    capacity
        Greatest capacity in cells.

    Notes
    -----
    Bounded knapsack: counts are split into bundles of 1, 2, 4 … items, and each bundle is taken
    or left at all capacities at once.

    Examples
    --------
    >>> best = fill(np.array([3, 4]), np.array([3.0, 4.5]), np.array([5, 1]), 10)
    >>> best.worth[10], best.filling(10).tolist()
    (np.float64(10.5), [2, 1])
    """
    worth = np.zeros(capacity + 1)
    bundles: list[tuple[int, int]] = []
    taken: list[BoolArray] = []
    floor = float(worths.max(initial=0.0)) * _NO_WORTH
    for item in np.flatnonzero(worths > floor).tolist():
        size, value = int(sizes[item]), float(worths[item])
        left = min(int(most[item]), capacity // size)
        count = 1
        while left > 0:
            count = min(count, left)
            left -= count
            weight = count * size
            offered = worth[: capacity + 1 - weight] + count * value
            better = np.zeros(capacity + 1, dtype=np.bool_)
            better[weight:] = offered > worth[weight:]
            worth[weight:] = np.where(better[weight:], offered, worth[weight:])
            bundles.append((item, count))
            taken.append(better)
            count *= 2
    return Knapsacks(worth, tuple(bundles), tuple(taken), sizes)


def fillings_worth(
    sizes: IntArray,
    worths: FloatArray,
    most: IntArray,
    capacity: int,
    least_worth: float,
    limit: int,
) -> list[tuple[int, ...]]:
    """List fillings of a capacity that are worth at least so much.

    Parameters
    ----------
    sizes, worths, most, capacity
        As for `fill`.
    least_worth
        Worth that a filling must reach.
    limit
        How many to list at most.

    Notes
    -----
    Depth first, items largest first; the best worth of the items not yet decided, known for every
    capacity, cuts off all branches that lead nowhere, so that the work is in proportion to what
    is found.

    Examples
    --------
    >>> sizes, worths, most = np.array([3, 4, 5]), np.array([3.0, 4.0, 5.0]), np.array([2, 2, 2])
    >>> fillings_worth(sizes, worths, most, 10, 10.0, 9)
    [(0, 0, 2), (2, 1, 0)]
    """
    order = np.argsort(-sizes, kind="stable").tolist()
    best_of_rest = [np.zeros(capacity + 1)]
    for item in reversed(order):
        best_of_rest.append(_with_item(best_of_rest[-1], sizes, worths, most, item))
    best_of_rest.reverse()
    fillings: list[tuple[int, ...]] = []
    counts = [0] * len(order)

    def search(depth: int, room: int, wanted: float) -> None:
        if best_of_rest[depth][room] < wanted or len(fillings) >= limit:
            return
        if depth == len(order):
            fillings.append(tuple(counts))
            return
        item = order[depth]
        size, worth = int(sizes[item]), float(worths[item])
        for count in range(min(int(most[item]), room // size), -1, -1):
            counts[item] = count
            search(depth + 1, room - count * size, wanted - count * worth)
        counts[item] = 0

    search(0, capacity, least_worth - abs(least_worth) * SLACK)
    return fillings


def _with_item(
    best: FloatArray, sizes: IntArray, worths: FloatArray, most: IntArray, item: int
) -> FloatArray:
    """Best worth of every capacity once `item` may be taken too."""
    worth = best.copy()
    size, value = int(sizes[item]), float(worths[item])
    for count in range(1, min(int(most[item]), (len(best) - 1) // size) + 1):
        weight = count * size
        np.maximum(worth[weight:], best[:-weight] + count * value, out=worth[weight:])
    return worth


@dataclass(frozen=True, slots=True)
class Across:
    """Patterns of items side by side on any of several widths.

    Parameters
    ----------
    sizes_m
        Size of each item [m].
    widths_m
        Usable widths [m].
    costs
        Cost of each width.
    gap_m
        Lost between neighbours [m].
    """

    sizes_m: FloatArray
    widths_m: FloatArray
    costs: FloatArray
    gap_m: float = 0.0

    def pricer(self) -> Pricer:
        """Return the maker of the best pattern on each width."""
        sizes_m, widths_m = self.sizes_m + self.gap_m, self.widths_m + self.gap_m
        grid = common_grid(sizes_m.tolist(), widths_m.tolist())
        sizes, widths = cells_up(sizes_m, grid), cells_down(widths_m, grid)
        low_sizes, high_widths = cells_down(sizes_m, grid), cells_up(widths_m, grid)
        exact = np.array_equal(sizes, low_sizes) and np.array_equal(widths, high_widths)

        def price(worths: FloatArray, most: IntArray) -> list[Priced]:
            best = fill(sizes, worths, most, int(widths.max()))
            # Rounded sizes may hide a better pattern; sizes rounded the other way bound it.
            bounds = best if exact else fill(low_sizes, worths, most, int(high_widths.max()))
            priced = []
            for number, (width, high) in enumerate(zip(widths, high_widths, strict=True)):
                counts = tuple(best.filling(int(width)).tolist())
                cost = float(self.costs[number])
                column = Column(cost, counts, number) if any(counts) else None
                priced.append(Priced(column, float(bounds.worth[high]), cost))
            return priced

        return price

    def lister(self) -> Lister:
        """Return the maker of all patterns that come near to being worth their cost."""
        sizes_m, widths_m = self.sizes_m + self.gap_m, self.widths_m + self.gap_m
        grid = common_grid(sizes_m.tolist(), widths_m.tolist())
        sizes, widths = cells_up(sizes_m, grid), cells_down(widths_m, grid)

        def near(worths: FloatArray, most: IntArray, slack: float, limit: int) -> list[Column]:
            columns: list[Column] = []
            for number, width in enumerate(widths.tolist()):
                cost = float(self.costs[number])
                listed = fillings_worth(sizes, worths, most, width, cost - slack, limit)
                columns += [Column(cost, counts, number) for counts in listed]
            return columns

        return near

    def singles(self, most: IntArray) -> list[Column]:
        """Patterns of one item only, as many as fit, on each width that takes it."""
        columns = []
        for item, size in enumerate(self.sizes_m.tolist()):
            for number, width in enumerate(self.widths_m.tolist()):
                room = math.floor((width + self.gap_m) / (size + self.gap_m) + SLACK)
                if count := min(room, int(most[item])):
                    counts = [0] * len(self.sizes_m)
                    counts[item] = count
                    columns.append(Column(float(self.costs[number]), tuple(counts), number))
        return columns
