"""Path lengths against integration, and the limits that they must meet exactly."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from meshcore.enquiry import (
    DOUBLE_CRIMP,
    FLAT_TOP,
    INTERMEDIATE_CRIMP,
    LOCK_CRIMP,
    PLAIN,
    TWILLED,
    WEAVES,
    WELDED,
)
from meshcore.weave.geometry.centreline import Arc, Line, Segment, centreline
from meshcore.weave.geometry.interlacing import interlacing
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import FLAT_RULE_RATIO, cloth_path, jam_wire_to_pitch

EVERY_WEAVE = range(len(WEAVES))
weaves = st.sampled_from(EVERY_WEAVE)
shares_of_jam = st.floats(0.01, 1.0)


def ratio(weave: int, slenderness: float, crimps: int = 2) -> float:
    path = cloth_path(np.array([weave]), np.array([slenderness]), np.array([1.0]), crimps)
    return float(path.path_ratio[0])


def integrated_length(piece: Segment) -> float:
    """Length by quadrature of the speed of the piece's own points, not of its length formula."""
    step = 1e-6

    def speed(share: float) -> float:
        x, z = piece.points(np.array([share - step, share + step]))
        return float(np.hypot(x[1] - x[0], z[1] - z[0])) / (2 * step)

    return float(quad(speed, 0.0, 1.0)[0])


@pytest.mark.parametrize("weave", EVERY_WEAVE)
@pytest.mark.parametrize("share", [0.2, 0.6, 0.95, 1.0])
def test_closed_form_equals_quadrature(weave: int, share: float) -> None:
    """Differences over 2e-6 of a piece are good to about 1e-9 of it."""
    wire = share * jam_wire_to_pitch(weave)
    pieces = centreline(weave, wire, 1.0)
    length = sum(integrated_length(piece) for piece in pieces)
    assert ratio(weave, wire) == pytest.approx(length / len(interlacing(weave)), rel=1e-8)


@given(weaves, shares_of_jam, st.integers(1, 4))
def test_centreline_is_smooth_and_repeats(weave: int, share: float, crimps: int) -> None:
    """Each piece starts where, and in the direction in which, the last one ends."""
    wire = share * jam_wire_to_pitch(weave, crimps)
    pieces = centreline(weave, wire, 1.0, crimps)
    near = np.array([0.0, 1e-6, 1.0 - 1e-6, 1.0])
    ends = []
    for piece in pieces:
        x, z = piece.points(near)
        start = np.arctan2(z[1] - z[0], x[1] - x[0])
        end = np.arctan2(z[3] - z[2], x[3] - x[2])
        ends.append((x[0], z[0], start, x[3], z[3], end))
    for (*_, x, z, way), (next_x, next_z, next_way, *_) in pairwise(ends):
        assert np.hypot(next_x - x, next_z - z) < 1e-9
        assert abs(next_way - way) < 1e-3
    height = 0.5 * wire
    assert ends[0][:2] == pytest.approx((0.0, height), abs=1e-12)
    assert ends[-1][3:5] == pytest.approx((len(interlacing(weave)), height), abs=1e-9)


@given(weaves, shares_of_jam, st.integers(1, 4))
def test_wire_is_over_and_under_where_the_weave_says(weave: int, share: float, crimps: int) -> None:
    wire = share * jam_wire_to_pitch(weave, crimps)
    pieces = centreline(weave, wire, 1.0, crimps)
    for number, over in enumerate(interlacing(weave)[0]):
        heights = [
            height
            for piece in pieces
            for x, height in zip(*piece.points(np.array([0.0, 1.0])), strict=True)
            if abs(x - number) < 1e-9
        ]
        # A float is one line across its crossings' whole pitch, so each crossing is an end.
        assert heights == pytest.approx([0.5 * wire if over else -0.5 * wire] * len(heights))
        assert heights


@given(weaves, shares_of_jam)
def test_wire_stays_within_the_stated_thickness(weave: int, share: float) -> None:
    wire = share * jam_wire_to_pitch(weave)
    path = cloth_path(np.array([weave]), np.array([wire]), np.array([1.0]))
    heights = np.concatenate(
        [piece.points(np.linspace(0, 1, 33))[1] for piece in centreline(weave, wire, 1.0)]
    )
    # The cross wires are alike, turned over where this one is welded on top.
    low = -0.5 * wire if weave == WELDED else heights.min()
    assert heights.max() - low + wire == pytest.approx(path.thickness_m[0], rel=1e-9)


@given(weaves, shares_of_jam, st.integers(1, 4))
def test_ratio_is_at_least_one_and_rises_with_wire(weave: int, share: float, crimps: int) -> None:
    jam = jam_wire_to_pitch(weave, crimps)
    lighter, heavier = ratio(weave, 0.9 * share * jam, crimps), ratio(weave, share * jam, crimps)
    assert 1.0 <= lighter <= heavier
    assert (lighter < heavier) == (weave != WELDED) or share < 0.02


