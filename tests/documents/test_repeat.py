"""The repeat order of what was sold: the order's own lines and prices, and how they are found."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.order_sheets import bill_sheet, order_sheet
from meshcore.documents.printing import lines_csv, text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.register.bills import file_bill
from meshcore.register.deliveries import typed_deliveries
from meshcore.register.errors import RecordsError
from meshcore.register.labels import deliver, make_labels, printable
from meshcore.register.orders import accept_order, draft_order, order_doubts, ordered
from meshcore.register.quotations import file_quotation, mark_quotation, quoted, revise_quotation
from meshcore.register.repeating import repeat
from meshcore.register.requoting import origin_note, quoted_anew

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "services": ""}  # fmt: skip
    fine = roll | {"mesh_count": "20 / in", "wire_diameter": "0.016 in", "alloy": "316L",
                   "services": "anneal"}  # fmt: skip
    rows = [roll | {"line": "1", "quantity": "3"}, fine | {"line": "2", "quantity": "2"},
            roll | {"line": "3 (option)", "quantity": "5"}]  # fmt: skip
    return mc.estimate_list(
        pd.DataFrame(rows),
        supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml"),
    )


@pytest.fixture
def sent(register: Register, estimates: mc.EstimateSet) -> Entry:
    facts = quotation(estimates, demo_data() / "terms.toml", to="Bakery by the Weir",
                      reference="BW-1", day=DAY)  # fmt: skip
    return mark_quotation(register, file_quotation(register, facts, estimates), "sent")


@pytest.fixture
def taken(register: Register, sent: Entry) -> Entry:
    """An order of fewer rolls at the unit price quoted, labelled, delivered in part, billed."""
    order = draft_order(sent, "PO 7", DAY, {"1": 2}, keep_prices=True)
    filed = accept_order(register, sent, order)
    make_labels(register, filed)
    for lengths in ("R2026-000001: 50 ft", "R2026-000001: 50 ft"):
        deliver(register, filed, typed_deliveries(lengths), anyway=True)
        file_bill(register, filed, day=DAY)
    return filed


def test_what_was_ordered_is_repeated_at_the_price_of_the_order(
    register: Register, taken: Entry, sent: Entry
) -> None:
    order = ordered(taken)
    again = repeat(register, taken.number)
    assert again.order is not None
    assert again.order.number == taken.number
    assert [line.cloth for line in again.lines] == list(order.lines)
    assert again.then_minor == order.net_minor < quoted(sent).net_minor
    assert again.today.orders.quantity.tolist() == [2, 2]
    assert again.compared is not None
    total = again.compared.iloc[-1]
    assert round(total["amount_first"] * 100) == order.net_minor
    assert round(again.compared.iloc[:-1]["difference"].sum(), 2) == total["difference"]
    first = [line.then_minor for line in again.lines]
    assert first == [line.amount_minor for line in order.lines]


def test_the_price_of_then_is_the_one_quoted_and_not_that_of_the_line_alone(
    register: Register, sent: Entry
) -> None:
    again = repeat(register, "316L")
    assert again.label == "2"
    assert again.then_minor == quoted(sent).lines[1].amount_minor
    # Alone it bears the whole consignment and set-up.
    assert again.today_minor is not None
    assert again.today_minor > again.then_minor
    assert again.compared is not None
    assert round(again.compared.iloc[-1]["difference"] * 100) == (
        again.today_minor - again.then_minor
    )


@pytest.mark.parametrize("typed", ["PO 7", "po-7", "A2026-000001"])
def test_the_buyers_order_is_found_however_much_is_labelled_and_billed(
    register: Register, taken: Entry, typed: str
) -> None:
    again = repeat(register, typed)
    assert again.order is not None
    assert again.order.number == taken.number
    assert again.label == ""


@pytest.mark.usefixtures("taken")
@pytest.mark.parametrize("typed", ["BW-1", "bw 1", "Q2026-000001"])
def test_the_reference_of_a_quotation_means_the_quotation(
    register: Register, sent: Entry, typed: str
) -> None:
    again = repeat(register, typed)
    assert again.order is None
    assert again.then_minor == quoted(sent).net_minor


def test_a_torn_label_is_found_by_what_is_left(register: Register, taken: Entry) -> None:
    label = make_labels(register, taken)[2]
    whole = printable(taken, [label])[0].code_text.splitlines()
    without_number = [line for line in whole if label.number not in line]
    without_order = [line for line in without_number if taken.number not in line]
    for torn in ("\n".join(without_number), "\n".join(without_order),
                 f"Our order {taken.number} / 2"):  # fmt: skip
        again = repeat(register, torn)
        assert (again.label, again.order and again.order.number) == ("2", taken.number)


@pytest.mark.usefixtures("sent")
@pytest.mark.parametrize("typed", ["", "  ", "\n"])
def test_nothing_typed_agrees_with_nothing(register: Register, typed: str) -> None:
    with pytest.raises(RecordsError, match="nothing was typed"):
        repeat(register, typed)


def test_a_service_without_a_rate_is_named_as_such(register: Register, sent: Entry) -> None:
    book = mc.default_price_book()
    gone = replace(book, rates=tuple(r for r in book.rates if r.key != "service.anneal"))
    again = repeat(register, sent.number, gone)
    assert [line.label for line in again.lines if line.missing] == ["2"]
    [message] = again.missing
    assert (message.field, message.read) == ("services", "anneal")
    assert "alloy" not in message.text
    # The rest is compared without it: its loss is in no difference.
    assert again.compared is not None
    assert again.compared.iloc[-1]["difference"] == pytest.approx(
        ((again.today_minor or 0) - quoted(sent).lines[0].amount_minor) / 100, abs=0.004
    )


def test_a_repeat_is_quoted_in_one_step(register: Register, taken: Entry) -> None:
    again = repeat(register, "PO 7")
    facts = quoted_anew(again)
    assert facts.to.name == "Bakery by the Weir"
    assert [line.quantity for line in facts.lines] == [2, 2]
    assert facts.net_minor == again.today_minor
    assert origin_note(again) == f"repeats {taken.number}"


def test_an_option_can_be_ordered_and_is_told_as_one(register: Register, sent: Entry) -> None:
    [option] = quoted(sent).options
    with pytest.raises(RecordsError, match=r"there are 1, 2, 3 \(option\)"):
        draft_order(sent, "PO 8", DAY, {"9": 1})
    assert [line.label for line in draft_order(sent, "PO 8", DAY).lines] == ["1", "2"]
    order = draft_order(sent, "PO 8", DAY, {"1": 0, option.label: option.quantity})
    assert [line.label for line in order.lines] == ["2", option.label]
    assert order.lines[1].amount_minor == option.amount_minor
    told = text(order_sheet(order))
    assert f"Line {option.label}: offered as an option, and ordered" in told
    assert "Offered beside" not in told
    fewer = draft_order(sent, "PO 8", DAY, {option.label: 2})
    assert fewer.lines[-1].quantity == 2
    filed = accept_order(register, sent, order)
    again = repeat(register, filed.number)
    assert again.then_minor == order.net_minor


def test_options_stand_in_the_csv_and_are_marked(estimates: mc.EstimateSet) -> None:
    facts = quotation(estimates, number="Q1", day=DAY)
    rows = list(csv.DictReader(io.StringIO(lines_csv(quotation_sheet(facts)))))
    assert [(row["line"], row["offer"]) for row in rows] == [
        ("1", ""), ("2", ""), ("3 (option)", "option"),
    ]  # fmt: skip
    charged = sum(round(float(row["amount"]) * 100) for row in rows if not row["offer"])
    assert charged == facts.net_minor


def test_labels_and_bills_tell_what_is_done_to_the_cloth(register: Register, taken: Entry) -> None:
    label = make_labels(register, taken)[2]
    assert "With: annealed" in printable(taken, [label])[0].code_text
    deliver(register, taken, typed_deliveries("R2026-000003: 100 ft"))
    made, goods = file_bill(register, taken, day=DAY)
    assert "With: annealed" in text(bill_sheet(ordered(taken), made.number, DAY, goods))


def test_a_bill_by_length_multiplies_out(register: Register, taken: Entry) -> None:
    deliver(register, taken, typed_deliveries("R2026-000003: 98 ft heat H 7"))
    made, goods = file_bill(register, taken, day=DAY)
    assert [one.heat for one in goods] == ["H 7"]
    sheet = bill_sheet(ordered(taken), made.number, DAY, goods)
    [row] = sheet.rows
    line = ordered(taken).lines[1]
    assert (row.quantity, row.unit_places) == ("98 ft", 2)
    # What is printed comes to the amount within what the rounded price by the foot leaves open.
    assert row.numbers is not None
    length, per_foot, amount = row.numbers
    assert abs(length * per_foot / 100 - amount) <= length * 0.005 + 0.5
    # And the share that is told comes to it exactly.
    assert (
        f"Charged: 98 ft of 200 ft, the whole at {line.amount_minor / 100:,.2f} EUR" in row.details
    )
    assert amount == int(line.amount_minor * 98 / 200 + 0.5)
    assert "Each amount is the share" in " ".join(sheet.notes)


def test_what_speaks_against_an_order_is_told_before_it_is_taken(
    register: Register, sent: Entry, estimates: mc.EstimateSet
) -> None:
    order = draft_order(sent, "PO 9", DAY)
    assert order_doubts(register, sent, order) == []
    revise_quotation(register, sent, quoted(sent), estimates)
    # The revision that was sent is ordered; that the next one was not is no doubt of it.
    assert order_doubts(register, sent, order) == [f"{sent.number} is superseded by revision 2."]
