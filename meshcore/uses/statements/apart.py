"""Guards and test sieves: openings that a standard gives."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, LOCK_CRIMP, PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import guarding, sieves
from meshcore.uses.statement import (
    NO_ALLOWANCE,
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    away,
    nothing,
    number,
    open_area_measure,
    open_wish,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.tolerances import largest_opening

#: Least aperture over the largest allowed that is worth offering [-]: a judgement, no source.
_LEAST_SHARE = 0.4
#: How far the wire of a test sieve may be from the preferred one [-] (ISO 3310-1, from memory).
_WIRE_WITHIN = 0.15
_EQUAL = 1e-6
#: Below this, sieves are told in micrometres [m].
_MM = 1e-3
_ALLOWANCE = (
    "an allowance over the nominal aperture, no tolerance: none is covered for a single opening of "
    f"any weave, nor for the average of pre-crimped and welded screens ({PRACTICE})"
)


def _ask_guard(figures: Figures, _metal: Metal) -> Wanted:
    distance, least = number(figures, "distance"), number(figures, "least_wire")
    opening = float(guarding.largest_opening(distance))

    if np.isnan(opening):
        return nothing(f"nearer than 2 mm, as {plain(distance * 1e3)} mm is, the table of "
                       "ISO 13857 "
                       "allows no opening (from memory)")  # fmt: skip

    def small(cloth: ClothColumns) -> BoolArray:
        inside: BoolArray = largest_opening(cloth.aperture_m) <= opening * (1.0 + _EQUAL)
        return inside

    def stiff(cloth: ClothColumns) -> BoolArray:
        enough: BoolArray = cloth.wire_diameter_m >= least * (1.0 - _EQUAL)
        return enough

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
        (
            Demand(
                f"at {plain(distance * 1e3, 4)} mm from the danger the largest single opening is "
                f"at most {plain(opening * 1e3, 4)} mm (ISO 13857, table 4, from memory)",
                small,
            ),
            Demand(
                f"wire of {plain(least * 1e3)} mm or more, so that it is stiff ({PRACTICE})", stiff
            ),
            *open_wish(figures),
        ),
        cost,
        bound=True,
        hints=(
            "a push must not open the mesh, nor bend the guard nearer: test its stiffness",
            f"{_ALLOWANCE}: have the largest opening measured, and agree it in the order",
        ),
    )


def _guard_measures(cloth: ClothColumns, _figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    largest = largest_opening(cloth.aperture_m)
    return (
        Measure("least distance", guarding.least_distance(largest) * 1e3, "mm",
                "ISO 13857, table 4 (from memory), at the largest single opening",
                "the table ends at 120 mm, which the largest single opening is above"),
        Measure("largest single opening", largest * 1e3, "mm", _ALLOWANCE, NO_ALLOWANCE),
        open_area_measure(cloth),
    )  # fmt: skip


GUARDING = Statement(
    "guarding",
    "Guarding",
    (
        Figure(
            "distance",
            "Distance to the danger",
            "length",
            "200 mm",
            needed=True,
            of_range="least",
            usual=(0.0, 3.0),
        ),
        Figure("least_wire", "Wire at least", "length", "2 mm", "2 mm", usual=(1e-3, 12e-3)),
        OPEN_AREA,
    ),
    _ask_guard,
    _guard_measures,
    ("galvanized steel", "304"),
    guarding.CAUTION,
    ("ISO 13857:2019, table 4 (from memory)",),
    f"guards stand dry indoors, and zinc keeps them so long ({PRACTICE}); outdoors near the sea, "
    "or where they are washed down, name another",
    tells_alone=True,
    beyond={
        "children": "the table here is for persons of 14 years and more; ISO 13857 has another for "
        "children from 3 (table 5), which is not here. Take the largest opening from it, with the "
        "machine's risk assessment, and price a cloth by that opening.",
    },
)


def _ask_sieve(figures: Figures, _metal: Metal) -> Wanted:
    aperture = number(figures, "aperture")
    sieve = sieves.sieve_of(aperture)
    if sieve is None:
        return nothing(
            "no test sieve of ISO 3310-1 or ASTM E11 has an aperture of "
            f"{plain(aperture * 1e3, 4)} mm; next to it: "
            f"{' and '.join(sieves.near_sieves(aperture))} (from memory)"
        )
    american = sieves.sieve_of(aperture, "ASTM E11")
    assert american is not None
    wire = sieve.wire_m
    numbered = f", {sieve.astm} of ASTM E11" if sieve.astm else ", which ASTM E11 does not list"
    return Wanted(
        (aperture * (1.0 - _EQUAL), aperture * (1.0 + _EQUAL)),
        (wire * (1.0 - _WIRE_WITHIN), wire * (1.0 + _WIRE_WITHIN)),
        ((PLAIN, "test sieves are plain woven (ISO 3310-1, from memory)"),
         (TWILLED, "too fine for plain weave, which the standard allows (from memory)"),
         (DOUBLE_CRIMP, "so coarse a sieve is pre-crimped"),
         (INTERMEDIATE_CRIMP, "so light a wire over the aperture is held by extra crimps")),
        (
            Demand(
                f"aperture of sieve {sieve.designation}{numbered}: single apertures at most "
                f"{plain(sieve.single_m * 1e6)} µm over, the average within "
                f"{plain(sieve.average_m * 1e6)} µm (ISO 3310-1:2016, from memory); by ASTM E11 "
                f"{plain(american.single_m * 1e6)} and {plain(american.average_m * 1e6)} µm (from "
                "memory)",
                lambda cloth: away(cloth.aperture_m, aperture) <= _EQUAL,
            ),
            Demand(
                f"preferred wire {sieves.written_size(wire)}, within {_WIRE_WITHIN:.0%} (ISO "
                "3310-1, from memory)",
                lambda cloth: np.abs(cloth.wire_diameter_m / wire - 1.0) <= _WIRE_WITHIN + _EQUAL,
            ),
        ),
        lambda cloth: away(cloth.wire_diameter_m, wire),
        bound=True,
        hints=tuple(f"a certificate of {text}" for text in sieves.CERTIFICATES),
    )  # fmt: skip


def _sieve_measures(cloth: ClothColumns, _figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    found = [sieves.sieve_of(float(aperture)) for aperture in cloth.aperture_m]
    american = [sieves.sieve_of(float(aperture), "ASTM E11") for aperture in cloth.aperture_m]
    nominal, wire, average = (
        _of_each(found, name) for name in ("aperture_m", "wire_m", "average_m")
    )
    origin, outside = "ISO 3310-1 (from memory)", "no test sieve has this aperture"
    fine = np.nanmax(nominal, initial=0.0) < _MM
    unit, factor = ("µm", 1e6) if fine else ("mm", 1e3)
    return (
        Measure("sieve", nominal * factor, unit, origin, outside),
        Measure("preferred wire", wire * factor, unit, origin, outside),
        Measure("average within", average * 1e6, "µm", "ISO 3310-1:2016 (from memory)", outside),
        Measure("single opening over by", _of_each(found, "single_m") * 1e6, "µm",
                "ISO 3310-1:2016 (from memory)", outside),
        Measure("average within, ASTM E11", _of_each(american, "average_m") * 1e6, "µm",
                "ASTM E11 (from memory)", outside),
        open_area_measure(cloth),
    )  # fmt: skip


def _of_each(found: Sequence[sieves.Sieve | None], name: str) -> FloatArray:
    return np.array([getattr(one, name) if one else np.nan for one in found])


TEST_SIEVING = Statement(
    "test sieving",
    "Test sieves",
    (
        Figure(
            "aperture",
            "Sieve",
            "sieve",
            "150 µm",
            needed=True,
            note='its aperture, or its designation by ASTM E11: "No. 100", "1/4 in"',
        ),
    ),
    _ask_sieve,
    _sieve_measures,
    ("304", "brass 70/30"),
    sieves.CAUTION,
    ("ISO 3310-1 and ASTM E11 (from memory)",),
    f"stainless steel is not stained by what is sieved wet ({PRACTICE})",
    tells_alone=True,
)
