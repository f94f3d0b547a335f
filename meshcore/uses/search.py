"""From what the cloth is for to the cloth that can be woven and does it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.uses.statement import Figures, Metal, Statement, Wanted
from meshcore.weave.cloth import ClothColumns, WeaveRule, take_cloth
from meshcore.weave.search.grid import LISTED, Grid, listed_cloths, weavable

#: What a weave further down the list of those that are usual weighs: a judgement, no source.
_FURTHER_WEAVE = 0.08
#: What sizes of each series weigh, in the order of ``SERIES``: those of whole cloths come first.
_SERIES_COST = np.array([0.0, 0.02, 0.03, 0.15, 0.20, 0.2, 0.0])
#: Margin from a limit below which cloth is woven, but not gladly, and what that weighs at most.
_COMFORTABLE, _HUGGING = 0.10, 0.30
#: Why a weave is offered that was asked for by name.
AS_ASKED = "as asked"
#: Specifications that differ by less in both wire and aperture are one [-].
SAME_SPECIFICATION = 0.11


@dataclass(frozen=True, slots=True)
class Suited:
    """Cloth for a use, best first; arrays have one row a cloth.

    Parameters
    ----------
    wanted
        What the use asks of it.
    cloth
        The cloth; of no alloy and no width.
    series
        Index into ``meshcore.weave.search.grid.SERIES``.
    cost
        How far it is from what is best for the use [-].
    weave_reason
        Why each has its weave.
    unkept
        Demands that no cloth of these weaves keeps, where there is no cloth.
    """

    wanted: Wanted
    cloth: ClothColumns
    series: IntArray
    cost: FloatArray
    weave_reason: tuple[str, ...]
    unkept: tuple[str, ...]


def suited(
    statement: Statement,
    figures: Figures,
    metal: Metal,
    rules: Sequence[tuple[str, WeaveRule]],
    count: int,
    weaves: Sequence[int] = (),
) -> Suited:
    """Find cloth that a use asks for.

    Parameters
    ----------
    statement, figures
        The use, and its figures as read.
    metal
        Of the wire.
    rules
        Weave rules, each with its plugin's name: what any is against is not offered.
    count
        Cloths wanted.
    weaves
        Indices into ``WEAVES`` of those wanted; none for any that the use has.

    Returns
    -------
    The cloths, none of them nearly alike; sizes of lists go before others. Empty where nothing
    that can be woven does it.

    Notes
    -----
    Every combination of the grid is held against the aperture and wire of what is worth offering,
    and what is left against the demands; where that leaves nothing, every combination is held
    against the demands alone, see `Wanted`.
    """
    wanted = statement.ask(figures, metal)
    if len(weaves) == 1:
        wanted = replace(wanted, weaves=((weaves[0], AS_ASKED),))
    elif weaves:
        wanted = replace(wanted, weaves=tuple(one for one in wanted.weaves if one[0] in weaves))
    codes = tuple(sorted(code for code, _ in wanted.weaves))
    grid = weavable(tuple(rules), codes)
    rows = _worth_offering(grid, wanted)
    if not len(rows):
        rows = np.flatnonzero(wanted.keeps(grid.cloth))
    cost = _cost(grid, rows, wanted)
    chosen = _distinct(grid, rows[np.argsort(cost, kind="stable")], count)
    by_row = dict(zip(rows.tolist(), cost.tolist(), strict=True))
    reasons = dict(wanted.weaves)
    return Suited(
        wanted,
        take_cloth(grid.cloth, chosen),
        grid.series[chosen],
        np.array([by_row[row] for row in chosen.tolist()]),
        tuple(reasons[int(code)] for code in grid.cloth.weave[chosen]),
        () if len(rows) else _kept_by_none(grid, wanted),
    )


def _kept_by_none(grid: Grid, wanted: Wanted) -> tuple[str, ...]:
    return tuple(one.text for one in wanted.demands if not one.kept(grid.cloth).any())


def _worth_offering(grid: Grid, wanted: Wanted) -> IntArray:
    rows = _in_range(grid, wanted)
    cloth = take_cloth(grid.cloth, rows)
    return rows[wanted.keeps(cloth) & wanted.worth(cloth)]


def _in_range(grid: Grid, wanted: Wanted) -> IntArray:
    cloth = grid.cloth
    inside = (cloth.aperture_m >= wanted.aperture_m[0]) & (cloth.aperture_m <= wanted.aperture_m[1])
    inside &= (cloth.wire_diameter_m >= wanted.wire_m[0]) & (
        cloth.wire_diameter_m <= wanted.wire_m[1]
    )
    listed = inside & np.isin(grid.series, LISTED)
    return np.flatnonzero(listed if listed.any() else inside)


def _cost(grid: Grid, rows: IntArray, wanted: Wanted) -> FloatArray:
    place = {code: number for number, (code, _) in enumerate(wanted.weaves)}
    places = np.array([place[int(code)] for code in range(_WEAVE_COUNT) if code in place])
    codes = np.array(sorted(place))
    by_weave = places[np.searchsorted(codes, grid.cloth.weave[rows])]
    hugging = np.clip(1.0 - grid.margin[rows] / _COMFORTABLE, 0.0, 1.0)
    cost: FloatArray = (
        wanted.cost(take_cloth(grid.cloth, rows))
        + _FURTHER_WEAVE * by_weave
        + _SERIES_COST[grid.series[rows]]
        + _HUGGING * hugging
    )
    if wanted.customary:
        cost += wanted.customary * _from_listed(grid.logs[:2, rows])
    return cost


def _from_listed(sizes: FloatArray) -> FloatArray:
    """How far aperture and wire are from the nearest cloth of a list, by their logarithms."""
    wire, pitch = listed_cloths()
    listed = np.log([pitch - wire, wire])
    nearest = np.full(sizes.shape[1], np.inf)
    for aperture_log, wire_log in listed.T:
        apart = np.maximum(np.abs(sizes[0] - aperture_log), np.abs(sizes[1] - wire_log))
        np.minimum(nearest, apart, out=nearest)
    return nearest


_WEAVE_COUNT = 7


def _distinct(grid: Grid, rows: IntArray, count: int) -> IntArray:
    """Return the first rows that differ enough from one another."""
    kept: list[int] = []
    sizes = grid.logs[:2]
    for row in rows.tolist():
        off = np.abs(sizes[:, kept] - sizes[:, [row]]).max(axis=0)
        if not (off < SAME_SPECIFICATION).any():
            kept.append(row)
        if len(kept) == count:
            break
    return np.array(kept, dtype=np.int64)
