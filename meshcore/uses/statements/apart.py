"""Guards and test sieves: openings that a standard gives."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, LOCK_CRIMP, PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.relations import guarding, sieves
from meshcore.uses.statement import (
    PRACTICE,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    everything,
    nothing,
    number,
    open_area_measure,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.tolerances import industrial_tolerance

#: Least aperture over the largest allowed that is worth offering [-]: a judgement, no source.
_LEAST_SHARE = 0.4
#: How far the wire of a test sieve may be from the preferred one [-] (ISO 3310-1, from memory).
_WIRE_WITHIN = 0.15
_EQUAL = 1e-6


def _ask_guard(figures: Figures, _metal: Metal) -> Wanted:
    distance, least = number(figures, "distance"), number(figures, "least_wire")
    opening = float(guarding.largest_opening(distance))

    if np.isnan(opening):
        return nothing(f"nearer than 2 mm, as {distance * 1e3:.3g} mm is, the table of ISO 13857 "
                       "allows no opening (from memory)")  # fmt: skip

    def allowed(cloth: ClothColumns) -> BoolArray:
        largest = cloth.aperture_m + industrial_tolerance(cloth.aperture_m)
        inside: BoolArray = largest <= opening * (1.0 + _EQUAL)
        return inside

    def cost(cloth: ClothColumns) -> FloatArray:
        total: FloatArray = np.log(opening / cloth.aperture_m) + 0.3 * (1.0 - cloth.open_area)
        return total

    return Wanted(
        (_LEAST_SHARE * opening, opening),
        (least, max(opening, least)),
        (
            (DOUBLE_CRIMP, "pre-crimped wires keep the opening under a push"),
            (WELDED, "welded crossings keep the opening under a push"),
            (LOCK_CRIMP, "wires locked at the crossings"),
            (INTERMEDIATE_CRIMP, "light wire over the aperture is held by extra crimps"),
            (PLAIN, "too fine to be pre-crimped"),
        ),
        allowed,
        cost,
        (
            f"at {distance * 1e3:.4g} mm from the danger a square opening is at most "
            f"{opening * 1e3:.4g} mm, the tolerance of the aperture included (ISO 13857, table "
            "4, from memory)",
            f"wire of {least * 1e3:.3g} mm or more, so that it is stiff ({PRACTICE})",
        ),
        ("a push must not open the mesh, nor bend the guard nearer: test its stiffness",),
    )


def _guard_measures(cloth: ClothColumns, _figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    largest = cloth.aperture_m + industrial_tolerance(cloth.aperture_m)
    return (
        Measure("least distance", guarding.least_distance(largest) * 1e3, "mm",
                "ISO 13857, table 4 (from memory), at the aperture with its tolerance"),
        Measure("opening with tolerance", largest * 1e3, "mm", f"average aperture ({PRACTICE})"),
        open_area_measure(cloth),
    )  # fmt: skip


GUARDING = Statement(
    "guarding",
    "Guarding",
    (
        Figure("distance", "Distance to the danger", "length", "200 mm", needed=True),
        Figure("least_wire", "Wire at least", "length", "2 mm", "2 mm"),
    ),
    _ask_guard,
    _guard_measures,
    ("galvanized steel", "304"),
    guarding.CAUTION,
    ("ISO 13857:2019, table 4 (from memory)",),
)


def _ask_sieve(figures: Figures, _metal: Metal) -> Wanted:
    aperture = number(figures, "aperture")
    sieve = sieves.sieve_of(aperture)
    if sieve is None:
        return nothing("no test sieve of the standard has this aperture")
    wire = sieve.wire_m
    numbered = f", number {sieve.number} of ASTM E11" if sieve.number else ""
    return Wanted(
        (aperture * (1.0 - _EQUAL), aperture * (1.0 + _EQUAL)),
        (wire * (1.0 - _WIRE_WITHIN), wire * (1.0 + _WIRE_WITHIN)),
        ((PLAIN, "test sieves are plain woven (ISO 3310-1, from memory)"),
         (TWILLED, "too fine for plain weave, which the standard allows (from memory)"),
         (DOUBLE_CRIMP, "so coarse a sieve is pre-crimped"),
         (INTERMEDIATE_CRIMP, "so light a wire over the aperture is held by extra crimps")),
        everything,
        lambda cloth: away(cloth.wire_diameter_m, wire),
        (
            f"sieve {sieve.designation}{numbered}, preferred wire {wire * 1e3:.4g} mm (ISO 3310-1, "
            "from memory)",
            f"single apertures at most {sieve.single_m * 1e6:.3g} µm over, the average within "
            f"{sieve.average_m * 1e6:.3g} µm",
        ),
        tuple(f"a certificate of {text}" for text in sieves.CERTIFICATES),
    )  # fmt: skip


def _sieve_measures(cloth: ClothColumns, _figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    found = [sieves.sieve_of(float(aperture)) for aperture in cloth.aperture_m]
    nominal, wire, average = (
        np.array([getattr(one, name) if one else np.nan for one in found])
        for name in ("aperture_m", "wire_m", "average_m")
    )
    origin = "ISO 3310-1 (from memory)"
    return (
        Measure("sieve", nominal * 1e3, "mm", origin),
        Measure("preferred wire", wire * 1e3, "mm", origin),
        Measure("average within", average * 1e6, "µm", origin),
        open_area_measure(cloth),
    )


TEST_SIEVING = Statement(
    "test sieving",
    "Test sieves",
    (Figure("aperture", "Aperture", "sieve", "150 µm", needed=True),),
    _ask_sieve,
    _sieve_measures,
    ("304", "brass"),
    sieves.CAUTION,
    ("ISO 3310-1 and ASTM E11 (from memory)",),
)
