"""Alloys against services: every method asked, and one verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from meshcore.alloys.comparison import vetoes
from meshcore.alloys.comparison.columns import ConditionColumns, surroundings
from meshcore.alloys.comparison.conditions import SERVICES
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.methods import (
    chloride_water,
    galvanic,
    heat,
    magnetism,
    media,
    outdoor_loss,
    outdoor_stainless,
    pool_hall,
    requirements,
    zinc,
)
from meshcore.alloys.methods.verdicts import (
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
    gravest,
    together,
)
from meshcore.arrays import FloatArray, ObjectArray

#: Questions put to an alloy, in the order of their columns.
ASPECTS: tuple[str, ...] = (
    "outdoor_air",
    "chloride_water",
    "medium",
    "heat",
    "ruled_out",
    "contact",
    "wire",
    "non_magnetic",
    "food_contact",
    "drinking_water",
    *SERVICES,
)
#: Those that have a corrosion margin.
CORROSION_ASPECTS: tuple[str, ...] = ("outdoor_air", "chloride_water", "medium", "heat")


@dataclass(frozen=True, slots=True)
class Judged:
    """What all methods together find, services down and alloys across.

    Parameters
    ----------
    findings
        Aspect → what each method that speaks to it found (two for outdoor air).
    aspects
        Aspect → its verdict.
    verdict
        Gravest of the aspects, as an index into ``VERDICTS``.
    margin, margin_method
        Corrosion margin [steps] and the method whose steps they are: of the gravest corrosion
        aspect asked; NaN and empty where it has none. Margins of two methods do not compare.
    life_years
        Life of the wire in the open at the upper end of the category [a]; NaN where not computed.
    """

    findings: Mapping[str, tuple[Fitness, ...]]
    aspects: Mapping[str, VerdictArray]
    verdict: VerdictArray
    margin: FloatArray
    margin_method: ObjectArray
    life_years: FloatArray

    def reason(self, service: int, alloy: int) -> str:
        """Word the verdict: what decided it, or all that was met."""
        verdict = self.verdict[service, alloy]
        said = [
            finding.say(service, alloy)
            for aspect, findings in self.findings.items()
            if self.aspects[aspect][service, alloy] == verdict
            and (aspect != "wire" or verdict != MEETS)
            for finding in findings
            if finding.verdict[service, alloy] == verdict
        ]
        return "; ".join(said) or "no service is described"


def judge_alloys(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> Judged:
    """Judge every alloy for every service.

    Parameters
    ----------
    facts
        The alloys.
    conditions
        The services.
    wire_diameter_m
        Wire of each service's mesh [m]; NaN where unknown.

    Examples
    --------
    >>> from meshcore.alloys.comparison.conditions import Conditions
    >>> from meshcore.alloys.comparison.columns import condition_columns
    >>> from meshcore.alloys.comparison.facts import alloy_facts
    >>> from meshcore.alloys.records.registry import installed_registry, resolve
    >>> from meshcore.alloys.methods.verdicts import VERDICTS
    >>> alloys = installed_registry()
    >>> two = [alloys.alloys[resolve(alloys, name)] for name in ("304", "316L")]
    >>> coast = condition_columns([Conditions(environment="coastal")])
    >>> judged = judge_alloys(alloy_facts(two), coast, np.array([0.9e-3]))
    >>> [VERDICTS[v] for v in judged.verdict[0]]
    ['fails', 'meets']
    """
    life = _lives(facts, conditions, wire_diameter_m)
    by_media = _by_media(facts, conditions, wire_diameter_m)
    findings = {
        "outdoor_air": (*_outdoors(facts, conditions, life), by_media["outdoor_air"]),
        "chloride_water": (
            chloride_water.judge(
                conditions.ranked_chloride_mg_l,
                conditions.water_temperature_c,
                facts.crevice_c,
                facts.pren,
                facts.names,
            ),
            by_media["chloride_water"],
        ),
        "medium": (by_media["medium"],),
        "heat": (
            heat.judge(
                conditions.temperature_c,
                facts.ceiling_c,
                wire_diameter_m,
                conditions.hours,
                conditions.lost_share,
            ),
        ),
        "ruled_out": (vetoes.judge(facts, conditions),),
        "contact": (
            galvanic.judge(
                conditions.contact,
                surroundings(conditions, _chloride_factor(conditions)),
                facts.group,
                facts.names,
            ),
        ),
        "wire": (requirements.judge_wire(wire_diameter_m, facts.finest_wire_m),),
        "non_magnetic": (
            magnetism.judge(
                conditions.non_magnetic,
                conditions.services["anneal"] & ~conditions.services["form"],
                conditions.metal_c,
                facts.magnetic,
                facts.md30_c,
                facts.curie_c,
            ),
        ),
        "food_contact": (
            requirements.judge_food(conditions.food_contact, facts.least_pct, facts.zinc_um),
        ),
        "drinking_water": (
            requirements.judge_drinking_water(
                conditions.drinking_water, facts.least_pct, facts.zinc_um, facts.most_lead_pct
            ),
        ),
    } | {
        service: (requirements.judge_service(service, asked, facts.alloys),)
        for service, asked in conditions.services.items()
    }
    aspects = {name: _settle(verdicts) for name, verdicts in findings.items()}
    margin, method = _corrosion_margin(findings, aspects)
    return Judged(
        findings=findings,
        aspects=aspects,
        verdict=_overall(aspects),
        margin=margin,
        margin_method=method,
        life_years=life[0],
    )


def _chloride_factor(conditions: ConditionColumns) -> FloatArray:
    return outdoor_stainless.chloride_factor(
        conditions.distance_to_sea_m,
        conditions.distance_to_salted_road_m,
        conditions.indoor,
        conditions.road_tunnel,
        conditions.sheltered_coast,
    )


def _by_media(
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
    # The open air is judged at its own warmth, whatever heats the metal.
    at_c = np.where(conditions.in_air, _OPEN_AIR_C, conditions.metal_c)
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
    # In the open the rows know no steps: a limit of temperature says nothing of weather.
    nothing = np.broadcast_to(np.nan, (len(conditions), len(facts)))
    return found | {"outdoor_air": replace(found["outdoor_air"], margin=nothing)}


#: Warmth at which the rows of open air are read [°C].
_OPEN_AIR_C = 20.0


def _lives(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Life at the upper and lower end of the category; worked out only for metals that have one."""
    rows = facts.metal >= 0
    zinc_um = zinc.zinc_on_wire_um(
        conditions.zinc_g_m2, wire_diameter_m, facts.zinc_class[rows], facts.zinc_um[rows]
    )
    # ISO 9223 is of open air: not of pool halls, and not of waters.
    category = np.where(conditions.in_air & ~conditions.is_pool_hall, conditions.category, -1)
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
            conditions.zinc_worth[:, None],
        )
        ends.append(life)
    return ends[0], ends[1]


