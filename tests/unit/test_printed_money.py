"""Every printed page in a currency of hundredths, of whole units and of thousandths.

The pages are those kept in ``tests/golden``, see `currencies`.
"""

from __future__ import annotations

import argparse
import io
import re
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import openpyxl
import pytest
from currencies import PLACES, book, kept
from openpyxl.worksheet.worksheet import Worksheet

import meshcore as mc
from meshcore.commands.estimate_report import estimate_text
from meshcore.commands.reasons_text import range_text
from meshcore.commands.weaving import alternatives_text
from meshcore.costing.money import money_text
from meshcore.estimates.alloy_comparison_text import comparison_text
from meshcore.lists.comparison_workbook import comparison_workbook
from meshcore.register.billing import Bill
from meshcore.register.invoicing import bill_text

ROLLS = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    form=mc.Roll("48 in", "100 ft"), quantity=3, services=("certificate",),
)  # fmt: skip
JAMMED = replace(ROLLS, wire_diameter="0.08 in")


def estimated(currency: str, enquiry: mc.Enquiry = ROLLS) -> mc.Estimate:
    return mc.estimate(enquiry, price_book=book(currency))


def estimate_page(currency: str) -> str:
    return estimate_text(estimated(currency))


def explain_page(currency: str) -> str:
    return estimated(currency).explain()


def alternatives_page(currency: str) -> str:
    offers = mc.nearest_weavable(estimated(currency, JAMMED).estimates, count=4)
    chosen = argparse.Namespace(
        alloy="304",
        roll="48 in x 100 ft",
        strip="",
        piece="",
        services="",
        quantity="3",
        demo=False,
        book=None,
        policy=None,
        customer=None,
        path="arc",
    )
    return alternatives_text(offers, currency, chosen)


def bill_page(currency: str) -> str:
    made = mc.bill_rolls(estimated(currency).estimates, ["98 ft", "101.5 ft", "112 ft"])
    assert isinstance(made, Bill)
    return bill_text(made)


def compared(currency: str) -> object:
    service = mc.Conditions(environment="coastal", years_wanted=15)
    named = ["carbon steel", "304", "S32101", "niobium"]
    return mc.compare_alloys(ROLLS, service, named, price_book=book(currency))


def alloys_page(currency: str) -> str:
    return comparison_text(compared(currency))  # type: ignore[arg-type]


def refused_page(currency: str) -> str:
    return estimate_text(estimated(currency, JAMMED))


PAGES: dict[str, Callable[[str], str]] = {
    "estimate": estimate_page,
    "refused": refused_page,
    "explain": explain_page,
    "alternatives": alternatives_page,
    "bill": bill_page,
    "alloys": alloys_page,
}


@pytest.mark.parametrize("currency", PLACES)
@pytest.mark.parametrize("page", PAGES)
def test_the_page_is_as_it_was_read(page: str, currency: str) -> None:
    text = PAGES[page](currency) + "\n"
    assert text == kept(page, currency, text)


@pytest.mark.parametrize(("currency", "places"), PLACES.items())
@pytest.mark.parametrize(
    ("page", "before"), [("estimate", ""), ("explain", r"(?:= |= \w+ |Price .*|Cost .*)")]
)
def test_every_amount_has_the_places_of_its_currency(
    page: str, before: str, currency: str, places: int
) -> None:
    amount = rf"{before}(?<![\d,.])(-?[\d,]+(?:\.\d+)?) {currency}(?! per)"
    # A rate of exchange is worked with, not charged: it stands before the =.
    amounts = re.findall(rf"{amount}$" if before else amount, PAGES[page](currency), re.MULTILINE)
    assert len(amounts) >= 3
    assert all(amounts)
    assert {len(a.partition(".")[2]) for a in amounts} == {places}


@pytest.mark.parametrize(("currency", "places"), PLACES.items())
def test_what_a_share_is_of_is_written_as_money(currency: str, places: int) -> None:
    bases = re.findall(rf"^ +([\d,.]+) {currency} × ", explain_page(currency), re.MULTILINE)
    assert len(bases) >= 3
    written = r"\d{1,3}(,\d{3})*" + (rf"\.\d{{{places}}}" if places else "")
    assert [base for base in bases if not re.fullmatch(written, base)] == []