#: Path ratio at the jam: arcs only. Plain: two arcs of 60° and radius d over √3·d.
AT_JAM = {
    PLAIN: 2 * np.pi / 3 / np.sqrt(3),
    TWILLED: 0.5 + np.pi / 3 / np.sqrt(3),
    DOUBLE_CRIMP: 2 * np.pi / 3 / np.sqrt(3),
    INTERMEDIATE_CRIMP: 2 * np.pi / 3 / np.sqrt(3),
    LOCK_CRIMP: 4 * np.arccos(0.75) / np.sqrt(7),
    FLAT_TOP: 2 * np.pi / 3 / np.sqrt(3),
    WELDED: 1.0,
}


@pytest.mark.parametrize("weave", EVERY_WEAVE)
def test_jam_is_met_exactly_and_not_passed(weave: int) -> None:
    jam = jam_wire_to_pitch(weave)
    assert ratio(weave, jam) == pytest.approx(AT_JAM[weave], rel=1e-14)
    assert not any(isinstance(p, Line) for p in centreline(weave, jam, 1.0)) or weave in (
        TWILLED,
        WELDED,
    )
    assert np.isnan(ratio(weave, jam * (1 + 1e-9)))
    with pytest.raises(ValueError, match="beyond the jam"):
        centreline(weave, jam * (1 + 1e-9), 1.0)


@pytest.mark.parametrize("weave", [w for w in EVERY_WEAVE if w != WELDED])
def test_wire_bends_no_tighter_than_round_its_neighbour(weave: int) -> None:
    wire = 0.9 * jam_wire_to_pitch(weave)
    radii = {p.radius for p in centreline(weave, wire, 1.0) if isinstance(p, Arc)}
    assert radii == {wire}


def test_intermediate_crimp_of_one_is_a_double_crimp() -> None:
    assert ratio(INTERMEDIATE_CRIMP, 0.3, 1) == ratio(DOUBLE_CRIMP, 0.3)
    assert ratio(INTERMEDIATE_CRIMP, 0.1, 2) == pytest.approx(ratio(PLAIN, 0.3), rel=1e-12)
    assert ratio(INTERMEDIATE_CRIMP, 0.1, 3) == pytest.approx(ratio(PLAIN, 0.5), rel=1e-12)


@given(weaves, st.floats(0.01, 0.9), st.floats(1.001, 1.1), st.floats(1000.0, 9000.0))
def test_mass_rises_with_wire_and_density(
    weave: int, share: float, factor: float, density: float
) -> None:
    wires = np.array([share, share * factor]) * jam_wire_to_pitch(weave)
    path = cloth_path(np.full(2, weave), wires, np.ones(2))
    mass = mass_per_area(wires, np.ones(2), path.path_ratio, np.full(2, density))
    assert mass[1] > mass[0]
    denser = mass_per_area(wires, np.ones(2), path.path_ratio, np.full(2, factor * density))
    assert (denser > mass).all()


def test_mixed_weaves_equal_each_alone() -> None:
    rng = np.random.default_rng(3)
    weave = rng.integers(0, len(WEAVES), 500)
    wire, pitch = rng.uniform(0.05, 0.19, 500), np.ones(500)
    together = cloth_path(weave, wire, pitch)
    for code in EVERY_WEAVE:
        rows = weave == code
        alone = cloth_path(weave[rows], wire[rows], pitch[rows])
        np.testing.assert_array_equal(together.path_ratio[rows], alone.path_ratio)
        np.testing.assert_array_equal(together.jam_wire_to_pitch[rows], alone.jam_wire_to_pitch)
        np.testing.assert_array_equal(together.thickness_m[rows], alone.thickness_m)


def test_flat_rule_takes_no_notice_of_the_wire_and_leaves_welded_straight() -> None:
    weave, wire = np.array([PLAIN, FLAT_TOP, WELDED]), np.array([0.1, 0.4, 0.2])
    path = cloth_path(weave, wire, np.ones(3), path_model="flat")
    assert path.path_ratio.tolist() == [FLAT_RULE_RATIO, FLAT_RULE_RATIO, 1.0]


def test_refused_lines_pass_through_as_nan() -> None:
    path = cloth_path(np.zeros(2, dtype=np.int64), np.array([0.25, np.nan]), np.ones(2))
    assert np.isnan(path.path_ratio).tolist() == [False, True]
    assert len(cloth_path(np.zeros(0, dtype=np.int64), np.zeros(0), np.zeros(0)).path_ratio) == 0


def test_misuse_is_named() -> None:
    one = np.ones(1)
    with pytest.raises(ValueError, match="weave codes run"):
        cloth_path(np.array([7]), one, one)
    with pytest.raises(ValueError, match="crimps"):
        cloth_path(np.array([0]), one, one, crimps=0)
    with pytest.raises(ValueError, match="path_model"):
        cloth_path(np.array([0]), one, one, path_model="sine")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="positive"):
        centreline(PLAIN, 0.0, 1.0)
