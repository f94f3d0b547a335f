"""Services whose answer is known: handbooks, standards and guides, each named beside its service.

The answers stand in ``data/services_known.toml``. Two things are asked. No alloy that the source
rules out may meet: not one, for that is how people are hurt. And of those that the source
recommends at least seven in ten must meet, or the comparison is of no use; a ranking may be more
careful than a handbook, so not all need to.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import Judged, judge_alloys
from meshcore.alloys.methods.verdicts import MEETS, VERDICTS
from meshcore.alloys.records.registry import installed_registry

FILE = Path(__file__).parent / "data" / "services_known.toml"
SERVICES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["service"]
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
#: Wire where the service names none [mm].
USUAL_WIRE_MM = 0.9
#: Share of the recommended alloys that must meet.
LEAST_MET = 0.7


def judged(service: Mapping[str, Any]) -> Judged:
    wire = np.array([service.get("wire_mm", USUAL_WIRE_MM) / 1e3])
    return judge_alloys(FACTS, condition_columns([Conditions(**service["asked"])]), wire)


def names(service: Mapping[str, Any], kind: str) -> list[str]:
    return [name for name in service[kind] if name in PLACE]


def test_there_are_enough_and_each_names_its_source() -> None:
    assert len(SERVICES) >= 60
    assert all(s["source"].strip() for s in SERVICES)
    assert len({s["name"] for s in SERVICES}) == len(SERVICES)


def test_every_alloy_named_is_one_of_ours() -> None:
    named = {a for s in SERVICES for a in (*s["recommended"], *s["ruled_out"])}
    assert named <= set(PLACE)


@pytest.mark.parametrize("service", SERVICES, ids=lambda s: s["name"])
def test_nothing_that_is_ruled_out_meets(service: dict[str, Any]) -> None:
    found = judged(service)
    meets = [n for n in names(service, "ruled_out") if found.verdict[0, PLACE[n]] == MEETS]
    assert meets == [], service["source"]


def test_most_of_what_is_recommended_meets() -> None:
    missed = []
    count = 0
    for service in SERVICES:
        found = judged(service)
        for name in names(service, "recommended"):
            count += 1
            if found.verdict[0, PLACE[name]] != MEETS:
                word = VERDICTS[found.verdict[0, PLACE[name]]]
                missed.append(f"{service['name']}: {name} {word}: {found.reason(0, PLACE[name])}")
    assert count > 120
    assert 1.0 - len(missed) / count >= LEAST_MET, "\n".join(missed)
