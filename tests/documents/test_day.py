"""From quotation to order, labels, lengths, bill and the repeat order, in either database."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import pypdf
import pypdfium2
import pytest
import zxingcpp

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.labels import label_pdf
from meshcore.documents.orders import bill_sheet, order_sheet
from meshcore.documents.printing import pdf, text
from meshcore.documents.quotation import quotation
from meshcore.register.deliveries import read_deliveries, typed_deliveries
from meshcore.register.errors import RecordsError
from meshcore.register.orders import (
    accept_order,
    deliver,
    draft_order,
    file_bill,
    make_labels,
    ordered,
    printable,
)
from meshcore.register.quotations import (
    about_to_lapse,
    figures,
    file_quotation,
    lapse,
    mark_quotation,
    quoted,
    revise_quotation,
)
from meshcore.register.repeating import repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.storing import Entry

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


def test_the_whole_day(register: Register, sent: Entry) -> None:
    order = draft_order(quoted(sent), "PO 7", DAY, {"1": 2, "4": 0})
    assert [(d.label, d.what) for d in order.differences] == [
        ("1", "quantity"), ("1", "amount"), ("4", "missing"),
    ]  # fmt: skip
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
    goods = deliver(register, filed, typed_deliveries("98; 112 ft; 2 x 100 ft"))
    assert [round(one.body["delivered_m"], 4) for one in goods] == [
        29.8704, 34.1376, 30.48, 30.48, 0.0,
    ]  # fmt: skip
    made, charged = file_bill(register, filed, day=DAY)
    unit = [line.unit_minor for line in ordered(filed).lines]
    # By hand: a roll's price times delivered over ordered, half up to the cent.
    assert [one.amount_minor for one in charged] == [
        int(unit[0] * 0.98 + 0.5), int(unit[0] * 1.12 + 0.5), unit[1], unit[1],
    ]  # fmt: skip
    assert [one.within for one in charged] == [True, False, True, True]
    told = " ".join(text(bill_sheet(ordered(filed), made.number, DAY, charged)).split())
    assert told.count("outside the tolerance agreed") == 1
    # What is not delivered is on no bill yet.
    assert [row.label for row in bill_sheet(ordered(filed), "B", DAY, charged).rows] == ["1", "2"]
    assert made.head.total_minor == sum(one.amount_minor for one in charged)
    with pytest.raises(RecordsError, match="is left to be billed"):
        file_bill(register, filed)
    deliver(register, filed, [replace(typed_deliveries("30 m")[0], label="R2026-000005")])
    _, rest = file_bill(register, filed, day=DAY)
    assert [one.label for one in rest] == ["R2026-000005"]


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


def test_of_two_orders_on_one_quotation_the_second_is_told(register: Register, sent: Entry) -> None:
    order = draft_order(quoted(sent), "PO 7", DAY)
    accept_order(register, sent, order)
    with pytest.raises(RecordsError, match="since you opened it"):
        accept_order(register, sent, order)


@pytest.mark.parametrize("wrong", [{"9": 1}, {"1": 0, "2": 0, "3": 0, "4": 0}])
def test_an_order_that_cannot_be(sent: Entry, wrong: dict[str, int]) -> None:
    with pytest.raises(RecordsError, match=r"no priced line 9|nothing is left"):
        draft_order(quoted(sent), "PO", DAY, wrong)


def test_the_repeat_order_adds_up(register: Register, sent: Entry) -> None:
    filed = accept_order(register, sent, draft_order(quoted(sent), "PO 7", DAY))
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
        assert float(again.then.ledger.price[0]) == total["amount_first"]
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


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_lengths_from_a_file(tmp_path: Path, suffix: str) -> None:
    import pandas as pd  # noqa: PLC0415

    table = pd.DataFrame({"Label": ["R1", "R2"], "Length [ft]": ["98", "101.5"],
                          "Heat": ["H7", ""]})  # fmt: skip
    path = tmp_path / f"lengths{suffix}"
    if suffix == ".csv":
        table.to_csv(path, index=False)
    else:
        table.to_excel(path, index=False)
    found = read_deliveries(path)
    assert [(one.label, round(one.length_m, 4), one.heat) for one in found] == [
        ("R1", 29.8704, "H7"), ("R2", 30.9372, ""),
    ]  # fmt: skip
