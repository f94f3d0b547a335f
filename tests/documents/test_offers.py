"""An offer instead of what cannot be woven: quoted, ordered as it stands, and ordered again."""

from __future__ import annotations

import io
from datetime import date
from typing import TYPE_CHECKING

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.order_sheets import order_sheet
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation
from meshcore.documents.terms import LANGUAGES
from meshcore.documents.wording import words
from meshcore.estimates.nearest import nearest_weavable
from meshcore.register.errors import RecordsError
from meshcore.register.labels import make_labels
from meshcore.register.orders import accept_order, draft_order, ordered
from meshcore.register.quotations import file_quotation, mark_quotation, quoted
from meshcore.register.repeating import repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft"}  # fmt: skip
    # Wire of 0.080 in at ten meshes an inch jams.
    jammed = roll | {"wire_diameter": "0.080 in", "note": "as strong as possible"}
    return mc.estimate_list(
        pd.DataFrame([roll | {"line": "1", "quantity": "3"},
                      jammed | {"line": "2", "quantity": "4"},
                      jammed | {"line": "2-2", "quantity": "1"}]),
        supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml"),
    )  # fmt: skip


@pytest.fixture
def sent(register: Register, estimates: mc.EstimateSet) -> Entry:
    facts = quotation(estimates, demo_data() / "terms.toml", to="Bakery by the Weir", day=DAY,
                      reference="BW-1")  # fmt: skip
    return mark_quotation(register, file_quotation(register, facts, estimates), "sent")


def test_it_is_ordered_at_its_price_without_a_revision(register: Register, sent: Entry) -> None:
    facts = quoted(sent)
    offer = next(line for line in facts.offers if line.label == "2")
    assert offer.role == "instead"
    # Unasked it is not ordered.
    assert [line.label for line in draft_order(sent, "PO 7", DAY).lines] == ["1"]
    order = draft_order(sent, "PO 7", DAY, {"2": 4})
    assert [(one.label, one.what) for one in order.differences] == [("2", "instead")]
    assert order.net_minor == facts.net_minor + offer.amount_minor
    filed = accept_order(register, sent, order)
    told = " ".join(text(order_sheet(ordered(filed))).split())
    assert "Line 2: offered instead of what was asked, and ordered" in told
    labels = make_labels(register, filed)
    assert len(labels) == 3 + 4
    wire = words("en").fine(offer.wire_m, True)
    assert any(wire in line for line in labels[-1].body["lines"])


def test_in_another_quantity_it_is_priced_anew_or_keeps_its_price(sent: Entry) -> None:
    offer = next(line for line in quoted(sent).offers if line.label == "2")
    anew = draft_order(sent, "PO 7", DAY, {"1": 0, "2": 8})
    [line] = anew.lines
    assert (line.quantity, line.wire_m, line.aperture_m) == (8, offer.wire_m, offer.aperture_m)
    # Eight rolls in one order cost less each than four: setup and minimum are shared by more.
    assert line.amount_minor < 2 * offer.amount_minor
    assert line.asked == offer.asked
    kept = draft_order(sent, "PO 7", DAY, {"1": 0, "2": 8}, keep_prices=True)
    assert kept.lines[0].amount_minor == 2 * offer.amount_minor


def test_what_was_taken_is_repeated_and_not_what_was_asked(register: Register, sent: Entry) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY, {"2": 4}))
    label = make_labels(register, filed)[-1]
    again = repeat(register, label.number)
    [line] = again.lines
    assert line.cloth is not None
    assert line.then_minor == line.cloth.amount_minor
    assert line.today_minor is not None
    assert not line.missing
    assert again.today.orders.cloth.wire_diameter_m[0] == pytest.approx(line.cloth.wire_m)
    assert again.compared is not None
    total = again.compared[again.compared["stage"] == "total"].iloc[0]
    assert round(total["difference"] * 100) == line.today_minor - line.then_minor
    whole = repeat(register, filed.number)
    assert [one.label for one in whole.lines] == ["1", "2"]
    assert None not in (whole.then_minor, whole.today_minor)


