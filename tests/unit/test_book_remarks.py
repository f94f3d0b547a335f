"""Remarks in a price book's sheets: set aside and said, unless they read like a rate."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import openpyxl
import pytest

import meshcore as mc
from meshcore.costing.book.changes import read_rate_changes, with_changes
from meshcore.costing.book.files import read_price_book, to_toml, write_price_book
from meshcore.costing.book.history.saving import save_version
from meshcore.costing.book.price_book import PriceBookError

BOOK = mc.demo_price_book()
ASKED = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="316L",
                   form=mc.Roll("48 in", "100 ft"))  # fmt: skip
ASIDE = (
    "Prices hold until further notice.",
    "Valid from 1 October 2026 to 2026-12-31, ask for 1.4404 with a certificate EN 10204 3.1",
    "See sheet 2 for all 17 customers",
)
RATES = ("316L goes up to 5.40 from December", "EUR 12 more by lorry", "rush adds 20 %",
         "set wire.scrap to 5", "cut: 18 per metre")  # fmt: skip


def with_remark(path: Path, sheet: str, text: str, *, below: int = 2) -> Path:
    write_price_book(BOOK, path)
    workbook = openpyxl.load_workbook(path)
    workbook[sheet].cell(workbook[sheet].max_row + below, 1, text)
    workbook.save(path)
    return path


@pytest.mark.parametrize("sheet", ["Book", "Exchange", "Rates"])
@pytest.mark.parametrize("text", ASIDE)
def test_a_remark_below_a_table_is_set_aside_and_said(
    tmp_path: Path, sheet: str, text: str
) -> None:
    book = read_price_book(with_remark(tmp_path / "book.xlsx", sheet, text))
    priced, plain = mc.estimate(ASKED, book), mc.estimate(ASKED, BOOK)
    assert priced.price == plain.price
    (said,) = [m for m in priced.messages if m not in plain.messages]
    assert (said.code, said.severity) == ("book.remark_set_aside", "note")
    assert said.read.startswith(f"{sheet}!A")
    assert text in said.text


@pytest.mark.parametrize("sheet", ["Book", "Exchange", "Rates"])
@pytest.mark.parametrize("text", RATES)
def test_a_remark_that_reads_like_a_rate_is_refused_by_its_cell(
    tmp_path: Path, sheet: str, text: str
) -> None:
    with pytest.raises(PriceBookError) as refused:
        read_price_book(with_remark(tmp_path / "book.xlsx", sheet, text))
    (said,) = refused.value.messages
    assert said.code == "book.remark_or_rate"
    assert said.field.startswith(f"{sheet}!A")
    assert said.read == text


def test_a_row_that_lacks_its_amount_is_no_remark(tmp_path: Path) -> None:
    for cells in ((["weaving.loom"]), (["Wire metal", "copper", *[""] * 8, "kg"])):
        path = with_remark(tmp_path / "book.xlsx", "Rates", "")
        workbook = openpyxl.load_workbook(path)
        sheet = workbook["Rates"]
        number = sheet.max_row + 2
        for at, cell in enumerate(cells, 1):
            sheet.cell(number, at, cell or None)
        workbook.save(path)
        with pytest.raises(PriceBookError) as refused:
            read_price_book(path)
        assert {m.code for m in refused.value.messages} >= {"book.amount_not_a_number"}
        assert all(m.field.endswith(str(number)) for m in refused.value.messages)


def test_a_list_of_rates_to_come_keeps_its_remark(tmp_path: Path) -> None:
    heads = "key,alloy,amount,currency,unit,date,note,valid_from"
    rate = "wire.metal,304,4.05,EUR,kg,2026-11-20,next month,2027-01-01"
    listed = tmp_path / "coming.csv"
    listed.write_text(
        f"{heads}\n{rate}\n,,,,,,,\nAs agreed with the works, for all sites\n", "utf-8"
    )
    coming = read_rate_changes(listed)
    assert len(coming.rates) == 1
    assert [(r.where, r.text) for r in coming.remarks] == [
        ("coming.csv, line 4, key", "As agreed with the works for all sites")
    ]
    assert with_changes(BOOK, coming).remarks == coming.remarks
    listed.write_text(f"{heads}\n{rate}\n\n304 will be 4.20 from May\n", "utf-8")
    with pytest.raises(PriceBookError, match=r"line 4, key.*reads like a rate"):
        read_rate_changes(listed)


def test_a_remark_stays_where_a_book_is_saved_or_converted(tmp_path: Path) -> None:
    path = with_remark(tmp_path / "book.xlsx", "Rates", ASIDE[0])
    book = read_price_book(path)
    assert to_toml(book).endswith(f"# {ASIDE[0]}")
    write_price_book(book, tmp_path / "again.xlsx")
    assert [r.text for r in read_price_book(tmp_path / "again.xlsx").remarks] == [ASIDE[0]]
    dearer = replace(book, rates=(
        *book.rates[:-1], replace(book.rates[-1], amount=2 * book.rates[-1].amount),
        replace(book.rates[0], alloy="", family="copper", date=date(2026, 11, 1)),
    ))  # fmt: skip
    saved = save_version(path, dearer, book, author="the office", note="dearer")
    assert saved.keeps_layout
    assert [r.text for r in saved.book.remarks] == [ASIDE[0]]
    assert len(saved.book.rates) == len(book.rates) + 1
