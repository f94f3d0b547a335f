"""What a use asks of the alloy besides corrosion: magnetism, food contact, later services."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from meshcore.alloys.methods.verdicts import (
    FAILS,
    MARGINAL,
    MEETS,
    NOT_ASKED,
    Fitness,
    verdict_where,
)
from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray

MAGNETISM = "non-magnetic (annealed state and Angel's Md30)"
FOOD = "food contact (composition)"
WIRE = "wire size (finest usually drawn)"

#: Warmest Md30 at which austenite is counted on to stay non-magnetic through weaving [°C]:
#: 20 K below room temperature (project's own).
STABLE_MD30_C = 0.0
#: What each rating of a service amounts to.
RATING_VERDICT: Mapping[str, np.int8] = {
    "good": MEETS,
    "fair": MEETS,
    "poor": MARGINAL,
    "no": FAILS,
}
#: Least chromium of stainless steel for food zones [%] (NSF/ANSI 51, from memory).
FOOD_CR_PCT = 16.0
#: Main shares by which the food rules know a metal [%].
_MAIN_PCT = 50.0


def md30_c(share_pct: Mapping[str, FloatArray]) -> FloatArray:
    """Temperature at which 30 % strain turns half the austenite to martensite [°C].

    Parameters
    ----------
    share_pct
        Mass share of C, N, Si, Mn, Cr, Ni and Mo in each alloy [%].

    Notes
    -----
    Md30 = 413 − 462(C+N) − 9.2 Si − 8.1 Mn − 13.7 Cr − 9.5 Ni − 18.5 Mo, for austenitic stainless
    steel of 16–19 % Cr and 7–14 % Ni; for richer grades it only says "stable".

    References
    ----------
    .. [1] T. Angel, J. Iron Steel Inst. 177 (1954) 165 (from memory).

    Examples
    --------
    >>> grade = dict(C=0.05, N=0.04, Si=0.5, Mn=1.0, Cr=18.5, Ni=9.0, Mo=0.0)
    >>> md30_c({element: np.array([share]) for element, share in grade.items()}).round(1).tolist()
    [19.8]
    """
    s = share_pct
    return (
        413.0 - 462.0 * (s["C"] + s["N"]) - 9.2 * s["Si"] - 8.1 * s["Mn"]
        - 13.7 * s["Cr"] - 9.5 * s["Ni"] - 18.5 * s["Mo"]
    )  # fmt: skip


def judge_magnetism(asked: BoolArray, magnetic: BoolArray, md30: FloatArray) -> Fitness:
    """Judge whether cloth stays non-magnetic.

    Parameters
    ----------
    asked
        Services that must be non-magnetic.
    magnetic
        Alloys that a magnet holds when annealed.
    md30
        Of austenitic stainless steels [°C]; -inf for other metals.
    """
    steady = ~magnetic & (md30 <= STABLE_MD30_C)
    verdict = verdict_where(
        asked[:, None], np.array(True), steady[None, :], (~magnetic & ~steady)[None, :]
    )

    def say(_service: int, alloy: int) -> str:
        if magnetic[alloy]:
            return "a magnet holds it"
        if np.isinf(md30[alloy]):
            return "non-magnetic, drawn or annealed"
        works = "weaving may make it slightly magnetic" if not steady[alloy] else "stays so"
        return f"non-magnetic when annealed; {works} (Md30 about {md30[alloy]:.0f} °C)"

    return Fitness(MAGNETISM, verdict, np.full(verdict.shape, np.nan), say)


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


def judge_service(service: str, asked: BoolArray, alloys: Sequence[Alloy]) -> Fitness:
    """Judge alloys by their rating for one service after weaving (weld, form, anneal, coat)."""
    ratings = [_rating(alloy, service) for alloy in alloys]
    rated = np.array([v for v, _ in ratings], dtype=np.int8)
    verdict = np.where(asked[:, None], rated[None, :], NOT_ASKED).astype(np.int8)

    def say(_service: int, alloy: int) -> str:
        return f"{service}: {ratings[alloy][1]}"

    return Fitness(f"{service} (rating)", verdict, np.full(verdict.shape, np.nan), say)


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
