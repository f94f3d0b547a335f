"""Money of documents to the minor unit: sums, taxes, breaks, parts of orders and of bills.

What is expected is reckoned beside in whole numbers and fractions (``fractions.Fraction``), rounded
half up, from the amounts of the lines alone; what is printed is read back from the texts.
"""

from __future__ import annotations

import csv
import io
import random
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

import openpyxl
import pandas as pd
import pytest
from currencies import PLACES, book
from thorough import share

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.documents.facts import Quotation
from meshcore.documents.order_sheets import bill_sheet
from meshcore.documents.printing import lines_csv
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import Sheet, quotation_sheet
from meshcore.documents.terms import LANGUAGES, Tax, Terms, read_terms
from meshcore.documents.workbook import workbook
from meshcore.register.bills import file_bill
from meshcore.register.deliveries import Delivery
from meshcore.register.labels import deliver, make_labels
from meshcore.register.orders import accept_order, draft_order
from meshcore.register.quotations import file_quotation, mark_quotation

if TYPE_CHECKING:
    from meshcore.register.connecting import Register
    from meshcore.register.entries import Entry

DAY = date(2026, 11, 25)
SEEDS = range(share(4, 40))
TAXES: tuple[list[tuple[str, float]], ...] = (
    [("VAT", 19.0)], [("State", 8.875)], [("A", 5.0), ("B", 9.975)], [("None", 0.0)],
    [("Tax", 7.7)], [],
)  # fmt: skip
CLOTHS = (("10 / in", "0.025 in"), ("20 / in", "0.016 in"), ("4 / in", "0.063 in"))


