"""Correlations of several authors beside one another: their spread, their ranges, and the way back.

What each author says is held against its source in `tests/validation`.
"""

from __future__ import annotations

import numpy as np
import pytest
from screens import screen

from meshcore.uses.relations.flow import (
    FLUIDS,
    Fluid,
    loss_coefficients,
    pressure_drop,
    velocity_at,
)

AIR = FLUIDS["air"]


def test_authors_agree_within_their_spread() -> None:
    # The spread is part of the answer: under a factor of two wherever two or more speak.
    for aperture, wire in ((1.0, 0.4), (0.5, 0.2), (2.0, 0.63), (0.25, 0.16)):
        for speed in (1.0, 3.0, 8.0):
            drop = pressure_drop(screen(aperture, wire), speed, AIR)
            assert drop.authors[0] >= 2
            assert drop.low[0] <= drop.middle[0] <= drop.high[0] < 2.0 * drop.low[0]


def test_ranges_are_kept() -> None:
    slow = loss_coefficients(screen(0.1, 0.063), 1e-5, FLUIDS["water"])
    assert all(np.isnan(k).all() for k in slow.values())
    assert np.isnan(pressure_drop(screen(0.1, 0.063), 1e-5, FLUIDS["water"]).high[0])


def test_the_velocity_gives_back_the_drop() -> None:
    for fluid in (AIR, FLUIDS["water"], Fluid("thick", 900.0, 5e-3)):
        cloth = screen(0.5, 0.25)
        drop = pressure_drop(cloth, 0.8, fluid).high
        assert velocity_at(cloth, drop, fluid)[0] == pytest.approx(0.8, rel=0.03)
