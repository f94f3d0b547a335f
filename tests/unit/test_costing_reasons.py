"""Reasons: explanations that can be redone, ranges, drivers, curves, comparisons."""

from __future__ import annotations

import dataclasses
import re
import time
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pandas as pd
import pytest

from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.price_book import in_currency
from meshcore.costing.ranges import Uncertainty, stated_uncertainties
from meshcore.demo import demo_data
from meshcore.estimates import reasons
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet

PRODUCT = re.compile(
    r"^ {6}(-?[\d,.]+) \S* ?× (-?[\d.e-]+)(?: [A-Z]{3} per \S+)? = (-?[\d,.]+) EUR$"
)


@pytest.fixture(scope="module")
def estimates() -> EstimateSet:
    lines = pd.DataFrame(
        {
            "order": ["a", "a", "b", "c"],
            "mesh_count": ["10 / in", "12 / in", "10 / in", "10 / in"],
            "wire_diameter": ["0.025 in", "0.023 in", "0.025 in", "0.2 in"],
            "alloy": ["304", "alloy 625", "316L", "304"],
            "form": ["roll"] * 4,
            "width": ["48 in", "36 in", "48 in", "48 in"],
            "length": ["100 ft", "40 ft", "100 ft", "100 ft"],
            "quantity": [3, 1, 3, 1],
            "services": ["certificate, rush", "anneal", "", ""],
        }
    )
    return estimate_list(lines, read_price_book(demo_data() / "price_book.toml"))


@pytest.mark.parametrize("line", [0, 1, 2])
def test_an_explanation_redone_by_hand_gives_every_amount(
    estimates: EstimateSet, line: int
) -> None:
    text = reasons.explain(estimates, line)
    products = [m.groups() for row in text.splitlines() if (m := PRODUCT.match(row))]
    items = estimates.ledger.items_frame(np.array([line]))
    assert len(products) == len(items)
    cent = Decimal("0.01")
    redone = [
        (Decimal(quantity.replace(",", "")) * Decimal(rate)).quantize(cent, ROUND_HALF_UP)
        for quantity, rate, _ in products
    ]
    written = [Decimal(amount.replace(",", "")) for _, _, amount in products]
    assert redone == written
    assert [float(amount) for amount in written] == items["amount"].tolist()
    assert float(sum(written)) == estimates.ledger.price[line]


def test_an_explanation_shows_workings_and_origins(estimates: EstimateSet) -> None:
    text = reasons.explain(estimates, 1)
    assert "× (1 + 0.04 of it scrap)" in text
    assert "1 warp(s) × (433 ends ÷ 1500 ends/h + 0.75 h)" in text
    assert "21.5 USD per lb" in text
    assert "1 USD = 0.86 EUR" in text
    assert "the line's part of 18.00 EUR of its order, shared over 2 lines by value so far" in text
    assert "switched off by the price book" in text


_MONEY = r"(-?[\d,]+\.\d\d) EUR"
PART = re.compile(
    rf"^ {{6}}the line's part of {_MONEY}(?: for \S+ \S+)? of its [a-z ]+, shared over (\d+) lines"
    rf"( by value so far|)(?:, rounded[^:]*)?: {_MONEY} × ([\d.,]+)[^÷]* ÷ ([\d.,]+)[^=]* = "
    rf"{_MONEY}(?:, less {_MONEY} of the lines before)?$"
)
AMOUNT = re.compile(rf"^ {{6}}\S+ [^×]*× [^=]*= {_MONEY}$")


def _decimal(text: str) -> Decimal:
    return Decimal(text.replace(",", ""))


def test_a_clerk_redoes_what_several_lines_share() -> None:
    """Total, what it is shared by and the line's part stand there, and agree on every line."""
    small = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "piece"}
    lines = pd.DataFrame(
        [{**small, "dimensions": f"100 mm x {60 + 7 * n} mm", "quantity": n + 1} for n in range(3)]
    )
    book = read_price_book(demo_data() / "price_book.toml")
    dear = dataclasses.replace(book, rates=tuple(
        dataclasses.replace(rate, amount=900.0) if rate.key == "minimum.order" else rate
        for rate in book.rates
    ))  # fmt: skip
    priced = estimate_list(lines, dear)
    seen: dict[int, list[tuple[Decimal, Decimal, Decimal]]] = {}
    for line in range(3):
        so_far, shared = Decimal(0), 0
        for row in reasons.explain(priced, line).splitlines():
            if not PART.match(row) and (found := AMOUNT.match(row)):
                last = _decimal(found[1])
                so_far += last
            if not (found := PART.match(row)):
                continue
            total, weight, weights, reached = (_decimal(found[n]) for n in (1, 5, 6, 7))
            assert found[2] == "3"
            part = total * weight / weights
            assert abs(part - reached) <= Decimal("0.0051")
            assert reached - _decimal(found[8] or "0") == last
            if found[3] and not found[8]:
                assert weight == so_far - last
            seen.setdefault(shared, []).append((total, weights, last))
            shared += 1
    assert len(seen) >= 7
    for parts in seen.values():
        assert {(total, weights) for total, weights, _ in parts} == {parts[0][:2]}
        assert sum(own for *_, own in parts) == parts[0][0]
    floor = next(row for row in reasons.explain(priced, 0).splitlines() if "floor to" in row)
    come_to = re.fullmatch(rf" +its order comes to {_MONEY}; floor to 900.00 EUR", floor)
    assert come_to is not None
    assert Decimal(900) - _decimal(come_to[1]) == next(
        parts[0][0] for parts in seen.values() if parts[0][0] > Decimal(100)
    )


def test_a_refused_line_explains_nothing(estimates: EstimateSet) -> None:
    assert reasons.explain(estimates, 3).startswith("No price")


