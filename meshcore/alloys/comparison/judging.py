"""Alloys against services: every method asked, and one verdict."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.alloys.comparison import doubts
from meshcore.alloys.comparison.asking import (
    at_odds,
    by_media,
    chloride_factor,
    in_heat,
    lives,
    outdoors,
    scaled,
    within_rows,
)
from meshcore.alloys.comparison.columns import ConditionColumns, surroundings
from meshcore.alloys.comparison.conditions import SERVICES
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.settling import corrosion_margin, overall, settle
from meshcore.alloys.comparison.vetoes import judging as vetoes
from meshcore.alloys.methods import chloride_water, galvanic, magnetism, requirements
from meshcore.alloys.methods.verdicts import (
    MEETS,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
    not_asked,
)
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

#: Questions put to an alloy, in the order of their columns.
ASPECTS: tuple[str, ...] = (
    "outdoor_air",
    "chloride_water",
    "medium",
    "heat",
    "scale",
    "ruled_out",
    "within_rows",
    "not_known",
    "contact",
    "wire",
    "non_magnetic",
    "food_contact",
    "drinking_water",
    *SERVICES,
)
#: Those that have a corrosion margin.
CORROSION_ASPECTS: tuple[str, ...] = ("outdoor_air", "chloride_water", "medium", "heat")
#: Those that are no service: alone they judge nothing.
_OF_NO_SERVICE = ("wire", "within_rows", "not_known")


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
        return self.reasons(service, [alloy])[0]

    def reasons(self, service: int, alloys: Sequence[int]) -> list[str]:
        """Word the verdicts on some alloys, as `reason` does."""
        some = np.array(alloys, dtype=np.int64)
        verdict = self.verdict[service, some]
        said: list[list[str]] = [[] for _ in alloys]
        for aspect, findings in self.findings.items():
            decided = self.aspects[aspect][service, some] == verdict
            if aspect == "wire":
                decided &= verdict != MEETS
            if not decided.any():
                continue
            for finding in findings:
                stands = decided & _stands_for(finding, service, some, verdict)
                for place in np.flatnonzero(stands).tolist():
                    said[place].append(finding.say(service, alloys[place]))
        return ["; ".join(words) or "no service is described" for words in said]


def _stands_for(
    finding: Fitness, service: int, alloys: IntArray, verdict: VerdictArray
) -> BoolArray:
    """Whether a method stands for a verdict: by its own, or by that at its nearest point."""
    own: BoolArray = finding.verdict[service, alloys] == verdict
    if finding.at_least is not None:
        own |= finding.at_least[service, alloys] == verdict
    return own


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
    >>> import numpy as np
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
    tried = doubts.trials(conditions, wire_diameter_m)
    found = _by_all(facts, *doubts.with_answers(conditions, wire_diameter_m, tried))
    if not tried:
        return found
    unknown = doubts.judge(
        len(conditions),
        tried,
        np.maximum.reduce(list(found.aspects.values())),
        np.maximum.reduce([v for name, v in found.aspects.items() if name != "wire"]),
        found.reason,
    )
    return _doubted(_first(found, len(conditions)), unknown)


def _first(judged: Judged, count: int) -> Judged:
    """Return what was found of the first services alone."""
    return Judged(
        findings={
            name: tuple(
                replace(
                    one,
                    verdict=one.verdict[:count],
                    margin=one.margin[:count],
                    at_least=None if one.at_least is None else one.at_least[:count],
                )
                for one in found
            )
            for name, found in judged.findings.items()
        },
        aspects={name: verdict[:count] for name, verdict in judged.aspects.items()},
        verdict=judged.verdict[:count],
        margin=judged.margin[:count],
        margin_method=judged.margin_method[:count],
        life_years=judged.life_years[:count],
    )


def _doubted(found: Judged, unknown: Fitness) -> Judged:
    """Add what is not known to what was found without it."""
    if (unknown.verdict == NOT_ASKED).all():
        return found
    aspects = {**found.aspects, "not_known": unknown.verdict}
    doubtful = unknown.verdict == NOT_JUDGED
    return replace(
        found,
        findings={**found.findings, "not_known": (unknown,)},
        aspects=aspects,
        verdict=overall(aspects, _OF_NO_SERVICE),
        margin=np.where(doubtful, np.nan, found.margin),
        margin_method=np.where(doubtful, "", found.margin_method),
    )


def _by_all(facts: AlloyFacts, conditions: ConditionColumns, wire_diameter_m: FloatArray) -> Judged:
    """Judge by every method, with what is not known left so."""
    life = lives(facts, conditions, wire_diameter_m)
    table = by_media(facts, conditions, wire_diameter_m)
    findings = {
        "outdoor_air": (*outdoors(facts, conditions, life), table["outdoor_air"]),
        "chloride_water": (
            chloride_water.judge(
                conditions.ranked_chloride_mg_l,
                conditions.water_temperature_c,
                facts.crevice_c,
                facts.pren,
                facts.outlasts_brine,
                facts.names,
            ),
            table["chloride_water"],
        ),
        "medium": (table["medium"],),
        "heat": (in_heat(facts, conditions, wire_diameter_m),),
        "scale": (scaled(facts, conditions, wire_diameter_m),),
        "ruled_out": (vetoes.judge(facts, conditions),),
        "within_rows": (within_rows(facts, conditions), at_odds(facts, conditions)),
        "not_known": (not_asked(doubts.METHOD, (len(conditions), len(facts))),),
        "contact": (
            galvanic.judge(
                conditions.contact,
                surroundings(conditions, chloride_factor(conditions)),
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
                magnetism.irony_copper(facts.least_pct),
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
    aspects = {name: settle(verdicts) for name, verdicts in findings.items()}
    margin, method = corrosion_margin(findings, aspects, CORROSION_ASPECTS)
    # Where the rows do not speak of what is stated, nor do their margins.
    unread = aspects["within_rows"] == NOT_JUDGED
    margin, method = np.where(unread, np.nan, margin), np.where(unread, "", method)
    return Judged(
        findings=findings,
        aspects=aspects,
        verdict=overall(aspects, _OF_NO_SERVICE),
        margin=margin,
        margin_method=method,
        life_years=life[0],
    )
