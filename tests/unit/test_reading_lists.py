from __future__ import annotations

import io
import pickle
from pathlib import Path

import openpyxl
import pandas as pd
import pytest
from openpyxl.worksheet.worksheet import Worksheet

import meshcore as mc
from meshcore.commands.report import refusals
from meshcore.demo import demo_data
from meshcore.lists.reading import ListError, read_list
from meshcore.lists.template import write_template


def test_demo_list_keeps_every_cell_and_column() -> None:
    table = read_list(demo_data() / "enquiries.csv")
    assert len(table) >= 60
    assert {"Customer ref", "Wanted by"} <= set(table.columns)
    assert table.iloc[0]["Wire dia"] == "0.025 in"


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_delimiters_and_encodings(delimiter: str, encoding: str) -> None:
    lines = [["mesh_count", "wire_diameter", "note"], ["10 / in", "25 µm", "naïve"]]
    content = "\r\n".join(delimiter.join(line) for line in lines).encode(encoding)
    table = read_list(io.BytesIO(content), ".csv")
    assert table.iloc[0].tolist() == lines[1]


def test_a_title_above_the_headings_does_not_hide_them() -> None:
    text = "Enquiry of the week\n\nmesh_count,alloy,quantity\n10 / in,304,2\n\n"
    table = read_list(io.BytesIO(text.encode()), ".csv")
    assert table.columns.tolist() == ["mesh_count", "alloy", "quantity"]
    assert len(table) == 1


def test_cells_beyond_the_headings_are_kept() -> None:
    table = read_list(io.BytesIO(b"mesh_count,alloy\n10 / in,304,urgent\n"), ".csv")
    assert table.iloc[0].tolist() == ["10 / in", "304", "urgent"]


def test_workbook_numbers_stay_numbers(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["mesh_count", "wire_diameter [mm]"])
    sheet.append(["10 / in", 0.635])
    book.save(tmp_path / "list.xlsx")
    assert read_list(tmp_path / "list.xlsx").iloc[0].tolist() == ["10 / in", 0.635]


def test_parquet(tmp_path: Path) -> None:
    pd.DataFrame({"mesh_count": ["10 / in"], "quantity": [2]}).to_parquet(tmp_path / "l.parquet")
    assert read_list(tmp_path / "l.parquet").shape == (1, 2)


def test_template_reads_back_as_an_empty_list(tmp_path: Path) -> None:
    write_template(tmp_path / "template.xlsx")
    table = read_list(tmp_path / "template.xlsx")
    assert len(table) == 0
    assert "mesh_count" in table.columns


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("list.doc", b"x", "cannot read .doc"),
        ("list.csv", b"", "is empty"),
        ("list.csv", b"a,b\n1,2\n", "none of its headings is known"),
        ("list.xlsx", b"not a workbook", "not an xlsx workbook"),
        ("list.parquet", b"not parquet", "not a parquet file"),
        ("list.xls", b"not a workbook", "not a workbook that can be read"),
        ("list.xlsb", b"not a workbook", "not a workbook that can be read"),
        ("list.ods", b"not a workbook", "not an OpenDocument workbook"),
        ("list.txt", b"\0\1\2\3\0\0\0\0", "is no text file"),
    ],
)
def test_unreadable_lists_say_what_to_do(
    tmp_path: Path, name: str, content: bytes, says: str
) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(ListError, match=says):
        read_list(tmp_path / name)


def test_missing_file(tmp_path: Path) -> None:
    with pytest.raises(ListError, match="cannot be opened"):
        read_list(tmp_path / "none.csv")


def _workbook(rows: list[list[object]], **sheets: list[list[object]]) -> bytes:
    book = openpyxl.Workbook()
    book.worksheets[0].title = "Sheet1"
    for name, lines in {"Sheet1": rows, **sheets}.items():
        sheet = book.active if name == "Sheet1" else book.create_sheet(name)
        assert isinstance(sheet, Worksheet)
        for line in lines:
            sheet.append(line)
    kept = io.BytesIO()
    book.save(kept)
    return kept.getvalue()


LINES: list[list[object]] = [
    ["Item", "Mesh", "Wire mm", "Alloy", "Form", "Width mm", "Length m", "Qty"],
    [1, "10 mesh", 0.63, "304", "roll", 1200, 30, 2],
    [2, "20 mesh", 0.4, "316", "roll", 1000, 30, 1],
]