def test_the_same_seed_gives_the_same_range(estimates: EstimateSet) -> None:
    first, again = (reasons.budget_range(estimates, [0, 1], seed=7) for _ in range(2))
    other = reasons.budget_range(estimates, [0, 1], seed=8)
    np.testing.assert_array_equal(first.prices, again.prices)
    assert not np.array_equal(first.prices, other.prices)
    assert first.uncertainties == stated_uncertainties(estimates.book)
    assert first.p10 < first.p50 < first.p90
    assert first.nominal == pytest.approx(estimates.ledger.price[:2].sum(), abs=1e-9)


@pytest.mark.timed
def test_ten_thousand_draws_take_under_200_ms(estimates: EstimateSet) -> None:
    reasons.budget_range(estimates)
    took = []
    for _ in range(3):
        start = time.process_time()
        drawn = reasons.budget_range(estimates)
        took.append(time.process_time() - start)
    assert drawn.prices.size == 10_000
    assert min(took) < 0.2


def test_a_wider_uncertainty_gives_a_wider_range(estimates: EstimateSet) -> None:
    narrow, wide = (
        reasons.budget_range(estimates, [2], [Uncertainty("wire.metal", spread)])
        for spread in (0.05, 0.20)
    )
    assert wide.p90 - wide.p10 > 3 * (narrow.p90 - narrow.p10)


@pytest.mark.parametrize("spread", [0.0, 1.0, -0.1, np.nan])
def test_an_uncertainty_is_a_share(spread: float) -> None:
    with pytest.raises(ValueError, match="no share between 0 and 1"):
        Uncertainty("wire.metal", spread)


def test_a_range_of_nothing_says_so(estimates: EstimateSet) -> None:
    with pytest.raises(ValueError, match="no line of this order has a price"):
        reasons.budget_range(estimates, [3])
    with pytest.raises(ValueError, match="states no uncertainty"):
        reasons.budget_range(estimates, [0], [])


def changes(frame: pd.DataFrame) -> dict[str, tuple[float, float]]:
    pairs = zip(frame["change_low"].tolist(), frame["change_high"].tolist(), strict=True)
    return dict(zip(frame["driver"].tolist(), pairs, strict=True))


def test_a_tornado_is_sorted_and_moves_the_right_way(estimates: EstimateSet) -> None:
    frame = reasons.tornado(estimates, [0])
    assert frame["swing"].is_monotonic_decreasing
    by = changes(frame)
    for rising in ("quantity", "wire.metal", "weaving.loom", "margin.share", "wire diameter"):
        assert by[rising][0] < 0 < by[rising][1], rising
    for falling in ("yield", "weaving.efficiency", "break.discount", "pitch"):
        assert by[falling][1] < 0 < by[falling][0], falling


def test_a_tornado_agrees_with_pricing_by_a_changed_book(estimates: EstimateSet) -> None:
    dearer = dataclasses.replace(
        estimates.book,
        rates=tuple(
            dataclasses.replace(r, amount=r.amount * 1.1) if r.key == "wire.metal" else r
            for r in estimates.book.rates
        ),
    )
    expected = estimate_list(estimates.enquiries, dearer).ledger.price[:2].sum()
    frame = reasons.tornado(estimates, [0, 1])
    price = dict(zip(frame["driver"], frame["price_high"], strict=True))
    assert price["wire.metal"] == pytest.approx(expected, abs=1e-9)


def test_metal_in_dollars_moves_with_the_dollar(estimates: EstimateSet) -> None:
    alone = estimate_list(estimates.enquiries.iloc[[1]], estimates.book)
    by = changes(reasons.tornado(alone))
    assert by["exchange USD/EUR"] == by["wire.metal"]


def test_a_quantity_curve_prices_each_quantity_as_its_own_order(estimates: EstimateSet) -> None:
    curve = reasons.quantity_curve(estimates, 2, [1, 2, 3, 4])
    alone = estimates.enquiries.iloc[[2]].drop(columns="order")
    expected = [
        estimate_list(alone.assign(quantity=n), estimates.book).ledger.price[0]
        for n in (1, 2, 3, 4)
    ]
    assert curve["price"].tolist() == expected
    # 111 m² at three rolls is past the break at 100 m².
    assert curve["at_break"].tolist() == [False, False, True, False]
    assert (curve["credits"] < 0).tolist() == [False, False, True, True]
    assert curve["unit_price"].is_monotonic_decreasing


def test_a_curve_covers_what_was_asked_for(estimates: EstimateSet) -> None:
    assert reasons.quantity_curve(estimates, 2)["quantity"].tolist() == list(range(1, 31))


def test_two_lines_side_by_side_add_up_exactly(estimates: EstimateSet) -> None:
    frame = reasons.compare(estimates, estimates, 0, 2)
    items, total = frame.iloc[:-1], frame.iloc[-1]
    cents = (items["difference"] * 100).round().sum()
    assert cents == round(total["difference"] * 100)
    assert total["amount_first"] == estimates.ledger.price[0]
    assert total["amount_second"] == estimates.ledger.price[2]
    rush = items[items["label"] == "rush"].iloc[0]
    assert rush["amount_second"] == 0.0
    assert rush["difference"] == -rush["amount_first"]


def test_estimates_in_two_currencies_do_not_compare(estimates: EstimateSet) -> None:
    yen = estimate_list(estimates.enquiries, in_currency(estimates.book, "JPY"))
    with pytest.raises(ValueError, match="EUR and JPY do not compare"):
        reasons.compare(estimates, yen)
    with pytest.raises(ValueError, match="has no price"):
        reasons.compare(estimates, estimates, 0, 3)
