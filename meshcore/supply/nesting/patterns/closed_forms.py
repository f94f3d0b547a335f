"""Closed forms: boxes in rows, equal discs in staggered rows, equal rectangles in both ways."""

from __future__ import annotations

import math

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.postures import Posture

#: Mixes of upright and turned lanes that are worked out in full, the densest first.
_MIXES = 4


def rows_across(usable_m: float, across_m: float, spacing_m: float) -> int:
    """How many boxes lie side by side across the usable width."""
    return math.floor((usable_m + spacing_m) / (across_m + spacing_m) * (1.0 + SLACK))


def grid(posture: Posture, usable_m: float, low_m: float, spacing_m: float) -> Lanes | None:
    """Boxes in rows and columns; None where not even one fits across.

    Parameters
    ----------
    posture
        How the piece lies.
    usable_m, low_m
        Usable width, and where it begins [m].
    spacing_m
        Least distance between pieces [m].
    """
    count = rows_across(usable_m, posture.across_m, spacing_m)
    return _rows(posture, count, low_m, spacing_m) if count else None


def _rows(posture: Posture, count: int, low_m: float, spacing_m: float) -> Lanes:
    y = (
        low_m
        - posture.bounds[1]
        + np.arange(count, dtype=np.float64) * (posture.across_m + spacing_m)
    )
    return Lanes(
        x_m=np.full(count, -posture.bounds[0]),
        y_m=y,
        turn_rad=np.full(count, posture.turn_rad),
        end_m=np.full(count, posture.along_m),
        step_m=np.full(count, posture.along_m + spacing_m),
    )


def beside(first: Lanes, second: Lanes) -> Lanes:
    """Return the lanes of both."""
    return Lanes(
        *(np.concatenate([getattr(first, name), getattr(second, name)]) for name in Lanes.__slots__)
    )


def staggered_discs(
    posture: Posture,
    pieces: int,
    usable_m: float,
    low_m: float,
    spacing_m: float,
    max_length_m: float,
) -> Lanes | None:
    """Discs in staggered rows, spread over the width so that neighbouring columns interlock.

    Notes
    -----
    Discs of diameter d and spacing s lie on m levels, b = (U − d)/(m − 1) apart, every second
    level half a step on; columns of every second level follow each other at
    a = max(√(p² − b²), p/2) with p = d + s, for p/2 ≤ b < p. With b = p/2 or b = p·√3/2 these are
    the hexagonal rows across and along the cloth; between them the spread rows are shorter than
    either. All m are tried.

    Returns
    -------
    The lanes that need the least length for `pieces`; None where no two levels fit.
    """
    pitch = posture.across_m + spacing_m
    room = usable_m - posture.across_m
    most = math.floor(2.0 * room / pitch * (1.0 + SLACK)) + 1
    levels = np.arange(2, most + 1)
    apart = room / np.maximum(levels - 1, 1)
    levels, apart = levels[apart < pitch], apart[apart < pitch]
    if not len(levels):
        return None
    column = np.maximum(np.sqrt(pitch**2 - apart**2), pitch / 2)
    # A level and the next but one are level with each other: they need a whole pitch between.
    total = _staggered_length(levels, column, posture.along_m, pieces, max_length_m)
    best = int(np.argmin(total))
    count, odd = int(levels[best]), np.arange(int(levels[best])) % 2
    return Lanes(
        x_m=odd * column[best] - posture.bounds[0],
        y_m=low_m - posture.bounds[1] + np.arange(count) * apart[best],
        turn_rad=np.full(count, posture.turn_rad),
        end_m=odd * column[best] + posture.along_m,
        step_m=np.full(count, 2.0 * column[best]),
    )


def _staggered_length(
    levels: FloatArray | np.ndarray[tuple[int], np.dtype[np.int64]],
    column_m: FloatArray,
    diameter_m: float,
    pieces: int,
    max_length_m: float,
) -> FloatArray:
    """Length that the pieces take on each number of levels, roll after roll [m]."""
    columns = np.floor((max_length_m - diameter_m) / column_m * (1.0 + SLACK)) + 1.0
    uneven = np.ceil(levels / 2)
    a_roll = columns // 2 * levels + columns % 2 * uneven
    full = pieces // a_roll
    rest = pieces - full * a_roll
    pairs = rest // levels
    left = rest - pairs * levels
    more = np.where(left == 0, 0.0, np.where(left <= uneven, 1.0, 2.0))
    rest_columns = 2.0 * pairs + more
    rest_length = np.where(rest > 0, diameter_m + (rest_columns - 1.0) * column_m, 0.0)
    length: FloatArray = full * (diameter_m + (columns - 1.0) * column_m) + rest_length
    return length


def mixed_rectangles(
    postures: tuple[Posture, ...], usable_m: float, low_m: float, spacing_m: float
) -> list[Lanes]:
    """Equal rectangles in upright lanes beside turned lanes, the densest mixes first.

    Parameters
    ----------
    postures
        The two ways in which the rectangle may lie; one alone has no mix.
    usable_m, low_m, spacing_m
        As for `grid`.
    """
    if len(postures) != 2:  # noqa: PLR2004 - a rectangle has two boxes
        return []
    one, two = postures
    most = rows_across(usable_m, one.across_m, spacing_m)
    counts = np.arange(1, most + 1)
    left = usable_m - counts * (one.across_m + spacing_m)
    others = np.floor((left + spacing_m) / (two.across_m + spacing_m) * (1.0 + SLACK))
    counts, others = counts[others > 0], others[others > 0]
    rate = counts / (one.along_m + spacing_m) + others / (two.along_m + spacing_m)
    mixes = []
    for best in np.argsort(-rate, kind="stable")[:_MIXES].tolist():
        first = _rows(one, int(counts[best]), low_m, spacing_m)
        after = low_m + counts[best] * (one.across_m + spacing_m)
        mixes.append(beside(first, _rows(two, int(others[best]), float(after), spacing_m)))
    return mixes
