"""What cannot be so together is refused from a text, and told of a service made in a program."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

import meshcore as mc
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import ENVIRONMENTS, Conditions
from meshcore.alloys.comparison.contradictions import contradictions
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.alloys.methods.verdicts import MARGINAL, MEETS, VerdictArray
from meshcore.alloys.records.registry import installed_registry

IMPOSSIBLE = [
    ("chloride", {"environment": "sea water", "chloride": "5 mg/l"}),
    ("temperature", {"environment": "sea water", "temperature": "-100 °C"}),
    ("temperature", {"environment": "milk", "temperature": "-50 °C"}),
    ("temperature", {"environment": "steam", "temperature": "20 °C"}),
    ("stagnant", {"environment": "river water", "flow": "3 m/s", "stagnant": "yes"}),
    ("concentration", {"environment": "hydrochloric acid", "concentration": "60 %"}),
    ("concentration", {"environment": "brine", "concentration": "40 %"}),
    ("corrosivity", {"environment": "sea water", "corrosivity": "C1"}),
]


@pytest.mark.parametrize(("field", "texts"), IMPOSSIBLE)
def test_what_cannot_be_is_refused_with_its_remedy(field: str, texts: dict[str, str]) -> None:
    refused = read_conditions(texts)
    assert isinstance(refused, tuple)
    assert [message.field for message in refused] == [field]
    assert "Write" in refused[0].text


def test_no_surroundings_contradict_themselves() -> None:
    assert [n for n in ENVIRONMENTS if contradictions(Conditions(environment=n))] == []


def test_a_program_is_told_beside_the_table() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in")
    asked = Conditions(environment="sea water", chloride_mg_l=5.0)
    said = mc.compare_alloys(mesh, asked, ["304"]).attrs["messages"]
    assert any(one.startswith("chloride: read") for one in said)


#: What is said of a liquid where none is named: a program that read nothing of it would comfort.
OF_NO_LIQUID: list[tuple[str, dict[str, Any]]] = [
    ("ph", {"temperature_c": 60.0, "ph": 1.0}),
    ("concentration", {"temperature_c": 100.0, "concentration_pct": 98.0}),
    ("stagnant", {"temperature_c": 60.0, "stagnant": "yes"}),
    ("flow", {"temperature_c": 60.0, "flow_m_s": 2.0}),
    ("ph", {"environment": "hot air", "temperature_c": 160.0, "ph": 1.0}),
    ("chloride", {"environment": "hot air", "temperature_c": 160.0, "chloride_mg_l": 20e3}),
    ("concentration", {"environment": "indoor", "concentration_pct": 98.0}),
    ("stagnant", {"environment": "coastal", "stagnant": "yes"}),
    ("ph", {"environment": "flue gas", "temperature_c": 400.0, "ph": 1.0}),
]


@pytest.mark.parametrize(("field", "said"), OF_NO_LIQUID)
def test_what_is_said_of_a_liquid_asks_for_its_name(field: str, said: dict[str, Any]) -> None:
    service = Conditions(**said)
    (message,) = contradictions(service)
    assert message.field == field
    assert "Write the liquid" in message.text
    assert not np.isin(judged(service), (MEETS, MARGINAL)).any()


def test_a_service_at_odds_with_itself_meets_nothing() -> None:
    for said in (
        {"environment": "sea water", "chloride_mg_l": 100.0},
        {"environment": "drinking water", "concentration_pct": 50.0},
        {"environment": "river water", "flow_m_s": 3.0, "stagnant": "yes"},
    ):
        assert not np.isin(judged(Conditions(**said)), (MEETS, MARGINAL)).any()  # type: ignore[arg-type]
    # A water of which only its salt and warmth are named may have a pH of its own.
    assert contradictions(Conditions(chloride_mg_l=50.0, water_temperature_c=20.0, ph=7.0)) == ()


def test_no_answer_is_tried_that_cannot_be() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in")
    table = mc.compare_alloys(mesh, Conditions(environment="sea water"), ["316L", "alloy 625"])
    assert not any("holds more than" in str(cell) for cell in table.to_numpy().ravel())
    assert not any("chloride 1,000" in str(cell) for cell in table.to_numpy().ravel())


def judged(service: Conditions) -> VerdictArray:
    facts = alloy_facts(installed_registry().alloys)
    return judge_alloys(facts, condition_columns([service]), np.array([0.9e-3])).verdict
