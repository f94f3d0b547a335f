"""From quotation to order, labels, lengths, bill and the repeat order, in either database."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from fractions import Fraction
from typing import TYPE_CHECKING

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.labels import label_pdf
from meshcore.documents.order_sheets import bill_sheet, order_sheet
from meshcore.documents.printing import pdf, text
from meshcore.documents.quotation import quotation
from meshcore.register.bills import file_bill
from meshcore.register.deliveries import typed_deliveries
from meshcore.register.entries import entry
from meshcore.register.errors import DoubtError, RecordsError
from meshcore.register.figures import figures
from meshcore.register.finding import find
from meshcore.register.labels import as_ordered, deliver, make_labels, measured, printable
from meshcore.register.orders import (
    accept_order,
    cancel_order,
    draft_order,
    latest_day,
    live_orders,
    ordered,
)
from meshcore.register.quotations import (
    about_to_lapse,
    file_quotation,
    lapse,
    mark_quotation,
    quoted,
    revise_quotation,
)
from meshcore.register.repeating import SeveralError, repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

DAY = date(2026, 11, 25)


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    table = mc.read_list(demo_data() / "enquiries.csv").head(4)
    return mc.estimate_list(
        table, supply_policy=mc.read_supply_policy(demo_data() / "supply_policy.toml")
    )


@pytest.fixture
def sent(register: Register, estimates: mc.EstimateSet) -> Entry:
    facts = quotation(estimates, demo_data() / "terms.toml", to="Bakery by the Weir",
                      reference="BW 12", day=DAY)  # fmt: skip
    return mark_quotation(register, file_quotation(register, facts, estimates), "sent")


def test_a_quotation_takes_the_next_number_and_keeps_it(
    register: Register, estimates: mc.EstimateSet
) -> None:
    facts = quotation(estimates, day=DAY)
    filed = [file_quotation(register, facts, estimates) for _ in range(2)]
    assert [quoted(one).number for one in filed] == ["Q2026-000001", "Q2026-000002"]
    draft = revise_quotation(register, filed[0], replace(facts, reference="R"), estimates)
    assert (draft.head.revision, draft.head.reference) == (1, "R")
    sent = mark_quotation(register, draft, "sent")
    revised = revise_quotation(register, sent, replace(facts, reference="S"), estimates)
    assert (revised.head.revision, revised.state) == (2, "draft")
    assert quoted(revised).revision == 2


def test_what_becomes_of_it(register: Register, sent: Entry) -> None:
    with pytest.raises(RecordsError, match="say why"):
        mark_quotation(register, sent, "lost")
    with pytest.raises(RecordsError, match="is sent; it can be marked"):
        mark_quotation(register, sent, "draft")
    until = quoted(sent).valid_until
    assert about_to_lapse(register, 7, until - timedelta(days=8)) == []
    assert [q.number for q in about_to_lapse(register, 7, until - timedelta(days=7))] == [
        sent.number
    ]
    assert lapse(register, until) == []
    assert figures(register).open_minor == {"EUR": (quoted(sent).net_minor, 2)}
    assert lapse(register, until + timedelta(days=1)) == [sent.number]
    told = figures(register)
    assert (told.counts, told.hit_rate, told.open_minor) == ({"lapsed": 1}, 0.0, {})


def test_an_order_of_a_day_that_is_still_to_come_is_refused(sent: Entry) -> None:
    """Whoever asks: the command, the page or a program."""
    with pytest.raises(RecordsError, match="2026-11-26, which is still to come: today is 2026-11-"):
        draft_order(sent, "PO 7", DAY + timedelta(days=1), day=DAY)
    assert draft_order(sent, "PO 7", DAY, day=DAY).buyer_day == DAY
    # Where it is day first: UTC+14, so that no buyer's today is refused.
    last = latest_day()
    assert timedelta(0) <= last - datetime.now(UTC).date() <= timedelta(days=1)
    with pytest.raises(RecordsError, match="still to come"):
        draft_order(sent, "PO 7", last + timedelta(days=1))


def test_the_whole_day(register: Register, sent: Entry) -> None:
    order = draft_order(sent, "PO 7", DAY, {"1": 2, "4": 0}, keep_prices=True)
    assert [(d.label, d.what) for d in order.differences] == [
        ("1", "quantity"), ("1", "amount"), ("1", "price_kept"), ("4", "missing"),
        ("2", "part_kept"), ("3", "part_kept"),
    ]  # fmt: skip
    assert "the unit price quoted for 3 is kept for 2" in text(order_sheet(order))
    assert "Line 1, quantity: quoted 3, ordered 2" in text(order_sheet(order))
    filed = accept_order(register, sent, order)
    assert figures(register).hit_rate == 1.0
    printed = pypdf.PdfReader(io.BytesIO(pdf(order_sheet(ordered(filed))).content))
    assert filed.number in printed.pages[0].extract_text()

    labels = make_labels(register, filed)
    assert [one.number for one in labels] == [f"R2026-{n:06d}" for n in range(1, 6)]
    assert make_labels(register, filed) == labels
    _codes_read_back(filed, labels)

    # 98 ft on 100 ft is within the roll tolerance of 10 %; 112 ft is not.
    noted = deliver(register, filed, typed_deliveries("98; 112 ft; 2 x 100 ft"))
    assert [[round(m.length_m, 4) for m in measured(one)] for one in noted.labels] == [
        [29.8704], [34.1376], [30.48], [30.48], [],
    ]  # fmt: skip
    made, charged = file_bill(register, filed, day=DAY)
    first, second, _ = ordered(filed).lines
    # By hand: the line's own amount times delivered over ordered, half up to the cent; not the
    # rounded price of one roll times the rolls.
    assert sum(one.amount_minor for one in charged[:2]) == _half_up(
        Fraction(first.amount_minor * 210, 200)
    )
    assert charged[0].amount_minor == _half_up(Fraction(first.amount_minor * 98, 200))
    assert sum(one.amount_minor for one in charged[2:]) == second.amount_minor
    assert [one.within for one in charged] == [True, False, True, True]
    told = " ".join(text(bill_sheet(ordered(filed), made.number, DAY, charged)).split())
    assert told.count("outside the tolerance agreed") == 1
    # What is not delivered is on no bill yet.
    assert [row.label for row in bill_sheet(ordered(filed), "B", DAY, charged).rows] == ["1", "2"]
    assert made.head.total_minor == sum(one.amount_minor for one in charged)
    with pytest.raises(RecordsError, match="is left to be billed"):
        file_bill(register, filed)
    deliver(register, filed, typed_deliveries("R2026-000005: 50 ft heat H7"))
    _, rest = file_bill(register, filed, day=DAY)
    assert [(one.label, one.heat) for one in rest] == [("R2026-000005", "H7")]


def _half_up(exact: Fraction) -> int:
    return int(exact + Fraction(1, 2))


def _codes_read_back(filed: Entry, labels: list[Entry]) -> None:
    """A decoder of another hand reads each code; the page is 100 × 60 mm."""
    wanted = [one.code_text for one in printable(filed, labels)]
    for sheet, across in (("single", 100.0), ("a4", 210.0)):
        content = label_pdf(printable(filed, labels), sheet).content  # type: ignore[arg-type]
        document = pypdfium2.PdfDocument(content)
        found: list[str] = []
        for page in document:
            assert page.get_width() / 72 * 25.4 == pytest.approx(across, abs=0.1)
            image = np.asarray(page.render(scale=3).to_pil().convert("L"))
            found += [code.text for code in zxingcpp.read_barcodes(image)]
        assert sorted(found) == sorted(wanted)
    assert all("304" in one or "316L" in one for one in wanted)


def test_an_order_is_taken_once(register: Register, sent: Entry) -> None:
    order = draft_order(sent, "PO 7", DAY)
    filed = accept_order(register, sent, order)
    with pytest.raises(DoubtError, match=f"PO 7 is on file already, as order {filed.number}"):
        accept_order(register, sent, order)
    again = entry(register, "quotation", sent.number)
    with pytest.raises(DoubtError, match=f"order {filed.number} .PO 7. is on {sent.number}"):
        accept_order(register, again, draft_order(again, "PO 8", DAY))
    accept_order(register, again, draft_order(again, "PO 8", DAY), anyway=True)
    assert len(live_orders(register, again)) == 2


def test_an_order_against_what_does_not_hold_asks_for_a_word(
    register: Register, estimates: mc.EstimateSet
) -> None:
    facts = quotation(estimates, demo_data() / "terms.toml", to="Bakery", day=DAY)
    draft = file_quotation(register, facts, estimates)
    late = quoted(draft).valid_until + timedelta(days=1)

    def take(opened: Entry, day: date = DAY, *, anyway: bool = False) -> Entry:
        return accept_order(register, opened, draft_order(opened, "PO 1", day, day=day),
                            anyway=anyway)  # fmt: skip

    with pytest.raises(DoubtError, match="was never sent"):
        take(draft)
    sent = mark_quotation(register, draft, "sent")
    with pytest.raises(DoubtError, match="lapsed: it held until"):
        take(sent, late)
    lost = mark_quotation(register, sent, "lost", "too dear")
    with pytest.raises(DoubtError, match="is lost"):
        take(lost)
    revise_quotation(register, mark_quotation(register, lost, "sent"), facts, estimates)
    old = entry(register, "quotation", draft.number, revision=1)
    with pytest.raises(DoubtError, match="superseded by revision 2"):
        take(old)
    taken = take(old, anyway=True)
    assert ordered(taken).revision == 1
    assert "in spite of" in taken.changes[0].note


def test_a_quotation_with_an_order_is_not_lost_before_the_order_is_cancelled(
    register: Register, sent: Entry
) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    won = entry(register, "quotation", sent.number)
    with pytest.raises(RecordsError, match=f"order {filed.number} is on it"):
        mark_quotation(register, won, "lost", "why not")
    with pytest.raises(RecordsError, match="say why"):
        cancel_order(register, filed, " ")
    cancelled = cancel_order(register, filed, "typed twice")
    assert mark_quotation(register, won, "lost", "cancelled").state == "lost"
    with pytest.raises(RecordsError, match="is cancelled"):
        make_labels(register, cancelled)


def test_an_order_of_another_quantity_is_priced_anew_with_the_book_of_then(
    sent: Entry, estimates: mc.EstimateSet
) -> None:
    order = draft_order(sent, "PO 7", DAY, {"1": 1})
    alone = estimates.enquiries.copy().astype(object)
    alone.loc[alone.index[0], "Qty"] = "1"
    priced = mc.estimate_list(alone, estimates.book, estimates.policy)
    line = order.lines[0]
    assert line.amount_minor == int(priced.ledger.price_minor[0]) == line.unit_minor
    assert line.unit_minor > quoted(sent).lines[0].unit_minor
    assert {d.what for d in order.differences} == {"quantity", "unit_price", "amount"}
    # The rest is as quoted.
    assert order.lines[1:] == quoted(sent).lines[1:]


def test_deliveries_add_up_and_each_is_kept(register: Register, sent: Entry) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    labels = make_labels(register, filed)
    first, line = labels[0].number, ordered(filed).lines[0]
    deliver(register, filed, typed_deliveries(f"{first}: 60 ft heat H1"))
    _, one = file_bill(register, filed, day=DAY)
    # Forty feet more of the same roll, after its bill: said, kept, and billed by themselves.
    noted = deliver(register, filed, typed_deliveries(f"{first}: 40 ft heat H2"))
    assert [f"{first} is billed already" in text for text in noted.said] == [True]
    assert [(round(m.length_m, 3), m.heat) for m in measured(noted.labels[0])] == [
        (18.288, "H1"), (12.192, "H2"),
    ]  # fmt: skip
    # A label printed now bears the heats, in its words and its code.
    assert "heat or batch H1, H2" in printable(filed, noted.labels)[0].code_text
    # What has no label goes to rolls that have nothing yet.
    deliver(register, filed, typed_deliveries("100 ft; 100 ft"))
    _, two = file_bill(register, filed, day=DAY)
    assert [g.label for g in two] == [first, labels[1].number, labels[2].number]
    assert sum(g.amount_minor for g in (*one, *two)) == line.amount_minor


def test_a_length_that_was_noted_wrongly_is_taken_back_and_stays_on_file(
    register: Register, sent: Entry
) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    first = make_labels(register, filed)[0].number
    deliver(register, filed, typed_deliveries(f"{first}: 89 ft"))
    noted = deliver(register, filed, typed_deliveries(f"{first}: 98 ft"), instead=True)
    assert [round(m.length_m, 4) for m in measured(noted.labels[0])] == [29.8704]
    assert len(measured(noted.labels[0], every=True)) == 2


@pytest.mark.parametrize("typed", ["1000 ft", "100 m", "30 ft", "10 ft"])
def test_a_length_out_of_all_proportion_asks_for_a_word(
    register: Register, sent: Entry, typed: str
) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    make_labels(register, filed)
    with pytest.raises(DoubtError, match=r"times the 30\.480 m ordered: check the unit"):
        deliver(register, filed, typed_deliveries(typed))
    assert file_nothing(register, filed)
    noted = deliver(register, filed, typed_deliveries(typed), anyway=True)
    assert "check the unit" in noted.labels[0].changes[-1].note
    _, goods = file_bill(register, filed)
    assert [one.within for one in goods] == [False]


def file_nothing(register: Register, filed: Entry) -> bool:
    with pytest.raises(RecordsError, match="is left to be billed"):
        file_bill(register, filed)
    return True


def test_pieces_are_billed_by_their_count_as_they_are_delivered(register: Register) -> None:
    enquiry = mc.Enquiry(mesh_count="4 / in", wire_diameter="0.047 in", alloy="304",
                         form=mc.Piece(width="12 in", height="9 in"), quantity=12)  # fmt: skip
    estimate = mc.estimate(enquiry)
    facts = quotation(estimate, to="Bakery", day=DAY)
    sent = mark_quotation(register, file_quotation(register, facts, estimate.estimates), "sent")
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    [label] = make_labels(register, filed)
    file_nothing(register, filed)
    with pytest.raises(RecordsError, match="a count, such as 12 pieces"):
        deliver(register, filed, typed_deliveries(f"{label.number}: 98 ft"))
    deliver(register, filed, typed_deliveries(f"{label.number}: 5 pcs"))
    _, some = file_bill(register, filed, day=DAY)
    assert some[0].amount_minor == _half_up(Fraction(facts.lines[0].amount_minor * 5, 12))
    with pytest.raises(DoubtError, match="comes to 17, of 12 ordered"):
        deliver(register, filed, typed_deliveries(f"{label.number}: 12 pcs"))
    deliver(register, filed, typed_deliveries(f"{label.number}: 7 pcs"))
    made, rest = file_bill(register, filed, day=DAY)
    assert some[0].amount_minor + rest[0].amount_minor == facts.lines[0].amount_minor
    assert bill_sheet(ordered(filed), made.number, DAY, rest).rows[0].quantity == "7 pieces"


def test_all_as_ordered_comes_to_the_order_to_the_cent(register: Register, sent: Entry) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    deliver(register, filed, as_ordered(ordered(filed), make_labels(register, filed)))
    made, _ = file_bill(register, filed)
    assert made.head.total_minor == ordered(filed).net_minor


@pytest.mark.parametrize("wrong", [{"9": 1}, {"1": 0, "2": 0, "3": 0, "4": 0}])
def test_an_order_that_cannot_be(sent: Entry, wrong: dict[str, int]) -> None:
    with pytest.raises(RecordsError, match=r"no priced line 9|nothing is left"):
        draft_order(sent, "PO", DAY, wrong)


def test_the_repeat_order_adds_up(register: Register, sent: Entry) -> None:
    filed = accept_order(register, sent, draft_order(sent, "PO 7", DAY))
    label = make_labels(register, filed)[3]
    book = mc.default_price_book()
    dearer = replace(
        book,
        rates=tuple(
            replace(r, amount=r.amount * 1.1) if r.key == "wire.metal" else r for r in book.rates
        ),
    )
    scanned = printable(filed, [label])[0].code_text
    for typed in (label.number, scanned, f"{label.number} 316L"):
        again = repeat(register, typed, dearer)
        assert (again.source.number, again.label) == (sent.number, "2")
        assert again.compared is not None
        items = again.compared.iloc[:-1]["difference"]
        total = again.compared.iloc[-1]
        assert round(items.sum(), 2) == round(total["difference"], 2) > 0
        assert total["amount_second"] - total["amount_first"] == pytest.approx(
            total["difference"], abs=0.004
        )
        assert again.then_minor == round(total["amount_first"] * 100)
    assert len(repeat(register, "BW 12", dearer).enquiries) == 4
    assert repeat(register, "20 mesh 304 48 in").label == "3"


def test_what_can_no_longer_be_had_is_said(register: Register, sent: Entry) -> None:
    book = mc.default_price_book()
    gone = replace(book, rates=tuple(r for r in book.rates if r.alloy != "316L"))
    again = repeat(register, "316L", gone)
    assert again.label == "2"
    assert again.compared is None
    assert [message.field for message in again.missing] == ["alloy"]
    policy = replace(again.saved.policy, widths_m=(0.5,))
    narrow = repeat(register, sent.number, None, policy)
    assert {message.field for message in narrow.missing} == {"width"}
    with pytest.raises(RecordsError, match="nothing on file agrees"):
        repeat(register, "unobtainium")


@pytest.mark.parametrize(
    ("typed", "metres"),
    [
        ("3 x 100 ft", [30.48] * 3),
        ("98 ft, 101.5 ft", [29.8704, 30.9372]),
        ("29,87 m; 30,2", [29.87, 30.2]),
        ("2×30 m\n1 x 98 ft", [30.0, 30.0, 29.8704]),
        ("", []),
    ],
)
def test_lengths_as_people_write_them(typed: str, metres: list[float]) -> None:
    assert [one.length_m for one in typed_deliveries(typed)] == pytest.approx(metres)


@pytest.mark.parametrize("typed", ["98", "-3 m", "0 m", "900 x 1 m", "soon", "3 x", "1 x 2 x 3 m"])
def test_lengths_that_cannot_be_are_named(typed: str) -> None:
    with pytest.raises(RecordsError, match="delivered"):
        typed_deliveries(typed)


def test_of_several_lines_that_agree_none_is_picked(
    register: Register, sent: Entry, estimates: mc.EstimateSet
) -> None:
    facts = quotation(estimates, to="Another", day=DAY)
    other = file_quotation(register, facts, estimates)
    with pytest.raises(SeveralError, match=f"2 lines on file agree.*{other.number}.*{sent.number}"):
        repeat(register, "20 mesh 304 48 in")
    with pytest.raises(SeveralError) as told:
        repeat(register, "20 mesh 304 48 in")
    for one in told.value.found:
        again = repeat(register, "20 mesh 304 48 in", item=one.id)
        assert (again.source.number, again.label) == (one.number, "3")
    assert repeat(register, other.number).source.number == other.number


@pytest.mark.parametrize("signs", ["%", "_", "%_", "*", "?", "%%%"])
def test_signs_stand_for_nothing_else(register: Register, sent: Entry, signs: str) -> None:
    assert find(register, signs) == []
    with pytest.raises(RecordsError, match="nothing on file agrees"):
        repeat(register, signs)
    assert [one.number for one in find(register, sent.number)] == [sent.number]
