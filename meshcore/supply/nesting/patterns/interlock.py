"""Rows of one shape pushed into each other: alternate pieces turned, alternate rows moved aside."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.patterns.profiles import GRID_M, Profile, profile, push, widened
from meshcore.supply.nesting.postures import Posture
from meshcore.supply.shapes.outlines import Shape

#: Pieces of a row may stand aside from each other by these shares of their length [-].
_ASIDE_QUICK, _ASIDE_FULL = (0.0,), (0.0, 0.5, -0.5, 0.25, -0.25)
#: Rows may be moved against each other by so many parts of the period across.
_PHASES_QUICK, _PHASES_FULL = 4, 16
#: Added to every push: corners lie on a grid of this [m].
_CLEAR = 2.0 * GRID_M
#: A half turn, to this many decimals [rad].
_DECIMALS = 9


@dataclass(frozen=True, slots=True)
class _Slot:
    """A piece of a row: how it lies and where, within one period across."""

    posture: Posture
    along: Profile
    across: Profile
    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True)
class _Row:
    """An endless row across the cloth: its pieces within one period, and the period [m]."""

    slots: tuple[_Slot, ...]
    period_m: float


@dataclass(frozen=True, slots=True)
class RowPair:
    """Two endless rows across the cloth that follow each other in turn.

    Parameters
    ----------
    rows
        Pieces within one period of each row.
    period_m
        Period across [m].
    phase_m
        How far the second row is moved across [m], one entry for each that was tried.
    there_m, back_m
        Steps along the cloth from the first row to the second and on to the first again [m].
    """

    rows: tuple[tuple[_Slot, ...], tuple[_Slot, ...]]
    period_m: float
    phase_m: FloatArray
    there_m: FloatArray
    back_m: FloatArray


@lru_cache(maxsize=512)
def row_pairs_of(
    shape: Shape, postures: tuple[Posture, ...], spacing_m: float, thorough: bool
) -> tuple[RowPair, ...]:
    """Return the rows that a shape can form, whatever the width of the cloth.

    Parameters
    ----------
    shape, postures
        The shape, and how it may lie.
    spacing_m
        Least distance between pieces [m].
    thorough
        Whether to try many shifts, or the likeliest ones only.
    """
    asides = _ASIDE_FULL if thorough else _ASIDE_QUICK
    pairs = []
    for first, second in _posture_pairs(postures):
        one = _slot(shape, first, spacing_m)
        two = _slot(shape, second, spacing_m)
        for aside in asides if second != first else asides[:1]:
            row = _alternating(one, two, aside * first.along_m)
            pairs.append(_row_pair(row, row, thorough))
        if second != first:
            pairs.append(_row_pair(_alone(one), _alone(two), thorough))
    return tuple(pairs)


def interlocked(
    pairs: tuple[RowPair, ...], pieces: int, usable_m: float, low_m: float
) -> list[Lanes]:
    """Lay the rows on a cloth, the densest of each kind.

    Parameters
    ----------
    pairs
        From `row_pairs_of`.
    pieces
        Pieces wanted: rows with more places than these are no better for them.
    usable_m, low_m
        Usable width, and where it begins [m].
    """
    lanes = []
    for pair in pairs:
        places = np.minimum(_places(pair, usable_m), pieces)
        best = int(np.argmax(places / (pair.there_m + pair.back_m)))
        if places[best]:
            lanes.append(_laid(pair, best, usable_m, low_m))
    return lanes


def _places(pair: RowPair, usable_m: float) -> FloatArray:
    """Pieces of both rows that fit across the usable width, for each phase."""
    fitting = np.zeros(len(pair.phase_m))
    unmoved = np.zeros(len(pair.phase_m))
    for row, moved in zip(pair.rows, (unmoved, pair.phase_m), strict=True):
        for slot in row:
            first = (slot.y_m + moved) % pair.period_m
            fitting = fitting + _count(slot, first, pair.period_m, usable_m)
    return fitting


def _count(slot: _Slot, first: FloatArray, period_m: float, usable_m: float) -> FloatArray:
    room = (usable_m * (1.0 + SLACK) - slot.posture.across_m - first) / period_m
    return np.maximum(np.floor(room) + 1.0, 0.0)


def _posture_pairs(postures: tuple[Posture, ...]) -> list[tuple[Posture, Posture]]:
    """Each posture with itself, and with its half turn where that is allowed."""
    by_turn = {round(p.turn_rad % (2 * math.pi), _DECIMALS): p for p in postures}
    pairs = []
    for turn, first in by_turn.items():
        half = by_turn.get(round((turn + math.pi) % (2 * math.pi), _DECIMALS))
        if half is None or first.turn_rad < half.turn_rad:
            pairs.append((first, first))
            pairs += [(first, half)] if half else []
    return pairs


def _slot(shape: Shape, posture: Posture, spacing_m: float) -> _Slot:
    corners = widened(shape, posture, spacing_m) - np.array(posture.bounds[:2])
    return _Slot(posture, profile(corners), profile(corners[:, ::-1]), 0.0, 0.0)


def _moved(slot: _Slot, x_m: float, y_m: float) -> _Slot:
    return _Slot(slot.posture, slot.along, slot.across, x_m, y_m)


def _alternating(one: _Slot, two: _Slot, aside_m: float) -> _Row:
    """Row in which `one` and `two` take turns."""
    if one is two or one.posture == two.posture:
        return _alone(one)
    up = float(push(one.across, two.across, np.array([aside_m]))[0]) + _CLEAR
    down = float(push(two.across, one.across, np.array([-aside_m]))[0]) + _CLEAR
    # Two of the same kind must pass each other as well.
    least = max(float(push(s.across, s.across, np.zeros(1))[0]) for s in (one, two)) + _CLEAR
    if not math.isfinite(up + down) or up < 0.0 or down < 0.0:
        up, down = least, least
    period = max(up + down, least)
    slots = (_moved(one, max(0.0, -aside_m), 0.0), _moved(two, max(0.0, aside_m), up))
    return _Row(slots, period)


def _alone(one: _Slot) -> _Row:
    period = float(push(one.across, one.across, np.zeros(1))[0]) + _CLEAR
    return _Row((one,), period)


def _row_pair(first: _Row, second: _Row, thorough: bool) -> RowPair:
    period = max(first.period_m, second.period_m)
    phases = _PHASES_FULL if thorough else _PHASES_QUICK
    phase = np.arange(phases) * period / phases
    there = _step(first.slots, second.slots, phase, period)
    back = _step(second.slots, first.slots, -phase, period)
    # Rows but one apart must keep clear too.
    rows = (first.slots, second.slots)
    same = max(float(_step(row, row, np.zeros(1), period)[0]) for row in rows)
    back = np.maximum(back, same - there)
    return RowPair(rows, period, phase, there, back)


def _step(
    first: tuple[_Slot, ...], second: tuple[_Slot, ...], phase: FloatArray, period: float
) -> FloatArray:
    """Step along the cloth from one endless row to another that is moved across by `phase`."""
    needed = np.zeros(len(phase))
    for one, two in product(first, second):
        reach = max(np.ptp(one.along.at), np.ptp(two.along.at))
        turns = math.ceil(reach / period) + 1
        repeats = np.arange(-turns - 1, turns + 2) * period
        aside = (phase[:, np.newaxis] + two.y_m - one.y_m + repeats).ravel()
        pushed = push(one.along, two.along, aside).reshape(len(phase), -1).max(axis=1)
        needed = np.maximum(needed, pushed + one.x_m - two.x_m + _CLEAR)
    return needed


def _laid(pair: RowPair, number: int, usable_m: float, low_m: float) -> Lanes:
    """Pieces of the endless rows that fit across the usable width, as lanes."""
    there, back = float(pair.there_m[number]), float(pair.back_m[number])
    rows = zip(pair.rows, (0.0, float(pair.phase_m[number])), (0.0, there), strict=True)
    columns: list[tuple[FloatArray, ...]] = []
    for row, phase, start in rows:
        for slot in row:
            first = np.array([(slot.y_m + phase) % pair.period_m])
            count = int(_count(slot, first, pair.period_m, usable_m)[0])
            at = first + np.arange(count) * pair.period_m
            begin = np.full(count, start + slot.x_m)
            turn = np.full(count, slot.posture.turn_rad)
            x0, y0 = slot.posture.bounds[:2]
            columns.append((begin - x0, low_m + at - y0, turn, begin + slot.posture.along_m, begin))
    x, y, turn, end, begin = (np.concatenate(column) for column in zip(*columns, strict=True))
    start = begin.min()
    return Lanes(x - start, y, turn, end - start, np.full(len(x), there + back))
