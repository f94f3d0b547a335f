"""Odd cells, headings and files: each is refused or kept, and none raises."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest
from openpyxl.chart import BarChart

import meshcore as mc
from meshcore.commands.report import refusals
from meshcore.costing.book.files import read_price_book, write_price_book
from meshcore.costing.book.price_book import PriceBookError
from meshcore.demo import default_price_book
from meshcore.estimates.pipeline import estimate_list
from meshcore.lists.reading import ListError
from meshcore.lists.writing import write_list
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import read_column
from meshcore.reading.texts import Reading, read_text

LINE = {
    "mesh_count": "10 / in",
    "wire_diameter": "0.025 in",
    "alloy": "304",
    "form": "roll",
    "width": "48 in",
    "length": "100 ft",
    "quantity": "2",
}


@pytest.mark.parametrize(
    "text",
    [
        "0e999 mm",
        "0e" + "9" * 90 + " mm",
        "0e" + "9" * 5000 + " mm",
        "9" * 400 + "/1 in",
        "1/" + "9" * 5000 + " in",
        "9" * 400 + " ft",
        "9" * 400 + " ft 6 in",
        "9" * 90 + "/1 in",
        "1e7 m",
        "10² mm",
        "10₂ mm",
    ],
)
def test_sizes_beyond_reason_are_refused(text: str) -> None:
    refusal = read_text(text, "length", "width")
    assert isinstance(refusal, Message)
    assert refusal.field == "width"
    assert len(refusal.read) <= 100


def test_vulgar_fractions_keep_apart_from_the_whole() -> None:
    reading = read_text("1⅛ in", "length", "width")
    assert isinstance(reading, Reading)
    assert reading.value == pytest.approx(1.125 * 0.0254, rel=1e-14)


def test_numbers_that_are_not_finite_are_refused_in_a_column_of_numbers() -> None:
    log = MessageLog(4)
    column = read_column(pd.Series([2.0, np.inf, np.nan, 2e9]), "number", "quantity", log)
    assert log.status().tolist() == ["ok", "refused", "ok", "refused"]
    assert column.given.tolist() == [True, True, False, True]
    assert np.isnan(column.values).tolist() == [False, True, True, True]


@pytest.mark.parametrize("name", ["quantity", "width", "alloy", "form"])
def test_whole_numbers_too_wide_to_print_are_refused(name: str) -> None:
    table = mc.estimate_table(pd.DataFrame([LINE | {name: 10**5000}], dtype=object))
    assert table["status"].tolist() == ["refused"]
    assert f"{name}: read" in table["messages"][0]


def _damaged(content: bytes) -> bytes:
    """Cut the XML of every sheet short."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(content)) as old, zipfile.ZipFile(out, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            new.writestr(name, part[: len(part) // 2] if "worksheets/" in name else part)
    return out.getvalue()


def _workbook(*rows: list[str]) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    for row in rows:
        book.worksheets[0].append(row)
    return book


def _bytes(book: openpyxl.Workbook) -> bytes:
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_workbook_without_cells_is_empty() -> None:
    with pytest.raises(ListError, match="is empty"):
        mc.read_list(io.BytesIO(_bytes(_workbook())), ".xlsx")


def test_a_damaged_sheet_is_said_to_be_unreadable() -> None:
    content = _damaged(_bytes(_workbook(["mesh_count", "alloy"], ["10 / in", "304"])))
    with pytest.raises(ListError, match="save it again"):
        mc.read_list(io.BytesIO(content), ".xlsx")


def test_a_chart_sheet_is_passed_over() -> None:
    book = _workbook(["mesh_count", "alloy"], ["10 / in", "304"])
    book.create_chartsheet("Chart", 0).add_chart(BarChart())
    assert mc.read_list(io.BytesIO(_bytes(book)), ".xlsx").shape == (1, 2)


def test_a_damaged_price_book_is_said_to_be_unreadable(tmp_path: Path) -> None:
    write_price_book(default_price_book(), tmp_path / "book.xlsx")
    (tmp_path / "bad.xlsx").write_bytes(_damaged((tmp_path / "book.xlsx").read_bytes()))
    with pytest.raises(PriceBookError, match="workbook"):
        read_price_book(tmp_path / "bad.xlsx")


