"""The exported workbook, recalculated by two engines that know nothing of this package."""

from __future__ import annotations

import dataclasses
import io
import subprocess
from collections.abc import Iterator
from pathlib import Path

import formulas
import numpy as np
import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.items import CostColumn, OrderColumns, PricingRule
from meshcore.costing.rates import Rates
from meshcore.demo import demo_data
from meshcore.enquiry import ROLL
from meshcore.lists.workbook import workbook_bytes

LIVE = ("cost", "price", "unit_price", "mass_kg", "yield_pct")


def list_rows(book: openpyxl.Workbook) -> pd.DataFrame:
    rows = list(book["Priced list"].values)
    return pd.DataFrame(rows[1:], columns=list(rows[0]))


@pytest.fixture(scope="module")
def demo() -> mc.EstimateSet:
    return mc.estimate_list(mc.read_list(demo_data() / "enquiries.csv"))


ROLLS = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
                   form=mc.Roll("48 in", "100 ft"), quantity=3)  # fmt: skip


@pytest.fixture(scope="module")
def one() -> mc.Estimate:
    return mc.estimate(ROLLS)


@pytest.fixture(scope="module")
def recalculated(
    demo: mc.EstimateSet,
    one: mc.Estimate,
    soffice_path: Path,
    tmp_path_factory: pytest.TempPathFactory,
) -> Path:
    """Folder of the workbooks as LibreOffice works them out; it starts once for all of them."""
    folder = tmp_path_factory.mktemp("workbooks")
    formulas_alone = openpyxl.load_workbook(io.BytesIO(workbook_bytes(demo)))
    formulas_alone.save(folder / "priced.xlsx")  # stores no values: all must be worked out
    changed = openpyxl.load_workbook(io.BytesIO(workbook_bytes(one.estimates)))
    for row in changed["Rates"].iter_rows(min_row=2):
        if row[0].value == "wire.metal":
            row[3].value = float(str(row[3].value)) + 1
    changed.save(folder / "dearer.xlsx")
    again = folder / "again"
    subprocess.run(
        [soffice_path, f"-env:UserInstallation=file://{folder}/profile", "--headless",
         "--convert-to", "xlsx", "--outdir", again, folder / "priced.xlsx",
         folder / "dearer.xlsx"],
        check=True, capture_output=True, timeout=180,
    )  # fmt: skip
    return again


@pytest.mark.office
def test_libreoffice_recalculates_the_same_prices(demo: mc.EstimateSet, recalculated: Path) -> None:
    again = openpyxl.load_workbook(recalculated / "priced.xlsx", data_only=True)
    read, table = list_rows(again), demo.table
    for name in LIVE:
        expected = table[name].reset_index(drop=True)
        shown = read[name].astype(float)
        priced = expected.notna()
        assert shown[priced].tolist() == pytest.approx(expected[priced].tolist(), rel=1e-12), name
    total = {r[0]: r[1] for r in again["Summary"].values}["Total"]
    assert total == pytest.approx(float(table["price"].sum()), abs=1e-6)


def test_formulas_carry_their_values_for_readers_that_do_not_recalculate(
    demo: mc.EstimateSet,
) -> None:
    content = io.BytesIO(workbook_bytes(demo))
    read, table = list_rows(openpyxl.load_workbook(content, data_only=True)), demo.table
    for name in LIVE:
        expected = table[name].dropna().tolist()
        assert read[name].dropna().astype(float).tolist() == expected, name
    live = openpyxl.load_workbook(content)["Priced list"]
    headings = [c.value for c in live[1]]
    assert str(live.cell(2, headings.index("price") + 1).value).startswith("=Reckoning!")


@pytest.mark.office
def test_a_changed_rate_moves_the_price(one: mc.Estimate, recalculated: Path) -> None:
    dearer = dataclasses.replace(
        one.estimates.book,
        rates=tuple(
            dataclasses.replace(r, amount=r.amount + 1) if r.key == "wire.metal" else r
            for r in one.estimates.book.rates
        ),
    )
    expected = mc.estimate_table(one.estimates.enquiries, price_book=dearer)["price"][0]
    again = openpyxl.load_workbook(recalculated / "dearer.xlsx", data_only=True)
    assert list_rows(again)["price"][0] == pytest.approx(expected, abs=1e-9)
    assert expected > one.price


