"""Cancelled lines, options, quantities of several lines, and what stands beside a list."""

from __future__ import annotations

import io
from collections.abc import Mapping
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore.lists.grids import ListError
from meshcore.reading.tables.standing import line_standing

HEAD = "Pos,Aperture mm,Wire mm,Alloy,Form,Width mm,Length m,Qty,Remarks"
LINES = ("1,3,1,304,roll,1000,30,2,", "2,5,1,304,roll,1000,30,1,")


def from_text(*rows: str) -> mc.EstimateSet:
    return mc.estimate_list(mc.read_list(io.BytesIO("\n".join(rows).encode()), ".csv"))


def said(estimates: mc.EstimateSet) -> list[str]:
    return [str(text) for text in estimates.table["messages"]]


@pytest.mark.parametrize(
    ("label", "remark", "status", "code"),
    [
        ("cancelled", "", "refused", "line.cancelled"),
        ("3 storniert", "", "refused", "line.cancelled"),
        ("3", "annulé", "refused", "line.cancelled"),
        ("3", "anulada", "refused", "line.cancelled"),
        ("3", "not cancelled", "review", "line.perhaps_cancelled"),
        ("3", "replaces the order that was cancelled in May", "review", "line.perhaps_cancelled"),
        ("or", "", "review", "line.optional"),
        ("oder", "", "review", "line.optional"),
        ("1a (option)", "", "review", "line.optional"),
        ("Alt. 2", "", "review", "line.optional"),
        ("3", "alternative to line 1", "review", "line.optional"),
        ("3", "wahlweise", "review", "line.optional"),
        ("O-12", "", "ok", ""),
        ("3", "as discussed", "ok", ""),
    ],
)
def test_a_line_that_stands_apart_is_said_to(
    label: str, remark: str, status: str, code: str
) -> None:
    estimates = from_text(HEAD, LINES[0], f"{label},5,1,304,roll,1000,30,1,{remark}")
    assert estimates.table["status"].tolist() == ["ok", status]
    codes = {m.code for m in estimates.messages.get(1, ())}
    assert (code in codes) if code else not codes & {"line.optional", "line.cancelled"}


def test_a_column_of_its_own_says_which_lines_are_options() -> None:
    table = pd.DataFrame({"mesh": ["10/in"] * 2, "wire": "0.025 in", "alloy": "304",
                          "form": "roll", "width": "48 in", "length": "100 ft", "quantity": 1,
                          "Optional": ["yes", ""]})  # fmt: skip
    assert mc.estimate_list(table).table["status"].tolist() == ["review", "ok"]


def test_or_in_a_longer_text_is_no_option() -> None:
    assert line_standing("304 or equivalent") == ("", False)


def _workbook(merged: str, rows: list[Mapping[str, object]]) -> io.BytesIO:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(list(rows[0]))
    for row in rows:
        sheet.append(list(row.values()))
    sheet.merge_cells(merged)
    content = io.BytesIO()
    book.save(content)
    content.seek(0)
    return content


ROW = {"Aperture mm": 3, "Wire mm": 1, "Alloy": "304", "Form": "roll", "Width mm": 1200,
       "Length m": 30, "Qty": 4}  # fmt: skip


def test_a_quantity_in_one_cell_for_two_lines_is_asked_about_and_never_counted_twice() -> None:
    content = _workbook("G2:G3", [ROW, ROW | {"Aperture mm": 5, "Qty": None}])
    estimates = mc.estimate_list(mc.read_list(content, ".xlsx"))
    assert estimates.table["status"].tolist() == ["refused", "refused"]
    assert all("one cell for the rows 2 to 3" in text for text in said(estimates))


def test_another_cell_for_two_lines_is_of_both() -> None:
    content = _workbook("C2:C3", [ROW, ROW | {"Aperture mm": 5, "Alloy": None}])
    assert mc.estimate_list(mc.read_list(content, ".xlsx")).table["status"].tolist() == ["ok"] * 2


@pytest.mark.parametrize(
    ("sentence", "named"),
    [
        ("All in 316L please", '"316L"'),
        ("widths are tolerance +0", '"tolerance"'),
        ("Please quote by Friday; rush please", '"rush"'),
    ],
)
def test_a_sentence_below_the_table_is_named_on_its_lines(sentence: str, named: str) -> None:
    estimates = from_text(HEAD, *LINES, "", sentence)
    assert estimates.table["status"].tolist() == ["review", "review"]
    assert all(named in text and "row 5" in text for text in said(estimates))


