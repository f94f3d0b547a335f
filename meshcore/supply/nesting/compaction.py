"""A nest pushed together by a linear programme, and put right where pieces are too near.

Each piece may move a little; neighbours stay apart along the line that parts them now. The
programme finds the moves that make the cloth shortest; it is set up again from there as long as
that gains. This takes back what the packer's rounder outlines and single precision leave or take.
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.nesting.convex_parts import apart, convex_parts
from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.postures import boxes
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.solver.programme import solve_linear

#: How far a piece may move in one round, as a share of the usable width [-].
_STEP_SHARE = 2e-3
#: Rounds at most, and the gain of one, as a share of the length, below which it was the last [-].
_ROUNDS, _LEAST_GAIN = 12, 2e-5
#: What a metre too near costs beside a metre of cloth: so much that it is bought off wherever it
#: can be [-].
_TOO_NEAR_COST = 1e3
#: What the programme leaves between pieces beyond the spacing [m]: more than its own rounding, and
#: less than what a nest may be off.
_BETWEEN_M = 2e-7


@dataclass(frozen=True, slots=True)
class Strip:
    """The cloth that a nest lies on.

    Parameters
    ----------
    low_m, high_m
        Edges of the usable width [m].
    spacing_m
        Least distance between pieces [m].
    """

    low_m: float
    high_m: float
    spacing_m: float


def compacted(
    shapes: tuple[Shape, ...], part: FreePart, strip: Strip, seconds: float
) -> tuple[FreePart, float]:
    """Push a nest together.

    Parameters
    ----------
    shapes, part, strip
        The nest, and the cloth that it lies on.
    seconds
        Time after which no further round is begun [s]; the first is always made.

    Returns
    -------
    The nest, and by how much pieces are too near each other or over an edge [m]; 0 where none is.
    """
    deadline = time.monotonic() + seconds
    best, wrong = part, np.inf
    for _ in range(_ROUNDS):
        moved, off = _round(shapes, best, strip)
        is_better = off < wrong or moved.length_m < best.length_m
        gain = 1.0 - moved.length_m / best.length_m
        if off > max(wrong, _BETWEEN_M) or not is_better:
            break
        was_wrong, best, wrong = wrong, moved, off
        settled = gain < _LEAST_GAIN and was_wrong <= _BETWEEN_M
        if settled or time.monotonic() > deadline:
            break
    return best, wrong


def _round(shapes: tuple[Shape, ...], part: FreePart, strip: Strip) -> tuple[FreePart, float]:
    """One round of moves, and how much too near pieces then are [m]."""
    placed = part.pieces
    step = _STEP_SHARE * (strip.high_m - strip.low_m)
    box = boxes(shapes, placed.shape, placed.x_m, placed.y_m, placed.turn_rad)
    lines = list(_neighbours(shapes, placed, box, strip.spacing_m + 4.0 * step))
    x, y = _moves(box, np.array(lines).reshape(-1, 5), strip, step)
    x_m, y_m = placed.x_m + x, placed.y_m + y
    box = boxes(shapes, placed.shape, x_m, y_m, placed.turn_rad)
    start = float(box[:, 0].min())
    moved = Placements(placed.shape, x_m - start, y_m, placed.turn_rad)
    off = _off(shapes, moved, box, strip)
    return FreePart(moved, float(box[:, 2].max()) - start), off


def _off(shapes: tuple[Shape, ...], placed: Placements, box: FloatArray, strip: Strip) -> float:
    """By how much pieces are too near each other or over an edge [m]."""
    over = [strip.low_m - float(box[:, 1].min()), float(box[:, 3].max()) - strip.high_m]
    box = boxes(shapes, placed.shape, placed.x_m, placed.y_m, placed.turn_rad)
    near = [
        strip.spacing_m - distance
        for *_, distance in _neighbours(shapes, placed, box, strip.spacing_m)
    ]
    return max(0.0, *over, *near)


#: Numbers of two pieces, the direction from the one to the other, and their distance along it [m].
_Line = tuple[float, float, float, float, float]


def _neighbours(
    shapes: tuple[Shape, ...], placed: Placements, box: FloatArray, reach_m: float
) -> Iterator[_Line]:
    """Yield the line between each two convex parts of two pieces that are within a reach."""
    first, second = _pairs(box, reach_m)
    kinds = [
        convex_parts(shapes[s], t)
        for s, t in zip(placed.shape.tolist(), placed.turn_rad.tolist(), strict=True)
    ]
    places = np.column_stack([placed.x_m, placed.y_m])
    parts = [[p + at for p in of_kind] for of_kind, at in zip(kinds, places, strict=True)]
    ends = [
        np.array([np.concatenate([p.min(axis=0), p.max(axis=0)]) for p in own]) for own in parts
    ]
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        low = ends[j][np.newaxis, :, :2] - ends[i][:, np.newaxis, 2:]
        high = ends[i][:, np.newaxis, :2] - ends[j][np.newaxis, :, 2:]
        near = (np.maximum(low, high).max(axis=2) < reach_m).nonzero()
        for a, b in zip(*(n.tolist() for n in near), strict=True):
            distance, x, y = apart(parts[i][a], parts[j][b])
            if distance < reach_m:
                yield i, j, x, y, distance


def _pairs(box: FloatArray, reach_m: float) -> tuple[IntArray, IntArray]:
    """Pieces whose boxes come within a reach of each other."""
    import shapely  # noqa: PLC0415 - heavy

    half = reach_m / 2
    upright = shapely.box(box[:, 0] - half, box[:, 1] - half, box[:, 2] + half, box[:, 3] + half)
    one, two = shapely.STRtree(upright).query(upright)
    once = one < two
    # In one order, so that the programme is the same in every process.
    order = np.lexsort((two[once], one[once]))
    return one[once][order].astype(np.int64), two[once][order].astype(np.int64)


def _moves(
    box: FloatArray, lines: FloatArray, strip: Strip, step_m: float
) -> tuple[FloatArray, FloatArray]:
    """Find the moves of each piece along and across that make the cloth shortest [m].

    Variables of the programme: how far each piece moves along and then across, a step more than
    that so that none is below zero; the length of the cloth; what pieces are too near.
    """
    count, pairs = len(box), len(lines)
    length, near = 2 * count, 2 * count + 1
    rows = np.zeros((pairs + 6 * count, 2 * count + 2))
    least = np.empty(len(rows))
    at, one, two = np.arange(pairs), lines[:, 0].astype(np.int64), lines[:, 1].astype(np.int64)
    for axis in (0, 1):
        rows[at, 2 * one + axis] -= lines[:, 2 + axis]
        rows[at, 2 * two + axis] += lines[:, 2 + axis]
    rows[at, near] = 1.0
    least[:pairs] = strip.spacing_m + _BETWEEN_M - lines[:, 4]
    piece, along = np.arange(count), 2 * np.arange(count)
    sides = (
        (along, 1.0, None, step_m - box[:, 0]),
        (along, -1.0, length, box[:, 2] - step_m),
        (along + 1, 1.0, near, strip.low_m - box[:, 1] + step_m),
        (along + 1, -1.0, near, box[:, 3] - strip.high_m - step_m),
        (along, -1.0, None, np.full(count, -2.0 * step_m)),
        (along + 1, -1.0, None, np.full(count, -2.0 * step_m)),
    )
    for number, (variable, sign, other, amount) in enumerate(sides):
        at = pairs + number * count + piece
        rows[at, variable] = sign
        least[at] = amount
        if other is not None:
            rows[at, other] = 1.0
    costs = np.zeros(2 * count + 2)
    costs[length], costs[near] = 1.0, _TOO_NEAR_COST
    moves = solve_linear(costs, rows, least).values[: 2 * count] - step_m
    return moves[::2], moves[1::2]
