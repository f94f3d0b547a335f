"""How near the axes of crossing wires come to one another: never nearer than one wire."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.laying import WIRE_SETS, laid_wire, sampled

#: Angle of an arc between the points that are compared [rad]: a crossing's own point is among them,
#: and away from it a point is off the nearest one by at most chord²/8 of the wire, 2·10⁻⁵.
CHORD_RAD = np.radians(0.7)


def least_axis_distance(
    weave: IntArray, wire_diameter_m: FloatArray, pitch_m: FloatArray
) -> FloatArray:
    """Least distance between the axis of a warp wire and that of a shute wire, of each line.

    Parameters
    ----------
    weave
        Index into ``WEAVES``, one a line.
    wire_diameter_m, pitch_m
        Sizes [m], one a line.

    Returns
    -------
    Distance [m], one a line. Wires that touch are one wire diameter apart; those that ran into one
    another would be nearer. Wires of one set are a pitch apart or more.

    Raises
    ------
    ValueError
        If a line has no such path, as `meshcore.weave.geometry.centreline.centreline` says.

    Notes
    -----
    Where both bend round one another, with arcs of radius d through angles α and β from their
    crossing, the distance is d·√(1 + 2(1 - cos α)(1 - cos β)): one wire at the crossing, and more
    everywhere else.

    Examples
    --------
    >>> float(least_axis_distance(np.array([0]), np.array([0.5]), np.array([2.0])).round(6)[0])
    0.5
    """
    sizes = zip(weave.tolist(), wire_diameter_m.tolist(), pitch_m.tolist(), strict=True)
    return np.array([_least(code, wire, pitch) for code, wire, pitch in sizes])


def _least(weave: int, wire: float, pitch: float) -> float:
    repeat = len(interlacing(weave))
    warps, shutes = (
        [sampled(laid_wire(weave, one, n, repeat, wire, pitch), CHORD_RAD) for n in range(repeat)]
        for one in WIRE_SETS
    )
    return min(
        _at_crossing(_near(*warps[i], j * pitch, pitch), _near(*shutes[j], i * pitch, pitch))
        for i in range(repeat)
        for j in range(repeat)
    )


def _near(x: FloatArray, z: FloatArray, at: float, pitch: float) -> tuple[FloatArray, FloatArray]:
    """Points within half a pitch of a crossing, with it among them."""
    there = np.abs(x - at) <= 0.5 * pitch
    return np.append(x[there] - at, 0.0), np.append(z[there], np.interp(at, x, z))


def _at_crossing(
    warp: tuple[FloatArray, FloatArray], shute: tuple[FloatArray, FloatArray]
) -> float:
    """Least distance of two wires that cross at the origin, the one along y and the other along x.

    The square of it is y² + x² + (difference of heights)².
    """
    squares = (
        np.square(warp[0])[:, None]
        + np.square(shute[0])[None, :]
        + np.square(warp[1][:, None] - shute[1][None, :])
    )
    return float(np.sqrt(squares.min()))
