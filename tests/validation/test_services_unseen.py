"""Services written down from memory of handbooks before the program was asked about any of them.

They stand in ``data/services_unseen.toml``. When they were first asked, none of 456 alloys that are
ruled out met, and 165 of 214 that a handbook names did (77 %); seven media were missing altogether.
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
from meshcore.alloys.methods.verdicts import MEETS
from meshcore.alloys.records.registry import installed_registry

FILE = Path(__file__).parent / "data" / "services_unseen.toml"
SERVICES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["service"]
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
#: Wire where the service names none [mm].
USUAL_WIRE_MM = 0.9
LEAST_MET = 0.8

VERDICT = judge_alloys(
    FACTS,
    condition_columns([Conditions(**s["asked"]) for s in SERVICES]),
    np.array([s.get("wire_mm", USUAL_WIRE_MM) / 1e3 for s in SERVICES]),
).verdict


def test_there_are_enough_and_all_alloys_are_ours() -> None:
    assert len({s["name"] for s in SERVICES}) == len(SERVICES) >= 80
    assert {a for s in SERVICES for a in (*s["never"], *s["should"])} <= set(PLACE)
    assert sum(len(s["never"]) for s in SERVICES) > 450


def test_nothing_that_a_handbook_rules_out_meets() -> None:
    false = [
        f"{s['name']}: {alloy}"
        for s, verdict in zip(SERVICES, VERDICT, strict=True)
        for alloy in s["never"]
        if verdict[PLACE[alloy]] == MEETS
    ]
    assert false == []


def test_most_of_what_a_handbook_names_meets() -> None:
    met = [
        verdict[PLACE[alloy]] == MEETS
        for s, verdict in zip(SERVICES, VERDICT, strict=True)
        for alloy in s["should"]
    ]
    assert np.mean(met) >= LEAST_MET
