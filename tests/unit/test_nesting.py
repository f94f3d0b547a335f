"""Nests: inside the cloth, apart from each other, never worse than rows of boxes, repeatable."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from thorough import share

from meshcore.messages import Message
from meshcore.supply.nesting import planning as nesting
from meshcore.supply.nesting import search as nest_search
from meshcore.supply.nesting.check import faults
from meshcore.supply.nesting.packer import pack
from meshcore.supply.nesting.parts import FreePart
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.patterns.profiles import profile, push
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import grid_plan, nest, nest_terms, quick_nest
from meshcore.supply.nesting.postures import postures_of
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.shapes.outlines import Shape, rectangle
from meshcore.supply.shapes.texts import read_shape

MICRON = 1e-6
TERMS = nest_terms(default_supply_policy())
TRAPEZOID = "trapezoid: base 300 mm, top 180 mm, height 220 mm"
TRIANGLE = "triangle: side a 300 mm, side b 400 mm, side c 500 mm"


@pytest.fixture(autouse=True)
def _forgetful() -> Iterator[None]:
    nesting._remembered.clear()
    yield
    nesting._remembered.clear()


def shape_of(text: str) -> Shape:
    found = read_shape("", text)
    assert isinstance(found, Shape), found
    return found


def order_of(*lines: tuple[str, int]) -> NestOrder:
    return NestOrder(
        tuple(shape_of(text) for text, _ in lines), np.array([count for _, count in lines])
    )


def planned(found: NestPlan | list[Message]) -> NestPlan:
    assert isinstance(found, NestPlan), [str(m) for m in found]
    return found


def random_shape(rng: np.random.Generator) -> Shape:
    a, b, c = np.round(rng.uniform(40.0, 400.0, 3), 1)
    texts = (
        f"disc: diameter {a} mm",
        f"{a} x {b} mm",
        f"trapezoid: base {a + b} mm, top {b} mm, height {c} mm",
        f"triangle: side a {a} mm, side b {b} mm, angle 70°",
        f"ring: outer diameter {a + 20} mm, inner diameter {a} mm",
        f"regular polygon: sides {rng.integers(5, 9)}, across corners {a} mm",
        f"parallelogram: base {a} mm, side {b} mm, angle 60°",
        f"sector: radius {a} mm, angle 80°",
        f"ring segment: outer radius {a + 50} mm, inner radius {a} mm, angle 120°",
    )
    return shape_of(texts[rng.integers(len(texts))])


def random_case(seed: int) -> tuple[NestOrder, NestTerms]:
    rng = np.random.default_rng(seed)
    kinds = int(rng.integers(1, 4))
    order = NestOrder(
        tuple(random_shape(rng) for _ in range(kinds)), rng.integers(1, 10, kinds).astype(np.int64)
    )
    terms = NestTerms(
        widths_m=(0.95, 1.2),
        edge_trim_m=float(rng.choice([0.0, 0.005])),
        spacing_m=float(rng.choice([0.0, 0.002, 0.01])),
        max_length_m=float(rng.choice([1.5, 30.0])),
        turns=(0, 1, 2, 3) if rng.random() < 0.6 else (0, 2),
        bias_45=bool(rng.random() < 0.2),
        warp_along_long_side=bool(rng.random() < 0.2),
    )
    return order, terms


def assert_sound(plan: NestPlan) -> None:
    """Look at every outline afresh: points on the arcs, the intersections of all pairs."""
    shapes = plan.order.shapes
    for cloth in plan.cloths:
        placed = cloth.placements
        polygons = []
        for n, x, y, turn in zip(
            placed.shape.tolist(), placed.x_m.tolist(), placed.y_m.tolist(),
            placed.turn_rad.tolist(), strict=True,
        ):  # fmt: skip
            outline = shapes[n].outline.placed(turn, (x, y))
            x0, y0, x1, y1 = outline.bounds
            trim = plan.terms.edge_trim_m
            assert x0 >= -MICRON
            assert y0 >= trim - MICRON
            assert x1 <= cloth.length_m + MICRON
            assert y1 <= plan.width_m - trim + MICRON
            # Chords cut at most 0.1 µm off an arc; drawn in, pieces may overlap by 1 µm less that.
            holes = [h.placed(turn, (x, y)).points(1e-7) for h in shapes[n].holes]
            polygons.append(shapely.Polygon(outline.points(1e-7), holes).buffer(-0.45 * MICRON))
        tree = shapely.STRtree(polygons)
        first, second = tree.query(polygons, predicate="intersects")
        assert not (first != second).any()
    laid = sum(
        cloth.repeats * np.bincount(cloth.placements.shape, minlength=len(shapes))
        for cloth in plan.cloths
    )
    assert np.array_equal(laid, plan.order.quantity)


@pytest.mark.thorough
@pytest.mark.parametrize("seed", share(range(48), range(200)))
def test_random_orders_lie_apart_and_inside(seed: int) -> None:
    order, terms = random_case(seed)
    # The strip packer on every eighth, within a short time: what it has by then must be sound.
    plan = planned(nest(order, terms, seconds=0.0 if seed % 8 else 0.5))
    assert plan.checked
    assert_sound(plan)
    quick, grid = planned(quick_nest(order, terms)), planned(grid_plan(order, terms))
    assert plan.cost <= quick.cost * (1 + 1e-9)
    assert quick.cost <= grid.cost * (1 + 1e-9)
    assert plan.bound_m <= plan.length_m * (1 + 1e-9)
    assert not faults(quick)
    assert all(cloth.length_m <= terms.max_length_m + MICRON for cloth in plan.cloths)
    assert not [m for m in plan.notes if "failed its check" in m.text]


REPEATED = """
import math, sys
sys.path[:0] = ["tests", "tests/unit"]
from test_nesting import TERMS, TRIANGLE, order_of, planned
from meshcore.supply.nesting.planning import nest
plan = planned(nest(order_of((TRIANGLE, 3), ("disc: diameter 120 mm", 1)), TERMS, math.inf, 7))
placed = plan.cloths[0].placements
print(plan.method, *(column.tobytes().hex() for column in (placed.x_m, placed.y_m)))
"""


def test_without_a_clock_the_same_seed_gives_the_same_plan_in_any_process() -> None:
    told = [
        subprocess.run([sys.executable, "-c", REPEATED], capture_output=True, text=True, check=True)
        for _ in range(2)
    ]
    assert told[0].stdout.startswith(nest_search.PACKED)
    assert told[0].stdout == told[1].stdout


def test_a_search_by_the_clock_says_its_seed_and_is_remembered() -> None:
    order = order_of((TRAPEZOID, 20), (TRIANGLE, 20), ("disc: diameter 130 mm", 20))
    terms = replace(TERMS, widths_m=(1.2,))
    plan = planned(nest(order, terms, seconds=1.5, seed=3))
    if plan.method == nest_search.PACKED:
        assert [m for m in plan.notes if "from seed 3 at step" in m.text]
    assert nest(order, terms, seconds=1.5, seed=3) is plan
    assert nest(order, terms, seconds=0.5, seed=3) is plan


def test_more_time_never_gives_a_worse_nest(monkeypatch: pytest.MonkeyPatch) -> None:
    order = order_of((TRAPEZOID, 5), (TRIANGLE, 4))
    good = planned(nest(order, TERMS, seconds=1.5))
    monkeypatch.setattr(nesting, "search", lambda *_: nest_search.Searched((), ()))
    assert planned(nest(order, TERMS, seconds=3.0)).cost <= good.cost


def test_a_large_order_is_nested_whole_and_its_time_is_used() -> None:
    """Sixty pieces of three shapes: the packer has them all, for as long as it is given."""
    order = order_of((TRAPEZOID, 20), (TRIANGLE, 20), ("disc: diameter 130 mm", 20))
    terms = replace(TERMS, widths_m=(1.2,))
    began = time.monotonic()
    plan = planned(nest(order, terms, seconds=4.0))
    assert 3.0 < time.monotonic() - began < 15.0
    assert plan.method == nest_search.PACKED
    assert plan.cost < 0.95 * planned(nest(order, terms, seconds=0)).cost


def test_an_order_longer_than_a_roll_is_parted_over_rolls() -> None:
    terms = NestTerms((1.0,), 0.0, 0.0, 3.0)
    shapes = [(f"{200 + 7 * n} x {150 + 3 * n} mm", 3) for n in range(25)]
    plan = planned(nest(order_of(*shapes), terms, seconds=3.0))
    assert_sound(plan)
    assert len(plan.cloths) > 1
    assert all(cloth.length_m <= 3.0 + MICRON for cloth in plan.cloths)


def test_the_packer_beats_rows_on_mixed_shapes_and_tells_its_progress() -> None:
    order = order_of((TRAPEZOID, 4), ("disc: diameter 200 mm", 4), (TRIANGLE, 2))
    told: list[float] = []
    plan = planned(nest(order, TERMS, 4.0, progress=lambda share, _: told.append(share)))
    assert plan.cost < 0.9 * planned(quick_nest(order, TERMS)).cost
    assert told == sorted(told)
    assert told
    assert all(0.0 <= share <= 1.0 for share in told)


def test_rows_pushed_into_each_other_near_a_tiling() -> None:
    """Trapezoids head to tail tile the plane: only edges and spacing are lost."""
    plan = planned(quick_nest(order_of((TRAPEZOID, 500)), TERMS))
    assert plan.method == "rows pushed into each other"
    assert plan.gap < 0.03


def test_rectangles_that_tile_reach_their_bound() -> None:
    terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=30.0)
    plan = planned(quick_nest(order_of(("500 x 200 mm", 20)), terms))
    assert plan.length_m == pytest.approx(2.0)
    assert plan.gap == pytest.approx(0.0, abs=1e-9)
    assert plan.yield_share == pytest.approx(1.0)
    assert plan.count_per_metre == pytest.approx(10.0)


def test_rectangles_in_both_directions_beat_either() -> None:
    """On 1 m, 0.6 × 0.4 pieces lie one upright beside one turned, and so fill the width."""
    terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=30.0)
    order = order_of(("600 x 400 mm", 5))
    plan = planned(quick_nest(order, terms))
    assert plan.length_m == pytest.approx(1.2)
    assert planned(grid_plan(order, terms)).length_m == pytest.approx(1.8)


def test_mesh_that_is_not_square_turns_by_halves_only() -> None:
    terms = nest_terms(default_supply_policy(), square_mesh=False)
    plan = planned(nest(order_of((TRAPEZOID, 9), (TRIANGLE, 3)), terms, seconds=0.5))
    for cloth in plan.cloths:
        quarters = cloth.placements.turn_rad / (np.pi / 2)
        assert set(np.round(quarters, 9) % 2) == {0.0}


def test_the_warp_runs_along_the_long_side_when_asked() -> None:
    terms = nest_terms(default_supply_policy(), warp_along_long_side=True)
    for text in ("300 x 200 mm", "200 x 300 mm"):
        plan = planned(quick_nest(order_of((text, 7)), terms))
        boxes = plan.boxes(plan.cloths[0])
        assert np.allclose(boxes[:, 2] - boxes[:, 0], 0.3)
    assert len(postures_of(rectangle(0.2, 0.2), (0, 1, 2, 3), False, True)) == 4


def test_bias_cutting_turns_every_piece_by_45_degrees() -> None:
    terms = nest_terms(default_supply_policy(), bias_45=True)
    plan = planned(nest(order_of(("300 x 200 mm", 8)), terms, seconds=0))
    turns = np.concatenate([cloth.placements.turn_rad for cloth in plan.cloths])
    assert np.allclose(np.mod(turns, np.pi / 2), np.pi / 4)
    assert_sound(plan)


def test_an_order_longer_than_a_roll_goes_on_several() -> None:
    terms = NestTerms((1.0,), edge_trim_m=0.0, spacing_m=0.0, max_length_m=2.0)
    plan = planned(nest(order_of(("500 x 300 mm", 50)), terms, seconds=0))
    assert_sound(plan)
    assert [cloth.repeats for cloth in plan.cloths] == [4, 1]
    assert plan.length_m >= plan.bound_m
    assert plan.pieces == 50


def test_what_no_cloth_holds_is_refused() -> None:
    found = quick_nest(order_of(("3000 x 2500 mm", 2), ("300 x 200 mm", 1)), TERMS)
    assert isinstance(found, list)
    assert [m.field for m in found] == ["dimensions"]
    assert "rectangle, 3000 mm x 2500 mm" in found[0].read
    assert "1818.8 mm usable" in found[0].text


@pytest.mark.parametrize("quantity", [[], [0], [1, 2]])
def test_an_order_that_makes_no_sense_is_misuse(quantity: list[int]) -> None:
    with pytest.raises(ValueError, match="quantity of 1 or more"):
        nest(NestOrder((rectangle(0.1, 0.1),), np.array(quantity, dtype=np.int64)), TERMS)


def test_the_check_finds_each_fault() -> None:
    plan = planned(nest(order_of(("200 x 100 mm", 6)), TERMS, seconds=0))
    assert faults(plan) == []
    cloth = plan.cloths[0]
    placed = cloth.placements

    def spoilt(**columns: np.ndarray) -> list[str]:
        part = FreePart(replace(placed, **columns), cloth.length_m)
        return faults(replace(plan, cloths=(replace(cloth, parts=(part,)),)))

    assert "outside the cloth" in spoilt(x_m=placed.x_m + 0.01)[0]
    assert "outside the cloth" in spoilt(y_m=placed.y_m - 2e-6)[0]
    assert "too near" in spoilt(y_m=0.005 + (placed.y_m - 0.005) * 0.9999)[0]
    short = replace(cloth, repeats=2)
    assert "12 laid, 6 ordered" in faults(replace(plan, cloths=(short,)))[0]
    long = replace(plan, terms=replace(plan.terms, max_length_m=0.1))
    assert "longer than a roll" in " ".join(faults(long))


def test_a_nest_that_fails_its_check_gives_way_to_the_next(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    order = order_of((TRAPEZOID, 6))
    good = planned(nest(order, TERMS, seconds=0))
    placed = good.cloths[0].placements
    heap = replace(placed, x_m=placed.x_m * 0.0, y_m=placed.y_m * 0.0 + 0.1)
    cloth = replace(good.cloths[0], length_m=0.4, parts=(FreePart(heap, 0.4),))
    false_plan = replace(good, cloths=(cloth,), method="a heap")
    searched = nest_search.Searched((false_plan,), ())
    monkeypatch.setattr(nesting, "search", lambda *_: searched)
    nesting._remembered.clear()
    plan = planned(nest(order, TERMS, seconds=1.0))
    assert plan.method == good.method
    assert [m.read for m in plan.notes if "failed its check" in m.text] == ["a heap"]


def test_rings_say_that_their_holes_stay_empty() -> None:
    plan = planned(nest(order_of(("ring: outer 300 mm, inner 200 mm", 4)), TERMS, seconds=0))
    assert "hole" in " ".join(m.text for m in plan.notes)


def test_offcuts_are_free_and_worth_their_credit() -> None:
    keep = KeepTerms(least_width_m=0.2, least_length_m=0.2, credit_share=0.5)
    terms = NestTerms((1.0,), 0.005, 0.002, 30.0, keep=keep)
    plan = planned(nest(order_of(("450 x 400 mm", 3)), terms, seconds=0))
    for cloth in plan.cloths:
        pieces = shapely.box(*plan.boxes(cloth).T)
        for free in plan.free(cloth):
            spot = shapely.box(free.x0_m, free.y0_m, free.x1_m, free.y1_m)
            assert not shapely.intersects(spot, pieces).any()
            assert free.y0_m >= 0.005 - MICRON
            assert free.y1_m <= 0.995 + MICRON
    assert plan.kept
    assert set(plan.kept) <= set(plan.offcuts)
    assert plan.kept_area_m2 == pytest.approx(sum(offcut.area_m2 for offcut in plan.kept))


def test_the_packer_answers_none_where_a_piece_cannot_lie() -> None:
    shape = rectangle(0.5, 0.5)
    ways = (postures_of(shape, (0,)),)
    order = NestOrder((shape,), np.array([2]))
    assert pack(order, ways, 0.2, 0.0, 0.0, 2.0, 0, lambda _: None) is None


lane_columns = st.lists(
    st.tuples(st.floats(0.01, 2.0), st.floats(0.01, 3.0)), min_size=1, max_size=8
)


@given(lane_columns, st.integers(1, 500))
def test_a_length_for_pieces_holds_them_and_no_less_does(
    columns: list[tuple[float, float]], pieces: int
) -> None:
    step, end = (np.array(c) for c in zip(*columns, strict=True))
    zero = np.zeros(len(step))
    lanes = Lanes(zero, zero, zero, end, step)
    length = lanes.length_for(pieces)
    assert lanes.capacity(length) >= pieces
    assert lanes.capacity(length * (1 - 1e-6)) < pieces
    assert len(lanes.positions(pieces).x_m) == pieces


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10_000))
def test_pushed_outlines_touch_but_do_not_overlap(seed: int) -> None:
    rng = np.random.default_rng(seed)
    first, second = (_star(rng) for _ in range(2))
    aside = float(rng.uniform(-0.5, 0.5))
    shift = float(push(profile(first), profile(second), np.array([aside]))[0])
    one = shapely.Polygon(first)
    assert np.isfinite(shift)
    clear = shapely.Polygon(second + np.array([shift + 1e-9, aside]))
    assert one.intersection(clear).area < 1e-9
    closer = shapely.Polygon(second + np.array([shift - 1e-4, aside]))
    assert one.intersects(closer)


def _star(rng: np.random.Generator) -> np.ndarray:
    """Closed polygon that is nowhere convex for long."""
    angles = (np.arange(9) + rng.uniform(0, 0.9, 9)) * 2 * np.pi / 9
    radii = rng.uniform(0.2, 1.0, 9)
    corners = np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])
    return np.round(np.vstack([corners, corners[:1]]), 7)
