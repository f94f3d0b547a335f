"""Price books kept in a spreadsheet: cells mean what they show."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import Font

import meshcore as mc
from meshcore.costing.book.files import read_price_book, write_price_book
from meshcore.costing.book.price_book import PriceBookError, Rate
from meshcore.demo import demo_data

BOOK = read_price_book(demo_data() / "price_book.toml")


def _edited(
    folder: Path, key: str, value: float | str, number_format: str, unit: str | None
) -> Path:
    """Write the demonstration book with the first row of a key typed anew."""
    path = folder / "book.xlsx"
    write_price_book(BOOK, path)
    workbook = openpyxl.load_workbook(path)
    sheet = workbook["Rates"]
    headings = [cell.value for cell in sheet[1]]
    [row] = [r for r in range(2, sheet.max_row + 1) if sheet.cell(r, 1).value == key][:1]
    cell = sheet.cell(row, headings.index("amount") + 1, value)
    cell.number_format = number_format
    if unit is not None:
        sheet.cell(row, headings.index("unit") + 1, unit or None)
    workbook.save(path)
    return path


def _rate(path: Path, key: str) -> Rate:
    return read_price_book(path).by_key[key][0]


@pytest.mark.parametrize(
    ("value", "shown", "unit"),
    [
        (0.18, "0%", "%"),
        (0.18, "0.0 %", "%"),
        (0.18, "0%", ""),
        (0.18, "0%", "‰"),
        (0.07, "0.00%;[Red]-0.00%", "percent"),
    ],
)
def test_percent_cell_is_the_share_that_it_shows(
    tmp_path: Path, value: float, shown: str, unit: str
) -> None:
    rate = _rate(_edited(tmp_path, "margin.share", value, shown, unit), "margin.share")
    assert rate.amount * rate.per.factor == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "unit"), [("18 %", "%"), ("18%", ""), ("18,0 %", "%"), ("18 %", "‰")]
)
def test_percent_that_is_typed_as_text_is_that_share(tmp_path: Path, typed: str, unit: str) -> None:
    rate = _rate(_edited(tmp_path, "margin.share", typed, "General", unit), "margin.share")
    assert rate.amount * rate.per.factor == pytest.approx(0.18, rel=1e-12)


def test_percent_cell_under_another_unit_is_refused_by_its_cell(tmp_path: Path) -> None:
    path = _edited(tmp_path, "weaving.loom", 0.385, "0.0%", None)
    with pytest.raises(PriceBookError) as refused:
        read_price_book(path)
    [said] = refused.value.messages
    assert said.code == "book.amount_not_a_number"
    assert said.field.startswith("Rates!")
    assert said.read == "38.5 %"


def test_percent_sign_in_quotes_multiplies_nothing(tmp_path: Path) -> None:
    rate = _rate(_edited(tmp_path, "margin.share", 18, '0" %"', None), "margin.share")
    assert rate.amount == 18.0


@pytest.mark.parametrize("how", ["hidden", "struck through"])
def test_a_row_that_looks_away_counts_and_is_said(tmp_path: Path, how: str) -> None:
    path = tmp_path / "book.xlsx"
    write_price_book(BOOK, path)
    workbook = openpyxl.load_workbook(path)
    sheet = workbook["Rates"]
    [row] = [r for r in range(2, sheet.max_row + 1) if sheet.cell(r, 1).value == "weaving.loom"]
    if how == "hidden":
        sheet.row_dimensions[row].hidden = True
    else:
        sheet.cell(row, 1).font = Font(strike=True)
    workbook.save(path)
    asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                       form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    priced = mc.estimate(asked, read_price_book(path))
    assert priced.price == mc.estimate(asked, BOOK).price
    assert priced.status == "review"
    assert how in priced.messages[0].text
    assert [(m.code, m.read) for m in priced.messages] == [
        ("book.row_away", f"Rates!H{row}: weaving.loom")
    ]


def test_a_heading_that_nobody_knows_is_named_once_and_where_it_stands(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    write_price_book(BOOK, path)
    workbook = openpyxl.load_workbook(path)
    sheet = workbook["Rates"]
    [cell] = [c for c in sheet[1] if c.value == "amount"]
    cell.value = "Price"
    workbook.save(path)
    with pytest.raises(PriceBookError) as refused:
        read_price_book(path)
    said = [(m.field, m.read) for m in refused.value.messages if m.code == "book.column_unknown"]
    assert said == [(f"Rates!{cell.coordinate}", "Price")]
