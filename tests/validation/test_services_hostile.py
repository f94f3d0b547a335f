"""Services from handbooks as remembered, written without a look at the table (from memory).

They stand in ``data/services_hostile.toml``, with what must never meet and what should. What is
ruled out never meets, not once; of what a handbook names, nine in ten meet.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np

from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.methods.verdicts import MEETS, VERDICTS
from meshcore.alloys.records.registry import installed_registry

FILE = Path(__file__).parent / "data" / "services_hostile.toml"
SERVICES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["service"]
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
#: Wire where the service names none [mm].
USUAL_WIRE_MM = 0.9
LEAST_MET = 0.9

COLUMNS = condition_columns([Conditions(**s["asked"]) for s in SERVICES])
JUDGED = judge_alloys(
    FACTS, COLUMNS, np.array([s.get("wire_mm", USUAL_WIRE_MM) / 1e3 for s in SERVICES])
)


def test_there_are_a_hundred_and_more_and_all_alloys_are_ours() -> None:
    assert len({s["name"] for s in SERVICES}) == len(SERVICES) >= 100
    assert {a for s in SERVICES for a in (*s["never"], *s["should"])} <= set(PLACE)
    assert len({s["asked"]["environment"] for s in SERVICES}) > 50
    assert sum(len(s["never"]) for s in SERVICES) > 500


def test_what_must_not_meet_does_not() -> None:
    met = [
        f"{s['name']}: {name}: {JUDGED.reason(i, PLACE[name])}"
        for i, s in enumerate(SERVICES)
        for name in s["never"]
        if JUDGED.verdict[i, PLACE[name]] == MEETS
    ]
    assert met == []


def test_most_of_what_a_handbook_names_meets() -> None:
    named = [(i, s["name"], name) for i, s in enumerate(SERVICES) for name in s["should"]]
    missed = [
        f"{service}: {name} {VERDICTS[JUDGED.verdict[i, PLACE[name]]]}"
        for i, service, name in named
        if JUDGED.verdict[i, PLACE[name]] != MEETS
    ]
    assert len(named) > 150
    assert 1.0 - len(missed) / len(named) >= LEAST_MET, "\n".join(missed)


def test_one_alone_is_judged_as_among_many() -> None:
    for i in (0, len(SERVICES) // 2, len(SERVICES) - 1):
        wire = np.array([SERVICES[i].get("wire_mm", USUAL_WIRE_MM) / 1e3])
        alone = judge_alloys(FACTS, condition_columns([Conditions(**SERVICES[i]["asked"])]), wire)
        assert (alone.verdict[0] == JUDGED.verdict[i]).all()
