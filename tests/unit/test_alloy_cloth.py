"""Where there is no such cloth, or none is stated, nothing meets that depends on its size."""

from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions

ROLL = mc.Roll("48 in", "100 ft")


@pytest.mark.parametrize("form", [None, ROLL])
def test_a_cloth_that_cannot_be_meets_nothing(form: mc.Roll | None) -> None:
    sizes = {"mesh_count": "100 / in", "wire_diameter": "0.025 in"}
    enquiry = mc.Enquiry(**sizes, **({"form": form} if form else {}))  # type: ignore[arg-type]
    table = mc.compare_alloys(enquiry, Conditions(environment="rural"), ["304", "316L", "copper"])
    assert set(table["verdict"]) <= {"not judged", "fails"}
    assert table["reason"].iloc[0].startswith("the mesh is refused (wire_diameter)")
    assert sum("no aperture is left" in text for text in table.attrs["messages"]) == 1


def test_without_a_cloth_only_what_no_size_would_change_meets() -> None:
    names = ["304", "316L", "copper-nickel 90/10", "titanium grade 2", "S31254"]
    hot = Conditions(environment="hot air", temperature_c=780.0, hours=10_000.0)
    assert not (mc.compare_alloys(mc.Enquiry(), hot, names)["verdict"] == "meets").any()
    sea = Conditions(environment="sea water", years_wanted=20.0)
    found = mc.compare_alloys(mc.Enquiry(), sea, names).set_index("alloy")["verdict"]
    assert found["copper-nickel 90/10"] == "marginal"
    assert found["S31254"] == "meets"


def test_a_cloth_without_a_form_is_judged_by_its_wire() -> None:
    enquiry = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in")
    table = mc.compare_alloys(enquiry, Conditions(environment="rural"), ["304"])
    assert table["verdict"].tolist() == ["meets"]


def test_a_weave_alone_is_no_cloth_that_is_refused() -> None:
    table = mc.compare_alloys(mc.Enquiry(weave="plain"), Conditions(environment="rural"), ["304"])
    assert table["verdict"].tolist() == ["meets"]