def half_up(amount: Fraction) -> int:
    return int((amount * 2 + 1) // 2)


def lines(rng: random.Random) -> pd.DataFrame:
    """Lines of every form in quantities that no price is a multiple of."""
    rows: list[dict[str, str]] = []
    for number in range(1, rng.choice((1, 3, 6)) + 1):
        mesh, wire = rng.choice(CLOTHS)
        form = rng.choice((
            {"form": "roll", "width": "48 in", "length": rng.choice(("100 ft", "33 ft", "30 m"))},
            {"form": "strip", "width": "3 in", "length": "20 ft"},
            {"form": "piece", "shape": "disc",
             "dimensions": f"diameter {rng.choice((30, 77, 211))} mm"},
        ))  # fmt: skip
        count = rng.choice((1, 2, 3, 7, 13, 37, 499))
        rows.append({"line": str(number), "mesh_count": mesh, "wire_diameter": wire,
                     "alloy": rng.choice(("304", "316L", "copper")),
                     "quantity": str(count)} | form)  # fmt: skip
    return pd.DataFrame(rows)


def terms(seed: int) -> Terms:
    held = read_terms(demo_data() / "terms.toml")
    return replace(held, taxes=tuple(Tax({"": name}, rate) for name, rate in TAXES[seed % 6]))


def quoted(seed: int, currency: str) -> tuple[mc.EstimateSet, Quotation]:
    rng = random.Random(seed)
    policy = mc.read_supply_policy(demo_data() / "supply_policy.toml")
    estimates = mc.estimate_list(lines(rng), book(currency), policy)
    facts = quotation(estimates, terms(seed), to="Bakery", number="", day=DAY, breaks=(5,),
                      language=LANGUAGES[seed % 4])  # fmt: skip
    return estimates, facts


def read_minor(text: str, places: int) -> int:
    """An amount as printed, in minor units: all digits, the last of them behind the mark."""
    plain = re.sub(r"[^\d.,−-]", "", text)
    if places:
        assert re.fullmatch(rf".*[.,]\d{{{places}}}", plain), text
    return int(re.sub(r"\D", "", plain))


def taxed(net: int, held: Terms) -> list[int]:
    added = [half_up(Fraction(net) * Fraction(str(tax.rate_pct)) / 100) for tax in held.taxes]
    return [net, *added, net + sum(added)] if held.taxes else [net]


def holds_its_sums(sheet: Sheet, net: int, held: Terms) -> None:
    printed = [read_minor(text, sheet.digits) for _, text, _ in sheet.totals]
    assert printed == taxed(net, held) == [minor for _, _, minor in sheet.totals]


@pytest.mark.parametrize("currency", PLACES)
@pytest.mark.parametrize("seed", SEEDS)
def test_lines_sums_and_taxes_agree_in_every_form_of_a_quotation(seed: int, currency: str) -> None:
    estimates, facts = quoted(seed, currency)
    sheet, places = quotation_sheet(facts), PLACES[currency]
    amounts = [line.amount_minor for line in facts.lines]
    holds_its_sums(sheet, sum(amounts), facts.terms)
    for line, row in zip(facts.lines, sheet.rows, strict=True):
        assert read_minor(row.amount, places) == line.amount_minor
        assert line.unit_minor == half_up(Fraction(line.amount_minor, line.quantity))
        for one in line.breaks:
            asked = estimates.enquiries[estimates.enquiries["line"] == line.label]
            alone = mc.estimate_list(asked.assign(quantity=str(one.quantity)), estimates.book,
                                     estimates.policy)  # fmt: skip
            price = int(alone.ledger.price_minor[0])
            assert one.unit_minor == half_up(Fraction(price, one.quantity))
    attached = csv.DictReader(io.StringIO(lines_csv(sheet)))
    assert [Decimal(row["amount"]) for row in attached] == [
        Decimal(minor).scaleb(-places) for minor in amounts
    ]
    page = openpyxl.load_workbook(io.BytesIO(workbook(sheet))).worksheets[0]
    shown = [row[4].value for row in page.iter_rows() if isinstance(row[4].value, int | float)]
    assert [round(amount * 10**places) for amount in shown] == amounts + taxed(
        sum(amounts), facts.terms
    )


@pytest.mark.parametrize("currency", PLACES)
@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("place", ["sqlite"], indirect=True)
def test_an_order_in_part_is_billed_in_parts_to_the_minor_unit(
    register: Register, seed: int, currency: str
) -> None:
    rng = random.Random(-seed)
    estimates, facts = quoted(seed, currency)
    sent = mark_quotation(register, file_quotation(register, facts, estimates), "sent")
    wanted = {line.label: rng.randint(1, min(line.quantity, 9)) for line in facts.lines}
    order = draft_order(sent, "PO 7", DAY, wanted, keep_prices=True)
    whole = {line.label: line for line in facts.lines}
    for line in order.lines:
        old = whole[line.label]
        exact = Fraction(old.amount_minor * line.quantity, old.quantity)
        assert line.amount_minor == half_up(exact)
    filed = accept_order(register, sent, order)
    billed = dict.fromkeys(wanted, 0)
    for part in range(3):
        if not _delivered(register, filed, part):
            continue
        bill, goods = file_bill(register, filed)
        assert all(one.amount_minor >= 0 for one in goods)
        for one in goods:
            billed[one.line] += one.amount_minor
        sheet = bill_sheet(order, bill.number, DAY, goods)
        holds_its_sums(sheet, sum(one.amount_minor for one in goods), order.terms)
    assert billed == {line.label: line.amount_minor for line in order.lines}


def _delivered(register: Register, filed: Entry, part: int) -> bool:
    """Note a third of each roll, and of strips and pieces; whether there was any."""
    lines_ = {line["label"]: line for line in filed.body["facts"]["lines"]}
    given: list[Delivery] = []
    for label in make_labels(register, filed):
        line = lines_[label.body["line"]]
        if line["form"] == "roll":
            given.append(Delivery(line["length_m"] / 3, "a third", label.number))
            continue
        third = line["quantity"] // 3
        count = (third, third, line["quantity"] - 2 * third)[part]
        given += [Delivery(0.0, "pcs", label.number, count=count)] if count else []
    if given:
        deliver(register, filed, given, anyway=True)
    return bool(given)
