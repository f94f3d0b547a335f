"""Each rate of the demonstration book ten times too high or too low is named by its cell.

The bands are common practice, no source. A rate of which practice spans more than a factor of ten
either way of the demonstration's stands in `SPANS_MORE`.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest

import meshcore as mc
from meshcore.costing.book.comparing import judge_tables
from meshcore.costing.book.files import from_toml, write_price_book
from meshcore.costing.book.kin import judge_kin
from meshcore.costing.book.plausible import judge_figures
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.demo import demo_data

TEXT = (demo_data() / "price_book.toml").read_text("utf-8")
BOOK = from_toml(TEXT, "book.toml")
ASKED = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                   form=mc.Roll("48 in", "100 ft"))  # fmt: skip

#: What of a book may honestly be tenfold, or a tenth: freight by air, a discount of cents, prices
#: to the half euro, and taxes of two percent.
SPANS_MORE = {
    ("freight.kg", 10.0),
    ("break.discount", 0.1),
    ("rounding.step", 10.0),
    ("tax.rate", 0.1),
}
#: Held against each other as metals are, in their own tests.
METALS = ("wire.metal", "wire.alloy_surcharge")
#: Work after weaving spans more: its own tests hold it to a hundredfold.
SERVICE = "service."


def said(book: PriceBook) -> list[mc.Message]:
    return [*judge_figures(book), *judge_tables(book), *judge_kin(book)]


def test_the_book_as_it_stands_is_not_doubted() -> None:
    assert said(BOOK) == []


SLIPS = [
    (rate, factor)
    for rate in BOOK.rates
    for factor in (0.1, 10.0)
    if not rate.key.startswith((*METALS, SERVICE)) and (rate.key, factor) not in SPANS_MORE
]


@pytest.mark.parametrize(
    ("row", "factor"), SLIPS, ids=[f"{rate.name} times {factor}" for rate, factor in SLIPS]
)
def test_a_rate_ten_times_astray_is_named(row: Rate, factor: float) -> None:
    slipped = replace(row, amount=row.amount * factor)
    rows = tuple(slipped if r is row else r for r in BOOK.rates)
    named = said(replace(BOOK, rates=rows))
    assert any(row.where in m.read or (row.at and row.key in m.read) for m in named)


@pytest.mark.parametrize("factor", [0.1, 10.0])
@pytest.mark.parametrize("key", ["wire.drawing_extra", "weaving.picks_per_minute"])
def test_a_whole_table_ten_times_astray_is_named_at_every_size(key: str, factor: float) -> None:
    rows = [replace(r, amount=r.amount * factor) for r in BOOK.by_key[key]]
    book = replace(BOOK, rates=tuple(rows))
    named = " ".join(m.read for m in judge_kin(book))
    assert all(f"{row.where}:" in named for row in rows)


@pytest.mark.parametrize(
    ("old", "new", "code", "cell"),
    [
        ('"h"\namount = 0.75', '"day"\namount = 0.75', "book.figure_implausible",
         "weaving.set_up_time.amount"),
        ('"m"\namount = 400', '"ft"\namount = 400', "book.units_mixed",
         "weaving.warp_waste.amount"),
        ('"1/h"\namount = 60000', '"1/min"\namount = 60000', "book.figure_implausible",
         "welding.crossings_per_hour.amount"),
        ('"wire.drawing_extra"\ncurrency = "EUR"\nunit = "kg"',
         '"wire.drawing_extra"\ncurrency = "EUR"\nunit = "lb"', "book.units_mixed",
         "wire.drawing_extra, amounts[1].amount"),
        ('at = "100 m2"', 'at = "100 ft2"', "book.sizes_mixed",
         "break.discount, amounts[1].amount"),
        ('form = "strip", amount = 0.22', 'form = "strip", amount = 2.2', "book.form_out_of_line",
         "cutting.metre, amounts[2].amount"),
        ('form = "piece", amount = 0.06', 'form = "piece", amount = 6', "book.figure_implausible",
         "cutting.cut, amounts[3].amount"),
        ("amount = 0.05\n", "amount = 5\n", "book.figure_implausible", "rounding.step.amount"),
        ("amount = 38.0", "amount = 3.8", "book.figure_implausible",
         "overhead.share, amounts[2].amount"),
        ("uncertainty_pct = 10.0", "uncertainty_pct = 0.1", "book.uncertainty_implausible",
         "wire.metal, amounts[1].amount"),
    ],
)  # fmt: skip
def test_a_slip_of_a_unit_is_named_by_its_cell_on_the_estimate(
    old: str, new: str, code: str, cell: str
) -> None:
    assert old in TEXT
    one = mc.estimate(ASKED, from_toml(TEXT.replace(old, new, 1), "book.toml"))
    assert any(m.code == code and cell in m.read for m in one.messages)
    assert one.status == "review"


@pytest.mark.parametrize("column", ["amount", "date", "alloy", "uncertainty_pct"])
def test_a_formula_without_its_value_is_said_to_be_one(tmp_path: Path, column: str) -> None:
    file = tmp_path / "book.xlsx"
    write_price_book(BOOK, file)
    workbook = openpyxl.load_workbook(file)
    sheet = workbook["Rates"]
    (heading,) = [c for c in sheet[1] if c.value == column]
    cell = sheet.cell(2, heading.column)
    cell.value = "=30+8.5"
    workbook.save(file)
    with pytest.raises(mc.PriceBookError) as refused:
        mc.read_price_book(file)
    (told,) = [m for m in refused.value.messages if m.field == f"Rates!{cell.coordinate}"]
    assert (told.code, told.read) == ("reading.formula", "=30+8.5")
    assert "a formula whose value the file does not hold" in told.text
