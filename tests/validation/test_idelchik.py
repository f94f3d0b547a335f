"""I. E. Idelchik, Handbook of Hydraulic Resistance, round wire (from memory), worked by hand."""

from __future__ import annotations

import pytest
from screens import screen

from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


def test_idelchik_by_hand() -> None:
    # α = (5/6.2)² = 0.6504: 1.3·0.3496 + (0.5376)² = 0.7435.
    found = float(loss_coefficients(screen(5.0, 1.2), 12.0, AIR)["Idelchik, round wire"][0])
    assert found == pytest.approx(0.7435, abs=5e-4)
