"""Quantities to choose from: each priced as an order of its own, none of them in a sum."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data, demo_price_book
from meshcore.documents.order_sheets import difference_texts, order_sheet
from meshcore.documents.plain_data import from_data, to_data
from meshcore.documents.printing import lines_csv, pdf, text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.documents.terms import LANGUAGES
from meshcore.documents.wording import words
from meshcore.estimates.letters import as_offers, price_letter
from meshcore.estimates.summary import list_totals
from meshcore.register.amounts import amount_text
from meshcore.register.errors import RecordsError
from meshcore.register.exporting import export
from meshcore.register.figures import figures
from meshcore.register.finding import find
from meshcore.register.indexing import rebuild
from meshcore.register.orders import accept_order, draft_order
from meshcore.register.quotations import file_quotation, mark_quotation
from meshcore.register.repeating import repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register

CLOTH = "10 mesh, .025 in wire, 304, 48 in x 100 ft"
DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def band() -> mc.Letter:
    return mc.read_letter(demo_data() / "inbox" / "03-smoked-tea.eml")


@pytest.fixture(scope="module")
def priced(band: mc.Letter) -> mc.EstimateSet:
    return mc.estimate_list(band.lines, demo_price_book())


def test_each_is_priced_as_if_it_alone_were_asked_for(
    band: mc.Letter, priced: mc.EstimateSet
) -> None:
    for row in range(3):
        alone = band.lines.iloc[[row]].assign(order="1")
        one = mc.estimate_list(alone, demo_price_book(), priced.policy)
        assert one.table["price"].iloc[0] == priced.table["price"].iloc[row]
    assert list_totals(priced).price == 0.0
    assert priced.options.all()


def test_page_and_command_and_quotation_tell_the_same_prices(
    band: mc.Letter, priced: mc.EstimateSet
) -> None:
    letter = price_letter(band, demo_price_book(), priced.policy)
    assert letter.estimates.table["price"].tolist() == priced.table["price"].tolist()
    facts = quotation(priced, day=DAY)
    amounts = [line.amount_minor for line in facts.offers]
    assert amounts == [round(100 * price) for price in priced.table["price"]]
    assert (facts.lines, facts.net_minor) == ((), 0)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_document_says_one_of_these_and_has_no_sum(
    priced: mc.EstimateSet, language: str
) -> None:
    facts = quotation(priced, demo_data() / "terms.toml", day=DAY, language=language)
    assert from_data(to_data(facts)) == facts
    sheet = quotation_sheet(facts)
    assert sheet.totals == ()
    assert all("1, 2, 3" in row.details[0] for row in sheet.offers)
    assert lines_csv(sheet).count(",one of\r\n") == 3
    assert pdf(sheet).content.startswith(b"%PDF")
    if language == "en":
        told = text(sheet)
        assert "To choose from: one of these" in told
        assert "Total" not in told


def test_the_one_that_is_ordered_keeps_its_own_price(
    register: Register, priced: mc.EstimateSet
) -> None:
    facts = quotation(priced, day=DAY, to="Larkspur")
    sent = mark_quotation(register, file_quotation(register, facts, priced), "sent")
    order = draft_order(sent, "PO 3", DAY, {"2": 3})
    assert order.net_minor == facts.offers[1].amount_minor
    assert [(one.label, one.what) for one in order.differences] == [("2", "choice")]
    with pytest.raises(RecordsError, match=r"a choice of lines 1 \(1\), 2 \(3\), 3 \(10\)"):
        draft_order(sent, "PO 3", DAY)
    filed = accept_order(register, sent, order)
    assert repeat(register, filed.number).then_minor == order.net_minor


def test_a_choice_that_is_open_counts_with_the_least_of_it(
    register: Register, priced: mc.EstimateSet
) -> None:
    facts = quotation(priced, day=DAY, to="Larkspur")
    least, *_ = sorted(line.amount_minor for line in facts.offers)
    sent = mark_quotation(register, file_quotation(register, facts, priced), "sent")
    assert figures(register).open_minor == {facts.currency: (least, facts.digits)}
    [found] = find(register, "", kinds=("quotation",))
    told = amount_text(found.total_minor, found.choice_minor, found.digits, found.currency)
    assert told == f"from {least / 100:,.2f} {facts.currency}"
    for line in facts.offers:
        [one] = find(register, f"{line.amount_minor / 100:.2f} {facts.currency}", strict=True)
        assert one.number == sent.number
    [row] = [one for one in export(register).splitlines() if one.startswith("quotation,")]
    assert row.endswith(f",{least / 100:.2f}")
    # All that is looked up can be made anew from what happened.
    with register.writing() as connection:
        rebuild(connection)
    assert figures(register).open_minor == {facts.currency: (least, facts.digits)}


@pytest.mark.parametrize(
    ("letter", "orders"),
    [
        (f"Please quote 1, 3 and 10 rolls {CLOTH}", "123"),
        (f"1 roll, 3 rolls and 10 rolls {CLOTH}", "123"),
        (f"2 rolls {CLOTH}, alternatively 5 rolls", "12"),
        # Deliveries at two dates are one order.
        (f"{CLOTH}: 3 rolls in March and 5 rolls in June.", ""),
        # So are two numbered items.
        (f"Item 1: 2 rolls {CLOTH}\nItem 2: 5 rolls {CLOTH}", ""),
        ("1. 200 discs 60 mm dia, 80 mesh 0.12 mm wire, 316L; also for 500 and 1000\n"
         f"2. 1 roll {CLOTH}", "123"),
    ],
)  # fmt: skip
def test_a_choice_is_known_from_quantities_that_are_all_wanted(letter: str, orders: str) -> None:
    from meshcore.reading.letters.letter import read_text_of_letter  # noqa: PLC0415

    read = read_text_of_letter(letter).lines["order"].tolist()
    assert "".join(order[0] for order in read if "one of" in order) == orders
    assert set(read) - {"1"} == {f"{n} (one of {', '.join(orders)})" for n in orders}


def test_a_choice_of_alloys_keeps_the_choice_of_quantities() -> None:
    from meshcore.reading.letters.letter import read_text_of_letter  # noqa: PLC0415

    letter = read_text_of_letter(
        "Please quote 1 and 10 rolls 10 mesh, .025 in wire, 304 or 316L, 48 in x 100 ft"
    )
    assert len(set(as_offers(letter)["order"])) == 4


def test_an_option_names_the_line_that_it_stands_beside() -> None:
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip
    lines = [roll | {"line": "1"}, roll | {"line": "2", "alloy": "316"},
             roll | {"line": "2a (option)", "alloy": "316L"},
             roll | {"line": "4", "alloy": "321", "note": "alternative to line 1"}]  # fmt: skip
    told = text(quotation_sheet(quotation(mc.estimate_list(pd.DataFrame(lines)), day=DAY)))
    assert "Offered beside line 2\n" in told
    assert "Offered beside line 1\n" in told


def test_a_line_that_is_taken_without_the_others_says_that_its_price_is_kept(
    register: Register,
) -> None:
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft"}  # fmt: skip
    both = [roll | {"line": "1", "quantity": "1"}, roll | {"line": "2", "quantity": "3"}]
    held = mc.estimate_list(pd.DataFrame(both), demo_price_book())
    facts = quotation(held, day=DAY, to="Larkspur")
    sent = mark_quotation(register, file_quotation(register, facts, held), "sent")
    order = draft_order(sent, "PO 4", DAY, {"2": 0})
    # One roll alone costs more: what is charged once an order is no longer shared.
    alone = mc.estimate_list(pd.DataFrame(both[:1]), demo_price_book())
    assert order.net_minor < alone.ledger.price_minor[0]
    assert [(one.label, one.what) for one in order.differences] == [
        ("2", "missing"), ("1", "part_kept"),
    ]  # fmt: skip
    say = difference_texts(words("en"), order.differences, order.currency, order.digits)
    assert "Line 1: price as quoted together with lines that are not ordered, and kept" in say
    # The buyer is not told what it might have cost.
    assert "together with" not in text(order_sheet(order))
    # Priced anew, it is what the line costs as an order of its own; another way, and to the cent.
    anew = draft_order(sent, "PO 4", DAY, {"2": 0}, reprice=True)
    assert anew.net_minor == alone.ledger.price_minor[0]
    assert [(one.label, one.what) for one in anew.differences] == [
        ("1", "unit_price"), ("1", "amount"), ("2", "missing"),
    ]  # fmt: skip
    with pytest.raises(RecordsError, match="kept, and to be reckoned anew"):
        draft_order(sent, "PO 4", DAY, {"2": 0}, reprice=True, keep_prices=True)
    assert not draft_order(sent, "PO 5", DAY).differences
