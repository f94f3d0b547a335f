"""How close two outlines can be pushed along one axis."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.supply.nesting.postures import Posture
from meshcore.supply.shapes.outlines import Shape

#: Corners of a polygon round a shape lie on this grid [m], so that no edge is nearly level but
#: not quite: a tenth of what a finished nest is checked to.
GRID_M = 1e-7
#: Offset from a corner at which an edge is read, so that each side of a step is seen [m].
_ASIDE = 1e-12
#: Distance between arcs and the polygon around them, as a share of the shape's greater size [-].
_ARC_SHARE = 1e-3
#: Segments of a quarter turn where an outline is widened at a corner.
_CORNER_SEGMENTS = 12


@dataclass(frozen=True, slots=True)
class Profile:
    """Greatest and least reach of an outline along one axis, against the other axis.

    Parameters
    ----------
    at
        Places along the other axis [m], ascending; each inner one twice, for its two sides.
    most, least
        Reach there [m]; straight between places.
    """

    at: FloatArray
    most: FloatArray
    least: FloatArray


@lru_cache(maxsize=1024)
def widened(shape: Shape, posture: Posture, spacing_m: float) -> FloatArray:
    """Polygon around a shape in a posture, widened by half the spacing [m]; one corner a row.

    Two pieces whose widened polygons do not overlap keep the spacing.
    """
    from shapely import Polygon, get_coordinates  # noqa: PLC0415 - heavy

    outline = shape.outline.placed(posture.turn_rad, (0.0, 0.0))
    points = outline.points(_ARC_SHARE * max(shape.size_m), side="outside")
    # The widened corner's polygon must contain its arc. Its segments are rounded to a whole number,
    # so that one may be half as long again; and rounding to the grid must not bite.
    half_step = 1.5 * np.pi / 4 / _CORNER_SEGMENTS
    reach = (spacing_m / 2 + GRID_M) / np.cos(half_step)
    grown = Polygon(points).buffer(reach, quad_segs=_CORNER_SEGMENTS)
    corners = get_coordinates(grown.exterior)
    rounded: FloatArray = np.round(corners / GRID_M) * GRID_M
    return rounded


def profile(corners: FloatArray) -> Profile:
    """Profile of a closed polygon: reach along x against y.

    Examples
    --------
    >>> step = profile(np.array([[0, 0], [2, 0], [2, 1], [1, 1], [1, 2], [0, 2], [0, 0.0]]))
    >>> step.at.tolist(), step.most.tolist()
    ([0.0, 1.0, 1.0, 2.0], [2.0, 2.0, 1.0, 1.0])
    """
    x0, y0, x1, y1 = corners[:-1, 0], corners[:-1, 1], corners[1:, 0], corners[1:, 1]
    slanted = y0 != y1
    x0, y0, x1, y1 = x0[slanted], y0[slanted], x1[slanted], y1[slanted]
    at = np.unique(corners[:, 1])
    low, high = at[:-1, np.newaxis], at[1:, np.newaxis]
    slope = (x1 - x0) / (y1 - y0)
    inside = (np.minimum(y0, y1) <= low) & (np.maximum(y0, y1) >= high)
    from_low, to_high = x0 + (low - y0) * slope, x0 + (high - y0) * slope
    between = from_low + to_high
    right = np.argmax(np.where(inside, between, -np.inf), axis=1)
    left = np.argmin(np.where(inside, between, np.inf), axis=1)
    rows = np.arange(len(right))
    return Profile(
        np.column_stack([low[:, 0], high[:, 0]]).ravel(),
        np.column_stack([from_low[rows, right], to_high[rows, right]]).ravel(),
        np.column_stack([from_low[rows, left], to_high[rows, left]]).ravel(),
    )


def push(first: Profile, second: Profile, aside_m: FloatArray) -> FloatArray:
    """Least shift of `second` past `first` along their axis.

    Parameters
    ----------
    first, second
        Profiles.
    aside_m
        Shifts of `second` along the other axis [m].

    Returns
    -------
    Shift of `second` for each [m]; −inf where the two do not meet.

    Examples
    --------
    >>> step = profile(np.array([[0, 0], [2, 0], [2, 1], [1, 1], [1, 2], [0, 2], [0, 0.0]]))
    >>> push(step, step, np.array([0.0, 1.0, 3.0])).round(6).tolist()
    [2.0, 1.0, -inf]
    """
    aside = aside_m[:, np.newaxis]
    own = np.unique(first.at)
    other = np.unique(second.at)
    places = np.concatenate([np.broadcast_to(own, (len(aside_m), len(own))), other + aside], axis=1)
    places = np.concatenate([places - _ASIDE, places + _ASIDE], axis=1)
    begin = np.maximum(own[0], other[0] + aside)
    end = np.minimum(own[-1], other[-1] + aside)
    met = (places > begin) & (places < end) & (end - begin > GRID_M)
    reach = np.interp(places, first.at, first.most)
    behind = np.interp(places - aside, second.at, second.least)
    shift: FloatArray = np.where(met, reach - behind, -np.inf).max(axis=1)
    return shift
