"""Bills made straight from an enquiry: what is charged, filed, found and printed again."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pypdf
import pytest

import meshcore as mc
from meshcore.commands.showing import print_again, shown
from meshcore.demo import demo_data, demo_price_book, demo_supply_policy
from meshcore.documents.printing import pdf
from meshcore.documents.terms import Terms, read_terms
from meshcore.register.billing import Bill
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, entry
from meshcore.register.errors import RecordsError
from meshcore.register.finding import find
from meshcore.register.invoicing import bill_rolls
from meshcore.register.opening import open_register
from meshcore.register.roll_bills import file_roll_bill, roll_bill_sheet

DAY = date(2026, 11, 26)
LINE = mc.estimate(
    mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
               form=mc.Roll("48 in", "100 ft"), quantity=2),
    demo_price_book(), demo_supply_policy(),
)  # fmt: skip
TERMS = read_terms(demo_data() / "terms.toml")


@pytest.fixture
def register(tmp_path: Path) -> Register:
    return open_register(tmp_path / "register.sqlite")


def billed(*lengths: str) -> Bill:
    made = bill_rolls(LINE.estimates, lengths)
    assert isinstance(made, Bill)
    return made


def filed(register: Register, made: Bill, terms: Terms | None = TERMS) -> Entry:
    return file_roll_bill(
        register, LINE.estimates, made, terms=terms, to="Bakery by the Weir\nMill Lane",
        buyer_number="PO-77", day=DAY, who="A. Clerk",
    )  # fmt: skip


def test_rolls_as_ordered_are_billed_the_price_to_the_cent(register: Register) -> None:
    opened = filed(register, billed("100 ft", "100 ft"))
    assert opened.number == "B2026-000001"
    assert opened.head.total_minor == int(LINE.estimates.ledger.price_minor[0])
    assert (opened.head.sender, opened.head.reference) == ("Bakery by the Weir", "PO-77")
    assert opened.changes[0].who == "A. Clerk"


def test_the_document_names_each_roll_and_adds_up(register: Register, tmp_path: Path) -> None:
    made = billed("98 ft", "115 ft")
    opened = filed(register, made)
    sheet = roll_bill_sheet(entry(register, "bill", opened.number))
    target = tmp_path / "bill.pdf"
    target.write_bytes(pdf(sheet).content)
    told = " ".join(" ".join(one.extract_text() for one in pypdf.PdfReader(target).pages).split())
    for text in ("Bakery by the Weir", "PO-77", opened.number, "98 ft", "115 ft", "213 ft"):
        assert text in told, text
    assert f"{made.total:,.2f}" in told
    # 115 ft on 100 ft is outside +10 %, the demonstration policy's tolerance of rolls.
    assert "outside" in told
    assert "invented" in told
    assert sum(amount for _, _, amount in sheet.totals[:1]) == round(made.total * 100)


def test_it_is_found_shown_and_printed_again(register: Register, tmp_path: Path) -> None:
    made = billed("98 ft", "101 ft")
    opened = filed(register, made)
    assert [one.number for one in find(register, "PO-77")] == [opened.number]
    text = "\n".join(shown(register, opened))
    assert f"amount: {made.total:,.2f} EUR" in text
    assert "29.870 m" in text
    print_again(register, opened, tmp_path / "again.pdf")
    assert (tmp_path / "again.pdf").read_bytes().startswith(b"%PDF")


def test_a_bill_to_nobody_is_refused(register: Register) -> None:
    with pytest.raises(RecordsError, match="needs its addressee"):
        file_roll_bill(register, LINE.estimates, billed("100 ft"), terms=TERMS, to=" \n ")
    assert not find(register, "billed")
