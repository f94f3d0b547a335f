"""What a use asks of the alloy besides corrosion: food, drinking water, later services."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from meshcore.alloys.methods.verdicts import (
    FAILS,
    MARGINAL,
    MEETS,
    NOT_ASKED,
    Fitness,
    not_asked,
    verdict_where,
)
from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray

FOOD = "food contact (composition)"
DRINKING = "drinking water (composition)"
WIRE = "wire size (finest usually drawn)"

#: What each rating of a service amounts to.
RATING_VERDICT: Mapping[str, np.int8] = {
    "good": MEETS,
    "fair": MEETS,
    "poor": MARGINAL,
    "no": FAILS,
}
#: Least chromium of stainless steel for food zones [%] (NSF/ANSI 51, from memory).
FOOD_CR_PCT = 16.0
#: Most lead of a copper alloy for drinking water [%] (common list of metals, from memory).
LEAD_PCT = 0.1
#: Main shares by which the food rules know a metal [%].
_MAIN_PCT = 50.0


def judge_food(
    asked: BoolArray, least_pct: dict[str, FloatArray], zinc_coating_um: FloatArray
) -> Fitness:
    """Judge metals for contact with food by what they are made of.

    Notes
    -----
    Stainless steel with 16 % Cr or more meets (NSF/ANSI 51, from memory); aluminium and titanium
    are marginal, since it depends on the food and the finish (Council of Europe guide on metals in
    food contact, from memory); zinc coatings and copper alloys fail, for acid food dissolves them
    (FDA Food Code 4-101.14 and .15, from memory); all else is not judged. Approval of the finished
    article is another matter, and local rules decide.
    """
    nothing = np.zeros_like(zinc_coating_um)
    if not asked.any():
        return not_asked(FOOD, (len(asked), len(nothing)))
    of = {e: least_pct.get(e, nothing) for e in ("Fe", "Cr", "Cu", "Zn", "Al", "Ti", "Ni")}
    stainless = (of["Cr"] >= FOOD_CR_PCT) & (of["Fe"] >= of["Ni"])
    light = (of["Al"] >= _MAIN_PCT) | (of["Ti"] >= _MAIN_PCT)
    dissolves = (zinc_coating_um > 0.0) | (of["Cu"] >= _MAIN_PCT)
    known = stainless | light | dissolves
    verdict = verdict_where(
        asked[:, None],
        known[None, :],
        (stainless & ~dissolves)[None, :],
        (light & ~dissolves)[None, :],
    )

    def say(_service: int, alloy: int) -> str:
        if dissolves[alloy]:
            return "food: acid food dissolves zinc and copper (FDA Food Code 4-101)"
        if stainless[alloy]:
            return f"food: stainless with {FOOD_CR_PCT:g} % Cr or more (NSF/ANSI 51)"
        if light[alloy]:
            return "food: depends on the food and the finish (Council of Europe guide)"
        return "food: no rule here covers this metal"

    return Fitness(FOOD, verdict, np.full(verdict.shape, np.nan), say)


def judge_drinking_water(
    asked: BoolArray,
    least_pct: dict[str, FloatArray],
    zinc_coating_um: FloatArray,
    most_lead_pct: FloatArray,
) -> Fitness:
    """Judge metals for contact with drinking water by what they are made of.

    Notes
    -----
    Stainless steel and titanium meet; copper and its alloys are marginal, since limits of copper,
    nickel and lead in the water decide (Directive (EU) 2020/2184 and the common list of metals of
    its members, from memory); alloys that may hold over 0.1 % lead fail, and zinc coatings and
    bare steel are not judged. A positive list of the country decides, and its certificate.
    """
    nothing = np.zeros_like(zinc_coating_um)
    if not asked.any():
        return not_asked(DRINKING, (len(asked), len(nothing)))
    of = {e: least_pct.get(e, nothing) for e in ("Fe", "Cr", "Cu", "Ti", "Ni")}
    clean = ((of["Cr"] >= FOOD_CR_PCT) & (of["Fe"] >= of["Ni"])) | (of["Ti"] >= _MAIN_PCT)
    copper = of["Cu"] >= _MAIN_PCT
    leaded = copper & (most_lead_pct > LEAD_PCT)
    verdict = verdict_where(
        asked[:, None],
        ((clean | copper) & (zinc_coating_um == 0.0))[None, :],
        clean[None, :],
        (copper & ~leaded)[None, :],
    )

    def say(_service: int, alloy: int) -> str:
        if leaded[alloy]:
            return "drinking water: it may hold more lead than the lists of metals allow"
        if clean[alloy]:
            return "drinking water: stainless steel and titanium are on the lists of metals"
        if copper[alloy]:
            return "drinking water: limits of copper, nickel and lead in the water decide"
        return "drinking water: no rule here covers this metal"

    return Fitness(DRINKING, verdict, np.full(verdict.shape, np.nan), say)


def judge_service(service: str, asked: BoolArray, alloys: Sequence[Alloy]) -> Fitness:
    """Judge alloys by their rating for one service after weaving (weld, form, anneal, coat)."""
    if not asked.any():
        return not_asked(f"{service} (rating)", (len(asked), len(alloys)))
    ratings = [_rating(alloy, service) for alloy in alloys]
    rated = np.array([v for v, _ in ratings], dtype=np.int8)
    verdict = np.where(asked[:, None], rated[None, :], NOT_ASKED).astype(np.int8)

    def say(_service: int, alloy: int) -> str:
        return f"{service}: {ratings[alloy][1]}"

    return Fitness(f"{service} (rating)", verdict, np.broadcast_to(np.nan, verdict.shape), say)


def _rating(alloy: Alloy, service: str) -> tuple[np.int8, str]:
    rating = alloy.services[service]
    return RATING_VERDICT[rating.level], f"{rating.level}, {rating.reason}"


def judge_wire(wire_diameter_m: FloatArray, finest_wire_m: FloatArray) -> Fitness:
    """Judge whether the wire is usually drawn so fine; finer is marginal, so ask the mill.

    Parameters
    ----------
    wire_diameter_m
        Of each service's mesh [m]; NaN where unknown, and then nothing is judged.
    finest_wire_m
        Of each alloy [m].
    """
    wire, finest = wire_diameter_m[:, None], finest_wire_m[None, :]
    verdict = verdict_where(~np.isnan(wire), np.array(True), wire >= finest, np.array(True))

    def say(service: int, alloy: int) -> str:
        return (
            f"{wire_diameter_m[service] * 1e3:.3g} mm wire, usually drawn down to "
            f"{finest_wire_m[alloy] * 1e3:.3g} mm"
        )

    return Fitness(WIRE, verdict, np.full(verdict.shape, np.nan), say)
