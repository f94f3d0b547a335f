"""Tolerances and what they do; strength of cloth from its wires."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path, jam_wire_to_pitch
from meshcore.weave.geometry.strength import CAUTION, breaking_load_per_width
from meshcore.weave.geometry.tolerances import (
    INDUSTRIAL_BANDS,
    industrial_tolerance,
    sieve_tolerance,
    tolerance_effect,
    wire_tolerance,
)


@given(st.floats(20e-6, 125e-3))
def test_industrial_cloth_is_looser_than_test_sieves(aperture: float) -> None:
    average = sieve_tolerance(np.array([aperture])).average[0]
    assert industrial_tolerance(np.array([aperture]))[0] > average


def test_bands_begin_where_they_say() -> None:
    starts = np.array([band.from_m for band in INDUSTRIAL_BANDS[1:]])
    shares = np.array([band.share for band in INDUSTRIAL_BANDS])
    np.testing.assert_allclose(industrial_tolerance(starts), shares[1:] * starts)
    np.testing.assert_allclose(industrial_tolerance(0.99 * starts), shares[:-1] * 0.99 * starts)


def test_sieve_tolerances_end_with_the_standard() -> None:
    outside = sieve_tolerance(np.array([19e-6, 126e-3]))
    assert all(np.isnan(t).all() for t in outside)
    with pytest.raises(ValueError, match="edition"):
        sieve_tolerance(np.array([1e-3]), "1990")  # type: ignore[arg-type]


@given(st.integers(0, 6), st.floats(1e-5, 0.01), st.floats(0.05, 0.8), st.floats(0.001, 0.05))
def test_ends_enclose_every_cloth_within_tolerance(
    weave: int, pitch: float, share: float, slack: float
) -> None:
    """Mass by the estimator's own function at points all over the rectangle of tolerances."""
    wire = share * jam_wire_to_pitch(weave) * pitch
    aperture = pitch - wire
    code, d, w = np.array([weave]), np.array([wire]), np.array([aperture])
    ends = tolerance_effect(code, d, w, slack * d, slack * w)

    steps = slack * np.linspace(-1.0, 1.0, 9)
    diameters, apertures = (grid.ravel() for grid in np.meshgrid(d * (1 + steps), w * (1 + steps)))
    pitches = diameters + apertures
    codes = np.full(len(pitches), weave)
    open_area = np.square(apertures / pitches)
    ratios = cloth_path(codes, diameters, pitches).path_ratio
    mass = mass_per_area(diameters, pitches, ratios, np.array(7900.0))
    nominal = mass[len(mass) // 2]
    low, high = mass.min() / nominal, mass.max() / nominal
    assert ends.open_area_low[0] == pytest.approx(open_area.min(), rel=1e-9)
    assert ends.open_area_high[0] == pytest.approx(open_area.max(), rel=1e-9)
    assert ends.mass_share_low[0] == pytest.approx(low, rel=1e-9)
    assert ends.mass_share_high[0] == pytest.approx(high, rel=1e-9)


def test_wire_tolerance_follows_the_root() -> None:
    wire = np.array([0.25e-3, 1e-3, 4e-3])
    np.testing.assert_allclose(wire_tolerance(wire), [7.5e-6, 15e-6, 30e-6])
    np.testing.assert_allclose(wire_tolerance(wire, 0.010), [5e-6, 10e-6, 20e-6])


def test_strength_is_the_sum_of_the_wires() -> None:
    """One wire of 1 mm² at 100 N/mm² bears 100 N; a hundred of them a metre bear 10 kN/m."""
    diameter = np.array([2.0 / np.sqrt(np.pi) * 1e-3])
    load = breaking_load_per_width(diameter, np.array([10e-3]), np.array([100e6]))
    assert load[0] == pytest.approx(10e3, rel=1e-12)
    half = breaking_load_per_width(diameter, np.array([10e-3]), np.array([100e6]), 0.5)
    assert half[0] == pytest.approx(5e3, rel=1e-12)
    with pytest.raises(ValueError, match="realised_share"):
        breaking_load_per_width(diameter, np.array([10e-3]), np.array([100e6]), 1.2)
    assert "Indicative" in CAUTION
    assert "local code" in CAUTION
