"""What is too large, too deep or too far out ends in a message that names its limit, and soon.

The cases are made here, so that the packed ones need no room on the disk.
"""

from __future__ import annotations

import io
import time
import tracemalloc
import zipfile
from collections.abc import Iterable
from pathlib import Path

import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.costing.book.price_book import PriceBookError
from meshcore.lists.reading import ListError
from meshcore.messages import Message
from meshcore.supply.policy import SupplyPolicyError, read_supply_policy

HEAD = ('<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/'
        '2006/main">')  # fmt: skip
HEADINGS = ("mesh_count", "wire_diameter", "alloy", "width", "length", "quantity")
CELLS = ("10/in", "0.025 in", "304", "48 in", "100 ft", "1")
TAIL = "</sheetData></worksheet>"
#: Time that none of them may take, by the clock of the processor [s]; they take below 3.
SOON_S = 20.0


def cell(place: str, text: str) -> str:
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


def row(number: int, texts: Iterable[str] = CELLS) -> str:
    cells = "".join(cell(f"{chr(65 + n)}{number}", text) for n, text in enumerate(texts))
    return f'<row r="{number}">{cells}</row>'


def workbook(*parts: str | bytes, head: str = "") -> io.BytesIO:
    """A workbook with a sheet of our own making."""
    plain, made = io.BytesIO(), io.BytesIO()
    openpyxl.Workbook().save(plain)
    with zipfile.ZipFile(plain) as source, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as out:
        for name in source.namelist():
            if name != "xl/worksheets/sheet1.xml":
                out.writestr(name, source.read(name))
                continue
            with out.open(name, "w", force_zip64=True) as sheet:
                sheet.write(f"{HEAD}{head}<sheetData>{row(1, HEADINGS)}".encode())
                for part in parts:
                    sheet.write(part if isinstance(part, bytes) else part.encode())
    made.seek(0)
    return made


@pytest.mark.parametrize("size", ["", '<dimension ref="A1"/>', '<dimension ref="A1:F2"/>'])
def test_a_stale_or_missing_size_of_a_sheet_loses_no_line(size: str) -> None:
    lines = [row(n) for n in range(2, 6)]
    assert len(mc.read_list(workbook(*lines, TAIL, head=size), ".xlsx")) == 4


def test_a_stale_size_loses_no_line_of_a_large_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("meshcore.lists.unpacking.most", lambda _: 10)
    lines = [row(n) for n in range(2, 40)]
    table = mc.read_list(workbook(*lines, TAIL, head='<dimension ref="A1:B2"/>'), ".xlsx")
    assert len(table) == 38
    assert "too large to look for hidden rows" in str(table.report)


@pytest.mark.parametrize("place", ["A1048576", "XFD1048576", "XFD2"])
def test_a_cell_far_out_is_named_and_costs_nothing(place: str) -> None:
    number = int(place.lstrip("ADFX"))
    stray = f'<row r="{number}">{cell(place, "x")}</row>'
    begun = time.process_time()
    table = mc.read_list(workbook(row(3), stray, TAIL) if number > 3
                         else workbook(stray, row(3), TAIL), ".xlsx")  # fmt: skip
    assert time.process_time() - begun < SOON_S
    assert f"Row {number} of sheet" in str(table.report)


def test_many_rows_beside_a_cell_far_out_are_refused_by_name() -> None:
    lines = [row(n) for n in range(3, 900)]
    stray = f'<row r="2">{cell("XFD2", "x")}</row>'
    with pytest.raises(ListError, match="a cell stands far from the rest"):
        mc.read_list(workbook(stray, *lines, TAIL), ".xlsx")


@pytest.mark.parametrize(
    "area",
    [
        '<mergeCells count="1"><mergeCell ref="A4:XFD1048576"/></mergeCells>',
        '<mergeCells count="1"><mergeCell ref="A2:A1048576"/></mergeCells>',
        '<hyperlinks><hyperlink ref="A4:XFD1048576" location="A1"/></hyperlinks>',
    ],
)
def test_an_area_over_the_sheet_costs_nothing(area: str) -> None:
    begun = time.process_time()
    table = mc.read_list(workbook(row(2), f"</sheetData>{area}</worksheet>"), ".xlsx")
    assert time.process_time() - begun < SOON_S
    assert len(table) == 1


