"""Services as somebody states them in words: what once met in silence meets no more.

They stand in ``data/services_stated.toml``, read by the same reader as what a user types.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import meshcore as mc
from meshcore.alloys.comparison.columns import condition_columns
from meshcore.alloys.comparison.conditions import ENVIRONMENTS, Conditions, held
from meshcore.alloys.comparison.facts import alloy_facts
from meshcore.alloys.comparison.judging import judge_alloys
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.alloys.methods.verdicts import FAILS, MEETS, NOT_JUDGED
from meshcore.alloys.records.registry import installed_registry
from meshcore.estimates.alloy_comparison_text import comparison_text

FILE = Path(__file__).parent / "data" / "services_stated.toml"
SERVICES: list[dict[str, Any]] = tomllib.loads(FILE.read_text(encoding="utf-8"))["service"]
FACTS = alloy_facts(installed_registry().alloys)
PLACE = {name: i for i, name in enumerate(FACTS.names)}
MESH = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.035 in", form=mc.Roll("48 in", "100 ft"))


def stated(asked: dict[str, str]) -> Conditions:
    read = read_conditions(asked)
    assert isinstance(read, Conditions), read
    return read


@pytest.mark.parametrize("service", SERVICES, ids=[s["name"] for s in SERVICES])
def test_what_must_not_meet_does_not(service: dict[str, Any]) -> None:
    wire = np.array([service["wire_mm"] / 1e3])
    judged = judge_alloys(FACTS, condition_columns([stated(service["asked"])]), wire)
    met = [name for name in service["never"] if judged.verdict[0, PLACE[name]] == MEETS]
    assert met == [], judged.reason(0, PLACE[met[0]])


def test_two_temperatures_are_told_and_the_hotter_counts() -> None:
    two = stated({"environment": "sea water", "temperature": "90 °C", "water_temperature": "20 °C"})
    said = "\n".join(mc.compare_alloys(MESH, two, ["S31254"]).attrs["messages"])
    assert "the metal is stated at 90 °C and the water at 20 °C" in said
    assert "90 °C counts" in said
    one = stated({"environment": "sea water", "temperature": "90 °C"})
    wire = np.array([0.9e-3, 0.9e-3])
    both = judge_alloys(FACTS, condition_columns([one, two]), wire).verdict
    assert (both[0] == both[1]).all()


def test_years_wanted_are_hours_at_heat_unless_hours_are_stated() -> None:
    """8,766 h a year: ten years without a stop; fewer than are usual are counted as usual."""

    def hours(**more: str) -> float | None:
        return held(stated({"environment": "hot air", "temperature": "700 °C", **more}))[0].hours

    assert hours(years_wanted="10 years") == pytest.approx(87_660.0)
    assert hours(years_wanted="10 years", hours="500 h") == 500.0
    assert hours() == hours(years_wanted="0.5 years") == 10_000.0
    ten = stated({"environment": "hot air", "temperature": "700 °C", "years_wanted": "10 years"})
    told = mc.compare_alloys(MESH, ten).attrs["assumptions"]
    assert any(one.startswith("hours at temperature: 87,660 h (assumed)") for one in told)


def test_a_loss_by_scale_is_reckoned_where_no_scaling_sets_the_ceiling() -> None:
    """Iron by the parabola of Kubaschewski and Hopkins (from memory), drawn on below 500 °C.

    By another, 6.1·exp(−169.5 kJ/RT) cm²/s in thickness of scale (Paidassi, from memory), 100,000 h
    at 380 °C are some 80 µm: of one order, and the graver counts.
    """
    iron = FACTS.thin_scale.depth_um(np.array([[380.0]]), np.array([[1e5]]))
    assert 80.0 < iron[0, PLACE["carbon steel"]] < 160.0
    assert iron[0, PLACE["aluminium 1350"]] == 0.0
    thick, thin = np.array([0.9e-3]), np.array([0.1e-3])
    hot = condition_columns([stated({"environment": "hot air", "temperature": "380 °C",
                                     "hours": "20000 h"})])  # fmt: skip
    at_thick, at_thin = (judge_alloys(FACTS, hot, wire).verdict[0] for wire in (thick, thin))
    assert at_thin[PLACE["carbon steel"]] == FAILS
    assert at_thin[PLACE["titanium grade 2"]] == NOT_JUDGED
    assert at_thick[PLACE["titanium grade 2"]] == MEETS


def test_no_ranking_passes_what_a_row_rules_out_in_richer_grades() -> None:
    """Alloy 800 once met the water of a pool that 304, 309S and 310S fail in by their row."""
    for name, place in ENVIRONMENTS.items():
        if place.kind != "water":
            continue
        judged = judge_alloys(
            FACTS, condition_columns([Conditions(environment=name)]), np.array([0.9e-3])
        )
        _, table = judged.findings["chloride_water"]
        pren = FACTS.pren[0]
        richest = np.max(pren, where=(table.verdict[0] == FAILS) & ~np.isnan(pren), initial=-np.inf)
        passed = (judged.verdict[0] == MEETS) & (table.verdict[0] == NOT_JUDGED) & (pren <= richest)
        assert not passed.any(), (name, FACTS.names[passed].tolist())


def test_a_share_that_is_not_known_is_not_a_wire_that_is_not_known() -> None:
    asked = stated({"environment": "rural", "lost_share": "not known"})
    judged = judge_alloys(FACTS, condition_columns([asked]), np.array([0.9e-3]))
    assert "size is not known" not in judged.reason(0, PLACE["carbon steel"])


#: What somebody says that nobody knows: the service, the field, and what the answer calls it.
UNKNOWN = (
    ({"environment": "sulphuric acid", "concentration": "98 %", "temperature": "25 °C"}, "flow",
     "speed of the liquid"),
    ({"environment": "coastal"}, "distance_to_sea", "distance to the sea"),
    ({"environment": "urban"}, "so2", "sulphur dioxide"),
    ({"environment": "drinking water"}, "ph", "pH"),
    ({"environment": "drinking water"}, "chlorine", "free chlorine"),
    ({"environment": "concrete"}, "chloride", "chloride"),
    ({"environment": "sea water"}, "h2s", "hydrogen sulphide"),
    ({"environment": "sea water"}, "ammonia", "ammonia"),
    ({"environment": "soil"}, "oxidisers", "oxidising ions"),
    ({"environment": "soil"}, "temperature", "temperature"),
    ({"environment": "rural"}, "abrasion", "abrasion"),
    ({"environment": "rural"}, "lost_share", "share of the section that may be lost"),
)  # fmt: skip


@pytest.mark.parametrize(("asked", "field", "words"), UNKNOWN)
def test_what_is_stated_as_not_known_is_told(asked: dict[str, str], field: str, words: str) -> None:
    table = mc.compare_alloys(MESH, stated({**asked, field: "not known"}))
    told = [one for one in table.attrs["assumptions"] if one.startswith(f"{words}: not known")]
    assert len(told) == 1, table.attrs["assumptions"]
    assert "; at " in told[0], told[0]


def test_the_speed_of_strong_acid_would_decide() -> None:
    acid = {"environment": "sulphuric acid", "concentration": "98 %", "temperature": "25 °C",
            "flow": "not known"}  # fmt: skip
    table = mc.compare_alloys(MESH, stated(acid))
    assert "speed of the liquid" in table.attrs["would_decide"]


#: What is taken for granted where nobody says it, by surroundings, and how the line begins.
UNSAID = (
    ("rural", ("contact with another metal: none", "weld: none", "abrasion: no",
               "temperature: as the air", "chloride: no water with it", "road tunnel: no",
               "distance to a salted road: none near", "zinc on the wire: as its class",
               "share of the section that may be lost: 50 %")),
    ("coastal", ("temperature: as the air", "chloride: no water with it", "abrasion: no")),
    ("run-off from copper", ("pH: as such ground has it", "weld: none")),
    ("animal house", ("pH: as such ground has it", "contact with another metal: none")),
    ("milk", ("contact with another metal: none",)),
)  # fmt: skip


@pytest.mark.parametrize(("place", "lines"), UNSAID)
def test_what_is_taken_for_granted_is_told_in_print(place: str, lines: tuple[str, ...]) -> None:
    text = comparison_text(mc.compare_alloys(MESH, stated({"environment": place})))
    assert [line for line in lines if f"{line} (assumed)" not in text] == []


def test_fifty_years_indoors_change_a_verdict() -> None:
    table = mc.compare_alloys(MESH, stated({"environment": "indoor"}))
    years = next(one for one in table.attrs["assumptions"] if one.startswith("years wanted"))
    assert "at 50 years: brass" in years


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"environment": "dry chlorine", "washing": "rain"}, "washing"),
        ({"environment": "hot air", "temperature": "20 °C"}, "temperature"),
        ({"environment": "hot air", "temperature": "60 °C"}, "temperature"),
    ],
)
def test_what_cannot_be_together_is_asked(asked: dict[str, str], field: str) -> None:
    refused = read_conditions(asked)
    assert not isinstance(refused, Conditions)
    assert refused[0].field == field


def test_what_goes_at_the_rate_of_its_row_is_replaced() -> None:
    """304 in 98 % acid is spent in a year or so by the rate of its row, and costs anew."""
    acid = {"environment": "sulphuric acid", "concentration": "98 %", "temperature": "25 °C",
            "flow": "0 m/s", "years_wanted": "10 years"}  # fmt: skip
    row = mc.compare_alloys(MESH, stated(acid), ["304"]).iloc[0]
    assert row["verdict"] == "marginal"
    assert row["replacements"] >= 5.0
    assert row["cost_over_years"] > 5.0 * row["price"]