def test_several_offers_for_a_line_are_told_apart(estimates: mc.EstimateSet) -> None:
    facts = quotation(estimates, number="1", alternatives=3)
    labels = [line.label for line in facts.offers]
    assert len(set(labels)) == len(labels) > 3
    # The second offer for line 2 does not take the name of a line of the list.
    assert labels.count("2-2") == 1


def test_a_second_offer_is_ordered_by_its_label(
    register: Register, estimates: mc.EstimateSet
) -> None:
    one = mc.estimate_list(estimates.enquiries.head(2), supply_policy=estimates.policy)
    facts = quotation(one, number="", day=DAY, to="Bakery", alternatives=2)
    sent = mark_quotation(register, file_quotation(register, facts, one), "sent")
    filed = accept_order(register, sent, draft_order(sent, "PO 8", DAY, {"1": 0, "2-2": 5}))
    [line] = ordered(filed).lines
    assert (line.label, line.quantity) == ("2-2", 5)
    [again] = repeat(register, filed.number).lines
    assert again.cloth is not None
    assert again.cloth.wire_m == line.wire_m
    assert again.today_minor is not None


def test_a_label_that_is_none_says_what_there_is(sent: Entry) -> None:
    with pytest.raises(RecordsError, match="no priced line 9; there are 1, 2"):
        draft_order(sent, "PO 7", DAY, {"9": 1})


def test_an_offer_that_is_ordered_is_said_in_every_language() -> None:
    said = [words(language).say("changed", "instead") for language in LANGUAGES]
    assert len(set(said)) == len(LANGUAGES)


def read(content: bytes) -> mc.EstimateSet:
    """A list as a file has it: a column that it lacks is not there."""
    policy = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    return mc.estimate_list(mc.read_list(io.BytesIO(content), ".csv"), supply_policy=policy)


JAMMED = b"Mesh;Wire;alloy;form;width;length;Qty\n10 / in;0.080 in;304;roll;48 in;100 ft;2\n"
#: All in one cell, the quantity too.
DESCRIBED = b"Description;alloy\n3 rolls 10 mesh 0.025 in wire 48 in x 100 ft;304\n"


def test_an_offer_is_priced_where_the_list_has_no_column_for_its_sizes() -> None:
    estimates = read(JAMMED)
    offered = nearest_weavable(estimates, 0, count=3)
    assert len(offered) == 3
    assert np.isfinite(offered.price).all()
    [offer] = quotation(estimates, number="1").offers
    assert round(float(offered.price[0]) * 100) == offer.amount_minor


def test_an_offer_of_such_a_list_is_ordered_and_repeated(register: Register) -> None:
    estimates = read(JAMMED)
    facts = quotation(estimates, to="Bakery", day=DAY)
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    filed = accept_order(register, sent, draft_order(sent, "PO 9", DAY, {facts.offers[0].label: 3}))
    [line] = ordered(filed).lines
    assert line.quantity == 3
    [again] = repeat(register, filed.number).lines
    assert again.then_minor == line.amount_minor
    assert again.today_minor is not None


def test_breaks_and_orders_of_a_list_whose_quantity_stands_in_a_description(
    register: Register,
) -> None:
    """Where a list has no column of quantities, another quantity is another price all the same."""
    estimates = read(DESCRIBED)
    facts = quotation(estimates, to="Bakery", day=DAY, breaks=(50,))
    [line] = facts.lines
    roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
            "width": "48 in", "length": "100 ft", "quantity": "50"}  # fmt: skip
    alone = mc.estimate_list(pd.DataFrame([roll]), estimates.book, estimates.policy)
    price = int(alone.ledger.price_minor[0])
    assert [one.unit_minor for one in line.breaks] == [(2 * price + 50) // 100]
    assert line.breaks[0].unit_minor < line.unit_minor
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    [ordered_] = draft_order(sent, "PO 10", DAY, {line.label: 50}).lines
    assert (ordered_.quantity, ordered_.amount_minor) == (50, price)
