"""Support, reinforcement and conveying: cloth for its wires."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import DOUBLE_CRIMP, INTERMEDIATE_CRIMP, PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import carrying
from meshcore.uses.statement import (
    EQUAL,
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Taken,
    Wanted,
    away,
    least_open,
    number,
    open_area_measure,
    open_wish,
)
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.mass import mass_per_area

#: Aperture of a support over that of the cloth it carries, and the middle: common practice.
_SUPPORT_TO_FINE, _SUPPORT_MIDDLE = (4.0, 16.0), 9.0
#: Aperture of a belt over the smallest item on it, and the middle: common practice, no source.
_BELT_TO_ITEM, _BELT_MIDDLE = (0.25, 0.70), 0.5
#: Aperture of reinforcement over the largest grain of what it lies in: common practice, no source.
_CLEAR_OF_GRAIN = (1.5, 25.0)
#: How much more section than wanted is worth offering [-]: a judgement, no source.
_MORE_SECTION = 0.40
#: Fabric is called by its section in whole mm²/m, as 131 for wires of 5 mm at 150 mm, which have
#: 130.9: what rounds to the section asked for has it [-] (EN 10080, from memory).
_DESIGNATED = 0.5 / 100.0
_LOADS = (
    Figure("breaking_load", "Breaking load at least", "line load", "20 kN/m", usual=(0.5e3, 2e6),
           note="at which the cloth breaks, per width, either direction: no working load"),
    Figure("load", "Load to carry", "line load", "4 kN/m", usual=(10.0, 5e5),
           note="per width; it says nothing without the factor"),
    Figure("factor", "Breaking load over the load", "number", "5", least=1.0, usual=(1.5, 25.0),
           why=": cloth that breaks below its load carries nothing",
           note="from the code, or the engineer who answers for it; none is given here"),
)  # fmt: skip
_NO_STRENGTH = "the alloy's record has no strength"
_PLAIN_OR_CRIMPED = (
    (PLAIN, "plain weave is usual, and nothing here needs more"),
    (DOUBLE_CRIMP, "too coarse or too heavy for plain weave, so the wires are pre-crimped"),
    (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
    (INTERMEDIATE_CRIMP, "light wire over a large aperture is held by extra crimps"),
)


def _breaking(cloth: ClothColumns, tensile_pa: float) -> FloatArray:
    return carrying.breaking_load_per_width(
        cloth.wire_diameter_m, cloth.pitch_m, np.full(len(cloth.weave), tensile_pa)
    )


def _strong(figures: Figures, metal: Metal) -> tuple[Demand, ...]:
    carried = number(figures, "load") * number(figures, "factor")
    load = np.fmax(number(figures, "breaking_load"), carried)
    if not np.isfinite(load):
        return ()
    why = (
        f" ({plain(number(figures, 'factor'))} times the load of "
        f"{plain(number(figures, 'load') / 1e3)} kN/m)" if load == carried else ""
    )  # fmt: skip
    text = (
        f"breaks at {plain(load / 1e3)} kN/m or more{why}, each way, at the alloy's least "
        "strength; that is no working load"
    )
    least = load * (1.0 - EQUAL)
    return (Demand(text, lambda cloth: _breaking(cloth, metal.tensile_pa[0]) >= least),)


def _between(low_m: float, high_m: float, text: str) -> Demand:
    return Demand(
        text,
        lambda cloth: (
            (cloth.aperture_m >= low_m * (1.0 - EQUAL))
            & (cloth.aperture_m <= high_m * (1.0 + EQUAL))
        ),
    )


def _bearing_measures(cloth: ClothColumns, _figures: Figures, metal: Metal) -> tuple[Measure, ...]:
    mass = mass_per_area(
        cloth.wire_diameter_m, cloth.pitch_m, cloth.path_ratio, np.asarray(metal.density_kg_m3)
    )
    section = carrying.steel_per_width(cloth.wire_diameter_m, cloth.pitch_m) * 1e6
    weakest = _breaking(cloth, metal.tensile_pa[0]) / 1e3
    return (
        Measure("breaking load along the warp", weakest, "kN/m",
                "sum of the warp wires at the alloy's least strength", _NO_STRENGTH),
        Measure("breaking load along the shute", weakest, "kN/m",
                "the same, since wire and pitch are; how far each bears first goes by its crimp",
                _NO_STRENGTH),
        Measure("section per width", section, "mm²/m", "π/4·d²/p"),
        Measure("mass per area", mass, "kg/m²", "path of the weave"),
        open_area_measure(cloth),
    )  # fmt: skip


def _ask_support(figures: Figures, metal: Metal) -> Wanted:
    fine, least = number(figures, "fine_aperture"), number(figures, "open_area")
    low, high = _SUPPORT_TO_FINE
    return Wanted(
        (low * fine, high * fine),
        (fine, np.inf),
        _PLAIN_OR_CRIMPED,
        (
            _between(
                low * fine,
                high * fine,
                f"aperture {low:.0f} to {high:.0f} times that of the cloth carried ({PRACTICE})",
            ),
            least_open(least, ", so that it does not throttle the flow"),
            *_strong(figures, metal),
        ),
        lambda cloth: 0.5 * away(cloth.aperture_m, _SUPPORT_MIDDLE * fine) + _in_middle(cloth),
    )


#: Wire over pitch of cloth that is neither flimsy nor heavy, and what missing it weighs: common
#: practice, no source.
_MIDDLE_SLENDERNESS, _SLENDERNESS_WEIGHT = 0.27, 0.4


def _in_middle(cloth: ClothColumns) -> FloatArray:
    return _SLENDERNESS_WEIGHT * away(cloth.wire_diameter_m / cloth.pitch_m, _MIDDLE_SLENDERNESS)


SUPPORT = Statement(
    "support",
    "Support of finer cloth",
    (
        Figure(
            "fine_aperture",
            "Aperture of the cloth carried",
            "length",
            "0.15 mm",
            needed=True,
            usual=(5e-6, 5e-3),
        ),
        Figure("open_area", "Open area at least", "share", "40 %", "40 %", usual=(0.1, 0.8)),
        *_LOADS,
    ),
    _ask_support,
    _bearing_measures,
    ("304", "316L"),
    carrying.CAUTION,
    (PRACTICE,),
    f"as the finer cloth on it mostly is ({PRACTICE}); name that of yours",
    tells_alone=True,
)


def _ask_reinforcement(figures: Figures, metal: Metal) -> Wanted:
    section, grain = number(figures, "section"), number(figures, "grain")
    low, high = _CLEAR_OF_GRAIN

    def found(cloth: ClothColumns) -> FloatArray:
        return carrying.steel_per_width(cloth.wire_diameter_m, cloth.pitch_m)

    def worth(cloth: ClothColumns) -> BoolArray:
        near: BoolArray = found(cloth) <= section * (1.0 + _MORE_SECTION)
        return near

    return Wanted(
        (low * grain, high * grain),
        (0.0, np.inf),
        (
            (WELDED, "welded crossings anchor the wires"),
            (DOUBLE_CRIMP, "crimped wires key into what they lie in"),
            (PLAIN, "light cloth for thin layers is plain woven"),
            (INTERMEDIATE_CRIMP, "light wire over a large aperture is held by extra crimps"),
        ),
        (
            Demand(
                f"{plain(section * 1e6, 4)} mm² of wire or more per metre of width, each way, to "
                f"within {_DESIGNATED:.1%}, as fabric is called by round figures",
                lambda cloth: found(cloth) >= section * (1.0 - _DESIGNATED),
            ),
            _between(
                low * grain,
                np.inf,
                f"aperture {low:g} times the largest grain or more, so that it passes ({PRACTICE})",
            ),
            *open_wish(figures),
            *_strong(figures, metal),
        ),
        lambda cloth: away(found(cloth), section) + 0.1 * away(cloth.aperture_m, 4.0 * grain),
        worth,
        customary=0.0,
    )


REINFORCEMENT = Statement(
    "reinforcement",
    "Reinforcement",
    (
        Figure(
            "section", "Section per width", "section", "131 mm²/m", needed=True, usual=(5e-6, 3e-3)
        ),
        Figure(
            "grain",
            "Largest grain",
            "length",
            "4 mm",
            needed=True,
            of_range="greatest",
            usual=(0.05e-3, 40e-3),
        ),
        OPEN_AREA,
        *_LOADS,
    ),
    _ask_reinforcement,
    _bearing_measures,
    ("carbon steel", "304", "galvanized steel"),
    carrying.CAUTION,
    ("section as welded fabric is designated, EN 10080 (from memory)", PRACTICE),
    f"cement keeps steel from rust as long as it is sound and thick over it ({PRACTICE})",
    tells_alone=True,
)


def _ask_conveying(figures: Figures, metal: Metal) -> Wanted:
    item, least = number(figures, "item"), number(figures, "open_area")
    low, high = _BELT_TO_ITEM
    return Wanted(
        (low * item, high * item),
        (0.0, np.inf),
        _PLAIN_OR_CRIMPED,
        (
            _between(
                low * item,
                high * item,
                f"aperture {low:g} to {high:g} of the smallest item, "
                f"so that it neither falls through nor wedges ({PRACTICE})",
            ),
            least_open(least),
            *_strong(figures, metal),
        ),
        lambda cloth: 0.5 * away(cloth.aperture_m, _BELT_MIDDLE * item) + _in_middle(cloth),
    )


CONVEYING = Statement(
    "conveying",
    "Conveying, trays and grates",
    (
        Figure(
            "item",
            "Smallest item carried",
            "length",
            "20 mm",
            needed=True,
            of_range="least",
            usual=(1e-3, 0.5),
        ),
        Figure("open_area", "Open area at least", "share", "40 %", "40 %", usual=(0.1, 0.85)),
        *_LOADS,
    ),
    _ask_conveying,
    _bearing_measures,
    ("304", "310S"),
    carrying.CAUTION,
    (PRACTICE,),
    f"belts are washed ({PRACTICE}); in an oven or furnace name an alloy for its heat",
    tells_alone=True,
    taken={
        "barbecue": Taken(
            "item",
            "25 mm",
            f"what lies on it is mostly no smaller ({PRACTICE}). It touches food and is hot: no "
            "zinc, which melts at 420 °C and smokes before, and no other plating; what touches "
            "food is for the food authority's rules.",
        )
    },
)