@pytest.mark.parametrize("delimiter", [";", "\t", "|"])
def test_one_ragged_row_does_not_hide_the_delimiter(delimiter: str) -> None:
    lines = ["mesh_count;wire_diameter;alloy", "4,5 / cm;0,63 mm;304", "8 / in, 10, 12, 14;;"]
    content = "\n".join(lines).replace(";", delimiter).encode()
    table = mc.read_list(io.BytesIO(content), ".csv")
    assert table.columns.tolist() == ["mesh_count", "wire_diameter", "alloy"]
    assert table.iloc[0].tolist() == ["4,5 / cm", "0,63 mm", "304"]


def test_utf_16_with_its_mark_is_read() -> None:
    content = "mesh_count\twire_diameter\n10 / in\t25 µm\n".encode("utf-16")
    assert mc.read_list(io.BytesIO(content), ".csv").iloc[0].tolist() == ["10 / in", "25 µm"]


def test_two_columns_of_one_name_the_first_counts(tmp_path: Path) -> None:
    table = pd.DataFrame([[*LINE.values(), "L1", "316L", "x", "y"]])
    table.columns = [*LINE, "line", "alloy", "note", "note"]
    estimates = estimate_list(table)
    priced = estimates.table
    assert priced["status"].tolist() == ["review"]  # the second alloy is named, not passed by
    assert 'alloy: read "316L"' in priced["messages"].iloc[0]
    assert (
        priced["density_kg_m3"].tolist()
        == mc.estimate_table(pd.DataFrame([LINE]))["density_kg_m3"].tolist()
    )
    assert {"alloy", "alloy_2", "note", "note_2"} <= set(priced.columns)
    for suffix in (".csv", ".parquet", ".xlsx"):
        write_list(estimates, tmp_path / f"out{suffix}")
        assert (tmp_path / f"out{suffix}").stat().st_size > 0


def test_two_columns_of_the_name_line_name_a_refusal() -> None:
    table = pd.DataFrame([["A7", "B8", "0"]], columns=["line", "line", "quantity"])
    assert "line A7 (row 1)" in refusals(estimate_list(table))


def test_a_priced_list_priced_twice_more_keeps_every_name_once(tmp_path: Path) -> None:
    table = pd.DataFrame([LINE])
    for _ in range(3):
        estimates = estimate_list(table)
        table = estimates.table
    assert table.columns.is_unique
    assert {"status_asked", "status_asked_2"} <= set(table.columns)
    write_list(estimates, tmp_path / "again.parquet")
    assert pd.read_parquet(tmp_path / "again.parquet").columns.tolist() == table.columns.tolist()


@pytest.mark.parametrize(
    ("name", "status"),
    [
        ("alloy", "refused"),
        ("form", "refused"),
        ("weave", "refused"),
        ("quantity", "refused"),
        ("services", "review"),
        ("shape", "review"),
    ],
)
def test_a_list_in_a_cell_never_raises(name: str, status: str) -> None:
    table = mc.estimate_table(pd.DataFrame([LINE | {name: ["304", "316L"]}, LINE]))
    assert table["status"].tolist()[1] == "ok"
    assert table["status"].tolist()[0] == status


@pytest.mark.parametrize(("second", "told"), [("316L", True), ("304", False), ("", False)])
def test_a_second_column_that_differs_is_told(second: str, told: bool) -> None:
    estimates = estimate_list(pd.DataFrame([LINE | {"Material": second}]))
    said = " ".join(map(str, estimates.messages.get(0, ())))
    assert (("Material" in said) and (second in said)) is told
    assert (estimates[0].status == "review") is told


def test_broken_text_is_refused_and_can_be_shown() -> None:
    table = mc.estimate_table(pd.DataFrame([LINE | {"width": "\ud800"}], dtype=object))
    assert 'width: read "?"' in table["messages"][0]
