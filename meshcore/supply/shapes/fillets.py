"""Polygons with rounded corners."""

from __future__ import annotations

import math
from collections.abc import Sequence

from meshcore.supply.shapes.outlines import Contour, Corner, Point

#: A straight edge shorter than this [m] is rounding of the arithmetic, not an edge.
_STUB = 1e-12
#: Fillets may overrun an edge by this share of it [-], which is rounding of the arithmetic.
_OVERRUN = 1e-12


def filleted(points: Sequence[Point], radii: Sequence[float]) -> Contour | int:
    """Polygon with a rounded corner at each point.

    Parameters
    ----------
    points
        Corners before rounding [m].
    radii
        Radius at each corner [m]; 0 leaves it sharp.

    Returns
    -------
    The contour, or the number of the edge that is too short for the radii at its ends.

    Examples
    --------
    >>> round(filleted([(0, 0), (4, 0), (4, 4), (0, 4)], [1, 1, 1, 1]).area - 12, 9)
    3.141592654
    >>> filleted([(0, 0), (4, 0), (4, 4), (0, 4)], [3, 3, 0, 0])
    0
    """
    count = len(points)
    turns = [_turn_at(points[i - 1], points[i], points[(i + 1) % count]) for i in range(count)]
    trims = [r * abs(math.tan(t / 2)) for r, t in zip(radii, turns, strict=True)]
    corners: list[Corner] = []
    for i, (x, y) in enumerate(points):
        edge = math.dist(points[i], points[(i + 1) % count])
        if trims[i] + trims[(i + 1) % count] > edge * (1.0 + _OVERRUN):
            return i
        if trims[i] == 0.0:
            corners.append((x, y, 0.0))
            continue
        start = _toward((x, y), points[i - 1], trims[i])
        end = _toward((x, y), points[(i + 1) % count], trims[i])
        corners += [(*start, math.tan(turns[i] / 4)), (*end, 0.0)]
    return Contour(_without_stubs(corners))


def _without_stubs(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    """Drop straight edges of no length, as between two fillets that meet."""
    following = (*corners[1:], corners[0])
    return tuple(
        a
        for a, b in zip(corners, following, strict=True)
        if a[2] or math.hypot(b[0] - a[0], b[1] - a[1]) > _STUB
    )


def _turn_at(before: Point, here: Point, after: Point) -> float:
    """Angle by which a path turns at `here` [rad]; anticlockwise is positive."""
    ax, ay, bx, by = (
        here[0] - before[0],
        here[1] - before[1],
        after[0] - here[0],
        after[1] - here[1],
    )
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _toward(here: Point, there: Point, distance: float) -> Point:
    share = distance / math.dist(here, there)
    return here[0] + share * (there[0] - here[0]), here[1] + share * (there[1] - here[1])
