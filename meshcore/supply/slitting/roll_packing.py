"""Runs of cloth onto rolls: no run may span two, and rolls come in few lengths."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.patterns import Across
from meshcore.supply.solver.cutting_stock import solve
from meshcore.supply.solver.whole_numbers import at_most

#: Seconds for packing runs onto whole rolls [s].
_SECONDS = 2.0
#: Lengths are alike to this many decimals of a metre.
_PLACES = 9


@dataclass(frozen=True, slots=True)
class PackedRoll:
    """Rolls packed alike.

    Parameters
    ----------
    kind
        Full, half or part.
    length_m
        Length of the roll [m].
    runs
        How many of each run it holds.
    count
        How many rolls are so.
    cost
        Cost of one.
    """

    kind: Literal["full", "half", "part"]
    length_m: float
    runs: tuple[int, ...]
    count: int
    cost: float


def pack_rolls(
    lengths_m: FloatArray, counts: IntArray, terms: RollTerms, seconds: float = _SECONDS
) -> list[PackedRoll]:
    """Pack runs onto rolls at a low cost.

    Parameters
    ----------
    lengths_m, counts
        Length of each run [m], and how many there are; no run is longer than a roll.
    terms
        What rolls can be bought.
    seconds
        Time that is left [s]; infinite where no clock has a say.

    Returns
    -------
    The rolls, alike ones together.

    Notes
    -----
    Two packings are tried and the cheaper kept: runs first-fit onto full rolls, longest first, and
    cutting stock over full and half rolls. Each roll is then bought in the cheapest length that
    holds its runs.

    Examples
    --------
    >>> terms = RollTerms(full_m=30.0, halves_m=(15.0,))
    >>> rolls = pack_rolls(np.array([14.0, 7.0]), np.array([3, 2]), terms)
    >>> [(r.kind, r.runs, r.count) for r in rolls]
    [('full', (2, 0), 1), ('full', (1, 2), 1)]
    """
    sizes, group = np.unique(np.round(lengths_m, _PLACES), return_inverse=True)
    if len(sizes) < len(lengths_m):
        wanted = np.bincount(group, counts).astype(np.int64)
        return _shared(pack_rolls(sizes, wanted, terms, seconds), group, counts)
    first = _bought(_first_fit(lengths_m, counts, terms.full_m), lengths_m, terms)
    content = float(lengths_m @ counts) * terms.metre_cost
    if _cost(first) <= content * (1.0 + SLACK):
        return first
    rolls = np.array([terms.full_m, *terms.halves_m])
    across = Across(lengths_m, rolls, rolls * terms.metre_cost)
    cut = solve(counts, across.singles(counts), across.pricer(), at_most(_SECONDS, seconds))
    fillings = [(column.counts, n) for column, n in zip(cut.columns, cut.uses, strict=True)]
    second = _bought(_exactly(fillings, counts), lengths_m, terms)
    return second if _cost(second) < _cost(first) else first


def _shared(rolls: list[PackedRoll], group: IntArray, counts: IntArray) -> list[PackedRoll]:
    """Tell runs of one length apart again; rolls are alike where they hold the same runs."""
    left = counts.copy()
    members = [np.flatnonzero(group == g).tolist() for g in range(int(group.max()) + 1)]
    alike: dict[PackedRoll, int] = {}
    for roll in rolls:
        rolls_left = roll.count
        while rolls_left:
            held = np.zeros_like(counts)
            for g, wanted in enumerate(roll.runs):
                for run in members[g]:
                    held[run] = min(wanted, int(left[run]))
                    wanted -= int(held[run])  # noqa: PLW2901 - what the next run may still take
            some = held > 0
            times = min(rolls_left, int((left[some] // held[some]).min()))
            left = left - times * held
            rolls_left -= times
            single = replace(roll, runs=tuple(held.tolist()), count=1)
            alike[single] = alike.get(single, 0) + times
    return [replace(roll, count=count) for roll, count in alike.items()]


def _cost(rolls: list[PackedRoll]) -> float:
    return sum(roll.cost * roll.count for roll in rolls)


def _first_fit(
    lengths_m: FloatArray, counts: IntArray, roll_m: float
) -> list[tuple[tuple[int, ...], int]]:
    """Fill rolls with the longest runs first; each filling with how often it is used."""
    left = counts.copy()
    order = np.argsort(-lengths_m, kind="stable")
    fillings: list[tuple[tuple[int, ...], int]] = []
    while left.any():
        room, filling = roll_m * (1.0 + SLACK), np.zeros_like(left)
        for run in order.tolist():
            filling[run] = min(int(left[run]), int(room / lengths_m[run]))
            room -= filling[run] * lengths_m[run]
        held = filling > 0
        times = int((left[held] // filling[held]).min())
        fillings.append((tuple(filling.tolist()), times))
        left = left - times * filling
    return fillings


def _exactly(
    fillings: list[tuple[tuple[int, ...], int]], counts: IntArray
) -> list[tuple[tuple[int, ...], int]]:
    """Leave out of the last rolls what earlier ones already hold."""
    left = counts.copy()
    exact: dict[tuple[int, ...], int] = {}
    for filling, times in fillings:
        for _ in range(times):
            held = np.minimum(np.array(filling), left)
            left = left - held
            if held.any():
                key = tuple(held.tolist())
                exact[key] = exact.get(key, 0) + 1
    return list(exact.items())


def _bought(
    fillings: list[tuple[tuple[int, ...], int]], lengths_m: FloatArray, terms: RollTerms
) -> list[PackedRoll]:
    return [_cheapest(filling, times, lengths_m, terms) for filling, times in fillings]


def _cheapest(
    filling: tuple[int, ...], times: int, lengths_m: FloatArray, terms: RollTerms
) -> PackedRoll:
    content = float(np.dot(filling, lengths_m))
    kinds: list[tuple[float, int, Literal["full", "half", "part"], float]] = [
        (terms.full_m * terms.metre_cost, 0, "full", terms.full_m)
    ]
    kinds += [
        (half * terms.metre_cost, 1, "half", half)
        for half in terms.halves_m
        if content <= half * (1.0 + SLACK)
    ]
    if terms.part_m and content <= terms.part_m[1] * (1.0 + SLACK):
        length = max(content, terms.part_m[0])
        kinds.append((length * terms.metre_cost + terms.part_charge, 2, "part", length))
    # Of equal costs the more usual roll: a part roll that is as long as a half one is a half one.
    cost, _, kind, length = min(kinds, key=lambda k: (round(k[0], 9), k[1]))
    return PackedRoll(kind, length, filling, times, cost)