def test_a_refusal_names_the_row_of_the_file_however_the_table_was_cut() -> None:
    """A totals row in row 10 was refused as "row 6"."""
    rows: list[list[object]] = [
        ["Enquiry"],
        [],
        [],
        *LINES,
        [],
        [3, "nonsense", 0.16, "304", "roll", 1000, 30, 1],
    ]
    table = read_list(io.BytesIO(_workbook(rows)), ".xlsx")
    estimates = mc.estimate_list(table[table["Item"] > 1])
    assert "line 3 (row 8)" in refusals(estimates)


def test_a_total_is_set_aside_and_named() -> None:
    rows: list[list[object]] = [*LINES, [None, "Total", None, None, None, None, None, 3]]
    table = read_list(io.BytesIO(_workbook(rows)), ".xlsx")
    assert len(table) == 2
    assert 'Row 4 of sheet Sheet1 set aside, a total: "Total · 3".' in str(table.report)


def test_what_is_hidden_is_said_and_never_read() -> None:
    """Five of six lines were lost because only the hidden sheet was read."""
    book = openpyxl.load_workbook(io.BytesIO(_workbook(LINES, Asked=LINES + LINES[1:])))
    book["Sheet1"].sheet_state = "hidden"
    book["Asked"].row_dimensions[3].hidden = True
    book["Asked"].column_dimensions["A"].hidden = True
    kept = io.BytesIO()
    book.save(kept)
    table = read_list(io.BytesIO(kept.getvalue()), ".xlsx")
    assert table.index.tolist() == [2, 4, 5]
    assert "Item" not in table.columns
    said = str(table.report)
    assert "Hidden sheet Sheet1 not read" in said
    assert "Hidden row 3 of sheet Asked not read" in said
    assert "Hidden column A of sheet Asked not read" in said


def test_a_hidden_list_alone_is_not_read_but_said() -> None:
    book = openpyxl.load_workbook(io.BytesIO(_workbook(LINES, Letter=[["Dear Sirs"]])))
    book["Sheet1"].sheet_state = "hidden"
    kept = io.BytesIO()
    book.active = 1
    book.save(kept)
    with pytest.raises(ListError, match="hidden sheet Sheet1"):
        read_list(io.BytesIO(kept.getvalue()), ".xlsx")


def test_a_lone_inch_or_ditto_mark_is_no_quotation_mark() -> None:
    content = (
        b'mesh_count;alloy;width;length;quantity\n10 mesh;304;48 in;100 ft;1\n20 mesh;";";";2\n'
    )
    table = read_list(io.BytesIO(content), ".csv")
    assert table.iloc[1].tolist() == ["20 mesh", "304", "48 in", "100 ft", "2"]
    assert table.report.repeated == 3


def test_a_mapping_says_what_a_heading_stands_for_and_leaves_the_rest() -> None:
    content = b"Foo;Mesh;Alloy\n0,63;10;304\n"
    mapping = {"columns": [{"heading": "Foo", "field": "wire_diameter", "unit": "mm"}]}
    table = read_list(io.BytesIO(content), ".csv", mapping=mapping)
    assert table.headings.column == {"wire_diameter": "Foo"}
    assert table.headings.unit == {"wire_diameter": "mm"}
    assert table.headings.unknown == ("Mesh", "Alloy")
    beside = read_list(io.BytesIO(content), ".csv", mapping={"Foo": "wire_diameter [mm]"})
    assert set(beside.headings.column) == {"wire_diameter", "mesh_count", "alloy"}


@pytest.mark.parametrize(
    ("content", "says"),
    [
        ('{"columns": [{"heading": "Foo", "field": "nonsense"}]}', "no enquiry column"),
        ('{"columns": [{"heading": "Foo", "field": "width", "unit": "ell"}]}', "no unit"),
        ('{"columns": [{"field": "width"}]}', "has a heading"),
        ("not JSON", "not a mapping"),
    ],
)
def test_a_mapping_that_cannot_be_says_why(tmp_path: Path, content: str, says: str) -> None:
    (tmp_path / "mapping.json").write_text(content)
    with pytest.raises(ListError, match=says):
        read_list(io.BytesIO(b"Foo\n1\n"), ".csv", mapping=tmp_path / "mapping.json")
    with pytest.raises(ListError, match="cannot be opened"):
        read_list(io.BytesIO(b"Foo\n1\n"), ".csv", mapping=tmp_path / "none.json")


