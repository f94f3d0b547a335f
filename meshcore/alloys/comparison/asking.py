"""Each method asked with the columns that it reads."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.surroundings import KINDS
from meshcore.alloys.methods import (
    category_class,
    heat,
    media,
    outdoor_loss,
    outdoor_stainless,
    pool_hall,
    reservoir,
    row_ranges,
    zinc,
)
from meshcore.alloys.methods.families import all_of
from meshcore.alloys.methods.verdicts import (
    FAILS,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    not_asked,
)
from meshcore.arrays import FloatArray

#: Warmth at which the rows of open air are read [°C].
_OPEN_AIR_C = 20.0
#: Most sulphur dioxide of EN 1993-1-4 Table A.1 [µg/m³]; more is worse.
_MOST_SO2 = outdoor_stainless.SO2_MOST
#: Gases that carry no oxygen to the metal, so that no scale grows.
_WITHOUT_SCALE = ("hot hydrogen", "hot ammonia", "dry chlorine", "hydrogen chloride")


def chloride_factor(conditions: ConditionColumns) -> FloatArray:
    """F1 of EN 1993-1-4 of each service [-]."""
    return outdoor_stainless.chloride_factor(
        conditions.distance_to_sea_m,
        conditions.distance_to_salted_road_m,
        conditions.indoor,
        conditions.road_tunnel,
        conditions.sheltered_coast,
    )


def by_media(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> dict[str, Fitness]:
    """Ask the table of media under the aspect that each service's surroundings belong to."""
    spoken = (conditions.medium >= 0) | conditions.is_foreign
    is_water = conditions.is_wet & ~np.isnan(conditions.ranked_chloride_mg_l)
    aspects = {
        "outdoor_air": conditions.in_air & spoken,
        "chloride_water": is_water & spoken,
        "medium": spoken & ~conditions.in_air & ~is_water,
    }
    # Cold metal in the open is read at the warmth of the rows; hot metal at its own.
    at_c = np.where(
        conditions.in_open_air, np.maximum(_OPEN_AIR_C, conditions.metal_c), conditions.metal_c
    )
    life = (wire_diameter_m, conditions.lost_share, conditions.years_wanted)
    found = {
        aspect: media.judge(
            asked,
            conditions.medium,
            conditions.concentration_pct,
            at_c,
            life,
            facts.medium_group,
            facts.names,
        )
        for aspect, asked in aspects.items()
    }
    # In the open the rows know no steps: a limit of temperature says nothing of weather. Nor do
    # they speak of grades that the annex for stainless steel lists.
    weather = found["outdoor_air"]
    nothing = np.broadcast_to(np.nan, weather.verdict.shape)
    listed = facts.annex_class > 0
    in_annex = conditions.in_open_air & conditions.in_annex & (conditions.kind >= 0)
    verdict = np.where(in_annex[:, None] & listed[None, :], NOT_ASKED, weather.verdict)
    return found | {"outdoor_air": replace(weather, margin=nothing, verdict=verdict)}


