"""Places for the names of points in a picture, so that no two collide and none covers a point."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from meshcore.arrays import BoolArray, FloatArray

#: Free room between a point's mark and its name, and around each name [px].
_GAP, _CLEAR = 3.0, 1.0
#: How far beyond the gap a name may be moved [px]; the first keeps it beside its point.
_REACHES = np.array([0.0, *np.arange(8.0, 200.0, 8.0)])
#: Where names hem each other in, all within this of the one left out are moved out by a step [px],
#: at most this many times.
_CROWD, _STEP, _TIMES = 60.0, 16.0, 8
#: Where a name may stand as seen from its point, the most readable first [degrees, y downwards].
_DIRECTIONS = np.array(
    [0, 180, -30, 30, -150, 150, -60, 60, -120, 120, -90, 90, -15, 15, -165, 165,
     -45, 45, -135, 135, -75, 75, -105, 105],
    dtype=np.float64,
)  # fmt: skip
#: Candidates are tried in lots, the nearest first: most names find a place in the first.
_LOTS = np.cumsum([0, 1, 3, 8, len(_REACHES) - 12]) * len(_DIRECTIONS)


@dataclass(frozen=True, slots=True)
class Placed:
    """Where names stand.

    Parameters
    ----------
    boxes
        Left, top, right and bottom of each name, shape (n, 4) [px]; NaN where there was no room.
    leaders
        From each point to its name, x1, y1, x2, y2, shape (n, 4) [px]; NaN where the name stands
        beside its point, which needs no line.
    """

    boxes: FloatArray
    leaders: FloatArray

    @property
    def is_placed(self) -> BoolArray:
        """Whether there was room for each name."""
        return ~np.isnan(self.boxes[:, 0])


def place_labels(
    points: FloatArray,
    sizes: FloatArray,
    bounds: tuple[float, float, float, float],
    mark_radius: float,
    rank: FloatArray,
) -> Placed:
    """Place a name near each point: greedily, the most important first, each at its nearest place.

    Parameters
    ----------
    points
        x and y of the points, y downwards, shape (n, 2) [px].
    sizes
        Width and height of the names, shape (n, 2) [px].
    bounds
        Left, top, right and bottom of the room for names [px].
    mark_radius
        Half the size of the mark at each point [px]; no name or leader covers another's mark.
    rank
        Importance of each name, shape (n,): a lower rank is placed earlier.

    Returns
    -------
    The places; the same for the same input. A name that finds no room is left out and reported as
    not placed: give more room, or say elsewhere what it is.

    Notes
    -----
    Candidates lie on rings around the point. One is taken if it stays in bounds and clear of all
    marks, names and leaders placed before, and its own leader is clear of them too. Marks that
    overlap a point's own mark cannot be avoided by its leader and do not hinder it.

    Examples
    --------
    >>> two = np.array([[50.0, 50.0], [52.0, 51.0]])
    >>> placed = place_labels(two, np.full((2, 2), 20.0), (0, 0, 200, 100), 4.0, np.zeros(2))
    >>> placed.is_placed.tolist()
    [True, True]
    """
    least = np.zeros(len(points))
    best = placed = _place(points, sizes, bounds, mark_radius, rank, least)
    for _ in range(_TIMES):
        if placed.is_placed.all():
            break
        apart = np.abs(points[:, None, :] - points[None, ~placed.is_placed, :]).max(axis=2)
        least = least + np.where((apart < _CROWD).any(axis=1), _STEP, 0.0)
        placed = _place(points, sizes, bounds, mark_radius, rank, least)
        if placed.is_placed.sum() > best.is_placed.sum():
            best = placed
    return best


def _place(
    points: FloatArray,
    sizes: FloatArray,
    bounds: tuple[float, float, float, float],
    mark_radius: float,
    rank: FloatArray,
    least_reach: FloatArray,
) -> Placed:
    count = len(points)
    drawn = _Drawn(np.hstack([points - mark_radius, points + mark_radius]), bounds)
    boxes, leaders = np.full((count, 4), np.nan), np.full((count, 4), np.nan)
    offsets = _offsets(mark_radius)
    for own in np.lexsort((points[:, 0], points[:, 1], rank)):
        tried = offsets[offsets[:, 3] >= least_reach[own]]
        for first, last in pairwise(_LOTS):
            candidates, lines, is_moved = _candidates(points[own], sizes[own], tried[first:last])
            free = np.flatnonzero(_is_free(candidates, lines, is_moved, own, boxes, leaders, drawn))
            if free.size:
                boxes[own] = candidates[free[0]]
                leaders[own] = np.where(is_moved[free[0]], lines[free[0]], np.nan)
                break
    return Placed(boxes, leaders)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """What is drawn before any name: the marks, as boxes, and the room."""

    marks: FloatArray
    bounds: tuple[float, float, float, float]


def _is_free(
    candidates: FloatArray,
    lines: FloatArray,
    is_moved: BoolArray,
    own: int,
    boxes: FloatArray,
    leaders: FloatArray,
    drawn: _Drawn,
) -> BoolArray:
    """Whether each candidate for one name, and its leader, is clear of all that stands."""
    named, led = boxes[~np.isnan(boxes[:, 0])], leaders[~np.isnan(leaders[:, 0])]
    others = drawn.marks[~_overlap(drawn.marks[own : own + 1], drawn.marks)[0]]
    obstacles = np.vstack([named, others])
    hindered = _crosses(lines, obstacles).any(axis=1) | _meet(lines, led).any(axis=1)
    return np.asarray(
        _within(candidates, drawn.bounds)
        & ~_overlap(candidates, np.vstack([drawn.marks, named])).any(axis=1)
        & ~_crosses(led, candidates).any(axis=0)
        & ~(is_moved & hindered)
    )


def _offsets(mark_radius: float) -> FloatArray:
    """Return direction (x, y) and distance of every candidate, the nearest first."""
    angle = np.deg2rad(_DIRECTIONS)
    unit = np.column_stack([np.cos(angle), np.sin(angle)]).round(9)
    reach = np.repeat(_REACHES, len(unit))
    distance = mark_radius + _GAP + reach
    return np.column_stack([np.tile(unit, (len(_REACHES), 1)), distance, reach])


def _candidates(
    point: FloatArray, size: FloatArray, offsets: FloatArray
) -> tuple[FloatArray, FloatArray, BoolArray]:
    """Return boxes around one point, the leader to each, and whether it needs one."""
    unit, distance, reach = offsets[:, :2], offsets[:, 2:3], offsets[:, 3]
    centre = point + unit * (distance + size / 2)
    boxes = np.hstack([centre - size / 2, centre + size / 2])
    nearest = np.clip(point, boxes[:, :2], boxes[:, 2:])
    return boxes, np.hstack([np.broadcast_to(point, nearest.shape), nearest]), reach > 0.0


def _within(boxes: FloatArray, bounds: tuple[float, float, float, float]) -> BoolArray:
    left, top, right, bottom = bounds
    return np.asarray(
        (boxes[:, 0] >= left)
        & (boxes[:, 1] >= top)
        & (boxes[:, 2] <= right)
        & (boxes[:, 3] <= bottom)
    )


def _overlap(first: FloatArray, second: FloatArray) -> BoolArray:
    """Whether boxes come closer than the clear room, each of `first` with each of `second`."""
    a, b = first[:, None, :], second[None, :, :]
    return np.asarray(
        (a[..., 0] < b[..., 2] + _CLEAR)
        & (b[..., 0] < a[..., 2] + _CLEAR)
        & (a[..., 1] < b[..., 3] + _CLEAR)
        & (b[..., 1] < a[..., 3] + _CLEAR)
    )


def _crosses(lines: FloatArray, boxes: FloatArray) -> BoolArray:
    """Whether lines pass through boxes: Liang and Barsky's clipping (1984; from memory)."""
    start, way = lines[:, None, :2], (lines[:, 2:] - lines[:, :2])[:, None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        low = (boxes[None, :, :2] - start) / way
        high = (boxes[None, :, 2:] - start) / way
    still = way == 0.0
    inside = (start > boxes[None, :, :2]) & (start < boxes[None, :, 2:])
    enter = np.where(still, np.where(inside, -np.inf, np.inf), np.minimum(low, high))
    leave = np.where(still, np.where(inside, np.inf, -np.inf), np.maximum(low, high))
    first, last = enter.max(axis=2), leave.min(axis=2)
    return np.asarray(np.maximum(first, 0.0) < np.minimum(last, 1.0))


def _meet(first: FloatArray, second: FloatArray) -> BoolArray:
    """Whether lines cross, each of `first` with each of `second`."""
    a, b = first[:, None, :], second[None, :, :]

    def side(line: FloatArray, x: FloatArray, y: FloatArray) -> FloatArray:
        return np.asarray(
            (line[..., 2] - line[..., 0]) * (y - line[..., 1])
            - (line[..., 3] - line[..., 1]) * (x - line[..., 0])
        )

    parted = side(a, b[..., 0], b[..., 1]) * side(a, b[..., 2], b[..., 3])
    crossed = side(b, a[..., 0], a[..., 1]) * side(b, a[..., 2], a[..., 3])
    return np.asarray((parted < 0.0) & (crossed < 0.0))
