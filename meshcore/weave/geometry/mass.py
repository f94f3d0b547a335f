"""Mass of square mesh from wire diameter, pitch, path ratio and alloy density."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: Two sets of wires, warp and shute, run through each pitch of square mesh.
WIRE_SETS = 2


def mass_per_area(
    wire_diameter_m: FloatArray,
    pitch_m: FloatArray,
    path_ratio: FloatArray,
    density_kg_m3: FloatArray,
) -> FloatArray:
    """Mass of cloth per unit area.

    Parameters
    ----------
    wire_diameter_m, pitch_m
        Wire diameter and pitch [m]; arrays of one shape, or scalars that broadcast.
    path_ratio
        Wire length per unit length of cloth [-].
    density_kg_m3
        Density of the alloy [kg/m³].

    Returns
    -------
    Mass per area [kg/m²], the broadcast shape of the inputs.

    Notes
    -----
    Each square metre holds ``1/pitch`` wires a metre in warp and in shute, each ``path_ratio``
    metres long a metre of cloth, so the mass is ``2 · (π/4) d² ρ · path_ratio / pitch``. Selvedge
    wires and coatings are not counted.

    Examples
    --------
    >>> float(mass_per_area(0.635e-3, 2.54e-3, 1.032120, 7930.0).round(4))
    2.041
    """
    section = np.pi / 4 * np.square(wire_diameter_m)
    mass: FloatArray = WIRE_SETS * section * path_ratio * density_kg_m3 / pitch_m
    return mass
