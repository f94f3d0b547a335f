"""Loss coefficients of wire screens: Blevins 1984, as the PyPI package `fluids` has his tables.

`fluids` (a general-purpose library) computes them one by one; here they are columns. The other
authors, from memory, are worked by hand below, and held against one another where ranges overlap.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from fluids.filters import round_edge_open_mesh, round_edge_screen

from meshcore.uses.relations.flow import (
    FLUIDS,
    Fluid,
    ScreenColumns,
    loss_coefficients,
    pressure_drop,
    velocity_at,
)

AIR = FLUIDS["air"]


def screen(aperture_mm: float, wire_mm: float) -> ScreenColumns:
    pitch = aperture_mm + wire_mm
    sizes = (aperture_mm * 1e-3, wire_mm * 1e-3, 2e-3 * wire_mm, (aperture_mm / pitch) ** 2, 1.04)
    return ScreenColumns(*(np.array([size]) for size in sizes))


@pytest.mark.parametrize(("aperture", "wire"), [(1.0, 0.4), (2.0, 0.63), (0.5, 0.25), (5.0, 1.2)])
@pytest.mark.parametrize("speed", [0.7, 2.0, 5.0, 12.0])
def test_round_wire_as_fluids_has_it(aperture: float, wire: float, speed: float) -> None:
    cloth = screen(aperture, wire)
    reynolds = AIR.density_kg_m3 * speed * aperture * 1e-3 / AIR.viscosity_pa_s
    found = float(loss_coefficients(cloth, speed, AIR)["Blevins 1984, round wire"][0])
    assert found == pytest.approx(round_edge_screen(float(cloth.open_area[0]), reynolds), rel=1e-9)


def test_open_mesh_as_fluids_has_it() -> None:
    cloth = screen(50.0, 3.0)
    found = float(loss_coefficients(cloth, 5.0, AIR)["Blevins 1984, open mesh"][0])
    alpha = float(cloth.open_area[0])
    assert found == pytest.approx(round_edge_open_mesh(alpha, "round bar screen"), rel=1e-9)


def test_wieghardt_by_hand() -> None:
    # α = (1/1.4)² = 0.5102; Re = 5·0.4e-3/(0.5102·1.5158e-5) = 258.6; K = 6·0.4898/0.2603/6.371.
    found = float(loss_coefficients(screen(1.0, 0.4), 5.0, AIR)["Wieghardt 1953"][0])
    assert found == pytest.approx(1.772, abs=0.002)


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


def test_brundrett_by_hand() -> None:
    # Re = 5·0.4e-3/1.5158e-5 = 131.9: 0.0540 + 0.4137 + 0.1166 = 0.5843; (1 − α²)/α² = 2.8416.
    found = float(loss_coefficients(screen(1.0, 0.4), 5.0, AIR)["Brundrett 1993"][0])
    assert found == pytest.approx(1.660, abs=0.003)


def test_idelchik_by_hand() -> None:
    # α = (5/6.2)² = 0.6504: 1.3·0.3496 + (0.5376)² = 0.7435.
    found = float(loss_coefficients(screen(5.0, 1.2), 12.0, AIR)["Idelchik, round wire"][0])
    assert found == pytest.approx(0.7435, abs=5e-4)


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
    open_cloth = loss_coefficients(screen(50.0, 1.0), 1.0, AIR)
    assert np.isnan(open_cloth["Brundrett 1993"][0])


def test_the_velocity_gives_back_the_drop() -> None:
    for fluid in (AIR, FLUIDS["water"], Fluid("thick", 900.0, 5e-3)):
        cloth = screen(0.5, 0.25)
        drop = pressure_drop(cloth, 0.8, fluid).high
        assert velocity_at(cloth, drop, fluid)[0] == pytest.approx(0.8, rel=0.03)
