from __future__ import annotations

import io
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

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