def _outdoors(
    facts: AlloyFacts, conditions: ConditionColumns, life: tuple[FloatArray, FloatArray]
) -> tuple[Fitness, ...]:
    resistance = outdoor_stainless.resistance_factor(
        conditions.distance_to_sea_m,
        conditions.distance_to_salted_road_m,
        conditions.so2_ug_m3,
        conditions.washing,
        conditions.indoor,
        conditions.road_tunnel,
        conditions.sheltered_coast,
    )
    in_annex = np.where(conditions.in_annex, resistance, np.nan)
    pool = conditions.is_pool_hall
    return (
        outdoor_stainless.judge(
            conditions.in_air & ~pool, in_annex, facts.en, facts.names, conditions.washing
        ),
        outdoor_loss.judge(
            conditions.in_air & ~pool,
            conditions.category,
            conditions.years_wanted,
            life,
            facts.metal,
            facts.names,
        ),
        pool_hall.judge(
            pool, conditions.washing, conditions.three_way["load"], facts.en, facts.names
        ),
    )


def _settle(findings: tuple[Fitness, ...]) -> VerdictArray:
    verdict = findings[0].verdict
    for finding in findings[1:]:
        verdict = together(verdict, finding.verdict)
    return verdict


def _overall(aspects: Mapping[str, VerdictArray]) -> VerdictArray:
    """Gravest aspect; a wire that can be drawn is no service met, so alone it judges nothing."""
    others = np.maximum.reduce([v for name, v in aspects.items() if name != "wire"])
    return np.where(others == NOT_ASKED, NOT_JUDGED, gravest(list(aspects.values()))).astype(
        np.int8
    )


def _corrosion_margin(
    findings: Mapping[str, tuple[Fitness, ...]], aspects: Mapping[str, VerdictArray]
) -> tuple[FloatArray, ObjectArray]:
    """Margin of the gravest corrosion aspect, by the method that gave it; never of two methods."""
    corrosion = [aspects[name] for name in CORROSION_ASPECTS]
    worst = np.maximum.reduce(corrosion)
    margin = np.full(worst.shape, np.nan)
    code = np.full(worst.shape, -1, dtype=np.int8)
    methods: list[str] = []
    undecided = worst != NOT_ASKED
    for name, verdict in zip(CORROSION_ASPECTS, corrosion, strict=True):
        if (verdict == NOT_ASKED).all():
            continue
        here = undecided & (verdict == worst)
        for finding in findings[name]:
            if not finding.margin.strides[0]:
                continue
            at = here & (finding.verdict == worst) & ~np.isnan(finding.margin)
            np.copyto(margin, finding.margin, where=at)
            np.copyto(code, np.int8(len(methods)), where=at)
            methods.append(finding.method)
            here &= ~at
        undecided &= verdict != worst
    return margin, np.array([*methods, ""], dtype=object)[code]
