"""K. E. G. Wieghardt, On the resistance of screens, 1953 (from memory), worked by hand."""

from __future__ import annotations

import pytest
from screens import screen

from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


def test_wieghardt_by_hand() -> None:
    # α = (1/1.4)² = 0.5102; Re = 5·0.4e-3/(0.5102·1.5158e-5) = 258.6; K = 6.5·0.4898/0.2603/6.371.
    found = float(loss_coefficients(screen(1.0, 0.4), 5.0, AIR)["Wieghardt 1953"][0])
    assert found == pytest.approx(1.920, abs=0.002)
