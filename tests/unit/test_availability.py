"""Who weaves the alloy that meets; no alloy meets as cloth that is refused; costs as typed."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import meshcore as mc
from meshcore.alloys.availability import (
    NOT_LISTED,
    NOT_STATED,
    TOO_FINE,
    AvailabilityError,
    read_availability,
)
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.cli import main
from meshcore.demo import demo_availability, demo_data
from meshcore.estimates.alloy_comparison_text import comparison_text
from meshcore.estimates.life_cost import LifeCost
from meshcore.estimates.life_cost_reading import read_life_cost

MESH = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in", "100 ft"))
COAST = Conditions(environment="coastal", years_wanted=15.0, washing="rain")
SEA = Conditions(environment="sea water")


def test_what_is_stocked_is_said_and_what_is_drawn_to_order() -> None:
    table = mc.compare_alloys(MESH, COAST, availability=demo_availability())
    row = table.set_index("alloy")
    assert row.loc["316L", "availability"] == "stocked"
    assert row.loc["2205", "availability"] == "to order"
    assert "lot of 100 kg at the least, and this order takes" in str(row.loc["2205", "wire_supply"])
    assert row.loc["niobium", "availability"] == NOT_LISTED
    said = table.attrs["who_weaves"]
    assert "wire of S32101, the cheapest that meets: not in the mill's list" in said[0]
    assert said[1] == "The cheapest that meets and is stocked: 316."
    assert all(one in comparison_text(table) for one in said)


def test_where_what_meets_is_not_stocked_the_next_that_is_stands_beside_it() -> None:
    table = mc.compare_alloys(MESH, SEA, availability=demo_availability())
    first = table.iloc[0]
    said = " ".join(table.attrs["who_weaves"])
    assert first["verdict"] == "meets"
    assert first["availability"] != "stocked"
    assert str(first["alloy"]) in said
    assert "No alloy that meets is stocked." in said


def test_finer_wire_than_the_mill_draws_is_said() -> None:
    fine = mc.Enquiry(mesh_count="100 / in", wire_diameter="0.0040 in",
                      form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    held = demo_availability()
    wires = dict(held.wires) | {"316L": replace(held.wires["316L"], finest_wire_mm=0.2)}
    table = mc.compare_alloys(fine, COAST, ["316L"], availability=replace(held, wires=wires))
    assert table["availability"].iloc[0] == TOO_FINE
    assert "this mesh needs 0.102 mm" in table["wire_supply"].iloc[0]


def test_where_the_mill_has_said_nothing_that_is_said() -> None:
    table = mc.compare_alloys(MESH, COAST)
    assert set(table["availability"]) == {NOT_STATED}
    assert "has not said what wire it has" in table.attrs["who_weaves"][0]


@pytest.mark.parametrize(
    ("wire", "said"),
    [
        ('alloys = ["316L"]\nstate = "perhaps"\nfinest_wire_mm = 0.1', "none of stocked, to order"),
        ('alloys = ["316L"]\nstate = "stocked"', "finest_wire_mm None must be a number"),
        ('alloys = ["unobtainium"]\nstate = "stocked"\nfinest_wire_mm = 0.1', "unobtainium"),
        ('alloys = ["316L", "316L"]\nstate = "stocked"\nfinest_wire_mm = 0.1', "listed twice"),
    ],
)
def test_a_wrong_entry_is_named(tmp_path: Path, wire: str, said: str) -> None:
    file = tmp_path / "wire.toml"
    head = '[availability]\nname = "a mill"\ndate = 2026-10-01\n\n[[wire]]\n'
    file.write_text(head + wire, encoding="utf-8")
    with pytest.raises(AvailabilityError, match=said):
        read_availability(file)


def test_the_command_takes_the_file(capsys: pytest.CaptureFixture[str]) -> None:
    code = main(["alloys", "--mesh-count", "10/in", "--wire", "0.025 in",
                 "--roll", "48 in x 100 ft", "--environment", "coastal",
                 "--years-wanted", "15 years", "--washing", "rain", "--alloys", "316L, 304",
                 "--availability", str(demo_data() / "availability.toml")])  # fmt: skip
    assert code == 0
    assert "316L, the cheapest that meets: stocked" in capsys.readouterr().out


# A mesh that is refused.


def test_no_alloy_meets_as_cloth_that_is_refused() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="5 in", form=mc.Roll("48 in", "100 ft"))
    table = mc.compare_alloys(mesh, COAST)
    assert not table["verdict"].isin(["meets", "marginal"]).any()
    assert not table["cheapest_that_meets"].any()
    reason = str(table.set_index("alloy").loc["316L", "reason"])
    assert reason.startswith("the mesh is refused (wire_diameter); of the metal alone: meets")
    assert comparison_text(table).count('read "5 in"') == 1
    body = comparison_text(table).split("\n\n")[0].splitlines()
    assert not any(" meets   " in line[:60] for line in body)


def test_an_order_that_lacks_a_width_still_has_its_verdicts() -> None:
    mesh = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("", "100 ft"))
    table = mc.compare_alloys(mesh, COAST)
    assert (table["verdict"] == "meets").any()


# Costs as they are typed.


def test_costs_are_read_with_their_units() -> None:
    assert read_life_cost({"fitting": "500", "down_time": "1,200.50", "discount": "5 %"}) == (
        LifeCost(fitting=500.0, down_time=1200.5, discount=0.05)
    )
    assert read_life_cost({"fitting": "", "discount": " "}) == LifeCost()


@pytest.mark.parametrize(
    "texts", [{"fitting": "-5"}, {"discount": "200 %"}, {"down_time": "much"}, {"fitting": "1e12"}]
)
def test_costs_that_make_no_sense_are_refused(texts: dict[str, str]) -> None:
    refused = read_life_cost(texts)
    assert isinstance(refused, tuple)
    assert [m.field for m in refused] == list(texts)
    assert all(m.text.endswith(".") for m in refused)
