"""J. C. Armour and J. N. Cannon, Fluid flow through woven screens, AIChE J. 14, 1968.

From memory, worked by hand from the wire up.
"""

from __future__ import annotations

import math

import pytest
from screens import screen

from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


def test_armour_and_cannon_by_hand() -> None:
    # Void and surface follow from the wire: per area π/2·d²·ℓ/p = 0.18669e-3 m, of 0.8e-3 m thick.
    cloth = screen(1.0, 0.4)
    void = 1.0 - 0.5 * math.pi * 0.4**2 * 1.04 / 1.4 / 0.8
    surface = 4.0 * (1.0 - void) / 0.4e-3
    reynolds = 1.204 * 5.0 / (1.825e-5 * surface**2 * 1e-3)
    by_hand = 2.0 * (8.61 / reynolds + 0.52) * 0.8 / (void**2 * 1.0)
    found = float(loss_coefficients(cloth, 5.0, AIR)["Armour and Cannon 1968"][0])
    assert found == pytest.approx(by_hand, rel=1e-9)
    assert 55 < reynolds < 65
