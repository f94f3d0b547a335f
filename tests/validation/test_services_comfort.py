"""What is stated, and what nobody knows, is never lost: no alloy meets by it (from memory).

They stand in ``data/services_comfort.toml``: strengths, heat and categories that must reach every
rule, and gaps in what is known that must not count as the mild answer.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from meshcore.alloys.comparison.assumptions import assumptions
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.methods.verdicts import MEETS, VERDICTS
from meshcore.alloys.records.registry import installed_registry

FILE = Path(__file__).parent / "data" / "services_comfort.toml"
SERVICES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["service"]
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
USUAL_WIRE_MM = 0.635
JUDGED = judge_alloys(
    FACTS,
    condition_columns([Conditions(**s["asked"]) for s in SERVICES]),
    np.array([s.get("wire_mm", USUAL_WIRE_MM) / 1e3 for s in SERVICES]),
)


@pytest.mark.parametrize("number", range(len(SERVICES)), ids=[s["name"] for s in SERVICES])
def test_no_false_comfort(number: int) -> None:
    service = SERVICES[number]
    for name in service["never"]:
        met = JUDGED.verdict[number, PLACE[name]] == MEETS
        assert not met, f"{name}: {JUDGED.reason(number, PLACE[name])}"
    for name in service["should"]:
        said = f"{name}: {JUDGED.reason(number, PLACE[name])}"
        assert JUDGED.verdict[number, PLACE[name]] == MEETS, said


def test_a_stronger_brine_is_another_brine() -> None:
    weak, strong = (
        condition_columns([Conditions(environment="brine", concentration_pct=pct)])
        for pct in (1.0, 26.0)
    )
    # 26 % of salt of 1,197 kg/m³: 189 g/l of chloride (tables of sodium chloride, from memory).
    assert strong.chloride_mg_l[0] == pytest.approx(189_000.0, rel=0.01)
    assert weak.chloride_mg_l[0] == pytest.approx(6_100.0, rel=0.01)


def test_the_reason_names_what_is_not_known_and_what_it_comes_to() -> None:
    number = [s["name"] for s in SERVICES].index("process water that may stand still")
    reason = JUDGED.reason(number, PLACE["316L"])
    assert reason.startswith("depends on standing still, not known; at worst: ")
    assert "pits under deposits" in reason


def test_what_is_assumed_of_load_rubbing_and_years_is_shown() -> None:
    asked = Conditions(environment="river water")
    judged = judge_alloys(FACTS, condition_columns([asked]), np.array([0.635e-3]))
    said = {one.field: one for one in assumptions(asked, FACTS, judged, 0.635e-3)}
    assert {"stagnant", "abrasion", "load", "years_wanted"} <= set(said)
    assert all(said[f].is_known for f in ("stagnant", "abrasion", "load", "years_wanted"))
    assert "copper" in said["abrasion"].flips[0].changes


def test_the_verdict_is_one_of_the_words() -> None:
    assert {VERDICTS[v] for v in np.unique(JUDGED.verdict)} <= set(VERDICTS)
