"""Mass of cloth by the flat 3 % crimp allowance, to set beside that of the wire's own path."""

from __future__ import annotations

from meshcore.arrays import FloatArray
from meshcore.weave.cloth import ClothColumns, by_alloy
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import cloth_path


def flat_rule_mass_per_area(cloth: ClothColumns) -> FloatArray:
    """Mass per area by the flat rule [kg/m²], whatever path the cloth was worked out with."""
    density = by_alloy(cloth, lambda alloy: alloy.density_kg_m3)
    wire, pitch = cloth.wire_diameter_m, cloth.pitch_m
    flat = cloth_path(cloth.weave, wire, pitch, path_model="flat")
    return mass_per_area(wire, pitch, flat.path_ratio, density)