def test_a_huge_text_that_is_packed_small_is_not_unpacked() -> None:
    text = (b"a" * 1_000_000 for _ in range(400))
    book = workbook(
        '<row r="2"><c r="A2" t="inlineStr"><is><t>', *text, f"</t></is></c></row>{TAIL}"
    )
    assert len(book.getvalue()) < 1_400_000
    tracemalloc.start()
    with pytest.raises(ListError, match="bytes unpacked"):
        mc.read_list(book, ".xlsx")
    assert tracemalloc.get_traced_memory()[1] < 50e6
    tracemalloc.stop()


def test_styles_beyond_reason_are_refused() -> None:
    book = workbook(row(2), TAIL)
    with zipfile.ZipFile(book, "a", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("xl/comments1.xml", b"<x/>" * 5_000_000)
    book.seek(0)
    with pytest.raises(ListError, match="no sheet"):
        mc.read_list(book, ".xlsx")


LIST = "mesh_count,wire_diameter,alloy,width,length,quantity\n10/in,0.025 in,304,48 in,100 ft,1\n"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (LIST + "a" * 5_000_000 + ",,,,,\n", "characters in one line"),
        (LIST + "," * 4_000_000 + "\n", "cells"),
        (LIST + "\n" * 4_000_000, "rows"),
        ("mesh_count\n" + "1\n" * 4_000_000, "rows"),
    ],
)
def test_a_text_file_beyond_reason_is_refused(text: str, said: str) -> None:
    begun = time.process_time()
    with pytest.raises(ListError, match=rf"{said}.*are read at most"):
        mc.read_list(io.BytesIO(text.encode()), ".csv")
    assert time.process_time() - begun < SOON_S


def test_a_parquet_of_more_cells_than_are_read_is_refused() -> None:
    made = io.BytesIO()
    pd.DataFrame({name: pd.Categorical(["1"] * 2_100_000) for name in HEADINGS}).to_parquet(made)
    assert len(made.getvalue()) < 1_000_000
    with pytest.raises(ListError, match="12,600,000 cells"):
        mc.read_list(io.BytesIO(made.getvalue()), ".parquet")


DEEP = ("a=" + "[" * 20_000 + "]" * 20_000, "a" + ".a" * 20_000 + "=1", f"[{'a.' * 20_000}b]")


@pytest.mark.parametrize("text", DEEP)
def test_toml_nested_deep_is_refused(text: str, tmp_path: Path) -> None:
    file = tmp_path / "deep.toml"
    file.write_text(text)
    begun = time.process_time()
    with pytest.raises(PriceBookError, match="nested too deep"):
        mc.read_price_book(file)
    with pytest.raises(SupplyPolicyError, match="nested too deep"):
        read_supply_policy(file)
    with pytest.raises(ListError, match="nested too deep"):
        mc.read_list(io.BytesIO(LIST.encode()), ".csv", file)
    assert time.process_time() - begun < SOON_S


def test_json_nested_deep_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "deep.json"
    file.write_text("[" * 200_000)
    with pytest.raises(ListError, match="not a mapping"):
        mc.read_list(io.BytesIO(LIST.encode()), ".csv", file)


UNITS = ("½", "1", "1,", "1.", "(", "mm ", "a", "²", "304 ", "1.4301/", "16 SWG ", "-", '"')


@pytest.mark.parametrize("unit", UNITS)
def test_a_long_cell_takes_time_by_its_length(unit: str) -> None:
    text = (unit * 16_000)[:16_000]
    begun = time.process_time()
    for field in ("wire_diameter", "mesh_count", "alloy", "quantity", "services"):
        cells = dict(zip(HEADINGS, CELLS, strict=True)) | {field: text}
        mc.estimate_table(pd.DataFrame([cells | {"form": "roll"}]))
    assert time.process_time() - begun < SOON_S / 2


def test_unknown_alloys_are_looked_up_in_a_table() -> None:
    registry = installed_registry()
    resolve(registry, "warm")
    begun = time.process_time()
    for number in range(1000):
        assert isinstance(resolve(registry, f"zork {number}"), Message)
    # 1.5 ms each where all names were compared; 0.05 ms where those of its figures are.
    assert time.process_time() - begun < 0.75


def test_a_misspelt_alloy_is_still_told_its_nearest() -> None:
    said = resolve(installed_registry(), "1.4044")
    assert isinstance(said, Message)
    assert "316L" in said.text
