"""A coating mass beside the metal stays with the line, and is held against the alloy's own.

Masses of the records: 30 and 230 g/m², light and heavy coatings of EN 10244-2 (from memory).
"""

from __future__ import annotations

import pandas as pd
import pytest

import meshcore as mc

LINE = {
    "mesh_count": "4 / in", "wire_diameter": "1.6 mm", "form": "roll", "width": "1 m",
    "length": "25 m", "quantity": "2",
}  # fmt: skip


@pytest.mark.parametrize(
    ("alloy", "severity", "said"),
    [
        ("galvanized 25 g/m²", "note", "25 g/m²"),
        ("galvanized 40 g/m²", "review", "reckoned with 30 g/m²"),
        ("hot dip galvanised (230 g/m2)", "note", "heavily"),
        ("316L 40 g/m²", "review", "is not coated"),
    ],
)
def test_a_coating_is_never_lost(alloy: str, severity: str, said: str) -> None:
    priced = mc.estimate_list(pd.DataFrame([LINE | {"alloy": alloy}]))
    messages = [m for m in priced.log.by_line().get(0, []) if m.code.startswith("coating.")]
    assert [m.severity for m in messages] == [severity]
    assert said in str(messages[0])


def test_a_coating_in_a_description_goes_with_its_alloy() -> None:
    text = "galvanized 40 g/m², 4 mesh 1.6 mm, 1 m x 25 m, 2 rolls"
    priced = mc.estimate_list(pd.DataFrame({"description": [text]}))
    assert "40 g/m²" in [m.read for m in priced.log.by_line()[0] if m.code == "coating.heavier"]


def test_no_coating_no_word() -> None:
    priced = mc.estimate_list(pd.DataFrame([LINE | {"alloy": "galvanized"}]))
    assert not [m for m in priced.log.by_line().get(0, []) if m.code.startswith("coating.")]
