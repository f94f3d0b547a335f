"""Names in a picture: none collides with another or covers a mark, whatever the points."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from meshcore.arrays import FloatArray
from meshcore_estimator.alloys.label_placement import Placed, place_labels

RADIUS = 5.0
BOUNDS = (0.0, 0.0, 600.0, 400.0)


def _place(points: FloatArray, width: float = 60.0) -> Placed:
    sizes = np.tile([width, 14.0], (len(points), 1))
    return place_labels(points, sizes, BOUNDS, RADIUS, np.zeros(len(points)))


def _overlaps(first: FloatArray, second: FloatArray) -> bool:
    return bool(
        first[0] < second[2]
        and second[0] < first[2]
        and first[1] < second[3]
        and second[1] < first[3]
    )


def _assert_clear(points: FloatArray, placed: Placed) -> None:
    boxes = placed.boxes[placed.is_placed]
    for i, box in enumerate(boxes):
        assert not any(_overlaps(box, other) for other in boxes[i + 1 :])
        marks = np.hstack([points - RADIUS, points + RADIUS])
        assert not any(_overlaps(box, mark) for mark in marks)
        assert box[0] >= BOUNDS[0]
        assert box[1] >= BOUNDS[1]
        assert box[2] <= BOUNDS[2]
        assert box[3] <= BOUNDS[3]


@given(
    st.lists(st.tuples(st.integers(20, 580), st.integers(20, 380)), min_size=1, max_size=40),
    st.floats(20.0, 120.0),
)
@settings(max_examples=60, deadline=None)
def test_no_name_collides_or_covers_a_mark(spots: list[tuple[int, int]], width: float) -> None:
    points = np.array(spots, dtype=np.float64)
    _assert_clear(points, _place(points, width))


def _passes_through(line: FloatArray, box: FloatArray) -> bool:
    """Walk along the line, as a check that shares nothing with the clipping under test."""
    steps = np.linspace(0.0, 1.0, 2001)
    x = line[0] + steps * (line[2] - line[0])
    y = line[1] + steps * (line[3] - line[1])
    inside = (x > box[0]) & (x < box[2]) & (y > box[1]) & (y < box[3])
    return bool(inside.any())


@pytest.mark.parametrize("count", [15, 40])
def test_no_leader_passes_through_a_name_or_needlessly_a_mark(count: int) -> None:
    """A thin and a dense cloud; pairs whose marks overlap are exempt by the contract."""
    points = np.random.default_rng(7).uniform((200, 100), (400, 300), (count, 2))
    placed = _place(points)
    moved = np.flatnonzero(~np.isnan(placed.leaders[:, 0]))
    assert moved.size > 0
    for own in moved:
        line = placed.leaders[own]
        for other in np.flatnonzero(placed.is_placed):
            if other == own:
                continue
            assert not _passes_through(line, placed.boxes[other])
            if count == 15 and np.abs(points[own] - points[other]).max() > 2 * RADIUS + 1:
                mark = np.concatenate([points[other] - RADIUS, points[other] + RADIUS])
                assert not _passes_through(line, mark)


def test_a_lone_name_stands_beside_its_point_without_a_leader() -> None:
    placed = _place(np.array([[300.0, 200.0]]))
    left, top, _, bottom = placed.boxes[0]
    assert left == pytest.approx(300 + RADIUS + 3)
    assert (top + bottom) / 2 == pytest.approx(200)
    assert np.isnan(placed.leaders).all()


def test_at_the_right_edge_the_name_goes_to_the_left() -> None:
    placed = _place(np.array([[590.0, 200.0]]))
    assert placed.boxes[0, 2] < 590


def test_names_of_points_that_crowd_are_moved_and_led_back() -> None:
    """A column of twelve marks that overlap, as alloys of one class do."""
    points = np.column_stack([np.full(12, 300.0), 150.0 + 5.0 * np.arange(12)])
    placed = _place(points)
    _assert_clear(points, placed)
    led = ~np.isnan(placed.leaders[:, 0])
    assert led.sum() > 2
    assert placed.is_placed.sum() > 9
    assert np.array_equal(placed.leaders[led, :2], points[led])


def test_the_lowest_rank_gets_the_best_place() -> None:
    points = np.tile([300.0, 200.0], (2, 1))
    sizes = np.tile([60.0, 14.0], (2, 1))
    for first in (0, 1):
        rank = np.where(np.arange(2) == first, 0.0, 1.0)
        placed = place_labels(points, sizes, BOUNDS, RADIUS, rank)
        assert placed.boxes[first, 0] == pytest.approx(300 + RADIUS + 3)


def test_the_same_points_are_named_the_same_way() -> None:
    points = np.random.default_rng(3).uniform((50, 50), (550, 350), (30, 2))
    assert np.array_equal(_place(points).boxes, _place(points).boxes, equal_nan=True)


def test_where_there_is_no_room_a_name_is_left_out_and_said_so() -> None:
    points = np.array([[10.0, 10.0], [20.0, 10.0]])
    placed = place_labels(
        points, np.tile([60.0, 14.0], (2, 1)), (0.0, 0.0, 40.0, 20.0), RADIUS, np.zeros(2)
    )
    assert not placed.is_placed.any()


def test_no_points_need_no_names() -> None:
    assert len(_place(np.empty((0, 2))).boxes) == 0