@pytest.mark.parametrize("currency", PLACES)
def test_the_price_on_each_page_is_the_price(currency: str) -> None:
    price = money_text(estimated(currency).price, currency)
    assert f"Price                 {price} (" in estimate_page(currency)
    assert f"Price (all items) {price}" in explain_page(currency)
    row = next(r for r in alloys_page(currency).splitlines() if r.split()[:1] == ["304"])
    assert f" {price.removesuffix(f' {currency}')} " in row
    lengths = sum((98, 101.5, 112)) / 300
    made = mc.bill_rolls(estimated(currency).estimates, ["98 ft", "101.5 ft", "112 ft"])
    assert isinstance(made, Bill)
    rolls_and_halves = 3 * 0.5 * 10.0 ** -PLACES[currency]
    assert made.total == pytest.approx(estimated(currency).price * lengths, abs=rolls_and_halves)
    assert money_text(made.total, currency) in bill_page(currency)


@pytest.mark.parametrize(("currency", "places"), PLACES.items())
def test_the_range_is_printed_in_the_places_of_its_currency(currency: str, places: int) -> None:
    text = range_text(estimated(currency).estimates)
    amounts = re.findall(rf"([\d,]+(?:\.\d+)?) {currency}", text)
    moved = re.findall(r"([\d,.]+) +([\d,.]+)$", text, re.MULTILINE)
    assert len(amounts) == 7
    assert len(moved) > 5
    for amount in [*amounts, *(end for pair in moved for end in pair)]:
        assert len(amount.partition(".")[2]) == places


@pytest.mark.parametrize(("currency", "places"), PLACES.items())
def test_the_workbook_of_alloys_shows_the_places_of_its_currency(
    currency: str, places: int
) -> None:
    made = comparison_workbook(compared(currency))  # type: ignore[arg-type]
    sheet = openpyxl.load_workbook(io.BytesIO(made)).active
    assert isinstance(sheet, Worksheet)
    rows = list(sheet.iter_rows())
    top = next(n for n, row in enumerate(rows) if row[0].value == "alloy")
    priced = [n for n, cell in enumerate(rows[top]) if str(cell.value).startswith("price")]
    assert len(priced) == 2
    cells = [row[n] for row in rows[top + 1 :] for n in priced]
    shown = {cell.number_format for cell in cells if cell.value is not None}
    assert shown == {"#,##0" + ("." + "0" * places if places else "")}


def test_what_is_on_file_is_listed_in_its_own_places(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from meshcore.cli import main  # noqa: PLC0415 - the command line is needed here alone
    from meshcore.register.records import RECORDS_VARIABLE  # noqa: PLC0415

    monkeypatch.setenv(RECORDS_VARIABLE, str(tmp_path / "records.sqlite"))
    for currency in PLACES:
        mc.save_estimate(estimated(currency).estimates, f"in {currency}")
    assert main(["saved"]) == 0
    listed = capsys.readouterr().out
    heads, *rows = listed.splitlines()
    # The files' own numbers come first, and no other numbers.
    assert heads.split()[0] == "id"
    assert sorted(row.split()[0] for row in rows) == ["1", "2", "3"]
    for currency in PLACES:
        assert f" {money_text(estimated(currency).price, currency)} " in listed


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (0.5, "JPY", "1 JPY"),
        (2.5, "JPY", "3 JPY"),
        (-2.5, "JPY", "-3 JPY"),
        (-0.0004, "KWD", "0.000 KWD"),
        (1.0005, "KWD", "1.001 KWD"),
        (1234567.891, "KWD", "1,234,567.891 KWD"),
        (1.005, "EUR", "1.01 EUR"),
        (float("nan"), "EUR", "no price"),
    ],
)
def test_an_amount_is_rounded_as_a_clerk_does(amount: float, currency: str, text: str) -> None:
    assert money_text(amount, currency) == text
