"""Proof of a nest: every piece inside the cloth, and none in another, arcs as dense polygons.

A piece may lie in the hole of another, the spacing from its edge.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.supply.nesting.parts import Cloth, Placements
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.nesting.postures import boxes
from meshcore.supply.shapes.outlines import Shape

if TYPE_CHECKING:
    from shapely import Geometry

#: What a nest may be off [m].
ALLOWED_M = 1e-6
#: Distance between arcs and the polygons that stand in for them [m].
_ARC_M = 1e-7
#: Offsets of two pieces that are alike to this many decimals [m] need one look only.
_DECIMALS = 9
#: Least distance that tells apart from overlapping [m].
_APART_M = 1e-12


def faults(plan: NestPlan) -> list[str]:
    """Say what is wrong with a plan; nothing where it is sound.

    Every outline must lie between the trimmed edges and within its length of cloth, pieces must
    keep the spacing, and each shape must be there as often as it was ordered; sizes to
    ``ALLOWED_M``.
    """
    wrong: list[str] = []
    for number, cloth in enumerate(plan.cloths, start=1):
        outside = _outside(plan, cloth)
        near = _too_near(plan, cloth.placements)
        wrong += [f"cloth {number}: {n} outside the cloth" for n in outside]
        wrong += [f"cloth {number}: pieces {a} and {b} too near" for a, b in near]
        if cloth.length_m > plan.terms.max_length_m + ALLOWED_M:
            wrong.append(f"cloth {number}: longer than a roll")
    laid = np.zeros(len(plan.order.quantity), dtype=np.int64)
    for cloth in plan.cloths:
        laid += cloth.repeats * np.bincount(cloth.placements.shape, minlength=len(laid))
    wrong += [
        f"shape {n + 1}: {have} laid, {wanted} ordered"
        for n, (have, wanted) in enumerate(
            zip(laid.tolist(), plan.order.quantity.tolist(), strict=True)
        )
        if have != wanted
    ]
    return wrong


def _outside(plan: NestPlan, cloth: Cloth) -> list[int]:
    """Pieces that are not inside the cloth; boxes are exact, arcs as arcs."""
    box = plan.boxes(cloth)
    low, high = plan.terms.edge_trim_m, plan.width_m - plan.terms.edge_trim_m
    wrong = (
        (box[:, 0] < -ALLOWED_M)
        | (box[:, 1] < low - ALLOWED_M)
        | (box[:, 2] > cloth.length_m + ALLOWED_M)
        | (box[:, 3] > high + ALLOWED_M)
        | ~np.isfinite(box).all(axis=1)
    )
    return [int(n) for n in np.flatnonzero(wrong)]


def _too_near(plan: NestPlan, placed: Placements) -> list[tuple[int, int]]:
    """Pairs of pieces closer than the spacing.

    Each outline is drawn in by half of what it may be off; pieces then keep the spacing exactly
    when they kept it, short of that, before. Alike pairs are looked at once.
    """
    import shapely  # noqa: PLC0415 - heavy

    first, second = _neighbours(plan, placed)
    if not len(first):
        return []
    offset = np.column_stack(
        [placed.x_m[second] - placed.x_m[first], placed.y_m[second] - placed.y_m[first]]
    )
    keys = np.column_stack(
        [
            placed.shape[first],
            placed.turn_rad[first],
            placed.shape[second],
            placed.turn_rad[second],
            np.round(offset, _DECIMALS),
        ]
    )
    _, looked_at, alike = np.unique(keys, axis=0, return_index=True, return_inverse=True)
    shapes = plan.order.shapes
    one = [_drawn_in(shapes[placed.shape[i]], float(placed.turn_rad[i])) for i in first[looked_at]]
    two = [
        shapely.transform(
            _drawn_in(shapes[placed.shape[j]], float(placed.turn_rad[j])), _shift(offset[k])
        )
        for k, j in zip(looked_at, second[looked_at], strict=True)
    ]
    shapely.prepare(one)
    near = ~_keep(one, two, max(plan.terms.spacing_m, _APART_M))
    wrong = np.flatnonzero(near[alike.reshape(-1)])
    return [(int(first[w]), int(second[w])) for w in wrong]


def _keep(one: list[Geometry], two: list[Geometry], spacing_m: float) -> BoolArray:
    import shapely  # noqa: PLC0415 - heavy

    return np.asarray(~shapely.dwithin(one, two, spacing_m * (1.0 - _APART_M)), dtype=np.bool_)


def _shift(offset: FloatArray) -> Callable[[FloatArray], FloatArray]:
    def moved(points: FloatArray) -> FloatArray:
        return points + offset

    return moved


@lru_cache(maxsize=512)
def _drawn_in(shape: Shape, turn_rad: float) -> Geometry:
    from shapely import Polygon  # noqa: PLC0415 - heavy

    outline = shape.outline.placed(turn_rad, (0.0, 0.0)).points(_ARC_M, side="outside")
    holes = [hole.placed(turn_rad, (0.0, 0.0)).points(_ARC_M) for hole in shape.holes]
    return Polygon(outline, holes).buffer(-ALLOWED_M / 2, join_style="mitre")


def _neighbours(plan: NestPlan, placed: Placements) -> tuple[IntArray, IntArray]:
    """Pairs of pieces whose boxes come closer than the spacing."""
    import shapely  # noqa: PLC0415 - heavy

    box = boxes(plan.order.shapes, placed.shape, placed.x_m, placed.y_m, placed.turn_rad)
    reach = plan.terms.spacing_m / 2
    upright = shapely.box(
        box[:, 0] - reach, box[:, 1] - reach, box[:, 2] + reach, box[:, 3] + reach
    )
    first, second = shapely.STRtree(upright).query(upright, predicate="intersects")
    once = first < second
    return first[once].astype(np.int64), second[once].astype(np.int64)
