"""An order at other prices than were quoted: told line by line, and taken at what is accepted."""

from __future__ import annotations

import csv
import io
from datetime import date
from typing import TYPE_CHECKING

import pandas as pd
import pytest

import meshcore as mc
from meshcore.cli import main
from meshcore.demo import demo_data
from meshcore.documents.order_sheets import difference_texts, order_sheet
from meshcore.documents.printing import text
from meshcore.documents.quotation import break_quantities, quotation
from meshcore.documents.terms import TermsError
from meshcore.documents.wording import words
from meshcore.register.amounts import read_price
from meshcore.register.errors import RecordsError
from meshcore.register.exporting import COLUMNS, export
from meshcore.register.orders import accept_order, draft_order, ordered
from meshcore.register.quotations import file_quotation, mark_quotation, quoted
from meshcore.register.repeating import repeat

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

DAY = date(2026, 11, 25)
ROLL = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft"}  # fmt: skip


@pytest.fixture
def sent(register: Register) -> Entry:
    estimates = mc.estimate_list(
        pd.DataFrame([ROLL | {"line": "1", "quantity": "3"}, ROLL | {"line": "2", "quantity": "2"}])
    )
    facts = quotation(estimates, demo_data() / "terms.toml", to="=Bakery", day=DAY)
    return mark_quotation(register, file_quotation(register, facts, estimates), "sent")


def test_another_price_is_told_and_taken(register: Register, sent: Entry) -> None:
    first, second = quoted(sent).lines
    order = draft_order(sent, "PO 7", DAY, prices={"1": 80000})
    assert [(line.unit_minor, line.amount_minor) for line in order.lines] == [
        (80000, 240000), (second.unit_minor, second.amount_minor),
    ]  # fmt: skip
    told = difference_texts(words("en"), order.differences, "EUR", 2)
    was = words("en").money(first.unit_minor, 2, "EUR")
    assert told[0] == f"Line 1, unit price: quoted {was}, ordered 800.00 EUR"
    assert told[1].endswith("ordered 2,400.00 EUR")
    filed = accept_order(register, sent, order)
    assert filed.head.total_minor == 240000 + second.amount_minor
    assert told[0] in text(order_sheet(ordered(filed)))
    # What is repeated is the price agreed.
    assert repeat(register, filed.number).lines[0].then_minor == 240000


def test_with_another_quantity_too(sent: Entry) -> None:
    order = draft_order(sent, "PO 7", DAY, {"1": 5, "2": 0}, prices={"1": 80001})
    [line] = order.lines
    assert (line.quantity, line.amount_minor) == (5, 400005)
    # The price quoted is not kept: it is the buyer's.
    assert "price_kept" not in {one.what for one in order.differences}


@pytest.mark.parametrize(("prices", "said"), [({"9": 1}, "no priced line 9"), ({"1": 0}, "above")])
def test_prices_that_cannot_be(sent: Entry, prices: dict[str, int], said: str) -> None:
    with pytest.raises(RecordsError, match=said):
        draft_order(sent, "PO 7", DAY, prices=prices)


@pytest.mark.parametrize(
    ("typed", "places", "minor"),
    [("850", 2, 85000), ("1.234,50", 2, 123450), ("1 234,5", 2, 123450), ("1,234", 0, 1234),
     ("1,234", 2, 123400), ("0,125", 3, 125)],
)  # fmt: skip
def test_prices_as_people_write_them(typed: str, places: int, minor: int) -> None:
    assert read_price(typed, places) == minor


@pytest.mark.parametrize(("typed", "places"), [("1,234", 3), ("12.34", 0), ("cheap", 2), ("", 2)])
def test_a_price_that_may_be_two_or_none_is_asked_back(typed: str, places: int) -> None:
    with pytest.raises(RecordsError, match="Write it as"):
        read_price(typed, places)


def test_the_command_tells_it_before_it_is_accepted(
    register: Register, sent: Entry, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    where = register.engine.url.render_as_string(hide_password=False)
    monkeypatch.setenv("MESHCORE_REGISTER", where.removeprefix("sqlite:///"))
    main(["register", "order", sent.number, "--buyer", "PO 7", "--price", "2=1,000.00"])
    told = capsys.readouterr().out
    assert "Line 2, unit price: quoted" in told
    assert "ordered 1,000.00 EUR" in told
    assert main(["register", "order", sent.number, "--buyer", "PO 7", "--price", "2"]) == 2


def test_the_list_of_what_is_on_file_is_had_from_python(register: Register, sent: Entry) -> None:
    rows = list(csv.DictReader(io.StringIO(export(register))))
    assert tuple(rows[0]) == COLUMNS
    [row] = [one for one in rows if one["kind"] == "quotation"]
    assert (row["number"], row["state"], row["amount"]) == (
        sent.number, "sent", f"{sent.head.total_minor / 100:.2f}",
    )  # fmt: skip
    # A text that a spreadsheet would run is written so that none does.
    assert row["sender"] == "'=Bakery"


def test_quantities_of_breaks_are_read_or_refused() -> None:
    assert break_quantities("5; 10,100") == (5, 10, 100)
    for wrong in ("five", "0", "-1", "2.5"):
        with pytest.raises(TermsError, match="no quantities"):
            break_quantities(wrong)
