"""Chloride water: PREN and the starting temperatures of ASTM G48 as a ranking.

Woven wire makes a crevice at every crossing, so the starting temperature of crevice corrosion
is the one that counts. Ferric chloride is harsher than sea water: an alloy that stands it with a
margin stands sea water, and one that does not may still serve in weaker water, where guide
levels of chloride are used. It ranks; it does not promise. Valid for still or flowing,
near-neutral, aerated water without chlorine dosing, from 0 to 95 °C.
"""

from __future__ import annotations

import numpy as np

from meshcore.alloys.methods.figures import figure
from meshcore.alloys.methods.verdicts import (
    MARGINAL,
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
    not_asked,
    verdict_where,
)
from meshcore.arrays import BoolArray, FloatArray, ObjectArray

METHOD = "chloride water (PREN and ASTM G48 ranking)"

#: Margin that the starting temperature must keep above the water's [K]: the project's own, of
#: the size of the scatter between laboratories.
TEMPERATURE_MARGIN_K = 5.0
#: Guide levels: chloride [mg/l] up to which a PREN has served in natural water at ambient
#: temperature: types 304 and 316 (British Stainless Steel Association, operational guideline OG
#: 2.2, read: crevices are rare below 200 and 1000 mg/l), duplex 2205 (stainless producers'
#: guidance, from memory) and sea-water grades (ISO 21457, from memory). Between them PREN is
#: interpolated over log chloride.
GUIDE_CHLORIDE_MG_L = np.array([200.0, 1_000.0, 3_600.0, 19_000.0])
GUIDE_PREN = np.array([18.0, 24.0, 34.0, 40.0])
#: Least PREN in any water [-]: below about 16 % chromium steel rusts in plain fresh water too
#: (handbooks, from memory).
LEAST_PREN = 16.0
#: Warmest water that the guide levels speak of as they stand [°C] (from memory).
GUIDE_TEMPERATURE_C = 30.0
#: How many times its chloride warmer water counts for: a table of chloride against temperature in
#: the manual of a plate heat exchanger (read) has 304 to 50 mg/l and 316 to 300 at 60 °C, to 25 and
#: 150 at 80 °C, where the guide levels are 200 and 1000.
WARMTH_C, WARMTH_COUNTS = np.array([30.0, 60.0, 80.0]), np.array([1.0, 4.0, 8.0])
#: Most chloride to which such a table was made [mg/l] (the project's own reading of it).
WARM_CHLORIDE_MG_L = 1_000.0
#: Strongest water judged [mg/l]: the saltiest open seas reach about 22 000.
MOST_CHLORIDE_MG_L = 23_000.0
WARMEST_WATER_C = 95.0
#: From here on water counts as sea water, in which nickel alloys that start below it fail [mg/l].
SEA_WATER_MG_L = 15_000.0
#: Least chromium of a stainless steel [%] (EN 10088-1).
STAINLESS_CR_PCT = 10.5
#: Nickel alloys below this are outside the data behind the nickel equation [%] (from memory).
NICKEL_MO_PCT = 2.0
#: From here on neutral brine starts no crevices at any temperature at which ferric chloride does,
#: so that the row of the table is what speaks [% Mo] (handbooks, from memory).
OUTLASTS_BRINE_MO_PCT = 12.0
#: Heat-resisting grades with more aluminium than this are not water grades [%].
HEAT_GRADE_AL_PCT = 1.0
#: One step of margin: the gap in PREN, or in starting temperature [K], that the trade would call
#: a better grade (project's own).
PREN_STEP, TEMPERATURE_STEP_K = 5.0, 10.0


def pren(cr: FloatArray, mo: FloatArray, n: FloatArray) -> FloatArray:
    """Pitting resistance equivalent number from mass shares [%]: Cr + 3.3 Mo + 16 N.

    Examples
    --------
    >>> pren(np.array([22.0]), np.array([3.0]), np.array([0.15])).round(1).tolist()
    [34.3]
    """
    return cr + 3.3 * mo + 16.0 * n


def pitting_start_c(cr: FloatArray, mo: FloatArray, n: FloatArray) -> FloatArray:
    """Return where the G48 pitting test starts on stainless steel [°C] (from memory)."""
    return 2.5 * cr + 7.6 * mo + 31.9 * n - 41.0


