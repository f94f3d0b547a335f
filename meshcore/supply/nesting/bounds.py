"""Lengths that no nest can do with less of."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from meshcore.rounding import SLACK
from meshcore.supply.nesting.holes import may_lie_in_holes
from meshcore.supply.nesting.postures import Posture, fills_its_box, is_disc
from meshcore.supply.shapes.outlines import Shape

#: Steps of the usable width in which sums of rectangle sides are added up; each side is rounded
#: down to a step, which only loosens the bound.
_STEPS = 20_000


def length_bound(
    shapes: Sequence[Shape],
    quantity: Sequence[int],
    postures: Sequence[tuple[Posture, ...]],
    usable_m: float,
    spacing_m: float,
) -> float:
    """Length that pieces need at least on one strip of cloth [m].

    Parameters
    ----------
    shapes, quantity, postures
        Shapes, how many of each, and the ways in which each may lie on this width.
    usable_m
        Usable width [m].
    spacing_m
        Least distance between pieces [m].

    Notes
    -----
    The area of the cloth in the pieces alone, where some might lie in the holes of others; else the
    greatest of these:

    - the shortest box of each shape;
    - area: pieces widened by half the spacing do not overlap in the strip widened likewise. By
      Brunn and Minkowski a piece of area A so gains at least 2·√(πA)·r + π·r² (r half the
      spacing);
    - for equal discs, Oler's inequality: in a convex region of area A and perimeter P lie at most
      2·A/(√3·p²) + P/(2·p) + 1 points p apart;
    - for rectangles, the greatest sum of sides that fits across in place of the usable width.

    References
    ----------
    .. [1] N. Oler, An inequality in the geometry of numbers, Acta Mathematica 105, 1961 (from
       memory).
    """
    shortest = [min(p.along_m for p in ways) for ways in postures]
    if may_lie_in_holes(shapes):
        net = math.fsum(s.area_m2 * n for s, n in zip(shapes, quantity, strict=True))
        return max(*shortest, net / usable_m)
    bounds = [max(shortest), _by_area(shapes, quantity, usable_m, spacing_m)]
    if len(shapes) == 1 and is_disc(shapes[0]):
        bounds.append(_by_oler(shapes[0].width_m, quantity[0], usable_m, spacing_m))
    rectangular = all(
        all(fills_its_box(p, s) for p in ways) for s, ways in zip(shapes, postures, strict=True)
    )
    if rectangular:
        bounds.append(_by_sides(quantity, postures, usable_m, spacing_m))
    return max(bounds)


def _by_area(
    shapes: Sequence[Shape], quantity: Sequence[int], usable_m: float, spacing_m: float
) -> float:
    reach = spacing_m / 2
    widened = 0.0
    for shape, count in zip(shapes, quantity, strict=True):
        area = shape.outline.area
        gain = 2.0 * math.sqrt(math.pi * area) * reach + math.pi * reach**2
        widened += count * (area + gain)
    return widened / (usable_m + spacing_m) - spacing_m


def _by_oler(diameter_m: float, count: int, usable_m: float, spacing_m: float) -> float:
    pitch = diameter_m + spacing_m
    room = usable_m - diameter_m
    # Centres lie in a rectangle of `room` by x: solve the inequality for x.
    per_length = 2.0 * room / (math.sqrt(3.0) * pitch**2) + 1.0 / pitch
    return (count - 1.0 - room / pitch) / per_length + diameter_m


def _by_sides(
    quantity: Sequence[int],
    postures: Sequence[tuple[Posture, ...]],
    usable_m: float,
    spacing_m: float,
) -> float:
    """Bound by what any line across the cloth can cut of rectangles."""
    width = usable_m + spacing_m
    sides = {p.across_m + spacing_m for ways in postures for p in ways}
    across = _largest_sum(sides, width)
    area = math.fsum(
        count * (ways[0].along_m + spacing_m) * (ways[0].across_m + spacing_m)
        for count, ways in zip(quantity, postures, strict=True)
    )
    bound = area / across - spacing_m
    along = {round(p.along_m, 9) for ways in postures for p in ways}
    if len(along) == 1 and len(quantity) == 1:
        # All lie one way: no lane holds a part of a piece.
        lanes = math.floor(width / next(iter(sides)) * (1.0 + SLACK))
        step = postures[0][0].along_m + spacing_m
        bound = max(bound, math.ceil(quantity[0] / lanes) * step - spacing_m)
    return bound


def _largest_sum(sides: set[float], width_m: float) -> float:
    """Upper bound of the greatest sum of `sides`, repeats allowed, within a width [m]."""
    step = width_m / _STEPS
    reachable = np.zeros(_STEPS + 1, dtype=np.bool_)
    reachable[0] = True
    units = sorted({max(1, math.floor(side / step * (1.0 - SLACK))) for side in sides})
    for unit in units:
        # Doubling reaches every number of repeats.
        shift = unit
        while shift <= _STEPS:
            reachable[shift:] |= reachable[:-shift].copy()
            shift *= 2
    best = int(np.flatnonzero(reachable).max())
    most = math.floor(width_m / min(sides) * (1.0 + SLACK))
    return min(width_m, (best + most) * step)
