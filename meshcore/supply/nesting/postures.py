"""How a piece may lie: its turns on the cloth, and the upright box that it then fills."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.shapes.outlines import Bounds, Shape

QUARTER = math.pi / 2
#: Bias: halfway between warp and shute [rad].
BIAS = math.pi / 4
#: Decimals that tell the boxes of two turns apart [m].
_DECIMALS = 9


@dataclass(frozen=True, slots=True)
class Posture:
    """A shape laid in one turn.

    Parameters
    ----------
    turn_rad
        Turn about the origin, anticlockwise [rad].
    bounds
        Box of the turned outline before it is shifted [m].
    """

    turn_rad: float
    bounds: Bounds

    @property
    def along_m(self) -> float:
        """Length of the box along the cloth [m]."""
        return self.bounds[2] - self.bounds[0]

    @property
    def across_m(self) -> float:
        """Width of the box across the cloth [m]."""
        return self.bounds[3] - self.bounds[1]


@lru_cache(maxsize=4096)
def posture(shape: Shape, turn_rad: float) -> Posture:
    """Return a shape laid in a turn."""
    return Posture(turn_rad, shape.outline.placed(turn_rad, (0.0, 0.0)).bounds)


@lru_cache(maxsize=4096)
def postures_of(
    shape: Shape, turns: tuple[int, ...], bias_45: bool = False, warp_along_long_side: bool = False
) -> tuple[Posture, ...]:
    """Return the ways in which a shape may lie.

    Parameters
    ----------
    shape
        The shape; the warp runs along its width unless it is turned.
    turns
        Quarter turns allowed, of 0 to 3.
    bias_45
        Whether the cloth's wires run at 45° to the shape's sides.
    warp_along_long_side
        Whether the warp must run along the longer side of its box; a box of equal sides leaves
        the choice open.

    Examples
    --------
    >>> from meshcore.supply.shapes.outlines import rectangle
    >>> [round(p.along_m, 3) for p in postures_of(rectangle(0.2, 0.3), (0, 1, 2, 3), False, True)]
    [0.3, 0.3]
    """
    base = BIAS if bias_45 else 0.0
    quarters = [q % 4 for q in turns]
    if warp_along_long_side and abs(shape.width_m - shape.height_m) > SLACK * shape.width_m:
        # Only a half turn keeps the warp along the long side.
        upright = shape.height_m > shape.width_m
        quarters = sorted({upright + 2 * (q // 2) for q in quarters})
    if is_disc(shape):
        quarters = quarters[:1]
    return tuple(posture(shape, base + q * QUARTER) for q in quarters)


def boxes_apart(postures: tuple[Posture, ...]) -> tuple[Posture, ...]:
    """Return one posture for each different box."""
    by_box = {
        (round(p.along_m, _DECIMALS), round(p.across_m, _DECIMALS)): p for p in postures[::-1]
    }
    return tuple(by_box.values())[::-1]


def is_disc(shape: Shape) -> bool:
    """Tell whether the outline is a full circle: no other line encloses as much."""
    outline = shape.outline
    return 4.0 * math.pi * outline.area >= outline.length**2 * (1.0 - SLACK)


def fills_its_box(posture_: Posture, shape: Shape) -> bool:
    """Tell whether the outline is a rectangle with its sides along and across the cloth."""
    return shape.outline.area >= posture_.along_m * posture_.across_m * (1.0 - SLACK)


def boxes(
    shapes: tuple[Shape, ...],
    shape: IntArray,
    x_m: FloatArray,
    y_m: FloatArray,
    turn_rad: FloatArray,
) -> FloatArray:
    """Boxes of placed pieces, arcs as arcs: least x, least y, greatest x, greatest y [m]."""
    kinds, which = np.unique(np.column_stack([shape, turn_rad]), axis=0, return_inverse=True)
    bounds = np.array([posture(shapes[int(s)], float(t)).bounds for s, t in kinds])
    shift = np.column_stack([x_m, y_m, x_m, y_m])
    placed: FloatArray = bounds[which.reshape(-1)] + shift
    return placed
