"""The pipeline: order of work, rules that fail, replace or veto, missing rates, orders, blocks."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable
from datetime import timedelta
from typing import Any, cast

import numpy as np
import pytest
from costing_lines import ALLOYS, DAY, book, lines, price, rate

from meshcore.costing import pipeline
from meshcore.costing.items import CostColumn, PricingRule, Remark
from meshcore.costing.money import to_minor
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.rates import Rates
from meshcore.messages import Message, MessageLog

METAL = rate("metal", 2.0, "kg", "EUR")


def metal(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
    yield CostColumn("metal", "mass", columns.net_mass_kg, "kg", rates.money("metal", "kg"))


def plain(amount: float, label: str = "plain", **cells: Any) -> Any:
    return lambda _columns, _rates: [
        CostColumn(label, "lines", 1.0, "line", amount, "test", **cells)
    ]


def share(of: tuple[str, ...], part: float, **cells: Any) -> Any:
    return lambda _columns, _rates: [CostColumn("share", "base", 0.0, "", part, "t", of, **cells)]


METAL_RULE = PricingRule("metal", "wire", metal)


def test_quantity_times_rate_is_the_amount() -> None:
    ledger, log = price(lines(2, mass_kg=np.array([1.005, 3.0])), [METAL_RULE], book(METAL))
    assert ledger.price.tolist() == [2.01, 6.0]
    assert log.status().tolist() == ["ok", "ok"]


def test_shares_rest_on_rounded_earlier_stages() -> None:
    rules = [
        PricingRule("tax", "tax", share(("subtotal",), 0.2)),
        PricingRule("overhead", "overhead", share(("wire",), 0.1)),
        PricingRule("loom", "weaving", plain(7.0)),
        METAL_RULE,
    ]
    ledger, _ = price(lines(1, mass_kg=1.1275), rules, book(METAL))
    # 2.255 is 2.26; a tenth of that 0.23; tax on 2.26 + 7.00 + 0.23 = 9.49 is 1.90.
    assert [float(item.minor[0]) for item in ledger.items] == [226, 700, 23, 190]
    assert (ledger.cost[0], ledger.before_tax[0], ledger.price[0]) == (9.49, 9.49, 11.39)


def test_within_a_stage_plain_costs_come_before_shares_floors_and_steps() -> None:
    rules = [
        PricingRule("step", "surcharges", share(("subtotal",), 1.0, top_up="step up")),
        PricingRule("floor", "surcharges", share(("subtotal",), 50.5, top_up="floor")),
        PricingRule("share", "surcharges", share(("subtotal",), 0.5)),
        PricingRule("plain", "surcharges", plain(10.0)),
    ]
    ledger, _ = price(lines(1), rules, book())
    assert [item.rule for item in ledger.items] == ["plain", "share", "floor", "step"]
    assert [float(item.minor[0]) for item in ledger.items] == [1000, 500, 3550, 50]


@pytest.mark.parametrize(
    ("top_up", "step", "amounts"),
    [("step up", 5.0, [3.0, 0.0]), ("step nearest", 5.0, [-2.0, 0.0]), ("floor", 12.5, [0.5, 2.5])],
)
def test_top_ups(top_up: str, step: float, amounts: list[float]) -> None:
    rules = [METAL_RULE, PricingRule("r", "surcharges", share(("subtotal",), step, top_up=top_up))]
    ledger, _ = price(lines(2, mass_kg=np.array([6.0, 5.0])), rules, book(METAL))
    assert (ledger.price - [12.0, 10.0]).tolist() == amounts


def test_a_credit_has_a_negative_rate() -> None:
    rules = [METAL_RULE, PricingRule("c", "surcharges", share(("subtotal",), 0.1, credit=True))]
    ledger, _ = price(lines(1), rules, book(METAL))
    item = ledger.items[-1]
    assert (item.quantity[0], item.rate[0], item.minor[0]) == (200.0, -0.1, -2000.0)


@pytest.mark.parametrize(
    ("compute", "says"),
    [
        (lambda _c, _r: 1 / 0, "ZeroDivisionError"),
        (lambda _c, _r: None, "not iterable"),
        (lambda _c, _r: "nonsense", "neither CostColumn nor Remark"),
        (lambda _c, _r: [CostColumn("x", "d", np.ones(5), "kg", 1.0)], "shape (5,)"),
        (lambda _c, _r: [CostColumn("x", "d", np.full(3, np.nan), "kg", 1.0)], "not a finite"),
        (lambda _c, _r: [CostColumn("x", "d", -np.ones(3), "kg", 1.0)], "negative"),
        (lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", np.array([1, -1, 1.0]))], "negative"),
        (lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", np.inf)], "not a finite"),
        (lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", cast(Any, "dear"))], "numbers are due"),
        (lambda _c, _r: [CostColumn("x", "d", 0.0, "", 0.1, base=("tax",))], "no stage before"),
        (lambda _c, _r: [CostColumn("x", "d", 0.0, "", 0.1, top_up="floor")], "needs the base"),
        (lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", 1.0, working="{no}")], "which it lacks"),
        (lambda _c, _r: [Remark(np.ones(2, np.bool_), "f", "t", "note")], "mask of 3 lines"),
        (
            lambda _c, _r: [Remark(np.ones(3, np.bool_), "f", "t", cast(Any, "fatal"))],
            "no severity",
        ),
        (lambda c, _r: c.net_mass_kg.fill(0.0), "read-only"),
        (lambda c, _r: c.cloth.pitch_m.fill(0.0), "read-only"),
    ],
)
def test_a_rule_that_fails_is_named_and_harms_nothing_else(compute: Any, says: str) -> None:
    rules = [PricingRule("bad", "weaving", compute), METAL_RULE]
    ledger, log = price(lines(3), rules, book(METAL))
    (fault,) = ledger.faults
    assert (fault.plugin, fault.where) == ("test plugin", "pricing rule bad")
    assert says in fault.error
    assert ledger.price.tolist() == [200.0] * 3
    assert log.status().tolist() == ["review"] * 3
    assert "its cost is not in this price" in str(log.by_line()[0][0])


def test_a_rule_that_fails_halfway_leaves_nothing_behind() -> None:
    def half(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
        yield CostColumn("lost", "rolls", columns.quantity, "roll", 1e6, "t")
        yield Remark(np.ones(len(columns), np.bool_), "width", "no.", "refused")
        raise KeyError("late")

    ledger, log = price(lines(2), [PricingRule("bad", "weaving", half), METAL_RULE], book(METAL))
    assert ledger.price.tolist() == [200.0, 200.0]
    assert log.refused().tolist() == [False, False]


def test_names_and_stages_that_clash_are_faults() -> None:
    rules = [METAL_RULE, PricingRule("metal", "wire", plain(1.0)), PricingRule("x", "dye", metal)]
    ledger, _ = price(lines(1), rules, book(METAL))
    assert [fault.error for fault in ledger.faults] == [
        "the name is taken by plugin test plugin", 'there is no stage "dye"',
    ]  # fmt: skip
    assert ledger.price[0] == 200.0


def test_a_rule_may_stand_in_for_another() -> None:
    other = PricingRule("house metal", "wire", plain(5.0), replaces=("metal",))
    ledger, log = price(lines(1), [METAL_RULE, other], book(METAL))
    assert ledger.price[0] == 5.0
    assert ledger.acts == ("rule house metal (test plugin) stands in for metal (test plugin)",)
    assert log.status().tolist() == ["ok"]


def test_a_stand_in_that_fails_gives_way() -> None:
    other = PricingRule("house metal", "wire", cast(Any, lambda _c, _r: 1 / 0), replaces=("metal",))
    ledger, _ = price(lines(1), [METAL_RULE, other], book(METAL))
    assert ledger.price[0] == 200.0
    assert [fault.where for fault in ledger.faults] == ["pricing rule house metal"]


def test_a_veto_refuses_its_lines_and_is_named() -> None:
    def veto(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
        yield Remark(columns.cloth.alloy == 1, "alloy", "we do not weave it.", "refused", "blue")

    ledger, log = price(
        lines(2, codes=[0, 1]), [METAL_RULE, PricingRule("veto", "wire", veto)], book(METAL)
    )
    np.testing.assert_array_equal(ledger.price, [200.0, np.nan])
    (message,) = log.by_line()[1]
    assert str(message) == (
        'alloy: read "blue" — we do not weave it. (rule veto, plugin test plugin)'
    )


def test_the_book_switches_rules_off() -> None:
    off = dataclasses.replace(book(METAL), rules_disabled=("loom", "nought"))
    ledger, log = price(lines(1), [METAL_RULE, PricingRule("loom", "weaving", plain(7.0))], off)
    (message,) = log.by_line()[0]
    assert str(message).startswith('price book: read "rules_disabled: nought" — no installed')
    assert log.status().tolist() == ["review"]
    assert ledger.price[0] == 200.0
    assert ledger.acts == (
        "the price book switches off rule nought, which no plugin has",
        "rule loom (test plugin) is switched off by the price book",
    )


def test_a_missing_rate_refuses_only_the_lines_that_need_it() -> None:
    columns = lines(3, codes=[0, 1, 2], mass_kg=np.array([1.0, 1.0, 0.0]))
    priced = book(rate("metal", 2.0, "kg", "EUR", alloy="red"))
    ledger, log = price(columns, [METAL_RULE], priced)
    np.testing.assert_array_equal(ledger.price, [2.0, np.nan, 0.0])
    (message,) = log.by_line()[1]
    assert str(message) == (
        'alloy: read "blue" — price book test book has no metal [EUR per kg]. '
        "Add it there, or ask for another alloy."
    )


def test_a_missing_working_figure_refuses_too() -> None:
    def hours(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
        speed = rates.figure("speed", "1/h")
        yield CostColumn(
            "loom", "hours", columns.quantity / speed.values, "h", 10.0, "t", uses=(speed,)
        )

    priced = book(rate("speed", 2.0, "1/h", alloy="red"))
    ledger, log = price(lines(2, codes=[0, 1]), [PricingRule("l", "weaving", hours)], priced)
    np.testing.assert_array_equal(ledger.price, [5.0, np.nan])
    assert "has no speed [1/h]" in str(log.by_line()[1][0])


def test_a_plain_rate_of_nan_refuses() -> None:
    rule = PricingRule(
        "r", "wire", lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", np.array([1.0, np.nan]))]
    )
    ledger, log = price(lines(2), [rule], book())
    np.testing.assert_array_equal(ledger.price, [1.0, np.nan])
    assert "has no rate for this line" in str(log.by_line()[1][0])


def test_a_line_beyond_reason_is_refused_and_the_others_keep_their_cost() -> None:
    columns = lines(4, mass_kg=np.array([1.0, np.inf, 1e308, np.nan]))
    ledger, log = price(columns, [METAL_RULE], book(METAL))
    np.testing.assert_array_equal(ledger.price, [2.0, np.nan, np.nan, np.nan])
    assert not ledger.faults
    assert log.status().tolist() == ["ok", "refused", "refused", "refused"]
    assert [log.by_line()[row][0].field for row in (1, 2, 3)] == ["quantity", "price", "quantity"]
    assert "rule metal (plugin test plugin)" in str(log.by_line()[1][0])
    assert "finite number" in str(log.by_line()[1][0])


@pytest.mark.parametrize("mass", [np.inf, 1e308])
def test_a_line_beyond_reason_is_refused_even_alone(mass: float) -> None:
    rules = [METAL_RULE, PricingRule("share", "overhead", share(("wire",), 0.1))]
    ledger, log = price(lines(1, mass_kg=mass), rules, book(METAL))
    assert not ledger.faults
    assert log.status().tolist() == ["refused"]


def test_a_zero_that_is_divided_by_refuses_the_lines_that_rest_on_it() -> None:
    def hours(columns: OrderColumns, rates: Rates) -> Iterable[CostColumn | Remark]:
        speed = rates.figure("speed", "1/h")
        yield CostColumn(
            "loom", "hours", columns.quantity / speed.values, "h", 10.0, "t", uses=(speed,)
        )

    priced = book(rate("speed", 2.0, "1/h", alloy="red"), rate("speed", 0.0, "1/h", alloy="blue"))
    for codes in ([0, 1], [1, 1]):
        ledger, log = price(lines(2, codes=codes), [PricingRule("l", "weaving", hours)], priced)
        assert not ledger.faults
        assert log.refused().tolist() == [code == 1 for code in codes]


def test_a_plain_rate_that_is_infinite_on_one_line_refuses_it() -> None:
    rule = PricingRule(
        "r", "wire", lambda _c, _r: [CostColumn("x", "d", 1.0, "kg", np.array([1.0, np.inf]))]
    )
    ledger, log = price(lines(2), [rule], book())
    np.testing.assert_array_equal(ledger.price, [1.0, np.nan])
    assert log.by_line()[1][0].field == "price"


def test_lines_refused_before_have_no_price_and_no_items() -> None:
    log = MessageLog(2)
    log.add([0], Message("pitch", "x", "no."))
    ledger, _ = price(lines(2, mass_kg=np.array([np.nan, 1.0])), [METAL_RULE], book(METAL), log)
    np.testing.assert_array_equal(ledger.price, [np.nan, 2.0])
    assert ledger.items_frame()["line"].tolist() == [1]
    assert not ledger.faults


def test_stale_rates_are_warned_about_where_they_were_used() -> None:
    old = dataclasses.replace(METAL, date=DAY - timedelta(days=31), alloy="blue")
    priced = book(METAL, old)
    ledger, log = price(lines(2, codes=[0, 1]), [METAL_RULE], priced)
    assert list(log.by_line()) == [1]
    assert str(log.by_line()[1][0]) == (
        'price book: read "metal" — 31 days old, of 2026-08-31; '
        "the book's rates are warned about after 30 days."
    )
    assert log.status().tolist() == ["ok", "ok"]
    assert ledger.price.tolist() == [200.0, 200.0]


def test_of_several_stale_rates_the_oldest_is_told() -> None:
    ages = {"red": 31, "blue": 50, "green": 30}
    rates = [
        dataclasses.replace(METAL, date=DAY - timedelta(days=days), alloy=name)
        for name, days in ages.items()
    ]
    _, log = price(lines(3, codes=[0, 1, 2]), [METAL_RULE], book(*rates))
    assert sorted(log.by_line()) == [0, 1]
    assert "50 days old, of 2026-08-12" in str(log.by_line()[0][0])


def test_an_order_level_cost_is_shared_over_its_priced_lines() -> None:
    columns = lines(5, order=[7, 3, 7, 7, 3], mass_kg=np.array([1.0, 1.0, 1.0, 1.0, 5.0]))
    log = MessageLog(5)
    log.add([3], Message("pitch", "x", "no."))
    rules = [METAL_RULE, PricingRule("set-up", "surcharges", plain(0.05, per="order"))]
    ledger, _ = price(columns, rules, book(METAL), log)
    shared = ledger.items[-1]
    assert shared.minor.tolist() == [3.0, 1.0, 2.0, 0.0, 4.0]
    product = to_minor(shared.quantity * shared.rate, 2)
    np.testing.assert_array_equal(product, shared.minor)


@pytest.mark.parametrize("order", [[0, 1, 2], [4, 1, 4]])
def test_an_order_of_one_line_bears_the_whole_of_its_charge(order: list[int]) -> None:
    log = MessageLog(3)
    log.add([2], Message("pitch", "x", "no."))
    rules = [METAL_RULE, PricingRule("set-up", "surcharges", plain(13.953, per="order"))]
    ledger, _ = price(lines(3, order=order), rules, book(METAL), log)
    assert ledger.items[-1].quantity.tolist() == [1.0, 1.0, 0.0]
    assert ledger.items[-1].minor.tolist() == [1395.0, 1395.0, 0.0]


def test_a_shared_charge_says_the_lines_part_of_its_order() -> None:
    rules = [METAL_RULE, PricingRule("set-up", "surcharges", plain(13.953, per="order"))]
    columns = lines(2, order=[0, 0], mass_kg=np.array([30.0, 10.0]))
    ledger, _ = price(columns, rules, book(METAL))
    assert ledger.items[-1].minor.tolist() == [1046.0, 349.0]
    # A quarter of 13.953 is 3.49; three quarters are 10.46.
    assert ledger.items[-1].quantity.tolist() == [0.75, 0.25]


def test_a_minimum_per_order_looks_at_the_whole_order() -> None:
    columns = lines(3, order=[0, 0, 1], mass_kg=np.array([10.0, 30.0, 60.0]))
    rules = [
        METAL_RULE,
        PricingRule("m", "surcharges", share(("subtotal",), 100.0, top_up="floor", per="order")),
    ]
    ledger, _ = price(columns, rules, book(METAL))
    assert ledger.price.tolist() == [25.0, 75.0, 120.0]


@pytest.mark.parametrize("jumbled", [False, True])
def test_blocks_change_nothing(monkeypatch: pytest.MonkeyPatch, jumbled: bool) -> None:
    rng = np.random.default_rng(5)
    order = np.sort(rng.integers(0, 40, 300))
    columns = lines(
        300,
        codes=rng.integers(0, 3, 300).tolist(),
        order=(rng.permutation(order) if jumbled else order).tolist(),
        mass_kg=rng.uniform(0.1, 50.0, 300),
    )
    rules = [
        METAL_RULE,
        PricingRule("set-up", "surcharges", plain(18.0, per="order")),
        PricingRule("m", "surcharges", share(("subtotal",), 100.0, top_up="floor", per="order")),
    ]
    priced = book(rate("metal", 2.0, "kg", "EUR", family="test metal"))
    whole, whole_log = price(columns, rules, priced)
    monkeypatch.setattr(pipeline, "BLOCK_LINES", 32)
    cut, cut_log = price(columns, rules, priced)
    np.testing.assert_array_equal(cut.price, whole.price)
    np.testing.assert_array_equal(cut.cost, whole.cost)
    assert cut.items_frame().equals(whole.items_frame())
    assert cut_log.by_line() == whole_log.by_line()


def test_a_rule_that_fails_on_one_block_is_set_aside_on_all(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def picky(columns: OrderColumns, _rates: Rates) -> Iterable[CostColumn | Remark]:
        if (columns.net_mass_kg > 90.0).any():
            raise ValueError("too heavy")
        return [CostColumn("x", "d", 1.0, "line", 1.0)]

    monkeypatch.setattr(pipeline, "BLOCK_LINES", 4)
    columns = lines(20, mass_kg=np.linspace(0.0, 95.0, 20))
    ledger, log = price(columns, [METAL_RULE, PricingRule("picky", "wire", picky)], book(METAL))
    np.testing.assert_array_equal(ledger.price, columns.net_mass_kg * 2.0)
    assert [fault.error for fault in ledger.faults] == ["ValueError: too heavy"]
    assert log.status().tolist() == ["review"] * 20


def test_no_lines_at_all() -> None:
    ledger, _ = price(take_lines(lines(1), slice(0, 0)), [METAL_RULE], book(METAL))
    assert ledger.price.size == 0
    assert ledger.items_frame().empty


def test_the_long_form_adds_up_to_the_price() -> None:
    rules = [METAL_RULE, PricingRule("overhead", "overhead", share(("wire",), 0.123))]
    columns = lines(4, mass_kg=np.array([1.1, 2.2, 3.3, 4.4]))
    ledger, _ = price(columns, rules, book(METAL))
    frame = ledger.items_frame()
    np.testing.assert_allclose(frame.groupby("line")["amount"].sum(), ledger.price, rtol=1e-12)
    assert frame["currency"].unique().tolist() == ["EUR"]
    assert ledger.items_frame(np.array([2]))["line"].unique().tolist() == [2]
    assert ledger.stage_totals()["wire"].tolist() == [2.2, 4.4, 6.6, 8.8]


def test_taking_lines_keeps_all_columns_in_step() -> None:
    columns = lines(3, codes=[0, 1, 2], services={"clean": np.array([True, False, True])})
    taken = take_lines(columns, np.array([2, 2, 0]))
    assert taken.cloth.alloy.tolist() == [2, 2, 0]
    assert taken.services["clean"].tolist() == [True, True, True]
    assert taken.cloth.alloys == ALLOYS