def test_a_title_that_says_what_the_lines_say_adds_nothing() -> None:
    estimates = from_text("Enquiry for wire cloth in 304", "", HEAD, *LINES)
    assert estimates.table["status"].tolist() == ["ok", "ok"]
    other = from_text("Enquiry for wire cloth in 316L", "", HEAD, *LINES)
    assert other.table["status"].tolist() == ["review", "review"]


def test_a_section_label_is_no_line_and_is_kept_with_its_lines() -> None:
    estimates = from_text(
        "Mesh,Wire (in),Alloy,Form,Width,Length,Qty",
        "Screen house A", "10,0.025,304,roll,48 in,100 ft,3",
        "Screen house B", "20,0.016,304,roll,48 in,100 ft,2",
    )  # fmt: skip
    assert estimates.table.index.tolist() == [3, 5]
    first, second = said(estimates)
    assert "Screen house A" in first
    assert "Screen house B" not in first
    assert "Screen house B" in second


@pytest.mark.parametrize(
    "rows",
    [
        ('10,"0.025""",304,roll,48 in,100 ft,3', '20,"0.016""",304,roll,48 in,100 ft,2'),
        ("1;2 mm;0,8 mm;1.4301;Rolle;1000;30;2", "2;3 mm;1 mm;1.4301;Rolle;1000;30;1"),
    ],
)
def test_a_list_without_headings_is_asked_back_whole(rows: tuple[str, ...]) -> None:
    with pytest.raises(ListError, match="none of its headings is known"):
        from_text(*rows)


def test_rows_are_counted_as_a_spreadsheet_counts_them() -> None:
    estimates = from_text(
        '"Mesh\ncount","Wire\n(inch)",Material,Form,Width,Length,Qty',
        '10,0.025,304,roll,48 in,100 ft,"3"',
        '20,0.016,"304\nbright",roll,48 in,100 ft,1',
        "30,0.012,304,roll,48 in,100 ft,1",
    )
    assert estimates.table.index.tolist() == [2, 3, 4]
    assert "counted as one row" in str(estimates.enquiries.report)


def test_the_report_tells_service_columns_from_unread_ones(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(f"{HEAD},Weld,Foo\n{LINES[0]},yes,7\n")
    report = str(mc.read_list(tmp_path / "list.csv").report)
    assert "Columns of a service each: Weld." in report
    assert "Columns left unread: Foo." in report


def test_a_unit_of_sizes_beside_the_quantity_is_no_amount() -> None:
    estimates = from_text(
        "Aperture mm,Wire mm,Alloy,Form,Width,Length,Qty,Unit",
        "1,0.5,304,strip,50 mm,10 m,5,mm",
    )
    assert estimates.table["status"].tolist() == ["refused"]
    assert "a unit of sizes" in said(estimates)[0]


def test_a_format_that_names_a_form_is_one() -> None:
    estimates = from_text(
        "Luz (mm);Alambre (mm);Material;Formato;Ancho (m);Largo (m);Cantidad",
        "2,5;1;304;rollo;1,0;30;3",
    )
    assert estimates.table["status"].tolist() == ["ok"]


@pytest.mark.parametrize(
    ("cells", "offered", "not_offered"),
    [
        ({"Width mm": None, "Width": "48"}, '"48 in"', "48 mm"),
        ({"Aperture mm": None, "Aperture": "48"}, '"48 mm"', "48 in"),
        ({"Length m": None, "Length": "100"}, '"100 m"', "100 mm"),
    ],
)
def test_a_unit_is_offered_only_where_the_size_can_be_in_it(
    cells: dict[str, object], offered: str, not_offered: str
) -> None:
    line = {name: cell for name, cell in (ROW | cells).items() if cell is not None}
    text = str(mc.estimate_table(pd.DataFrame([line], dtype=object))["messages"][0])
    assert offered in text
    assert not_offered not in text


def test_an_aperture_over_a_wire_is_no_date() -> None:
    line = {"Aperture": "10x10/0.63", "Alloy": "304", "Form": "roll", "Width": "1 m",
            "Length": "30 m", "Qty": "2"}  # fmt: skip
    row = mc.estimate_table(pd.DataFrame([line])).iloc[0]
    assert "a date" not in row["messages"]
    assert (row["aperture_mm"], row["wire_diameter_mm"]) == pytest.approx((10.0, 0.63))


def test_figures_that_are_not_understood_are_no_unknown_shape() -> None:
    line = {"Aperture mm": 3, "Wire mm": 1, "Alloy": "304", "Form": "piece", "Qty": 2,
            "Shape": "500x500 as drawing"}  # fmt: skip
    text = str(mc.estimate_table(pd.DataFrame([line]))["messages"][0])
    assert "no such shape" not in text
    assert "not understood together" in text
