"""Round wire as a closed surface of triangles, swept along its axis."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from meshcore.arrays import FloatArray

IndexArray = NDArray[np.uint32]


@dataclass(frozen=True, slots=True)
class WireSurface:
    """The closed surface of one wire.

    Parameters
    ----------
    points_m
        Corners, one a row [m]: x along the wire, y across it, z above mid-plane.
    triangles
        Rows of `points_m`, anticlockwise seen from outside, three a triangle.
    sides
        Corners of a section; the first and the last `sides` corners are the cut ends.
    """

    points_m: FloatArray
    triangles: IndexArray
    sides: int

    @property
    def volume_m3(self) -> float:
        """Volume enclosed [m³], by the divergence theorem over the triangles."""
        one, two, three = np.swapaxes(self.points_m[self.triangles], 0, 1)
        return float(np.einsum("ij,ij->", one, np.cross(two, three))) / 6.0


def swept(x: FloatArray, z: FloatArray, wire_diameter_m: float, sides: int) -> WireSurface:
    """Sweep a round section along an axis in the plane y = 0.

    Parameters
    ----------
    x, z
        Points of the axis in order [m].
    wire_diameter_m
        [m]
    sides
        Corners of the section [-]; 4 or a multiple of it, so that flats lie above and below.

    Returns
    -------
    A closed surface of ``2·sides·len(x) - 4`` triangles.

    Raises
    ------
    ValueError
        If `sides` is no multiple of 4, or the axis has fewer than two points.

    Notes
    -----
    The section is a regular polygon of the circle's own area, and each joint of the axis is a
    mitre, so the volume is exactly section × length of the axis as it is given: only the chords of
    its arcs are short. The flats of the polygon lie within the circle where wires touch above and
    below, and its corners stand out of it by ``√(2π/(n·sin(2π/n))) - 1``: 0.3 % of the radius for
    32 sides.

    Examples
    --------
    >>> straight = swept(np.array([0.0, 2.0]), np.zeros(2), 1.0, 32)
    >>> round(straight.volume_m3, 12) == round(np.pi / 4 * 2.0, 12)
    True
    """
    if sides < _FLATS or sides % _FLATS:
        raise ValueError(f"sides must be {_FLATS} or a multiple of it, got {sides}")
    if len(x) < _ENDS:
        raise ValueError(f"an axis has two points or more, got {len(x)}")
    radius = 0.5 * wire_diameter_m * area_radius(sides)
    angles = (np.arange(sides) + 0.5) * 2.0 * np.pi / sides
    across, up = radius * np.cos(angles), radius * np.sin(angles)
    normal_x, normal_z = _mitres(x, z)
    points = np.empty((len(x), sides, 3))
    points[:, :, 0] = x[:, None] + normal_x[:, None] * up
    points[:, :, 1] = across
    points[:, :, 2] = z[:, None] + normal_z[:, None] * up
    return WireSurface(points.reshape(-1, 3), _closed(len(x), sides), sides)


#: Flats of a section that must lie above, below and on both sides; ends of an axis.
_FLATS, _ENDS = 4, 2


def area_radius(sides: int) -> float:
    """Radius of a polygon's corners that gives it the area of the unit circle [-].

    Examples
    --------
    >>> round(area_radius(32), 5)
    1.00322
    """
    return float(np.sqrt(2.0 * np.pi / (sides * np.sin(2.0 * np.pi / sides))))


def _mitres(x: FloatArray, z: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Direction of the section's upper side at each point, longer by 1/cos of half the bend."""
    along = np.stack([np.diff(x), np.diff(z)])
    along /= np.hypot(*along)
    before, after = along[:, [0, *range(along.shape[1])]], along[:, [*range(along.shape[1]), -1]]
    middle = before + after
    middle /= np.hypot(*middle)
    stretch = 1.0 / np.einsum("ij,ij->j", middle, after)
    return -middle[1] * stretch, middle[0] * stretch


def _closed(rings: int, sides: int) -> IndexArray:
    """Triangles of the mantle between rings of corners, and of both ends."""
    here = np.arange(sides)
    onward = (here + 1) % sides
    first = (np.arange(rings - 1) * sides)[:, None]
    a, b, c, d = first + here, first + onward, first + sides + here, first + sides + onward
    mantle = np.stack([a, b, c, b, d, c], axis=-1).reshape(-1, 3)
    fan = np.arange(1, sides - 1)
    start = np.stack([np.zeros_like(fan), fan + 1, fan], axis=-1)
    stop = np.stack([np.zeros_like(fan), fan, fan + 1], axis=-1) + (rings - 1) * sides
    return np.concatenate([mantle, start, stop]).astype(np.uint32)
