"""Lines and lists of which something was once dropped in silence, or that were not understood.

Written from the trade's habits (common practice, no source), and apart from the reader.
"""

from __future__ import annotations

import io
from collections.abc import Mapping

import pandas as pd
import pytest
from openpyxl import Workbook

import meshcore as mc
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import ListError

_CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.635 mm", "alloy": "304", "quantity": "2"}
_ROLL = _CLOTH | {"form": "roll", "width": "48 in", "length": "100 ft"}
_PIECE = _CLOTH | {"form": "piece"}


def _said(line: Mapping[str, str]) -> tuple[str, list[tuple[str, str]]]:
    """Status of a line, and the field and code of each message."""
    priced = estimate_list(pd.DataFrame([line], dtype=object))
    return priced.table["status"].iloc[0], [(m.field, m.code) for m in priced[0].messages]


@pytest.mark.parametrize("field", ["width", "length"])
def test_a_size_that_a_piece_does_not_have_is_named(field: str) -> None:
    status, said = _said(_PIECE | {"dimensions": "500 x 300 mm", field: "1220 mm"})
    assert status == "review"
    assert (field, "size.of_another_form") in said


def test_a_size_that_a_piece_has_is_no_more_than_it() -> None:
    status, said = _said(_PIECE | {"dimensions": "500 x 300 mm", "width": "500 mm"})
    assert (status, said) == ("ok", [])


@pytest.mark.parametrize(
    ("beside", "field"),
    [({"shape": "disc", "dimensions": "diameter 200 mm"}, "shape"),
     ({"dimensions": "500 x 300 mm"}, "dimensions")],
)  # fmt: skip
def test_a_shape_on_a_line_of_rolls_is_named(beside: dict[str, str], field: str) -> None:
    status, said = _said(_ROLL | beside)
    assert status == "review"
    assert (field, "shape.of_another_form") in said


def test_rolls_of_strip_are_said() -> None:
    line = _ROLL | {"form": "strip", "width": "100 mm", "length": "10 m", "quantity": "10 rolls"}
    assert ("quantity", "quantity.rolls_of_strip") in _said(line)[1]


def test_another_material_number_in_a_remark_is_put_to_review() -> None:
    status, said = _said(_ROLL | {"note": "1.4404"})
    assert status == "review"
    assert ("note", "remark.not_read") in said
    assert _said(_ROLL | {"note": "Prices ex works please"})[0] == "ok"


def test_a_total_length_is_held_against_its_parts() -> None:
    right = _ROLL | {"length": "30 m", "Total length (m)": "60"}
    wrong = right | {"Total length (m)": "300"}
    assert "length.total_differs" not in [code for _, code in _said(right)[1]]
    status, said = _said(wrong)
    assert status == "review"
    assert ("Total length (m)", "length.total_differs") in said


def test_descriptions_without_a_heading_are_read() -> None:
    text = '3 rolls 10 mesh .025" 304 48" x 100 ft\n1 roll 20 mesh .016" 316L 36" x 50 ft\n'
    found = mc.read_list(io.BytesIO(text.encode()), suffix=".txt")
    priced = mc.estimate_list(found)
    assert priced.table.index.tolist() == [1, 2]
    assert priced.table["status"].tolist() == ["ok", "ok"]
    assert priced.table["mesh_count_per_in"].round(6).tolist() == [10.0, 20.0]
    assert priced.orders.quantity.tolist() == [3.0, 1.0]
    again = mc.read_list(io.BytesIO(text.encode()), suffix=".txt", mapping=found.report.mapping)
    assert again.equals(found)


def test_prose_without_a_heading_is_no_list() -> None:
    text = "Good morning,\nplease quote for two rolls of cloth.\nMany thanks\n"
    with pytest.raises(ListError, match="none of its headings is known"):
        mc.read_list(io.BytesIO(text.encode()), suffix=".txt")


def test_headings_below_one_another_are_said() -> None:
    book = Workbook()
    rows = [("Mesh", "10 mesh", "10 mesh"), ("Wire", '.025"', '.025"'), ("Material", "304", "316L"),
            ("Form", "roll", "roll"), ("Width", '48"', '48"'), ("Length", "100'", "100'"),
            ("Qty", 3, 2)]  # fmt: skip
    sheet = book.worksheets[0]
    for row in rows:
        sheet.append(list(row))
    content = io.BytesIO()
    book.save(content)
    content.seek(0)
    with pytest.raises(ListError, match=r"below one another \(Mesh, Wire, Material, Form"):
        mc.read_list(content, suffix=".xlsx")
