"""Nests worked by hand in round numbers: parts on cloths, bounds, figures, what is left."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from meshcore.supply.nesting.bounds import length_bound
from meshcore.supply.nesting.cloths import cloths_of, lane_parts
from meshcore.supply.nesting.offcuts import free_rectangles
from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.patterns.closed_forms import mixed_rectangles, rows_across
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import grid_plan, nest, quick_nest
from meshcore.supply.nesting.postures import postures_of
from meshcore.supply.offcuts import KeepTerms, Offcut
from meshcore.supply.shapes.outlines import Shape, rectangle
from meshcore.supply.shapes.texts import read_shape

TERMS = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.1, max_length_m=10.0)
ZERO = np.zeros(1)
UPRIGHT, ALL_WAYS = (0, 2), (0, 1, 2, 3)


def part(length_m: float) -> FreePart:
    return FreePart(Placements(np.zeros(1, dtype=np.int64), ZERO, ZERO, ZERO), length_m)


def laid(*parts: tuple[float, int]) -> list[tuple[float, int, list[tuple[float, float]]]]:
    cloths = cloths_of([(part(length), count) for length, count in parts], TERMS)
    return [
        (
            round(cloth.length_m, 9),
            cloth.repeats,
            [(p.length_m, round(p.shift_m, 9)) for p in cloth.parts],
        )
        for cloth in cloths
    ]


def test_alike_parts_fill_cloths() -> None:
    """Three parts of 3 m, each with 0.1 m after it, lie on 10 m; the seventh is left over."""
    three = [(3.0, 0.0), (3.0, 3.1), (3.0, 6.2)]
    assert laid((3.0, 7)) == [(9.3, 2, three), (3.1, 1, [(3.0, 0.0)])]
    # Nothing needs to be kept free at the end of a roll.
    assert laid((10.0, 2)) == [(10.0, 2, [(10.0, 0.0)])]
    assert laid((4.95, 2)) == [(10.0, 1, [(4.95, 0.0), (4.95, 5.05)])]
    assert [length for length, *_ in laid((4.96, 2))] == [5.06]


def test_what_is_left_over_is_laid_together_the_longest_first() -> None:
    assert laid((1.5, 1), (4.5, 1), (3.0, 1), (4.9, 1), (4.0, 1)) == [
        (9.6, 1, [(4.9, 0.0), (4.5, 5.0)]),
        (8.8, 1, [(4.0, 0.0), (3.0, 4.1), (1.5, 7.2)]),
    ]
    assert laid((1.9, 1), (3.0, 1), (4.9, 1)) == [(10.0, 1, [(4.9, 0.0), (3.0, 5.0), (1.9, 8.1)])]
    assert len(laid((1.95, 1), (3.0, 1), (4.9, 1))) == 2


def test_lanes_are_parted_into_rolls() -> None:
    """Pieces of 0.9 m at a step of 1 m: ten of them end within 10 m in each of two lanes."""
    two = np.zeros(2)
    lanes = Lanes(two, np.array([0.0, 0.5]), two, two + 0.9, two + 1.0)
    assert lanes.counts(10.0).tolist() == [10, 10]
    assert lanes.counts(9.9).tolist() == [10, 10]
    assert lanes.counts(9.89).tolist() == [9, 9]
    parts = lane_parts(0, lanes, 45, TERMS)
    assert parts is not None
    counted = [(p.count, times) for p, times in parts if not isinstance(p, FreePart)]
    assert counted == [(20, 2), (5, 1)]
    assert [round(p.length_m, 9) for p, _ in parts] == [9.9, 2.9]
    whole = lane_parts(0, lanes, 40, TERMS)
    assert whole is not None
    assert [times for _, times in whole] == [2]
    assert lane_parts(0, lanes, 1, replace(TERMS, max_length_m=0.8)) is None
    assert [lanes.length_for(n) for n in (1, 2, 3, 20)] == pytest.approx([0.9, 0.9, 1.9, 9.9])
    x, y, _ = lanes.positions(3)
    assert (x.tolist(), y.tolist()) == ([0.0, 1.0, 0.0], [0.0, 0.0, 0.5])


def bound(
    shape: Shape, count: int, usable: float, spacing: float, turns: tuple[int, ...] = UPRIGHT
) -> float:
    return length_bound([shape], [count], [postures_of(shape, turns)], usable, spacing)


def test_bound_of_rectangles_that_all_lie_one_way() -> None:
    piece = rectangle(0.5, 0.2)
    assert bound(piece, 20, 1.0, 0.0) == pytest.approx(2.0)
    assert bound(piece, 21, 1.0, 0.0) == pytest.approx(2.5)
    # With 10 mm between them four lie across, five rows of 510 mm less the last spacing.
    assert bound(piece, 20, 1.0, 0.01) == pytest.approx(5 * 0.51 - 0.01)


def test_bound_of_rectangles_by_what_fits_across() -> None:
    """Sides of 0.6 and 0.45 m fill at most 0.9 m of 1 m, so 0.27 m² need 0.3 m each."""
    assert bound(rectangle(0.6, 0.45), 10, 1.0, 0.0, ALL_WAYS) == pytest.approx(3.0, rel=1e-3)
    assert bound(rectangle(0.6, 0.45), 10, 1.0, 0.0, ALL_WAYS) <= 3.0


def test_bound_by_area() -> None:
    """Any shape, widened by half the spacing r, covers at least A + 2·r·√(πA) + π·r²."""
    shape = read_shape("", "triangle: side a 300 mm, side b 400 mm, side c 500 mm")
    assert isinstance(shape, Shape)
    area, spacing = 0.06, 0.02
    widened = (math.sqrt(area) + math.sqrt(math.pi) * spacing / 2) ** 2
    expected = 50 * widened / (1.0 + spacing) - spacing
    assert bound(shape, 50, 1.0, spacing, ALL_WAYS) == pytest.approx(expected)
    # A single one takes its shortest box.
    assert bound(shape, 1, 1.0, spacing) == pytest.approx(shape.width_m)


def test_bound_of_discs_is_olers() -> None:
    """2·A/(√3·p²) + P/(2·p) + 1 = n for the strip in which the centres lie, solved for it."""
    disc = read_shape("disc", "diameter 200 mm")
    assert isinstance(disc, Shape)
    across, pitch, count = 0.8, 0.21, 40
    length = bound(disc, count, 1.0, 0.01) - 0.2
    points = 2 * across * length / (math.sqrt(3) * pitch**2) + (across + length) / pitch + 1
    assert points == pytest.approx(count)


def test_how_many_lie_across() -> None:
    assert [rows_across(1.0, side, 0.1) for side in (0.45, 0.4501, 0.1, 1.0, 1.01)] == [
        2,
        1,
        5,
        1,
        0,
    ]


def test_rectangles_both_ways() -> None:
    """On 1 m: 0.4 m upright beside 0.6 m turned fill the width, and nothing else mixes."""
    ways = postures_of(rectangle(0.6, 0.4), (0, 1))
    (mix,) = mixed_rectangles(ways, 1.0, 0.05, 0.0)
    assert mix.end_m.tolist() == pytest.approx([0.6, 0.4])
    (low, high) = sorted((mix.y_m - [p.bounds[1] * -1 for p in ways]).tolist())
    assert high - low == pytest.approx(0.4)
    assert mixed_rectangles(ways, 0.99, 0.0, 0.0) == []
    assert mixed_rectangles(ways[:1], 1.0, 0.0, 0.0) == []


@pytest.fixture
def plan() -> NestPlan:
    """Sixteen pieces of 300 × 200 mm in rows of five across a 1.02 m cloth, 10 mm trimmed."""
    terms = NestTerms((1.02,), 0.010, 0.0, 30.0, UPRIGHT, keep=KeepTerms(0.15, 0.3, 0.5))
    plan = nest(NestOrder((rectangle(0.3, 0.2),), np.array([16])), terms, seconds=0)
    assert isinstance(plan, NestPlan)
    return plan


def test_figures_of_a_nest(plan: NestPlan) -> None:
    assert plan.length_m == pytest.approx(1.2)
    assert (plan.width_m, plan.pieces) == (1.02, 16)
    assert plan.area_m2 == plan.cost == pytest.approx(1.2 * 1.02)
    assert plan.net_area_m2 == pytest.approx(16 * 0.06)
    # Twelve sides of 300 mm and eleven of 200 mm part two pieces each.
    assert plan.cut_length_m == pytest.approx(16.0 - 12 * 0.3 - 11 * 0.2)
    assert plan.yield_share == pytest.approx(0.96 / 1.224)
    assert plan.count_per_metre == pytest.approx(16 / 1.2)
    assert plan.bound_m == pytest.approx(1.2)
    assert plan.gap == pytest.approx(0.0, abs=1e-9)
    assert replace(plan, bound_m=1.0).gap == pytest.approx(0.2)
    priced = replace(plan, terms=replace(plan.terms, metre_costs=(7.0,)))
    assert priced.cost == pytest.approx(8.4)
    assert plan.supplied == pytest.approx(
        {"run_length_m": 1.2, "gross_area_m2": 1.224, "cut_length_m": 10.2}
    )


def test_what_is_left_of_a_nest(plan: NestPlan) -> None:
    """In the last row one piece lies; beside it 800 mm by 300 mm are free."""
    (left,) = plan.offcuts
    assert (left.where, left.count) == ("end of the cloth", 1)
    assert left.width_m == pytest.approx(0.8)
    assert left.length_m == pytest.approx(0.3)
    assert plan.kept == plan.offcuts
    assert plan.kept_area_m2 == pytest.approx(0.24)
    wider = replace(plan, terms=replace(plan.terms, keep=KeepTerms(0.81, 0.3, 0.5)))
    assert wider.kept == ()
    assert replace(plan, terms=replace(plan.terms, keep=None)).kept == ()


def test_free_rectangles_keep_their_distance() -> None:
    """Two pieces with 50 mm around them on a cloth of 1 m, 0.1 m from its lower edge."""
    boxes = np.array([[0.0, 0.1, 1.0, 0.4], [0.0, 0.45, 0.5, 0.7]])
    free = free_rectangles(boxes, 0.0, 1.0, 1.2, 0.05)
    sizes = [(f.where, f.x0_m, f.y0_m, f.x1_m, f.y1_m) for f in free]
    beside_low, beside_high, end = sizes
    assert beside_low[1:] == pytest.approx((0.0, 0.0, 1.2, 0.05))
    assert beside_high[1:] == pytest.approx((0.0, 0.75, 1.2, 1.0))
    # At the end: 0.65 m behind the short piece over what is not within 50 mm of the long one.
    assert end[0] == "end of the cloth"
    assert end[1:] == pytest.approx((0.55, 0.45, 1.2, 0.7))


def test_offcuts_of_cloths_cut_alike_are_counted() -> None:
    terms = NestTerms((1.0,), 0.0, 0.0, 0.6, UPRIGHT)
    plan = quick_nest(NestOrder((rectangle(0.3, 0.4),), np.array([12])), terms)
    assert isinstance(plan, NestPlan)
    assert plan.length_m == pytest.approx(1.8)
    (left,) = plan.offcuts
    assert left == Offcut("beside the pieces", left.width_m, left.length_m, 3)
    assert left.width_m == pytest.approx(0.2)
    grid = grid_plan(plan.order, terms)
    assert isinstance(grid, NestPlan)
    assert grid.length_m == pytest.approx(1.8)


@pytest.mark.parametrize(
    ("pieces", "length", "least"), [(5, 5.0, 5.0), (10, 10.0, 9.9), (20, 20.0, 19.8)]
)
def test_bound_of_a_plan_knows_where_no_spacing_is_needed(
    pieces: int, length: float, least: float
) -> None:
    """Pieces of 0.9 m in one row, 0.1 m between them; a cloth is cut off 0.1 m after its last one,
    but where a roll of 10 m ends. One strip of n takes n − 0.1 m; each full roll may save 0.1 m.
    """
    terms = replace(TERMS, turns=UPRIGHT)
    plan = quick_nest(NestOrder((rectangle(0.9, 0.9),), np.array([pieces])), terms)
    assert isinstance(plan, NestPlan)
    assert plan.length_m == pytest.approx(length)
    assert plan.bound_m == pytest.approx(least)
