"""Loss coefficients of Blevins (Applied Fluid Dynamics Handbook, 1984) as `fluids` has his tables.

`fluids` (PyPI, a general-purpose library) computes them one by one; here they are columns.
"""

from __future__ import annotations

import pytest
from fluids.filters import round_edge_open_mesh, round_edge_screen
from screens import screen

from meshcore.uses.relations.flow import FLUIDS, loss_coefficients

AIR = FLUIDS["air"]


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