def life_in_media(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> FloatArray:
    """Life at the rates of the rows [a], of metal in a liquid or in the ground; NaN elsewhere."""
    life = media.life_years(
        conditions.medium,
        conditions.concentration_pct,
        conditions.metal_c,
        (wire_diameter_m, conditions.lost_share),
        facts.medium_group,
    )
    return np.where(conditions.is_wet[:, None], life, np.nan)


def within_rows(facts: AlloyFacts, conditions: ConditionColumns) -> Fitness:
    """Ask whether what is stated lies within what the rows speak of."""
    stated = {
        "ph": conditions.ph,
        "chloride_mg_l": conditions.chloride_mg_l,
        "chlorine_mg_l": conditions.chlorine_mg_l,
    } | {
        field: np.where(code < 0, np.nan, code.astype(np.float64))
        for field, code in conditions.three_way.items()
    }
    return row_ranges.judge(conditions.rows_of, stated, facts.family, facts.names)


#: Method that leaves unjudged what is at odds with itself.
AT_ODDS = "what is stated, taken together"


def at_odds(facts: AlloyFacts, conditions: ConditionColumns) -> Fitness:
    """Leave unjudged what cannot be so together: no row speaks of it."""
    shape = (len(conditions), len(facts))
    odd = np.array([bool(words) for words in conditions.at_odds], dtype=np.bool_)
    if not odd.any():
        return not_asked(AT_ODDS, shape)
    verdict = np.broadcast_to(np.where(odd, NOT_JUDGED, NOT_ASKED)[:, None], shape)

    def say(service: int, alloy: int) -> str:  # noqa: ARG001 - one service, whatever the alloy
        return conditions.at_odds[service]

    return Fitness(AT_ODDS, verdict, np.broadcast_to(np.nan, shape), say)


def in_heat(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> Fitness:
    """Ask what heat does: by the ceiling and the scale."""
    return heat.judge(
        conditions.temperature_c,
        facts.ceiling_c,
        wire_diameter_m,
        conditions.hours,
        conditions.lost_share,
        conditions.in_hot_air,
        facts.thin_scale,
    )


def scaled(facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray) -> Fitness:
    """Ask how long the wire lasts that its scale feeds on."""
    scaling = np.isin(conditions.kind, [KINDS.index("gas"), KINDS.index("hot air")])
    scaling &= ~np.isin(conditions.medium, [media.index_of(name) for name in _WITHOUT_SCALE])
    scaling |= conditions.in_hot_air
    alumina = np.isin(facts.resists_as, all_of("alumina"))
    chromia = np.isin(facts.resists_as, all_of("stainless", "nickel-chromium")) & ~alumina
    least = facts.least_pct
    return reservoir.judge(
        scaling,
        conditions.metal_c,
        conditions.hours,
        wire_diameter_m,
        (chromia, alumina, least["Cr"], least["Al"], facts.density),
        facts.names,
    )


def lives(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Life at the upper and lower end of the category; worked out only for metals that have one."""
    rows = facts.metal >= 0
    zinc_um = zinc.zinc_on_wire_um(
        conditions.zinc_g_m2,
        wire_diameter_m,
        conditions.coating,
        facts.zinc_class[rows],
        facts.zinc_um[rows],
    )
    worth = np.array([*zinc.WORTH.values(), 1.0])[conditions.coating]
    # ISO 9223 is of open air: not of pool halls, and not of waters.
    category = np.where(conditions.in_open_air, conditions.category, -1)
    ends = []
    for end in ("upper", "lower"):
        life = np.full((len(conditions), len(facts)), np.nan)
        life[:, rows] = outdoor_loss.wire_life_years(
            facts.metal[None, rows],
            zinc_um,
            wire_diameter_m[:, None],
            category[:, None],
            conditions.lost_share[:, None],
            end,
            worth[:, None],
        )
        ends.append(life)
    return ends[0], ends[1]


def outdoors(
    facts: AlloyFacts, conditions: ConditionColumns, life: tuple[FloatArray, FloatArray]
) -> tuple[Fitness, ...]:
    """Ask the methods for open air, and that for the air of indoor pools."""
    # Of a named place, what somebody does not know is taken at its worst and at its best.
    named = (conditions.kind >= 0) & conditions.in_annex
    worst = np.where(named, _resistance(conditions, nearest_m=0.0, so2_ug_m3=_MOST_SO2),
                     _resistance(conditions, nearest_m=np.nan, so2_ug_m3=np.nan))  # fmt: skip
    best = np.where(named, _resistance(conditions, nearest_m=np.inf, so2_ug_m3=0.0, most=_MOST_SO2),
                    worst)  # fmt: skip
    in_annex = np.where(conditions.in_annex, worst, np.nan)
    at_best = np.where(conditions.in_annex, best, np.nan)
    return (
        outdoor_stainless.judge(
            conditions.in_open_air,
            in_annex,
            facts.en,
            facts.names,
            conditions.washing,
            at_best,
            facts.annex_class,
        ),
        _under_polymer(
            facts,
            conditions,
            outdoor_loss.judge(
                conditions.in_open_air,
                conditions.category,
                conditions.years_wanted,
                life,
                facts.metal,
                facts.names,
            ),
        ),
        category_class.judge(
            np.where(conditions.in_open_air, conditions.stated_category, -1), facts.annex_class
        ),
        pool_hall.judge(
            conditions.is_pool_hall,
            conditions.washing,
            conditions.three_way["load"],
            facts.en,
            facts.names,
        ),
    )


def _under_polymer(facts: AlloyFacts, conditions: ConditionColumns, life: Fitness) -> Fitness:
    """Leave unjudged what the zinc alone would not last: a polymer may, or may not."""
    covered = (conditions.coating == zinc.POLYMER)[:, None] & (facts.zinc_um > 0.0)[None, :]
    short = covered & (life.verdict == FAILS)
    if not short.any():
        return life

    def say(service: int, alloy: int) -> str:
        words = life.say(service, alloy)
        if not short[service, alloy]:
            return words
        return f"{words}, of the zinc alone; how long the polymer holds on mesh, its maker must say"

    return replace(
        life,
        verdict=np.where(short, NOT_JUDGED, life.verdict).astype(np.int8),
        margin=np.where(short, np.nan, life.margin),
        say=say,
    )


def _resistance(
    conditions: ConditionColumns, nearest_m: float, so2_ug_m3: float, most: float = np.inf
) -> FloatArray:
    """CRF of each service with these values where nobody knows, and no more sulphur than `most`."""

    def filled(column: FloatArray, value: float) -> FloatArray:
        return np.where(np.isnan(column), value, column)

    return outdoor_stainless.resistance_factor(
        filled(conditions.distance_to_sea_m, nearest_m),
        filled(conditions.distance_to_salted_road_m, nearest_m),
        np.minimum(filled(conditions.so2_ug_m3, so2_ug_m3), most),
        conditions.washing,
        conditions.indoor,
        conditions.road_tunnel,
        conditions.sheltered_coast,
    )