def test_the_report_stays_with_the_table_and_through_a_pickle() -> None:
    table = read_list(io.BytesIO(_workbook(LINES)), ".xlsx")
    some = pickle.loads(pickle.dumps(table[table["Item"] == 2]))
    assert some.report == table.report
    assert some.headings == table.headings
    assert some.index.tolist() == [3]


def test_a_code_page_is_told_by_its_letters() -> None:
    text = "Maschenweite;Stück;Länge\n25 µm;2;30 m\n"
    for page in ("cp1252", "cp850", "mac_roman", "utf-16-le", "utf-8"):
        table = read_list(io.BytesIO(text.encode(page)), ".csv")
        assert table.columns.tolist() == ["Maschenweite", "Stück", "Länge"], page
        assert table.iloc[0, 0] == "25 µm", page


def test_a_cell_far_out_does_not_make_the_list_endless() -> None:
    book = openpyxl.load_workbook(io.BytesIO(_workbook(LINES)))
    book["Sheet1"]["XFD1048576"] = "stray"
    kept = io.BytesIO()
    book.save(kept)
    table = read_list(io.BytesIO(kept.getvalue()), ".xlsx")
    assert table.index.tolist()[:2] == [2, 3]
    assert "stray" in str(table.report)


@pytest.mark.parametrize("suffix", [".xlsx", ".xls", ".ods"])
def test_workbooks_are_read_as_they_show(suffix: str) -> None:
    """One workbook in three formats, the two older through LibreOffice."""
    folder = Path(__file__).parent.parent / "lists" / "shown"
    table = read_list(folder / f"shown{suffix}")
    assert table.index.tolist() == [2, 4, 5]
    assert table["Aperture"].tolist() == ["2 mm", "1.6 mm", "2 mm"]
    assert table["Open area"].tolist() == ["44 %", "44 %", "44 %"]
    assert table["Alloy"].tolist() == ["304", "304", "316L"]
    assert "Old width" not in table.columns
    said = str(table.report)
    for hidden in ("Hidden row 3 of", "Hidden column G of", "Hidden sheet Old not read"):
        assert hidden in said


def test_a_workbook_too_large_to_look_into_is_read_for_its_values(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("meshcore.lists.unpacking.most", lambda _: 0)
    table = read_list(io.BytesIO(_workbook(LINES)), ".xlsx")
    assert table.index.tolist() == [2, 3]
    assert "too large to look for hidden rows" in str(table.report)


@pytest.mark.parametrize("suffix", [".csv", ".parquet", ".xlsx"])
def test_a_priced_list_is_read_as_it_was_asked(suffix: str, tmp_path: Path) -> None:
    """The columns that pricing adds are no sizes that were asked for, and no remarks."""
    lines = pd.DataFrame(
        {"mesh_count": ["10 / in"], "wire_diameter": "22 SWG", "alloy": "304", "form": "roll",
         "width": "1 m", "length": "30 m", "quantity": "2"}
    )  # fmt: skip
    first = mc.estimate_list(lines)
    mc.write_list(first, tmp_path / f"priced{suffix}")
    again = read_list(tmp_path / f"priced{suffix}")
    assert set(again.headings.column) == set(lines.columns)
    second = mc.estimate_list(again)
    assert second.table["price"].tolist() == first.table["price"].tolist()
    assert second[0].messages == first[0].messages


def test_a_reader_that_goes_by_a_sheets_size_sees_every_row(tmp_path: Path) -> None:
    line = {"mesh_count": "10 / in", "wire_diameter": "22 SWG", "alloy": "304", "form": "roll",
            "width": "1 m", "length": "30 m", "quantity": "2"}  # fmt: skip
    mc.write_list(mc.estimate_list(pd.DataFrame([line] * 3)), tmp_path / "priced.xlsx")
    listed = openpyxl.load_workbook(tmp_path / "priced.xlsx", read_only=True)["Priced list"]
    assert len(list(listed.iter_rows())) == 4
