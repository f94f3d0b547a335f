"""Price books: read, checked with every wrong cell named, written back, compared."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from datetime import date
from pathlib import Path

import openpyxl
import pytest
from costing_lines import ALLOYS, DAY, book, rate
from hypothesis import given
from hypothesis import strategies as st

from meshcore.costing.book.files import from_toml, read_price_book, to_toml, write_price_book
from meshcore.costing.book.price_book import (
    Exchange,
    PriceBook,
    PriceBookError,
    conversion,
    in_currency,
)
from meshcore.costing.book.reporting import report_book
from meshcore.costing.comparison import compare_books
from meshcore.costing.items import PricingRule
from meshcore.demo import demo_data

HEAD = '[book]\nname = "b"\ncurrency = "EUR"\ndate = 2026-10-01\n'
RATE = '[[rates]]\nkey = "wire.metal"\namount = 3.5\ncurrency = "EUR"\nunit = "kg"\n' \
       'date = 2026-10-01\nnote = "n"\n'  # fmt: skip


def complaints(text: str) -> list[str]:
    with pytest.raises(PriceBookError) as caught:
        from_toml(text, "b.toml")
    return [str(message) for message in caught.value.messages]


def demo() -> PriceBook:
    return read_price_book(demo_data() / "price_book.toml")


def test_the_demo_book_reads_and_says_where_each_rate_comes_from() -> None:
    found = demo()
    assert len(found.rates) > 100
    assert all(r.note and r.date.year == 2026 and r.unit for r in found.rates)


@pytest.mark.parametrize("suffix", ["toml", "xlsx"])
def test_a_written_book_reads_back_equal(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"book.{suffix}"
    write_price_book(demo(), path)
    assert read_price_book(path) == demo()


@given(note=st.text(st.characters(exclude_categories=["Cs"]), min_size=1).filter(str.strip))
def test_any_note_survives_toml(note: str) -> None:
    with_note = book(dataclasses.replace(rate("a.b", 1.0, "kg", "EUR"), note=note.strip()))
    assert from_toml(to_toml(with_note), "b").rates == with_note.rates


@pytest.mark.parametrize(
    ("change", "to", "place", "says"),
    [
        ('unit = "kg"', 'unit = "barrel"', "rates[1] wire.metal.unit", "not a unit"),
        ("amount = 3.5", 'amount = "cheap"', "rates[1] wire.metal.amount", "plain number"),
        ("amount = 3.5", "amount = -1", "rates[1] wire.metal.amount", "negative"),
        ("amount = 3.5", "amount = nan", "rates[1] wire.metal.amount", "plain number"),
        ('y = "EUR"\nu', 'y = "EURO"\nu', "rates[1] wire.metal.currency", "ISO 4217"),
        ('y = "EUR"\nu', 'y = "USD"\nu', "rates[1] wire.metal.currency", "no rate of exchange"),
        ("-01\nnote", '-01\nweave = "dutch"\nnote', "rates[1] wire.metal.weave", "plain, twilled"),
        ("-01\nnote", '-01\nform = "bale"\nnote', "rates[1] wire.metal.form", "roll, strip"),
        ("-01\nnote", '-01\nat = "thin"\nnote', "rates[1] wire.metal.at", "0.10 mm"),
        ("-01\nnote", '-01\nbase = "weft"\nnote', "rates[1] wire.metal.base", "subtotal"),
        ("-01\nnote", '-01\ncolour = "red"\nnote', "rates[1] wire.metal.colour", "known"),
        ('note = "n"', 'note = ""', "rates[1] wire.metal.note", "needed"),
        ("wire.metal", "Wire Metal", "rates[1] Wire Metal.key", "small letters"),
    ],
)
def test_a_wrong_cell_is_named(change: str, to: str, place: str, says: str) -> None:
    assert change in RATE
    (message,) = complaints(HEAD + RATE.replace(change, to))
    assert message.startswith(place + ":")
    assert says in message


@pytest.mark.parametrize(
    ("key", "amount", "unit", "says"),
    [
        ("weaving.efficiency", 75, "", "at most 100 %"),
        ("weaving.efficiency", 0, "%", "above 0"),
        ("weaving.efficiency", 100, "%", ""),
        ("wire.scrap", 100, "%", "below 100 %"),
        ("wire.scrap", 0, "%", ""),
        ("break.discount", 150, "%", "below 100 %"),
        ("tax.rate", 19, "", "below 100 %"),
        ("overhead.share", 180, "%", ""),
        ("uncertainty.yield", 100, "%", "below 100 %"),
        ("weaving.picks_per_minute", 0, "picks/min", "above 0"),
        ("weaving.ends_per_hour", 0, "ends/h", "above 0"),
        ("weaving.warp_length", 0, "m", "above 0"),
        ("weaving.set_up_time", 0, "h", ""),
        ("weaving.set_up_time", 1e10, "h", "nothing here is above 1,000,000,000"),
        ("weaving.set_up_time", 1e9, "h", ""),
    ],
)
def test_a_figure_that_cannot_be_meant_is_named(
    key: str, amount: float, unit: str, says: str
) -> None:
    row = f'[[rates]]\nkey = "{key}"\namount = {amount}\nunit = "{unit}"\n'
    text = HEAD + row + 'date = 2026-10-01\nnote = "n"\n'
    if not says:
        assert from_toml(text, "b.toml").rates[0].amount == amount
        return
    (message,) = complaints(text)
    assert message.startswith(f"rates[1] {key}.amount: read")
    assert says in message


@pytest.mark.parametrize(
    ("key", "base", "says"),
    [
        ("overhead.share", "overhead", "stages before it"),
        ("overhead.share", "wire, margin", "stages before it"),
        ("overhead.share", "price", "stages before it"),
        ("overhead.share", "wire, weaving", ""),
        ("overhead.share", "subtotal", ""),
        ("margin.share", "wire", "of cost or of price"),
        ("margin.share", "price", ""),
    ],
)
def test_a_share_of_what_comes_later_is_named(key: str, base: str, says: str) -> None:
    row = f'[[rates]]\nkey = "{key}"\nbase = "{base}"\namount = 20\nunit = "%"\n'
    text = HEAD + row + 'date = 2026-10-01\nnote = "n"\n'
    if not says:
        assert from_toml(text, "b.toml").rates[0].base == base
        return
    (message,) = complaints(text)
    assert message.startswith(f"rates[1] {key}.base: read")
    assert says in message


def test_a_margin_of_the_whole_price_is_named() -> None:
    row = '[[rates]]\nkey = "margin.share"\nbase = "price"\namount = 100\nunit = "%"\n'
    (message,) = complaints(HEAD + row + 'date = 2026-10-01\nnote = "n"\n')
    assert "below 100 %" in message


@pytest.mark.parametrize(
    ("change", "to", "place"),
    [
        ('"EUR"', '"XX"', "book.currency"),
        ("2026-10-01", '"soon"', "book.date"),
        ('"b"', '""', "book.name"),
        ("date", "stale_after_days = -1\ndate", "book.stale_after_days"),
        ("date", "stale_after_days = inf\ndate", "book.stale_after_days"),
        ("date", 'rounding = "down"\ndate', "book.rounding"),
        ("date", "rules_disabled = [1]\ndate", "book.rules_disabled"),
    ],
)
def test_a_wrong_setting_is_named(change: str, to: str, place: str) -> None:
    (message,) = complaints(HEAD.replace(change, to) + RATE)
    assert message.startswith(place + ":")


def test_all_that_is_wrong_is_said_at_once() -> None:
    wrong = RATE.replace('"kg"', '"barrel"')
    assert len(complaints(HEAD + wrong + wrong.replace("3.5", '"x"'))) == 3


def test_rows_of_a_group_share_what_stands_beside_them() -> None:
    text = (
        HEAD
        + RATE.replace("amount = 3.5\n", "")
        + (
            'amounts = [{ alloy = "red", amount = 1.0 }, '
            '{ alloy = "blue", amount = 2.0, note = "m" }]'
        )
    )
    red, blue = from_toml(text, "b").rates
    assert (red.alloy, red.amount, red.note, red.unit) == ("red", 1.0, "n", "kg")
    assert (blue.alloy, blue.note) == ("blue", "m")
    (message,) = complaints(text.replace("amount = 2.0", 'amount = "two"'))
    assert message.startswith("rates[1] wire.metal, amounts[2].amount:")


def test_rows_of_one_key_must_agree() -> None:
    (same,) = complaints(HEAD + RATE + RATE)
    assert "already given" in same
    other_unit = RATE.replace('"kg"', '"m2"').replace("note", 'alloy = "red"\nnote')
    assert "all rows" in complaints(HEAD + RATE + other_unit)[0]
    sized = RATE.replace("note", 'at = "1 mm"\nnote')
    assert "has a size" in complaints(HEAD + RATE + sized)[0]
    by_mass = RATE.replace("note", 'at = "1 kg"\nnote')
    assert "all of one kind" in complaints(HEAD + sized + by_mass)[0]


def test_a_wrong_cell_of_a_workbook_is_named(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    write_price_book(demo(), path)
    workbook = openpyxl.load_workbook(path)
    workbook["Rates"]["H7"] = "dear"
    workbook["Rates"]["J9"] = "barrel"
    workbook["Exchange"]["C2"] = None
    workbook["Book"]["B3"] = "euro"
    workbook.save(path)
    with pytest.raises(PriceBookError) as caught:
        read_price_book(path)
    assert {message.field for message in caught.value.messages} == {
        "Rates!H7", "Rates!J9", "Exchange!C2", "Book!B3",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.toml", b"= [", "not TOML"),
        ("a.toml", b"\xff\xfe\x00", "not TOML"),
        ("a.toml", b"[rate]\n", "only book, exchange and rates"),
        ("a.toml", b"rates = 3\n", "list of tables"),
        ("a.xlsx", b"PK nothing", "not a workbook"),
        ("a.csv", b"", ".toml or .xlsx"),
    ],
)
def test_an_unreadable_file_is_one_kind_of_error(
    tmp_path: Path, name: str, content: bytes, says: str
) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(PriceBookError, match=says) as caught:
        read_price_book(path)
    assert "\n" not in str(caught.value)


def test_a_workbook_without_its_sheets_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    openpyxl.Workbook().save(path)
    with pytest.raises(PriceBookError, match="Book, Exchange, Rates is missing"):
        read_price_book(path)


def test_text_that_looks_like_a_formula_stays_text(tmp_path: Path) -> None:
    noted = book(dataclasses.replace(rate("a.b", 1.0, "kg", "EUR"), note="=1+1 from the list"))
    write_price_book(noted, tmp_path / "book.xlsx")
    assert read_price_book(tmp_path / "book.xlsx") == noted


def test_a_character_that_no_workbook_holds_is_named(tmp_path: Path) -> None:
    noted = book(dataclasses.replace(rate("a.b", 1.0, "kg", "EUR"), note="bell \x07"))
    with pytest.raises(PriceBookError, match="no workbook can hold"):
        write_price_book(noted, tmp_path / "book.xlsx")


def test_a_book_that_cannot_be_written_says_so(tmp_path: Path) -> None:
    with pytest.raises(PriceBookError, match="cannot be written"):
        write_price_book(demo(), tmp_path / "no" / "folder.toml")
    with pytest.raises(PriceBookError, match="Name it so"):
        write_price_book(demo(), tmp_path / "book.ods")


USD = Exchange(currency="USD", to="EUR", amount=0.8, date=DAY, note="test")
GBP = Exchange(currency="GBP", to="USD", amount=1.25, date=DAY, note="test")


@pytest.mark.parametrize(
    ("start", "goal", "factor"),
    [("EUR", "EUR", 1.0), ("USD", "EUR", 0.8), ("EUR", "USD", 1.25), ("GBP", "EUR", 1.0)],
)
def test_conversion_direct_inverse_and_through_a_third(
    start: str, goal: str, factor: float
) -> None:
    found = conversion(book(currency=goal, exchange=[USD, GBP]), start)
    assert found is not None
    assert found.factor == pytest.approx(factor, rel=1e-15)


def test_a_currency_without_exchange_rate_is_refused() -> None:
    priced = book(rate("wire.metal", 1.0, "kg", "EUR"), exchange=[USD])
    assert in_currency(priced, "USD").currency == "USD"
    with pytest.raises(PriceBookError, match="no rate of exchange to JPY"):
        in_currency(priced, "JPY")


def test_a_diff_names_what_changed() -> None:
    saved = book(rate("wire.metal", 3.0, "kg", "EUR", alloy="red"), rate("a.b", 1.0, "kg"))
    edited = dataclasses.replace(
        saved,
        rates=(rate("wire.metal", 3.5, "kg", "EUR", alloy="red"), rate("c.d", 2.0, "%")),
        stale_after_days=60,
        exchange=(USD,),
    )
    rows = compare_books(saved, edited).to_dict("records")
    assert [(r["what"], r["column"], r["saved"], r["edited"]) for r in rows] == [
        ("settings", "stale_after_days", "30", "60"),
        ("USD to EUR", "row", "", "0.8 USD"),
        ("wire.metal for red", "amount", "3.0", "3.5"),
        ("a.b", "row", "1.0 kg", ""),
        ("c.d", "row", "", "2.0 %"),
    ]
    assert compare_books(saved, saved).empty


def test_a_report_names_gaps_and_what_nobody_reads() -> None:
    priced = book(
        rate("wire.metal", 3.0, "kg", "EUR", alloy="red"),
        rate("wire.metal", 3.0, "kg", "EUR", alloy="mauve"),
        rate("wire.mettle", 3.0, "kg", "EUR"),
        rate("service.dye", 3.0, "kg", "EUR", family="paint"),
        rate("uncertainty.wire.metal", 5.0, "%"),
    )
    priced = dataclasses.replace(priced, rules_disabled=("nought",))
    rules = [
        PricingRule("a", "wire", lambda _c, _r: (), reads=("wire.metal",)),
        PricingRule("b", "finishing", lambda _c, _r: (), reads=("service.",)),
    ]
    found = report_book(priced, ALLOYS, rules, date(2027, 1, 1))
    assert found.unpriced == ("blue", "green")
    assert found.unknown_alloys == ("mauve",)
    assert found.unknown_families == ("paint",)
    assert found.unread == ("wire.mettle",)
    assert found.unknown_rules == ("nought",)
    assert len(found.stale) == 5
    assert "blue, green" in str(found)


def test_a_book_can_be_pickled_and_copied() -> None:
    found = demo()
    assert pickle.loads(pickle.dumps(found)) == found
    assert copy.deepcopy(found) == found


@pytest.mark.parametrize("amount", ["0.0", "1e-300", "1e300"])
def test_a_rate_of_exchange_that_cannot_be_is_named(amount: str) -> None:
    row = f'[[exchange]]\ncurrency = "USD"\nto = "EUR"\namount = {amount}\n'
    (message,) = complaints(HEAD + row + 'date = 2026-10-01\nnote = "n"\n' + RATE)
    assert ".amount: read" in message
