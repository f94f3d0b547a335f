"""Air and insects: ventilation, and what an aperture keeps out."""

from __future__ import annotations

import numpy as np

from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import flow, insects
from meshcore.uses.statement import (
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Taken,
    Wanted,
    least_open,
    number,
    open_wish,
)
from meshcore.uses.statements.through_flow import (
    DROP,
    FLOW_SOURCES,
    USUAL_AIR,
    finer_than,
    finest,
    flow_measures,
)
from meshcore.weave.cloth import ClothColumns

#: Wire over pitch of cloth that the wind moves, and of cloth that is fixed in a frame: common
#: practice, no source.
_INSECT_WIRE, _AIR_WIRE = 0.19, 0.15
#: The same of cloth against animals, and the aperture from which it is against those [m]: as mesh
#: of 1/2 in is woven or welded of 1.06 mm and more (common practice, no source).
_ANIMAL_WIRE, _ANIMALS_FROM_M = 0.11, 5e-3
_SPARKS = Taken(
    "keep_out",
    "12.7 mm",
    "a chimney's arrester lets no ball of 12.7 mm through and stops none of 9.5 mm, with an open "
    "area of four times the flue (International Residential Code, R1003.9.2, from memory). An "
    "engine's is far finer, 0.58 mm (SAE J350, from memory). The code in force and the fire "
    "authority decide: write what they ask.",
)


def _ask_ventilation(figures: Figures, _metal: Metal) -> Wanted:
    keep, least = number(figures, "keep_out"), number(figures, "open_area")
    return finest(
        keep,
        (
            (PLAIN, "plain weave holds this open area"),
            (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, so the wires are pre-crimped"),
            (INTERMEDIATE_CRIMP, "light wire over a large aperture is held by extra crimps"),
            (WELDED, "welded crossings hold light wire over a large aperture"),
        ),
        figures,
        (
            Demand(f"what is {plain(keep * 1e3)} mm across stays out (geometry)", finer_than(keep)),
            least_open(least),
        ),
        _AIR_WIRE,
    )


def _air_measures(cloth: ClothColumns, figures: Figures, _metal: Metal) -> tuple[Measure, ...]:
    light = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m) * 100.0
    slanting = insects.light_passed(cloth.aperture_m, cloth.wire_diameter_m, _SLANT_RAD) * 100.0
    return (
        *flow_measures(cloth, figures),
        Measure("light, straight", light, "%", "shadow of the wires"),
        Measure("light at 45°", slanting, "%", "shadow of the wires"),
    )


def _insect_measures(cloth: ClothColumns, figures: Figures, metal: Metal) -> tuple[Measure, ...]:
    kept = [insects.kept_out_by(float(aperture)) for aperture in cloth.aperture_m]
    smallest = np.array([out[0].aperture_m if out else np.nan for out in kept])
    largest = insects.KEPT_OUT[-1]
    return (
        Measure("keeps out", smallest * 1e3, "mm",
                "the smallest of the list whose largest aperture this is not above; young ones are "
                "smaller",
                f"nothing of the list, which ends with {largest.name} at "
                f"{plain(largest.aperture_m * 1e3)} mm",
                tuple(f"{out[0].name} and larger" if out else "" for out in kept)),
        *_air_measures(cloth, figures, metal),
    )  # fmt: skip


_SLANT_RAD = 0.25 * np.pi
VENTILATION = Statement(
    "ventilation",
    "Ventilation",
    (
        Figure(
            "keep_out",
            "Smallest thing to keep out",
            "length",
            "6 mm",
            needed=True,
            of_range="least",
            usual=(0.5e-3, 60e-3),
        ),
        Figure("open_area", "Open area at least", "share", "60 %", "60 %", usual=(0.2, 0.9)),
        Figure(
            "speed",
            "Speed of the air",
            "speed",
            "2 m/s",
            "2 m/s",
            of_range="greatest",
            usual=USUAL_AIR,
        ),
        DROP,
    ),
    _ask_ventilation,
    _air_measures,
    ("304", "galvanized steel"),
    flow.CAUTION,
    FLOW_SOURCES,
    f"it stands in the weather without paint ({PRACTICE}); near the sea, name 316L",
    tells_alone=True,
    taken={"spark arrester": _SPARKS},
)


def _ask_insects(figures: Figures, _metal: Metal) -> Wanted:
    one = next(k for k in insects.KEPT_OUT if k.name == figures["insect"])
    return finest(
        one.aperture_m,
        ((PLAIN, "fine cloth is plain woven"), (WELDED, "welded mesh keeps out larger animals")),
        figures,
        (
            Demand(
                f"{one.name} are kept out to {plain(one.aperture_m * 1e3)} mm ({one.origin})",
                finer_than(one.aperture_m),
            ),
            *open_wish(figures),
        ),
        _ANIMAL_WIRE if one.aperture_m >= _ANIMALS_FROM_M else _INSECT_WIRE,
    )


INSECTS = Statement(
    "insects",
    "Insects and small animals",
    (
        Figure("insect", "What to keep out", "choice", "mosquitoes", needed=True,
               choices=tuple(k.name for k in insects.KEPT_OUT), smallest_first=True),
        Figure("speed", "Speed of the air", "speed", "1 m/s", "1 m/s", of_range="greatest",
               usual=USUAL_AIR),
        DROP,
        OPEN_AREA,
    ),
    _ask_insects,
    _insect_measures,
    ("304", "aluminium 5056", "phosphor bronze 5 %"),
    insects.CAUTION,
    ("Bethke and Paine, 1991, for pests of glasshouse crops (from memory)", PRACTICE,
     *FLOW_SOURCES),
    f"it stands in the weather without paint ({PRACTICE}); near the sea, name 316L",
    tells_alone=True,
)  # fmt: skip
