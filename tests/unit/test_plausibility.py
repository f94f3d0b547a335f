"""What cannot be meant is refused or put up for review with the reason, never priced as ok.

Each of the lines below was priced with status ok, or only for another reason. The limits are
common practice, no source.
"""

from __future__ import annotations

import math

import pandas as pd
import pytest

import meshcore as mc
from meshcore.estimates.plausibility import (
    HEAVIEST_ROLL,
    LEAST_MESHES,
    LEAST_WIRE_TO_PITCH,
    LIGHTEST_ROLL,
)
from meshcore.messages import Message

LINE = {
    "mesh_count": "10 / in", "wire_diameter": "0.025 in", "weave": "plain", "alloy": "304",
    "form": "roll", "width": "48 in", "length": "100 ft", "quantity": "1",
}  # fmt: skip
PIECE = {"form": "piece", "width": "", "length": ""}


def priced(**cells: str) -> tuple[str, list[Message]]:
    """Status and messages of the usual line with some cells changed."""
    found = mc.estimate_list(pd.DataFrame([LINE | cells]))
    return str(found.table["status"][0]), found.messages.get(0, [])


def test_the_usual_line_is_ok() -> None:
    assert priced() == ("ok", [])


@pytest.mark.parametrize(
    ("cells", "status", "field", "code"),
    [
        ({"mesh_count": "", "aperture": "100 mm", "wire_diameter": "0.1 mm"},
         "refused", "wire_diameter", "plausible.thin_wire"),
        ({"form": "strip", "width": "2 mm", "length": "10 m"},
         "refused", "width", "plausible.few_meshes"),
        ({"form": "strip", "width": "8 mm", "length": "10 m"},
         "review", "width", "plausible.few_meshes"),
        ({"form": "strip", "width": "5.2 mm", "length": "10 m"},
         "review", "width", "plausible.few_meshes"),
        ({"form": "strip", "width": "3.7 mm", "length": "10 m"},
         "refused", "width", "plausible.few_meshes"),
        ({"form": "strip", "width": "10 mm", "length": "10 m"},
         "review", "width", "plausible.few_meshes"),
        ({"width": "1.2 mm"}, "refused", "width", "size.impossible"),
        ({"width": "100 mm"}, "review", "width", "plausible.window"),
        ({"length": "2000 m"}, "refused", "length", "size.impossible"),
        ({"length": "300 m"}, "review", "length", "plausible.window"),
        ({"mesh_count": "400 / in", "wire_diameter": "0.001 in", "width": "60 mm",
          "length": "60 mm"}, "refused", "length", "plausible.roll_mass"),
        ({"mesh_count": "", "aperture": "110 mm", "wire_diameter": "12 mm",
          "weave": "double crimp", "width": "1.2 m"}, "review", "width", "plausible.few_meshes"),
        (PIECE | {"shape": "rectangle", "dimensions": "2 x 300 mm"},
         "refused", "dimensions", "plausible.few_meshes"),
        (PIECE | {"shape": "disc", "dimensions": "diameter 6 mm"},
         "review", "dimensions", "plausible.few_meshes"),
        ({"quantity": "900"}, "review", "quantity", "plausible.window"),
        ({"quantity": "900000"}, "refused", "quantity", "plausible.window"),
        ({"mesh_count": "", "aperture": "600 mm", "wire_diameter": "40 mm"},
         "refused", "aperture", "size.impossible"),
        ({"mesh_count": "4000 / in", "wire_diameter": "2 µm"},
         "refused", "mesh_count", "size.impossible"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_never_ok(
    cells: dict[str, str], status: str, field: str, code: str
) -> None:
    found, messages = priced(**cells)
    assert found == status
    said = [m for m in messages if (m.field, m.code) == (field, code)]
    assert said, [str(m) for m in messages]
    assert said[0].severity == status
    assert said[0].read in cells.values()
    assert "common practice" in said[0].text or "from memory" in said[0].text
    assert said[0].text.endswith(("unit.", "units."))


@pytest.mark.parametrize(
    "cells",
    [
        {"form": "strip", "width": "25 mm", "length": "10 m"},
        {"width": "1 m", "length": "1 m"},
        PIECE | {"shape": "disc", "dimensions": "diameter 20 mm"},
        {"mesh_count": "400 / in", "wire_diameter": "0.001 in", "width": "1 m", "length": "2 m"},
    ],
)
def test_small_forms_of_enough_meshes_are_ok(cells: dict[str, str]) -> None:
    assert priced(**cells)[0] == "ok"


def test_a_strip_is_held_at_its_limit() -> None:
    """Of 10 per inch a mesh is 2.54 mm; four of them are 10.16 mm."""
    assert LEAST_MESHES[1].review == 4.0
    assert priced(form="strip", width="10.16 mm", length="10 m")[0] == "ok"
    assert priced(form="strip", width="10.1 mm", length="10 m")[0] == "review"


def test_every_limit_has_its_reason_and_origin() -> None:
    for limit in (LEAST_WIRE_TO_PITCH, *LEAST_MESHES, LIGHTEST_ROLL, HEAVIEST_ROLL):
        assert limit.reason
        assert limit.origin == "common practice, no source"
        assert 0.0 < limit.refused < math.inf


def test_a_line_that_is_short_of_a_size_is_not_judged() -> None:
    _, messages = priced(mesh_count="")
    assert [m.code for m in messages] == ["specification.too_few"]
