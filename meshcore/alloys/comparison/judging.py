"""Alloys against services: every method asked, and one verdict."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.comparison.conditions import SERVICES, ConditionColumns, surroundings
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.methods import (
    chloride_water,
    galvanic,
    heat,
    outdoor_loss,
    outdoor_stainless,
    requirements,
)
from meshcore.alloys.methods.verdicts import (
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
    either,
    gravest,
    least_margin,
)
from meshcore.arrays import FloatArray

#: Questions put to an alloy, in the order of their columns.
ASPECTS: tuple[str, ...] = (
    "outdoor_air",
    "chloride_water",
    "heat",
    "contact",
    "wire",
    "non_magnetic",
    "food_contact",
    *SERVICES,
)
#: Those whose least margin is the corrosion margin.
CORROSION_ASPECTS: tuple[str, ...] = ("outdoor_air", "chloride_water", "heat")


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
    margin
        Corrosion margin [steps]: the least of the corrosion aspects asked; NaN where one of them
        has none, or none was asked.
    life_years
        Life of the wire in the open at the upper end of the category [a]; NaN where not computed.
    """

    findings: Mapping[str, tuple[Fitness, ...]]
    aspects: Mapping[str, VerdictArray]
    verdict: VerdictArray
    margin: FloatArray
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
    >>> from meshcore.alloys.comparison.conditions import Conditions, condition_columns
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
    findings = {
        "outdoor_air": _outdoors(facts, conditions, life),
        "chloride_water": (
            chloride_water.judge(
                conditions.chloride_mg_l,
                conditions.water_temperature_c,
                facts.crevice_c,
                facts.pren,
                facts.names,
            ),
        ),
        "heat": (heat.judge(conditions.temperature_c, facts.ceiling_c),),
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
            requirements.judge_magnetism(conditions.non_magnetic, facts.magnetic, facts.md30_c),
        ),
        "food_contact": (
            requirements.judge_food(conditions.food_contact, facts.least_pct, facts.zinc_um),
        ),
    } | {
        service: (requirements.judge_service(service, asked, facts.alloys),)
        for service, asked in conditions.services.items()
    }
    aspects = {name: _settle(verdicts) for name, verdicts in findings.items()}
    return Judged(
        findings=findings,
        aspects=aspects,
        verdict=_overall(aspects),
        margin=_corrosion_margin(findings, aspects),
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


def _lives(
    facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Life at the upper and lower end of the category; worked out only for metals that have one."""
    rows = facts.metal >= 0
    ends = []
    for end in ("upper", "lower"):
        life = np.full((len(conditions), len(facts)), np.nan)
        life[:, rows] = outdoor_loss.wire_life_years(
            facts.metal[None, rows],
            facts.zinc_um[None, rows],
            wire_diameter_m[:, None],
            conditions.category[:, None],
            conditions.lost_share[:, None],
            end,
        )
        ends.append(life)
    return ends[0], ends[1]


def _outdoors(
    facts: AlloyFacts, conditions: ConditionColumns, life: tuple[FloatArray, FloatArray]
) -> tuple[Fitness, Fitness]:
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
    return (
        outdoor_stainless.judge(conditions.in_air, in_annex, facts.en, facts.names),
        outdoor_loss.judge(
            conditions.in_air,
            conditions.category,
            conditions.years_wanted,
            life,
            facts.metal,
            facts.names,
        ),
    )


def _settle(findings: tuple[Fitness, ...]) -> VerdictArray:
    verdict = findings[0].verdict
    for finding in findings[1:]:
        verdict = either(verdict, finding.verdict)
    return verdict


def _overall(aspects: Mapping[str, VerdictArray]) -> VerdictArray:
    """Gravest aspect; a wire that can be drawn is no service met, so alone it judges nothing."""
    others = np.maximum.reduce([v for name, v in aspects.items() if name != "wire"])
    return np.where(others == NOT_ASKED, NOT_JUDGED, gravest(list(aspects.values()))).astype(
        np.int8
    )


def _corrosion_margin(
    findings: Mapping[str, tuple[Fitness, ...]], aspects: Mapping[str, VerdictArray]
) -> FloatArray:
    """Least margin of the corrosion aspects asked; NaN where one of them has none."""
    margins = {name: least_margin([f.margin for f in findings[name]]) for name in CORROSION_ASPECTS}
    missing = np.logical_or.reduce(
        [(aspects[name] != NOT_ASKED) & np.isnan(margin) for name, margin in margins.items()]
    )
    return np.where(missing, np.nan, least_margin(list(margins.values())))
