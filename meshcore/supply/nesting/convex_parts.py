"""Pieces as convex polygons, and how far two of these are apart."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.supply.shapes.outlines import Shape, turn_matrix

if TYPE_CHECKING:
    from shapely import Geometry

#: Distance between arcs and the polygons round them [m]: less than any cutter sees.
_ARC_M = 1e-5
#: Share of its hull that an outline fills at least where it counts as convex [-].
_CONVEX = 1.0 - 1e-9
#: Parts whose turn is no more to the right than this still count as convex [-].
_STRAIGHT = 1e-12


@lru_cache(maxsize=4096)
def convex_parts(shape: Shape, turn_rad: float) -> tuple[FloatArray, ...]:
    """Convex polygons that together cover a shape in a turn, unshifted; one corner a row [m]."""
    cos, sin = turn_matrix(turn_rad)
    turned = np.array([[cos, sin], [-sin, cos]])
    return tuple(part @ turned for part in _unturned(shape))


@lru_cache(maxsize=1024)
def _unturned(shape: Shape) -> tuple[FloatArray, ...]:
    import shapely  # noqa: PLC0415 - heavy

    outline = shapely.Polygon(shape.outline.points(_ARC_M, side="outside"))
    hull = outline.convex_hull
    if outline.area >= hull.area * _CONVEX:
        return (_anticlockwise(hull),)
    corners: dict[tuple[float, float], int] = {}
    parts = []
    for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(outline)):
        ring = _anticlockwise(triangle)
        parts.append([corners.setdefault((x, y), len(corners)) for x, y in ring.tolist()])
    places = np.array(list(corners))
    return tuple(places[part] for part in _merged(parts, places))


def _anticlockwise(polygon: Geometry) -> FloatArray:
    import shapely  # noqa: PLC0415 - heavy

    ring: FloatArray = shapely.get_coordinates(shapely.orient_polygons(polygon))[:-1]
    return ring


def _merged(parts: list[list[int]], places: FloatArray) -> list[list[int]]:
    """Take away the sides between parts that stay convex without them.

    References
    ----------
    .. [1] S. Hertel, K. Mehlhorn, Fast triangulation of simple polygons, 1983 (from memory).
    """
    owner: dict[tuple[int, int], int] = {}
    for number, part in enumerate(parts):
        owner |= dict.fromkeys(_sides(part), number)
    whole: list[list[int] | None] = list(parts)
    for a, b in [side for side in owner if side[0] < side[1] and side[::-1] in owner]:
        one, two = owner[a, b], owner[b, a]
        first, second = whole[one], whole[two]
        if one == two or first is None or second is None:
            continue
        joined = _from(first, b)[:-1] + _from(second, a)[:-1]
        if _is_convex(places[joined]):
            whole[one], whole[two] = joined, None
            owner |= dict.fromkeys(_sides(joined), one)
    return [part for part in whole if part is not None]


def _sides(part: list[int]) -> list[tuple[int, int]]:
    return list(zip(part, [*part[1:], part[0]], strict=True))


def _from(part: list[int], corner: int) -> list[int]:
    """Corners of a part from one of them on."""
    at = part.index(corner)
    return part[at:] + part[:at]


def _is_convex(ring: FloatArray) -> bool:
    ahead = np.roll(ring, -1, axis=0) - ring
    after = np.roll(ahead, -1, axis=0)
    turns = ahead[:, 0] * after[:, 1] - ahead[:, 1] * after[:, 0]
    return bool((turns >= -_STRAIGHT).all())


def apart(one: FloatArray, two: FloatArray) -> tuple[float, float, float]:
    """How far two convex polygons are apart along the line that parts them best.

    Parameters
    ----------
    one, two
        Corners, anticlockwise [m].

    Returns
    -------
    The distance [m], below zero where they overlap, and the direction from one to two (x, y).

    Examples
    --------
    >>> square = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    >>> distance, x, y = apart(square, square + [1.5, 0.2])
    >>> bool(np.allclose((distance, x, y), (0.5, 1.0, 0.0)))
    True
    """
    lines = np.concatenate([_outward(one), -_outward(two), _nearest(one, two)])
    gaps = (two @ lines.T).min(axis=0) - (one @ lines.T).max(axis=0)
    best = int(np.argmax(gaps))
    return float(gaps[best]), float(lines[best, 0]), float(lines[best, 1])


def _outward(ring: FloatArray) -> FloatArray:
    ahead = np.roll(ring, -1, axis=0) - ring
    normals = np.column_stack([ahead[:, 1], -ahead[:, 0]])
    lengths = np.hypot(normals[:, 0], normals[:, 1])
    outward: FloatArray = normals[lengths > 0] / lengths[lengths > 0, np.newaxis]
    return outward


def _nearest(one: FloatArray, two: FloatArray) -> FloatArray:
    """Direction between the corners that are nearest; none where they fall together."""
    steps = two[np.newaxis] - one[:, np.newaxis]
    squares = np.einsum("ijk,ijk->ij", steps, steps)
    step = steps.reshape(-1, 2)[int(np.argmin(squares))]
    length = float(np.hypot(*step))
    none: FloatArray = np.empty((0, 2))
    return step[np.newaxis] / length if length > 0 else none
