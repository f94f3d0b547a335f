"""An uncertainty stands beside the rate that it is of; the keys of their own are still read."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

import meshcore as mc
from meshcore.costing.book.files import from_toml, read_price_book, to_toml, write_price_book
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.ranges import Uncertainty, stated_uncertainties

BOOK = """
[book]
name = "small"
currency = "EUR"
date = 2026-10-01
note = "for a test"
stale_after_days = 90

[[rates]]
key = "wire.metal"
currency = "EUR"
unit = "kg"
date = 2026-10-01
note = "for a test"
amounts = [
  { alloy = "304", amount = 3.8, uncertainty_pct = 10 },
  { alloy = "316L", amount = 4.8, uncertainty_pct = 12.5 },
  { alloy = "430", amount = 2.8 },
]

[[rates]]
key = "weaving.efficiency"
unit = "%"
amount = 70
date = 2026-10-01
note = "for a test"

[[rates]]
key = "uncertainty.wire.metal"
unit = "%"
amount = 40
date = 2026-10-01
note = "for a test"

[[rates]]
key = "uncertainty.weaving.efficiency"
unit = "%"
amount = 8
date = 2026-10-01
note = "for a test"
"""


@pytest.fixture
def book() -> PriceBook:
    return from_toml(BOOK, "small.toml")


def test_the_column_counts_before_the_key_and_its_greatest_for_all_rows(book: PriceBook) -> None:
    assert stated_uncertainties(book) == (
        Uncertainty("wire.metal", 0.125),
        Uncertainty("weaving.efficiency", 0.08),
    )


@pytest.mark.parametrize("suffix", [".toml", ".xlsx"])
def test_the_column_is_written_and_read_back(book: PriceBook, tmp_path: Path, suffix: str) -> None:
    file = tmp_path / f"book{suffix}"
    write_price_book(book, file)
    again = read_price_book(file)
    assert [r.uncertainty_pct for r in again.rates] == [r.uncertainty_pct for r in book.rates]
    assert from_toml(to_toml(book), "b") == replace(book)


def test_ten_per_cent_of_a_spreadsheet_are_ten(book: PriceBook, tmp_path: Path) -> None:
    file = tmp_path / "book.xlsx"
    write_price_book(book, file)
    workbook = openpyxl.load_workbook(file)
    sheet = workbook["Rates"]
    column = [cell.value for cell in sheet[1]].index("uncertainty_pct") + 1
    cell = sheet.cell(2, column)
    assert cell.value == 10
    cell.value, cell.number_format = 0.18, "0 %"
    workbook.save(file)
    assert read_price_book(file).rates[0].uncertainty_pct == pytest.approx(18.0)


@pytest.mark.parametrize("typed", ["100", "-1", '"much"', "nan"])
def test_what_is_no_share_is_refused_with_its_cell(typed: str) -> None:
    with pytest.raises(PriceBookError, match=r"amounts\[1\]\.uncertainty_pct"):
        from_toml(BOOK.replace("uncertainty_pct = 10 }", f"uncertainty_pct = {typed} }}"), "b")


def test_the_demonstration_book_states_what_it_did_and_no_price_follows_from_it() -> None:
    demo = mc.demo_price_book()
    assert {u.driver: u.spread for u in stated_uncertainties(demo)} == {
        "wire.metal": 0.10, "wire.alloy_surcharge": 0.15, "weaving.efficiency": 0.08, "yield": 0.03,
    }  # fmt: skip
    bare = replace(demo, rates=tuple(replace(r, uncertainty_pct=None) for r in demo.rates))
    roll = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                      form=mc.Roll("48 in", "100 ft"))  # fmt: skip
    assert mc.estimate(roll, bare).price == mc.estimate(roll, demo).price
