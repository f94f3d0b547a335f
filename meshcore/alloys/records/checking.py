"""What a contributed alloy must be like before it is let in."""

from __future__ import annotations

import numpy as np

from meshcore.alloys.methods import zinc
from meshcore.alloys.record import Alloy
from meshcore.alloys.records.naming import normalise

#: Density of a metal that can be drawn to wire: from magnesium alloys to osmium [kg/m³].
_DENSITY_RANGE = (1_300.0, 22_700.0)
#: Young's modulus, from magnesium alloys to osmium [GPa].
_MODULUS_RANGE = (35.0, 600.0)
#: The services that every alloy is rated for.
RATED_SERVICES = ("weld", "form", "anneal", "coat")
#: Numbers that need a source each.
_SOURCED = (
    "density_kg_m3",
    "composition_pct",
    "tensile_mpa",
    "modulus_gpa",
    "max_air_temperature_c",
    "finest_wire_mm",
)


def check_alloy(alloy: Alloy) -> str:
    """Say what is wrong with a contributed record, or return an empty text.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from meshcore.alloys.records.registry import installed_registry
    >>> steel = installed_registry().alloys[0]
    >>> check_alloy(steel)
    ''
    >>> "density_kg_m3" in check_alloy(replace(steel, density_kg_m3=7.85))
    True
    """
    wrong = [*_wrong_names(alloy), *_wrong_numbers(alloy), *_wrong_composition(alloy)]
    missing = [s for s in RATED_SERVICES if s not in alloy.services]
    if missing:
        wrong.append(f"services: no rating for {', '.join(missing)}")
    needs_source = [*_SOURCED, *(["zinc_coating_um"] if alloy.zinc_coating_um else [])]
    needs_source += ["curie_c"] if alloy.curie_c is not None else []
    if alloy.zinc_class and (alloy.zinc_class not in zinc.CLASSES or not alloy.zinc_coating_um):
        wrong.append(f"zinc_class: {alloy.zinc_class!r} is no class of EN 10244-2 on coated wire")
    unsourced = [f for f in needs_source if not alloy.sources.get(f, "").strip()]
    if unsourced:
        wrong.append(f'sources: none for {", ".join(unsourced)}; say "from memory" if it is so')
    return f"alloy {alloy.designation!r}: {'; '.join(wrong)}" if wrong else ""


def _wrong_names(alloy: Alloy) -> list[str]:
    wrong = []
    if not normalise(alloy.designation):
        wrong.append("designation: empty")
    if not alloy.family.strip():
        wrong.append("family: empty")
    return wrong


def _wrong_numbers(alloy: Alloy) -> list[str]:
    """Numbers out of their range; NaN is out of every range."""
    least, most = alloy.tensile_mpa
    allowed = {
        "density_kg_m3": (
            _DENSITY_RANGE[0] <= alloy.density_kg_m3 <= _DENSITY_RANGE[1],
            f"{alloy.density_kg_m3:g} is not the density of a metal in kg/m³",
        ),
        "modulus_gpa": (
            _MODULUS_RANGE[0] <= alloy.modulus_gpa <= _MODULUS_RANGE[1],
            f"{alloy.modulus_gpa:g} is not the modulus of a metal in GPa",
        ),
        "tensile_mpa": (0.0 < least <= most, f"{alloy.tensile_mpa} is no range from least to most"),
        "max_air_temperature_c": (
            0.0 < alloy.max_air_temperature_c < np.inf,
            f"{alloy.max_air_temperature_c:g} is no ceiling in °C",
        ),
        "finest_wire_mm": (
            0.0 < alloy.finest_wire_mm < np.inf,
            f"{alloy.finest_wire_mm:g} is no diameter in mm",
        ),
        "zinc_coating_um": (
            0.0 <= alloy.zinc_coating_um < np.inf,
            f"{alloy.zinc_coating_um:g} is no thickness in µm",
        ),
    }
    return [f"{field}: {why}" for field, (good, why) in allowed.items() if not good]


def _wrong_composition(alloy: Alloy) -> list[str]:
    whole = 100.0
    ranges = alloy.composition_pct
    wrong = [
        f"composition_pct: {element} {pair} is no range of per cent"
        for element, pair in ranges.items()
        if not 0.0 <= pair[0] <= pair[1] <= whole
    ]
    least, most = (sum(pair[end] for pair in ranges.values()) for end in (0, 1))
    if not least <= whole + 1e-9 or not most >= whole - 1e-9:
        wrong.append(f"composition_pct: adds up to {least:g}–{most:g} %, which leaves out 100 %")
    return wrong
