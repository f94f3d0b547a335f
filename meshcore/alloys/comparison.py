"""Alloys against services: every method asked, one verdict, and the price beside it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.alloys import (
    chloride_water,
    galvanic,
    heat,
    outdoor_loss,
    outdoor_stainless,
    requirements,
)
from meshcore.alloys.conditions import SERVICES, ConditionColumns, surroundings
from meshcore.alloys.facts import AlloyFacts
from meshcore.alloys.verdicts import (
    MARGINAL,
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    VERDICTS,
    Fitness,
    VerdictArray,
    either,
    gravest,
    least_margin,
)
from meshcore.arrays import BoolArray, FloatArray

if TYPE_CHECKING:
    import pandas as pd

#: What stands with every comparison, on screen and on paper.
CAUTIONS: tuple[str, ...] = (
    "This is not a design code for mesh: the methods were made for structural parts, plates and "
    "coupons, and woven wire is thinner, crimped, and holds dirt and water at its crossings.",
    "A verdict ranks alloys by published methods within their ranges; it promises no life. "
    '"Not judged" means that no method here covers the alloy, not that it is fit.',
    "Where failure could hurt someone (load, guarding, food, heat, hygiene), local codes and "
    "licensed practice decide, and the alloy is to be tested in the service itself.",
)
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
    >>> from meshcore.alloys.conditions import Conditions, condition_columns
    >>> from meshcore.alloys.facts import alloy_facts
    >>> from meshcore.alloys.registry import installed_registry, resolve
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
    aspects = {name: _settle(found) for name, found in findings.items()}
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


def pareto_front(price: FloatArray, margin: FloatArray, eligible: BoolArray) -> BoolArray:
    """Alloys that no other eligible one beats in price without losing margin, or the reverse.

    Parameters
    ----------
    price, margin
        Of each alloy; NaN keeps it out.
    eligible
        Alloys that are in the running.

    Examples
    --------
    >>> price, margin = np.array([1.0, 2.0, 3.0]), np.array([0.0, 2.0, 1.0])
    >>> pareto_front(price, margin, np.full(3, True)).tolist()
    [True, True, False]
    """
    running = eligible & ~np.isnan(price) & ~np.isnan(margin)
    cheaper = price[None, :] <= price[:, None]
    better = margin[None, :] >= margin[:, None]
    strictly = (price[None, :] < price[:, None]) | (margin[None, :] > margin[:, None])
    beaten = (cheaper & better & strictly & running[None, :]).any(axis=1)
    return running & ~beaten


def comparison_table(facts: AlloyFacts, judged: Judged, prices: pd.DataFrame) -> pd.DataFrame:
    """Table of one service: verdicts, reasons and prices, the cheapest that meets first.

    Parameters
    ----------
    facts
        The alloys.
    judged
        Their judgement; its first service is tabulated.
    prices
        One row an alloy in the same order, with at least ``price`` and ``net_area_m2`` (NaN where
        there is no price); ``status``, ``messages``, ``mass_kg``, ``currency`` are carried over.

    Returns
    -------
    DataFrame, one row an alloy, sorted by verdict and price; ``attrs["cautions"]`` holds what must
    stand with it.
    """
    import pandas as pd  # noqa: PLC0415 - heavy, and judging needs none of it

    price = prices["price"].to_numpy(dtype=np.float64, na_value=np.nan)
    area = prices["net_area_m2"].to_numpy(dtype=np.float64, na_value=np.nan)
    verdict, margin, life = judged.verdict[0], judged.margin[0], judged.life_years[0]
    meets = (verdict == MEETS) & ~np.isnan(price)
    cheapest = meets & (price == np.min(price[meets], initial=np.inf))
    table = pd.DataFrame(
        {
            "alloy": facts.names,
            "family": [a.family for a in facts.alloys],
            "uns": [a.uns for a in facts.alloys],
            "en": list(facts.en),
            "verdict": [VERDICTS[v] for v in verdict],
            "reason": [judged.reason(0, i) for i in range(len(facts))],
            "price": price,
            "price_per_m2": price / np.where(area > 0.0, area, np.nan),
            "life_years": life,
            "price_per_year": price / np.where(life > 0.0, life, np.nan),
            "corrosion_margin": margin,
            "on_front": pareto_front(price, margin, verdict <= MARGINAL),
            "cheapest_that_meets": cheapest,
        }
    )
    for aspect in ASPECTS:
        table[aspect] = [VERDICTS[v] for v in judged.aspects[aspect][0]]
    for column in ("status", "messages", "mass_kg", "currency"):
        if column in prices:
            table[column] = prices[column].to_numpy()
    order = np.lexsort((np.where(np.isnan(price), np.inf, price), verdict))
    table = table.iloc[order].reset_index(drop=True)
    table.attrs["cautions"] = CAUTIONS
    return table
