"""What an engineer asks next about cloth: tolerances, what they do, and what the wires bear."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.arrays import FloatArray
from meshcore.weave.cloth import ClothColumns, by_alloy
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.strength import breaking_load_per_width
from meshcore.weave.geometry.tolerances import (
    aperture_tolerance,
    sieve_tolerance,
    tolerance_effect,
    wire_tolerance,
)

_PA_PER_MPA = 1e6


@dataclass(frozen=True, slots=True)
class ClothDetails:
    """Tolerances and strength, one row a line; NaN where the line has no sizes or no alloy.

    Parameters
    ----------
    wire_tolerance_m
        Either way, on the wire diameter [m]; NaN where its standard does not cover it.
    aperture_tolerance_m
        Either way, on the average aperture of industrial cloth [m]; NaN where its standard is not
        known here.
    sieve_average_m, sieve_single_m
        The same for test-sieve cloth, and how far a single aperture may exceed nominal [m].
    open_area_low, open_area_high
        At the ends of the industrial and wire tolerances [-].
    mass_share_low, mass_share_high
        Mass per area at those ends, over nominal [-].
    mass_low_kg_m2, mass_high_kg_m2
        The same as mass per area [kg/m²].
    breaking_load_low_n_m, breaking_load_high_n_m
        Sum of the wires' breaking loads per width, at the ends of the alloy's annealed strength
        [N/m]; show `meshcore.weave.geometry.strength.CAUTION` with it.
    """

    wire_tolerance_m: FloatArray
    aperture_tolerance_m: FloatArray
    sieve_average_m: FloatArray
    sieve_single_m: FloatArray
    open_area_low: FloatArray
    open_area_high: FloatArray
    mass_share_low: FloatArray
    mass_share_high: FloatArray
    mass_low_kg_m2: FloatArray
    mass_high_kg_m2: FloatArray
    breaking_load_low_n_m: FloatArray
    breaking_load_high_n_m: FloatArray


def cloth_details(cloth: ClothColumns) -> ClothDetails:
    """Work out tolerances and strength of every line.

    Parameters
    ----------
    cloth
        The cloth; lines without sizes or alloy give NaN.

    Examples
    --------
    >>> from meshcore import Enquiry, estimate
    >>> cloth = estimate(Enquiry(mesh_count="10 / in", wire_diameter="0.025 in",
    ...                          alloy="304")).estimates.orders.cloth
    >>> details = cloth_details(cloth)
    >>> round(float(details.breaking_load_low_n_m[0]) / 1e3, 1)
    72.3
    """
    wire, aperture = cloth.wire_diameter_m, cloth.aperture_m
    wire_way, aperture_way = wire_tolerance(wire), aperture_tolerance(cloth.weave, aperture)
    sieve = sieve_tolerance(aperture)
    effect = tolerance_effect(cloth.weave, wire, aperture, wire_way, aperture_way)
    low = by_alloy(cloth, lambda alloy: alloy.tensile_mpa[0]) * _PA_PER_MPA
    high = by_alloy(cloth, lambda alloy: alloy.tensile_mpa[1]) * _PA_PER_MPA
    density = by_alloy(cloth, lambda alloy: alloy.density_kg_m3)
    mass = mass_per_area(wire, cloth.pitch_m, cloth.path_ratio, density)
    return ClothDetails(
        wire_tolerance_m=wire_way,
        aperture_tolerance_m=aperture_way,
        sieve_average_m=sieve.average,
        sieve_single_m=sieve.single,
        open_area_low=effect.open_area_low,
        open_area_high=effect.open_area_high,
        mass_share_low=effect.mass_share_low,
        mass_share_high=effect.mass_share_high,
        mass_low_kg_m2=mass * effect.mass_share_low,
        mass_high_kg_m2=mass * effect.mass_share_high,
        breaking_load_low_n_m=breaking_load_per_width(wire, cloth.pitch_m, low),
        breaking_load_high_n_m=breaking_load_per_width(wire, cloth.pitch_m, high),
    )
