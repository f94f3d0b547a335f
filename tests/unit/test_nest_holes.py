"""Discs and rings in the holes of rings, and panels in frames."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
import shapely

from meshcore.supply.nesting.check import faults
from meshcore.supply.nesting.holes import may_lie_in_holes
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape

TERMS = NestTerms((1.2,), 0.005, 0.002, 30.0)
RING = "ring: outer 300 mm, inner 200 mm"


def order_of(*lines: tuple[str, int]) -> NestOrder:
    shapes = [read_shape("", text) for text, _ in lines]
    assert all(isinstance(shape, Shape) for shape in shapes)
    return NestOrder(
        tuple(s for s in shapes if isinstance(s, Shape)), np.array([n for _, n in lines])
    )


def planned(*lines: tuple[str, int]) -> NestPlan:
    plan = nest(order_of(*lines), TERMS, seconds=0)
    assert isinstance(plan, NestPlan)
    assert faults(plan) == []
    assert plan.length_m >= plan.bound_m
    return plan


def test_discs_that_fit_the_holes_of_rings_take_no_cloth() -> None:
    rings = planned((RING, 20))
    both = planned((RING, 20), ("disc: diameter 190 mm", 20))
    assert both.length_m == pytest.approx(rings.length_m)
    assert "nest.in_holes" in [note.code for note in both.notes]


def test_a_disc_larger_than_the_hole_less_the_spacing_lies_beside() -> None:
    """200 mm less 2 mm all round leaves 196 mm."""
    rings = planned((RING, 4)).length_m
    assert planned((RING, 4), ("disc: diameter 195.9 mm", 4)).length_m == pytest.approx(rings)
    assert planned((RING, 4), ("disc: diameter 196.1 mm", 4)).length_m > rings + 0.1


def test_rings_in_rings_with_discs_in_them() -> None:
    outer = planned((RING, 5))
    nested = planned(
        (RING, 5), ("ring: outer 180 mm, inner 100 mm", 5), ("disc: diameter 90 mm", 7)
    )
    # Five discs lie in the inner rings; two are left.
    assert outer.length_m <= nested.length_m < outer.length_m + 0.1
    laid = [c.repeats * np.bincount(c.placements.shape, minlength=3) for c in nested.cloths]
    assert np.sum(laid, axis=0).tolist() == [5, 5, 7]


def test_rectangles_lie_in_rings_by_their_corners() -> None:
    """A square fits a circle by its diagonal: 138 mm have one of 195.2 mm, 139 mm of 196.6 mm."""
    rings = planned((RING, 6)).length_m
    assert planned((RING, 6), ("138 x 138 mm", 6)).length_m == pytest.approx(rings)
    assert planned((RING, 6), ("139 x 139 mm", 6)).length_m > rings


def test_pieces_keep_the_spacing_by_another_library() -> None:
    """Against distances between shapely polygons with holes."""
    plan = planned((RING, 7), ("ring: outer 190 mm, inner 120 mm", 4), ("100 x 40 mm", 9))
    for cloth in plan.cloths:
        p = cloth.placements
        drawn = []
        for s, x, y, t in zip(p.shape, p.x_m, p.y_m, p.turn_rad, strict=True):
            shape = plan.order.shapes[s]
            lines = [c.placed(t, (x, y)).points(1e-6) for c in (shape.outline, *shape.holes)]
            drawn.append(shapely.Polygon(lines[0], lines[1:]))
        for one, two in itertools.combinations(drawn, 2):
            assert one.distance(two) >= 0.002 - 5e-6


def test_the_bound_counts_on_holes_only_where_a_piece_might_lie_in_one() -> None:
    ring, small, large = order_of((RING, 1), ("disc: diameter 100 mm", 1),
                                  ("disc: diameter 250 mm", 1)).shapes  # fmt: skip
    assert may_lie_in_holes((ring, small))
    assert not may_lie_in_holes((ring, large))
    assert not may_lie_in_holes((small, large))
