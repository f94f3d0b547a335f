"""What cannot be so together is refused from a text, and told of a service made in a program."""

from __future__ import annotations

import pytest

import meshcore as mc
from meshcore.alloys.comparison.conditions import ENVIRONMENTS, Conditions
from meshcore.alloys.comparison.contradictions import contradictions
from meshcore.alloys.comparison.reading_conditions import read_conditions

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
