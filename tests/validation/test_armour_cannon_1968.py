"""J. C. Armour and J. N. Cannon, Fluid flow through woven screens, AIChE J. 14, 1968.

The coefficients 8.61 and 0.52, the weaves and the ranges are those of its abstract; the formula is
from memory, worked by hand from the wire up.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from screens import screen

from meshcore.enquiry import DOUBLE_CRIMP, PLAIN, TWILLED
from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


def loss(aperture: float, wire: float, speed: float, weave: int = PLAIN) -> float:
    found = loss_coefficients(screen(aperture, wire, weave), speed, AIR)
    return float(found["Armour and Cannon 1968"][0])


def test_armour_and_cannon_by_hand() -> None:
    # Void and surface follow from the wire: per area π/2·d²·ℓ/p, of 2d thick.
    void = 1.0 - 0.5 * math.pi * 0.2**2 * 1.04 / 0.6 / 0.4
    surface = 4.0 * (1.0 - void) / 0.2e-3
    reynolds = 1.204 * 5.0 / (1.825e-5 * surface**2 * 0.4e-3)
    by_hand = 2.0 * (8.61 / reynolds + 0.52) * 0.4 / (void**2 * 0.4)
    assert loss(0.4, 0.2, 5.0) == pytest.approx(by_hand, rel=1e-9)
    assert 20 < reynolds < 50


def test_only_the_weaves_that_they_measured_are_covered() -> None:
    """Plain square and full twill, and three that are no square mesh (their abstract)."""
    assert np.isfinite(loss(0.4, 0.2, 5.0, TWILLED))
    assert math.isnan(loss(0.4, 0.2, 5.0, DOUBLE_CRIMP))


@pytest.mark.parametrize(
    ("aperture", "wire", "speed"),
    [(0.56, 0.25, 5.0), (0.4, 0.05, 5.0), (0.4, 0.2, 0.01), (0.4, 0.2, 500.0), (0.004, 0.004, 5.0)],
)
def test_outside_the_ranges_of_the_abstract_they_say_nothing(
    aperture: float, wire: float, speed: float
) -> None:
    assert math.isnan(loss(aperture, wire, speed))
    assert np.isfinite(loss(0.54, 0.25, 5.0))
