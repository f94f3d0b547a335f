"""A price or a margin set on a line, to the minor unit; every sum is redone by hand."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.book.price_book import PriceBook
from meshcore.documents.printing import text
from meshcore.documents.quotation import quotation
from meshcore.documents.sheet import quotation_sheet
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.set_prices import price_set

BOOK = mc.demo_price_book()
LINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": "3"}  # fmt: skip


def _priced(*set_to: str, book: PriceBook = BOOK, **cells: str) -> EstimateSet:
    lines = [LINE | {"set_price": one} | cells for one in set_to]
    return mc.estimate_list(pd.DataFrame(lines), book, lines_apart=len(lines) > 1)


def _with(key: str, amount: float) -> PriceBook:
    rates = [replace(r, amount=amount) if r.key == key else r for r in BOOK.rates]
    return replace(BOOK, rates=tuple(rates))


def test_a_price_asked_is_the_price_and_its_margin_is_told() -> None:
    estimates = _priced("2,400.00")
    assert estimates.ledger.price_minor.tolist() == [240_000]
    held = price_set(estimates, 0)
    assert held is not None
    cost = int(estimates.ledger.cost_minor[0])
    assert held.price_minor == 240_000
    assert held.margin == pytest.approx((240_000 - cost) / 240_000, abs=1e-12)
    book = mc.estimate_list(pd.DataFrame([LINE]), BOOK).ledger
    assert held.book_minor == int(book.price_minor[0])
    assert not held.is_below_cost
    share, own = 100 * held.margin, 100 * held.book_margin
    assert held.text() == (
        f"Asked price 2,400.00 EUR: margin {share:.1f} % of the price instead of {own:.1f} %. "
        f"The price book makes it {held.book_minor / 100:,.2f} EUR."
    )


def test_the_margin_that_a_price_leaves_gives_that_price_again() -> None:
    """The margin is cost × share ÷ (1 − share); the book's own share is 18 % of the price."""
    plain = mc.estimate_list(pd.DataFrame([LINE]), BOOK)
    assert _priced("18 %").ledger.price_minor.tolist() == plain.ledger.price_minor.tolist()
    twelve = _priced("12 %")
    cost = int(twelve.ledger.cost_minor[0])
    item = next(one for one in twelve.ledger.items if one.label == "margin on price")
    # In whole numbers, since half a cent goes up.
    assert int(item.minor[0]) == (2 * cost * 12 + 88) // (2 * 88)


def test_a_price_off_the_rounding_step_is_brought_to_it() -> None:
    # The demonstration book rounds up to 0.05.
    estimates = _priced("2400.03")
    assert estimates.ledger.price_minor.tolist() == [240_005]
    held = price_set(estimates, 0)
    assert held is not None
    assert "2,400.05 EUR by the smallest charge or rounding step" in held.text()


def test_the_smallest_charge_holds_for_a_price_asked() -> None:
    # The demonstration book takes no order under 120.00, and here none under 3,000.00.
    assert _priced("50").ledger.price_minor.tolist() == [12_000]
    assert _priced("50", book=_with("minimum.order", 3000.0)).ledger.price_minor.tolist() == [
        300_000
    ]


def test_below_cost_is_said_and_puts_the_line_to_review() -> None:
    estimates = _priced("1,000.00", "-5 %", "2,400.00")
    assert estimates.table["status"].tolist() == ["review", "review", "ok"]
    held = price_set(estimates, 0)
    assert held is not None
    short = (held.cost_minor - 100_000) / 100
    assert f"Below cost by {short:,.2f} EUR." in held.text()
    assert "price.set_below_cost" in {m.code for m in estimates.messages[0]}


@pytest.mark.parametrize("typed", ["abc", "0", "-3", "90 USD", "2,400", "100 %"])
def test_what_cannot_be_a_price_refuses_its_line(typed: str) -> None:
    estimates = _priced(typed)
    assert estimates.table["status"].tolist() == ["refused"]
    assert price_set(estimates, 0) is None


def test_only_our_own_heading_sets_a_price() -> None:
    plain = mc.estimate_list(pd.DataFrame([LINE]), BOOK).ledger.price_minor.tolist()
    for heading in ("Target price", "Set price", "price"):
        lines = pd.DataFrame([LINE | {heading: "1.00"}])
        assert mc.estimate_list(lines, BOOK).ledger.price_minor.tolist() == plain


def test_other_quantities_are_not_at_the_price_of_this_one() -> None:
    curve = mc.quantity_curve(_priced("2,400.00"), 0, [3, 6])
    plain = mc.quantity_curve(mc.estimate_list(pd.DataFrame([LINE]), BOOK), 0, [3, 6])
    assert curve["price"].tolist() == plain["price"].tolist()


def test_the_customer_sees_the_price_and_nothing_of_the_cost() -> None:
    estimates = _priced("1,000.00")
    printed = text(quotation_sheet(quotation(estimates, to="Weir", number="Q1")))
    assert "1,000.00" in printed
    cost = estimates.ledger.cost_minor[0] / 100
    for word in ("cost", "margin", "set_price", f"{cost:,.2f}", "below"):
        assert word not in printed.casefold(), word


def test_a_price_put_beside_a_list_that_was_read_is_set(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    pd.DataFrame([LINE, LINE | {"quantity": "1"}]).to_csv(path, index=False)
    table = mc.read_list(path).assign(set_price=["2,400.00", "900.00"], alloy_2="x")
    estimates = mc.estimate_list(table, BOOK)
    assert estimates.ledger.price_minor.tolist() == [240_000, 90_000]
    assert {"set_price", "alloy_2"} <= {*estimates.headings.unknown}


def test_a_column_put_beside_a_list_that_was_read_is_read(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    bare = {k: v for k, v in LINE.items() if k not in ("alloy", "quantity")}
    pd.DataFrame([bare]).to_csv(path, index=False)
    table = mc.read_list(path).assign(alloy="304", Rolls=3)
    whole = mc.estimate_list(pd.DataFrame([LINE]), BOOK)
    assert mc.estimate_list(table, BOOK).table["price"].tolist() == whole.table["price"].tolist()
