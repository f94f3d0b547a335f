"""Scale on metals whose ceiling in air is set by something else: strength, embrittlement, colour.

Such a ceiling says nothing of how much of a thin wire is scale by the end. Where a parabola of the
metal is published the depth is reckoned by it; where none is held, wire that is thin is not judged
above the temperature up to which no scale counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from meshcore.alloys.methods.data_tables import data_rows
from meshcore.alloys.methods.families import all_of
from meshcore.arrays import BoolArray, FloatArray

#: Wire below which scale that nobody has measured is worth a doubt [m] (project's own).
THIN_M = 0.5e-3
_GAS_CONSTANT, _ZERO_C_K, _SECONDS_PER_HOUR = 8.314, 273.15, 3600.0


@dataclass(frozen=True, slots=True)
class ThinScale:
    """What is known of the scale of each alloy, one entry each.

    Parameters
    ----------
    free_to_c
        Temperature up to which no scale counts [°C]; infinite where a parabola is held, or where
        none ever counts.
    rate, activation
        Parabolic rate of the oxygen taken up, before heat [kg²/(m⁴·s)], and how it grows with heat
        [J/mol]; 0 where none is held.
    um_per_oxygen
        Depth of metal for each kg/m² of oxygen [µm·m²/kg].
    """

    free_to_c: FloatArray
    rate: FloatArray
    activation: FloatArray
    um_per_oxygen: FloatArray

    def depth_um(self, temperature_c: FloatArray, hours: FloatArray) -> FloatArray:
        """Depth of metal turned to scale [µm]; services down, alloys across.

        Examples
        --------
        Iron at 380 °C for 100,000 h: more than the radius of a wire of 0.1 mm.

        >>> iron = thin_scale(["carbon"])
        >>> iron.depth_um(np.array([[380.0]]), np.array([[1e5]])).round(-1).tolist()
        [[120.0]]
        """
        kelvin = np.maximum(temperature_c + _ZERO_C_K, 1.0)
        rate = self.rate * np.exp(-self.activation / (_GAS_CONSTANT * kelvin))
        oxygen = np.sqrt(rate * hours * _SECONDS_PER_HOUR)
        return np.asarray(oxygen * self.um_per_oxygen, dtype=np.float64)

    def unknown(self, temperature_c: FloatArray, wire_diameter_m: FloatArray) -> BoolArray:
        """Where a thin wire is hotter than anything held speaks of."""
        hot: BoolArray = temperature_c > self.free_to_c
        return hot & (wire_diameter_m < THIN_M)


@cache
def _by_family() -> dict[str, tuple[float, float, float, float]]:
    held = {}
    for row in data_rows("scales.csv"):
        rate, density = (float(row[c] or 0.0) for c in ("rate_kg2_m4_s", "density_kg_m3"))
        depth = float(row["per_oxygen"] or 0.0) / density * 1e6 if density else 0.0
        entry = (float(row["free_to_c"] or np.inf), rate, float(row["activation_j_mol"] or 0.0))
        for family in all_of(*row["families"].split()):
            held[family] = (*entry, depth)
    return held


def thin_scale(families: Sequence[str]) -> ThinScale:
    """Look up what is known of the scale of some families, in their order."""
    nothing = (np.inf, 0.0, 0.0, 0.0)
    rows = np.array([_by_family().get(f, nothing) for f in families], dtype=np.float64)
    return ThinScale(*rows.reshape(-1, 4).T)
