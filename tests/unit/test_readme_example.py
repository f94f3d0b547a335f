"""The worked example of alloys: the command gives the output, and the prose no other number."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.records.registry import installed_registry
from meshcore.cli import main
from meshcore.demo import BOOK_VARIABLE

MESH = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in", "100 ft"), quantity=3
)
COAST = Conditions(environment="coastal", years_wanted=15.0)


@pytest.fixture(autouse=True)
def _invented_book(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(BOOK_VARIABLE, raising=False)


@pytest.fixture
def example(project_root: Path) -> str:
    return (project_root / "docs" / "which-alloy.md").read_text(encoding="utf-8")


@pytest.fixture
def coast() -> pd.DataFrame:
    return mc.compare_alloys(MESH, COAST).set_index("alloy")


def _block(example: str, language: str) -> str:
    found = re.findall(rf"```{language}\n(.*?)\n```", example, re.DOTALL)
    assert len(found) == 1
    return str(found[0])


def _cheapest(**also: object) -> str:
    table = mc.compare_alloys(MESH, Conditions(years_wanted=15.0, **also))  # type: ignore[arg-type]
    return str(table["alloy"][table["cheapest_that_meets"]].item())


def test_the_command_prints_what_the_example_shows(
    example: str, capsys: pytest.CaptureFixture[str]
) -> None:
    command = shlex.split(_block(example, "sh").replace("\\\n", " "))
    assert command[:3] == ["python", "-m", "meshcore"]
    assert main(command[3:]) == 0
    assert capsys.readouterr().out.rstrip() == _block(example, "text")


def test_every_amount_in_the_prose_is_the_librarys(example: str, coast: pd.DataFrame) -> None:
    price = coast["price"]
    known = {
        price["carbon steel"],
        coast["cost_per_year"]["carbon steel"],
        price["304"],
        price["S32101"],
        price["S32101"] - price["304"],
        price["316L"] - price["S32101"],
        price["2205"] - price["S32101"],
    }
    prose = re.sub(r"```.*?```", "", example, flags=re.DOTALL)
    said = {a.replace("\n", " ") for a in re.findall(r"([\d,]+\.\d\d)\s+EUR", prose)}
    assert said == {f"{amount:,.2f}" for amount in known}


def test_the_reasons_in_the_prose_hold(example: str, coast: pd.DataFrame) -> None:
    life = float(coast["life_years"]["carbon steel"])
    assert f"{life:.3g} to 3.28 years" in example
    assert "1.33–3.28 years in C4" in coast["reason"]["carbon steel"]
    assert 0.4 < float(coast["life_years"]["galvanized steel"]) - life < 0.8
    worst = "(CRF -14, if nothing washes it)"
    assert coast["reason"]["304"] == f"class II falls short of class III needed {worst}"
    assert coast["reason"]["S32101"] == f"class III covers class III needed {worst}"
    assert coast["reason"]["316L"] == coast["reason"]["S32101"]
    assert coast["corrosion_margin"]["S32101"] == 0.0
    assert coast["corrosion_margin"]["2205"] == 1.0
    assert coast["price"]["2205"] < coast["price"]["316L"]
    assert coast["on_front"][["S32101", "2205"]].all()
    assert not coast["on_front"][["316L", "904L"]].any()
    assert coast["verdict"]["aluminium 5052"] == "marginal"
    assert coast["price"]["aluminium 5052"] < coast["price"]["carbon steel"]


def test_the_cheapest_that_meets_is_not_the_cheapest(coast: pd.DataFrame) -> None:
    assert _cheapest(environment="coastal") == "S32101"
    assert coast["price"].idxmin() != "S32101"
    assert _cheapest(environment="shore", washing="rain") == "2205"


def test_what_316l_is_paid_for(example: str) -> None:
    command = _block(example, "sh")
    named = re.findall(r'--alloys "([^"]*)"', command)[0].split(", ")
    asked = Conditions(environment="coastal", years_wanted=15.0, non_magnetic=True)
    table = mc.compare_alloys(MESH, asked, alloys=named)
    assert len(table) == 8
    verdict = table.set_index("alloy")["non_magnetic"]
    assert verdict["316L"] == "marginal"
    assert verdict["S32101"] == "fails"
    records = {a.designation: a for a in installed_registry().alloys}
    assert records["316L"].finest_wire_mm < records["S32101"].finest_wire_mm
    assert records["316L"].services["weld"].level == "good"
    assert records["S32101"].services["weld"].level == "fair"