def crevice_start_c(cr: FloatArray, mo: FloatArray, n: FloatArray) -> FloatArray:
    """Return where the G48 crevice test starts on stainless steel [°C] (from memory)."""
    return 3.2 * cr + 7.6 * mo + 10.5 * n - 81.0


def nickel_crevice_start_c(
    cr: FloatArray, mo: FloatArray, nb: FloatArray, w: FloatArray
) -> FloatArray:
    """Return where the G48 crevice test starts on nickel alloys [°C] (from memory)."""
    return 1.5 * cr + 1.9 * mo + 4.9 * nb + 8.6 * w - 36.2


def pren_needed(chloride_mg_l: FloatArray) -> FloatArray:
    """PREN that the guide levels ask of ambient water with so much chloride [-].

    Examples
    --------
    >>> pren_needed(np.array([200.0, 1000.0, 19000.0])).tolist()
    [18.0, 24.0, 40.0]
    """
    logs = np.log(GUIDE_CHLORIDE_MG_L)
    log = np.log(np.maximum(chloride_mg_l, 1.0))
    below = GUIDE_PREN[0] + (log - logs[0]) * (GUIDE_PREN[1] - GUIDE_PREN[0]) / (logs[1] - logs[0])
    between: FloatArray = np.interp(log, logs, GUIDE_PREN)
    return np.where(log < logs[0], np.maximum(below, LEAST_PREN), between)


def counted_chloride(chloride_mg_l: FloatArray, water_c: FloatArray) -> FloatArray:
    """Chloride that warm water counts for against the guide levels [mg/l].

    Examples
    --------
    >>> counted_chloride(np.array([250.0, 250.0]), np.array([20.0, 60.0])).round().tolist()
    [250.0, 1000.0]
    """
    times: FloatArray = np.exp(np.interp(water_c, WARMTH_C, np.log(WARMTH_COUNTS)))
    return chloride_mg_l * times


