"""Nests pushed together: distances against shapely, lengths against what can be told by hand."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np
import pytest
import shapely

from meshcore.supply.nesting import packer
from meshcore.supply.nesting.compaction import Strip, compacted
from meshcore.supply.nesting.convex_parts import apart, convex_parts
from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest
from meshcore.supply.nesting.postures import boxes, postures_of
from meshcore.supply.shapes.outlines import Shape, make_shape, rectangle, straight
from meshcore.supply.shapes.texts import read_shape
from meshcore.supply.stopping import until

SEED = 20261126


def _shape(text: str) -> Shape:
    shape = read_shape("", text)
    assert isinstance(shape, Shape)
    return shape


def _part(shapes: tuple[Shape, ...], places: list[tuple[int, float, float]]) -> FreePart:
    number, x, y = (np.array(column) for column in zip(*places, strict=True))
    placed = Placements(number, x.astype(float), y.astype(float), np.zeros(len(number)))
    box = boxes(shapes, placed.shape, placed.x_m, placed.y_m, placed.turn_rad)
    return FreePart(placed, float(box[:, 2].max()))


def test_distance_of_convex_polygons_is_that_of_shapely() -> None:
    rng = np.random.default_rng(SEED)
    seen = 0
    for _ in range(200):
        one, two = (shapely.MultiPoint(rng.uniform(0.0, 1.0, (8, 2))).convex_hull for _ in range(2))
        first, second = (
            shapely.get_coordinates(shapely.orient_polygons(p))[:-1] for p in (one, two)
        )
        second = second + rng.uniform(0.0, 2.0, 2)
        distance, x, y = apart(first, second)
        truth = shapely.Polygon(first).distance(shapely.Polygon(second))
        assert math.hypot(x, y) == pytest.approx(1.0)
        # Along the line that parts them they are never further apart than they are.
        assert distance <= truth + 1e-12
        assert (distance > 0) == (truth > 0)
        gap = (second @ [x, y]).min() - (first @ [x, y]).max()
        assert gap == pytest.approx(distance)
        seen += truth > 0
    assert 50 < seen < 200


@pytest.mark.parametrize(
    "text",
    [
        "polygon: points (0, 0) (300, 0) (300, 100) (100, 100) (100, 250) (0, 250) mm",
        "polygon: points (0, 0) (90, 30) (180, 0) (150, 90) (180, 180) (90, 150) (0, 180) "
        "(30, 90) mm",
        "ring segment: outer radius 250 mm, inner radius 150 mm, angle 120°",
        "disc: diameter 200 mm",
    ],
)
def test_convex_parts_cover_the_outline_and_no_more(text: str) -> None:
    shape = _shape(text)
    parts = [shapely.Polygon(part) for part in convex_parts(shape, 0.3)]
    assert all(part.convex_hull.area == pytest.approx(part.area, rel=1e-9) for part in parts)
    whole = shapely.union_all(parts)
    assert math.fsum(part.area for part in parts) == pytest.approx(whole.area, rel=1e-9)
    # Arcs are followed from outside, to 10 µm.
    assert shape.outline.area <= whole.area + 1e-12
    assert whole.area <= shape.outline.area + 1e-5 * shape.outline.length
    placed = shapely.Polygon(shape.outline.placed(0.3, (0.0, 0.0)).points(1e-6))
    # Chords of hollow arcs lie outside them, by the 1 µm asked for.
    assert whole.buffer(2e-6).covers(placed)


def test_an_angle_iron_is_two_parts() -> None:
    shape = _shape("polygon: points (0, 0) (300, 0) (300, 100) (100, 100) (100, 250) (0, 250) mm")
    assert len(convex_parts(shape, 0.0)) == 2


def test_rectangles_with_gaps_are_pushed_together() -> None:
    shapes = (rectangle(0.3, 0.5),)
    loose = _part(shapes, [(0, 0.001, 0.0), (0, 0.303, 0.2), (0, 0.605, 0.1), (0, 0.908, 0.5)])
    moved, off = compacted(shapes, loose, Strip(0.0, 1.0, 0.0), 10.0)
    assert off == 0.0
    assert moved.length_m == pytest.approx(1.2, abs=2e-6)


@pytest.mark.parametrize("spacing", [0.0, 0.004])
def test_pieces_too_near_are_moved_apart(spacing: float) -> None:
    # Three squares of 300 mm across 0.92 m: 2 µm too near, as single precision leaves them.
    shapes = (rectangle(0.3, 0.3),)
    near = 0.3 + spacing - 2e-6
    tight = _part(shapes, [(0, 0.0, 0.0), (0, 0.0, near), (0, 0.0, 2 * near), (0, near, 0.0)])
    moved, off = compacted(shapes, tight, Strip(0.0, 0.92, spacing), 10.0)
    assert off == 0.0
    box = boxes(shapes, moved.pieces.shape, moved.pieces.x_m, moved.pieces.y_m, np.zeros(4))
    assert box[0, 1] >= -1e-9
    assert box[2, 3] <= 0.92 + 1e-9
    assert np.diff(box[:3, 1]).min() >= 0.3 + spacing - 1e-9
    assert moved.length_m == pytest.approx(0.6 + spacing, abs=1e-6)


def test_what_cannot_be_parted_is_told() -> None:
    shapes = (rectangle(0.3, 0.3),)
    over = _part(shapes, [(0, 0.0, 0.0), (0, 0.0, 0.29), (0, 0.0, 0.6)])
    # A round moves them by 2 mm at most, along as well; what is then left is told.
    _, off = compacted(shapes, over, Strip(0.0, 0.9, 0.0), 0.0)
    assert off > 1e-3


def test_pieces_slide_into_notches() -> None:
    # A wedge, and the notch that it fits: pushed home from 1 mm off, the cloth ends with the wedge.
    corners = [(0.0, 0.0), (0.4, 0.0), (0.2, 0.1), (0.4, 0.2), (0.0, 0.2)]
    notched = make_shape("notched", straight(corners))
    wedge = make_shape("wedge", straight([(0.0, 0.1), (0.2, 0.0), (0.2, 0.2)]))
    shapes = (notched, wedge)
    loose = _part(shapes, [(0, 0.0, 0.0), (1, 0.201, 0.0)])
    moved, off = compacted(shapes, loose, Strip(0.0, 0.2, 0.0), 10.0)
    assert off == 0.0
    assert moved.length_m == pytest.approx(0.4, abs=1e-6)


def test_the_packer_is_given_what_it_would_be_given_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    shape = _shape("polygon: points (0, 0) (300, 0) (300, 100) (100, 100) (100, 250) (0, 250) mm")
    seen: list[dict[str, Any]] = []

    def run(job: str, *_: object) -> list[dict[str, Any]]:
        seen.append(json.loads(job))
        return []

    monkeypatch.setattr(packer, "_run", run)
    order = NestOrder((shape,), np.array([3]))
    ways = (postures_of(shape, (0, 2)),)
    assert packer.pack(order, ways, 1.0, 0.01, 0.0, 2.0, 7, lambda _: None) is None
    (job,) = seen
    (item,) = job["items"]
    assert (job["height"], job["seed"], job["seconds"]) == (1.0, 7, 2.0)
    assert [tuple(p) for p in item["corners"]] == shape.outline.points(1e-4)
    assert (item["count"], item["turns"]) == (3, [0.0, 180.0])


def test_a_worker_that_is_to_stop_leaves_its_best() -> None:
    shape = _shape("right triangle: base 600 mm, height 450 mm")
    order = NestOrder((shape,), np.array([24]))
    ways = (postures_of(shape, (0, 1, 2, 3)),)
    reached: list[float] = []
    found = packer.pack(
        order, ways, 1.2, 0.0, 0.0, 600.0, 1, reached.append, stop=lambda: len(reached) > 2
    )
    assert found is not None
    assert found.part.length_m <= reached[2] + 1e-6


def test_who_waits_for_a_nest_may_have_the_best_so_far() -> None:
    order = NestOrder((_shape("right triangle: base 600 mm, height 450 mm"),), np.array([23]))
    terms = NestTerms((1.2,), 0.005, 0.002, 30.0)
    reached: list[str] = []

    def tell(_share: float, words: str) -> None:
        reached.append(words)

    # Ten minutes are given: only the asking ends them.
    with until(lambda: len(reached) > 1):
        plan = nest(order, terms, 600.0, 1, tell)
    assert isinstance(plan, NestPlan)
    assert plan.checked
    assert plan.length_m <= float(reached[-1].split()[-2]) + 0.003
