"""Places for the names of points in a picture, so that no two collide and none covers a point."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray

#: Free room between a point's mark and its name, and around each name [px].
_GAP, _CLEAR = 3.0, 1.0
#: How far beyond the gap a name may be moved [px]; the first keeps it beside its point.
_REACHES = np.array([0.0, *np.arange(8.0, 200.0, 8.0)])
#: Where a name may stand as seen from its point, the most readable first [degrees, y downwards].
_DIRECTIONS = np.array(
    [0, 180, -30, 30, -150, 150, -60, 60, -120, 120, -90, 90, -15, 15, -165, 165,
     -45, 45, -135, 135, -75, 75, -105, 105],
    dtype=np.float64,
)  # fmt: skip
#: Leaders are looked at in lots of this many, the shortest first: most names need but one.
_LOT = 24


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
        Half the size of the mark at each point [px]; no name covers a mark.
    rank
        Importance of each name, shape (n,): a lower rank is placed earlier.

    Returns
    -------
    The places; the same for the same input. A name that finds no room is left out and reported as
    not placed: give more room, or say elsewhere what it is.

    Notes
    -----
    Candidates lie on rings around the point. One is taken if it stays in bounds and clear of all
    marks, names and leaders placed before, and its own leader is clear of them too. Names that find
    no such place are tried once more, and their leaders may then cross marks and other leaders,
    though never a name. Marks that overlap a point's own mark do not hinder its leader.

    Examples
    --------
    >>> two = np.array([[50.0, 50.0], [52.0, 51.0]])
    >>> placed = place_labels(two, np.full((2, 2), 20.0), (0, 0, 200, 100), 4.0, np.zeros(2))
    >>> placed.is_placed.tolist()
    [True, True]
    """
    marks = np.hstack([points - mark_radius, points + mark_radius])
    boxes, leaders = np.full((len(points), 4), np.nan), np.full((len(points), 4), np.nan)
    offsets = _offsets(mark_radius)
    order = np.lexsort((points[:, 0], points[:, 1], rank))
    for may_cross in (False, True):
        for own in order[np.isnan(boxes[order, 0])]:
            candidates, lines, is_moved = _candidates(points[own], sizes[own], offsets)
            named, led = boxes[~np.isnan(boxes[:, 0])], leaders[~np.isnan(leaders[:, 0])]
            has_room = _within(candidates, bounds)
            has_room &= ~_overlap(candidates, np.vstack([marks, named])).any(axis=1)
            others = marks[~_overlap(marks[own : own + 1], marks)[0]]
            left = np.flatnonzero(has_room)
            for lot in np.split(left, np.arange(_LOT, left.size, _LOT)):
                hindered = _crosses(lines[lot], named).any(axis=1)
                if not may_cross:
                    hindered |= _crosses(lines[lot], others).any(axis=1)
                    hindered |= _meet(lines[lot], led).any(axis=1)
                covered = _crosses(led, candidates[lot]).any(axis=0)
                free = lot[~covered & ~(is_moved[lot] & hindered)]
                if free.size:
                    boxes[own] = candidates[free[0]]
                    leaders[own] = np.where(is_moved[free[0]], lines[free[0]], np.nan)
                    break
    return Placed(boxes, leaders)


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
