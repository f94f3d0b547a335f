"""ISO 9044:2016, industrial woven wire cloth: terms, and the flat rule of mass (from memory).

Standing: definitions and the rule ρ·d²/(618.1·p) are remembered, not read; the constant has four
figures, and so has the agreement asked of it.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.enquiry import PLAIN
from meshcore.messages import MessageLog
from meshcore.reading.columns import read_column
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import FLAT_RULE_RATIO, PathModel, cloth_path
from meshcore.weave.specification.completing import complete


def mass(wire_mm: float, pitch_mm: float, density: float, model: PathModel) -> float:
    wire, pitch = np.array([wire_mm * 1e-3]), np.array([pitch_mm * 1e-3])
    path = cloth_path(np.array([PLAIN]), wire, pitch, path_model=model)
    return float(mass_per_area(wire, pitch, path.path_ratio, np.array([density]))[0])


def test_terms() -> None:
    """Mesh count is 25.4 mm over the pitch, pitch is aperture and wire, open area is (w/p)²."""
    log = MessageLog(1)
    readings = {
        "aperture": read_column(["2.0 mm"], "length", "aperture", log),
        "wire_diameter": read_column(["0.54 mm"], "length", "wire_diameter", log),
    }
    done = complete(readings, log)
    assert 25.4e-3 / done.pitch_m[0] == pytest.approx(10.0, rel=1e-12)
    assert done.open_area[0] == pytest.approx((2.0 / 2.54) ** 2, rel=1e-12)


@pytest.mark.parametrize(("wire", "pitch"), [(0.635, 2.54), (0.036, 0.081), (6.3, 56.3)])
@pytest.mark.parametrize("density", [7850.0, 7930.0, 2640.0])
def test_flat_rule(wire: float, pitch: float, density: float) -> None:
    assert mass(wire, pitch, density, "flat") == pytest.approx(
        wire**2 * density / (618.1 * pitch), rel=1e-12
    )


def test_flat_rule_for_steel_is_12_7() -> None:
    """For steel of 7850 kg/m³ the rule reads 12.7·d²/p, a constant of three figures."""
    assert mass(1.0, 4.0, 7850.0, "flat") * 4.0 == pytest.approx(12.7, abs=0.05)
    assert pytest.approx(1.02996, abs=5e-6) == FLAT_RULE_RATIO


def test_worked_example() -> None:
    """10 per inch, 0.635 mm, 7930 kg/m³: 2.0410 by the arc path, 2.0367 by the flat rule."""
    assert mass(0.635, 2.54, 7930.0, "arc") == pytest.approx(2.0410, abs=5e-5)
    assert mass(0.635, 2.54, 7930.0, "flat") == pytest.approx(2.0367, abs=5e-5)