def judge(
    chloride_mg_l: FloatArray,
    water_temperature_c: FloatArray,
    crevice_c: tuple[FloatArray, FloatArray],
    pren_range: tuple[FloatArray, FloatArray],
    outlasts_brine: BoolArray,
    names: ObjectArray,
) -> Fitness:
    """Rank alloys for each water.

    Parameters
    ----------
    chloride_mg_l, water_temperature_c
        Of each service; chloride NaN where there is no water.
    crevice_c
        Starting temperature of each alloy at the least and at the middle of its composition
        range [°C]; NaN where no equation covers it.
    pren_range
        PREN likewise; NaN for nickel alloys, which are ranked by temperature alone.
    outlasts_brine
        Nickel alloys of which a start below the water's temperature says nothing: natural brine
        does not start what ferric chloride does.
    names
        Designation of each alloy.

    Returns
    -------
    Fitness: meets if the leanest composition passes, marginal if only the middle one does.
    """
    chloride, water = chloride_mg_l[:, None], water_temperature_c[:, None]
    asked = ~np.isnan(chloride)
    lean_c, middle_c = (c[None, :] for c in crevice_c)
    lean_pren, middle_pren = (p[None, :] for p in pren_range)
    if not asked.any():
        return not_asked(METHOD, (len(chloride_mg_l), len(names)))
    # What falls short of the saltiest and warmest water of the ranking falls short of more.
    is_beyond = (chloride > MOST_CHLORIDE_MG_L) | (water > WARMEST_WATER_C)
    chloride, water = (
        np.minimum(chloride, MOST_CHLORIDE_MG_L), np.minimum(water, WARMEST_WATER_C),
    )  # fmt: skip
    in_range = water >= 0.0
    is_guided = (water <= GUIDE_TEMPERATURE_C) | (
        (water <= WARMTH_C[-1]) & (chloride <= WARM_CHLORIDE_MG_L)
    )
    by_guide = is_guided & ~np.isnan(lean_pren)
    needed_c = water + TEMPERATURE_MARGIN_K
    needed_pren = pren_needed(counted_chloride(chloride, water))

    meets = (lean_c >= needed_c) | (by_guide & (lean_pren >= needed_pren))
    marginal = (middle_c >= needed_c) | (by_guide & (middle_pren >= needed_pren))
    # Below the harsh test's start, only the guide levels or true sea water say that it fails.
    # What falls short of a guide level in cool water falls short of it in warm.
    short = middle_pren < needed_pren
    # Nickel alloys have no guide level: below sea water a start too low says nothing of them; of
    # those with most molybdenum it says nothing of any natural water.
    only_just = marginal & ~np.isnan(lean_pren)
    salty = (chloride >= SEA_WATER_MG_L) & ~outlasts_brine[None, :]
    decided = meets | only_just | by_guide | salty | short
    covered = in_range & ~np.isnan(lean_c) & decided & ~(is_beyond & (meets | marginal))
    verdict = verdict_where(asked, covered, meets, marginal)
    at_least = _at_nearest_point(asked & in_range & ~covered & ~np.isnan(lean_c), chloride, water,
                                 salty & ~(lean_c >= needed_c), lean_pren)  # fmt: skip

    by_heat = (lean_c - needed_c) / TEMPERATURE_STEP_K
    by_pren = np.where(by_guide, (lean_pren - needed_pren) / PREN_STEP, -np.inf)
    margin = np.where(asked & covered, np.fmax(by_heat, by_pren), np.nan)

    def say(service: int, alloy: int) -> str:
        where = (
            f"{figure(chloride_mg_l[service])} mg/l chloride at "
            f"{figure(water_temperature_c[service], 4)} °C"
        )
        if np.isnan(water_temperature_c[service]):
            return "chloride water: its temperature is not named"
        outside = is_beyond[service, 0] and verdict[service, alloy] == NOT_JUDGED
        if outside or not in_range[service, 0]:
            return f"chloride water: {where} lies outside the ranking"
        if np.isnan(crevice_c[0][alloy]):
            return f"PREN and ASTM G48 do not cover {names[alloy]}"
        start = f"G48 crevice start {crevice_c[0][alloy]:.0f} to {crevice_c[1][alloy]:.0f} °C"
        rank = f"{start} against {figure(needed_c[service, 0], 4)} °C with margin"
        if by_guide[service, alloy]:
            level = f"PREN {pren_range[0][alloy]:.0f} to {pren_range[1][alloy]:.0f} against "
            level += f"{needed_pren[service, 0]:.0f}"
            # One of the two is enough: what falls short must not read as if it carried.
            if verdict[service, alloy] == MEETS and by_heat[service, alloy] < 0.0:
                return (
                    f"{where}: ranks high enough by the guide level alone ({level}; by the harsher "
                    f"test it would not: {rank}); a ranking, not a promise"
                )
            if verdict[service, alloy] == MEETS and by_pren[service, alloy] < 0.0:
                level += ", which alone would not do"
            rank += f"; {level}"
        if verdict[service, alloy] == NOT_JUDGED:
            return f"{where}: {rank}; no guide level for it, test in service"
        is_lean = verdict[service, alloy] == MARGINAL and by_guide[service, alloy]
        if is_lean and middle_pren[0, alloy] >= needed_pren[service, 0]:
            rank += ": one with that PREN in its certificate would do"
        end = "ranks high enough" if verdict[service, alloy] == MEETS else "leanest metal too low"
        return f"{where}: {end} ({rank}); a ranking, not a promise"

    return Fitness(METHOD, verdict, margin, say, at_least)


def _at_nearest_point(
    silent: BoolArray,
    chloride_mg_l: FloatArray,
    water_c: FloatArray,
    too_low: BoolArray,
    lean_pren: FloatArray,
) -> VerdictArray:
    """Marginal where the leanest metal falls short at the nearest point of the ranking."""
    warmest = np.where(chloride_mg_l <= WARM_CHLORIDE_MG_L, WARMTH_C[-1], GUIDE_TEMPERATURE_C)
    needed = pren_needed(counted_chloride(chloride_mg_l, np.minimum(water_c, warmest)))
    short = np.where(np.isnan(lean_pren), too_low, lean_pren < needed)
    return np.where(silent & short, MARGINAL, NOT_ASKED).astype(np.int8)


def ranked_as(
    least_pct: dict[str, FloatArray], most_pct: dict[str, FloatArray]
) -> tuple[BoolArray, BoolArray]:
    """Which alloys the stainless equations cover, and which the nickel equation."""
    nothing = np.zeros_like(least_pct["Fe"])
    of = {e: least_pct.get(e, nothing) for e in ("Fe", "Ni", "Cr", "Mo")}
    passive = (of["Cr"] >= STAINLESS_CR_PCT) & (most_pct.get("Al", nothing) <= HEAT_GRADE_AL_PCT)
    iron_base = of["Fe"] >= of["Ni"]
    return passive & iron_base, passive & ~iron_base & (of["Mo"] >= NICKEL_MO_PCT)
