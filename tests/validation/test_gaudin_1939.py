"""Chance that a sphere passes a square aperture: Gaudin, Principles of Mineral Dressing, 1939.

((a − x)/(a + d))², from memory. Beside the formula stands a trial: spheres dropped at random on a
grid of round wires, level and inclined, whose centres come within a radius of a wire or do not.
The trial knows nothing of the formula; with 400,000 drops its error is about 0.0008.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.uses.relations.screening import cut_size, passage_chance, share_passed

DROPS = 400_000


@pytest.mark.parametrize(
    ("x", "a", "d", "chance"),
    [
        (5.0, 10.0, 2.5, 0.16),
        (0.0, 8.0, 2.0, 0.64),
        (9.0, 10.0, 2.0, 1 / 144),
        (10.0, 10.0, 2.0, 0),
    ],
)
def test_the_formula_by_hand(x: float, a: float, d: float, chance: float) -> None:
    assert passage_chance(x, a, d) == pytest.approx(chance)


@pytest.mark.parametrize("degrees", [0.0, 20.0, 35.0])
def test_spheres_dropped_at_random(degrees: float) -> None:
    rng = np.random.default_rng(20261126)
    aperture, wire, sphere, slope = 8.0, 2.5, 4.0, np.deg2rad(degrees)
    pitch = aperture + wire
    # Looking straight down, one set of wires is foreshortened; each wire still shows its diameter.
    across = np.abs(rng.uniform(-0.5, 0.5, DROPS)) * pitch
    along = np.abs(rng.uniform(-0.5, 0.5, DROPS)) * pitch * np.cos(slope)
    clear = 0.5 * (wire + sphere)
    passed = (across > clear) & (along > clear)
    assert passage_chance(sphere, aperture, wire, slope) == pytest.approx(passed.mean(), abs=0.004)


def test_half_pass_at_the_cut_size() -> None:
    for aperture, wire, degrees, trials in (
        (7.1, 2.0, 20, 60),
        (31.5, 10.0, 0, 30),
        (0.6, 0.2, 15, 90),
    ):
        slope = np.deg2rad(degrees)
        size = float(cut_size(aperture, wire, slope, trials))
        passed = share_passed(passage_chance(size, aperture, wire, slope), trials)
        assert passed == pytest.approx(0.5, abs=1e-9)
        assert 0.6 * aperture < size < aperture


@pytest.mark.parametrize(
    ("slope", "wire"), [(np.deg2rad(46), 1.0), (-0.1, 1.0), (0.2, 0.0), (np.deg2rad(44), 12.0)]
)
def test_outside_its_range_it_says_nothing(slope: float, wire: float) -> None:
    assert np.isnan(passage_chance(1.0, 5.0, wire, slope))
    assert np.isnan(cut_size(5.0, wire, slope, 60.0))