def test_formulas_engine_recalculates_the_same_price(one: mc.Estimate, tmp_path: Path) -> None:
    path = tmp_path / "one.xlsx"
    path.write_bytes(workbook_bytes(one.estimates))
    solution = formulas.ExcelModel().loads(str(path)).finish().calculate()
    book = openpyxl.load_workbook(path)
    headings = [c.value for c in book["Priced list"][1]]
    column = openpyxl.utils.get_column_letter(headings.index("price") + 1)
    cell = solution[f"'[one.xlsx]PRICED LIST'!{column}2"]
    assert float(cell.value[0, 0]) == pytest.approx(one.price, abs=1e-9)


def test_what_may_be_changed_is_open_and_what_may_not_says_why(demo: mc.EstimateSet) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(demo)))
    reckoning, rates = book["Reckoning"], book["Rates"]
    assert all(sheet.protection.sheet for sheet in book.worksheets)
    assert not any(rates.cell(row, 4).protection.locked for row in range(2, rates.max_row + 1))
    assert all(rates.cell(row, 7).protection.locked for row in range(2, rates.max_row + 1))
    is_open = [not reckoning.cell(row, 3).protection.locked for row in range(4, 4 + len(demo))]
    rolls = (demo.orders.form == ROLL) & demo.ledger.priced
    assert is_open == rolls.tolist()
    [said] = reckoning.data_validations.dataValidation
    assert "price it again with the library" in str(said.prompt)
    assert "rate_wire_metal_for_304" in book.defined_names
    assert "exchange_USD_EUR" in book.defined_names


def test_where_a_rule_has_gone_prices_stand_and_nothing_may_be_changed() -> None:
    """A rule of a program charges 7.00; once it is gone, the workbook must not lose it."""

    def crate(columns: OrderColumns, _rates: Rates) -> Iterator[CostColumn]:
        yield CostColumn("crate", "orders", np.ones(len(columns)), "order", 7.0)

    with mc.register_rules(PricingRule("crate", "packing", crate)):
        crated = mc.estimate(ROLLS)
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(crated.estimates)), data_only=True)
    assert list_rows(book)["price"].tolist() == [crated.price]
    assert "crate" in [cell.value for cell in book["Reckoning"][2]]
    rates = book["Rates"]
    assert all(rates.cell(row, 4).protection.locked for row in range(2, rates.max_row + 1))


def test_a_workbook_for_others_tells_no_cost_no_rate_and_no_formula(demo: mc.EstimateSet) -> None:
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(demo, costs=False)))
    assert book.sheetnames == ["Summary", "Priced list", "Messages", "Data used"]
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert "cost" not in [cell.value for cell in book["Priced list"][1]]
    prices = list_rows(book)["price"].dropna().tolist()
    assert prices == demo.table["price"].dropna().tolist()
    formulas_ = {c.parent.title for c in cells if c.data_type == "f"}
    assert formulas_ <= {"Summary"}
    texts = " ".join(str(cell.value) for cell in cells if isinstance(cell.value, str))
    for told in ("wire.metal", "margin", "overhead", "Stage"):
        assert told not in texts


def test_lines_are_named_by_their_row_in_the_file(tmp_path: Path) -> None:
    """As the list page and the printed report name them: headings in row 3, so lines from 4 on."""
    path = tmp_path / "list.csv"
    path.write_text("Enquiry of today\n\nmesh_count,wire_diameter\n10 / in,0.025 in\nabc,1 mm\n")
    estimates = mc.estimate_list(mc.read_list(path))
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(estimates)))
    said = [(str(line), read) for line, _, _, read, _ in book["Messages"].values]
    assert ("5", "abc") in said


def test_nothing_typed_can_run_as_a_formula() -> None:
    lines = pd.DataFrame({"mesh_count": ["10 / in"], "note": ["=1+1"], "ref": ['=HYPERLINK("x")']})
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(mc.estimate_list(lines))))
    sheet = book["Priced list"]
    headings = [c.value for c in sheet[1]]
    for name, typed in (("note", "=1+1"), ("ref", '=HYPERLINK("x")')):
        cell = sheet.cell(2, headings.index(name) + 1)
        assert (cell.data_type, cell.value) == ("s", typed)


def test_unknown_columns_and_control_characters_survive_writing() -> None:
    lines = pd.DataFrame({"mesh_count": ["10 / in"], "odd": ["a\x00b"]})
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes(mc.estimate_list(lines))))
    assert list_rows(book)["odd"].tolist() == ["ab"]
