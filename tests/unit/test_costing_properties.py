"""What holds for any order: sums to the cent, no price that falls, currencies that only convert."""

from __future__ import annotations

import dataclasses
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.arrays import FloatArray
from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.price_book import PriceBook, in_currency
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import to_minor
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.pipeline import price_columns
from meshcore.demo import demo_data
from meshcore.messages import MessageLog
from meshcore.weave.cloth import ClothColumns

ORDERS, LINES = 10_000, 24_000
DAY = date(2026, 11, 1)
SERVICES = ("certificate", "rush", "weld seam", "anneal", "calender", "coat", "clean")


@pytest.fixture(scope="module")
def demo() -> PriceBook:
    """The demo book with its tax left on."""
    book = read_price_book(demo_data() / "price_book.toml")
    return dataclasses.replace(book, rules_disabled=())


@pytest.fixture(scope="module")
def orders() -> OrderColumns:
    """Lines of 10,000 random orders: any alloy, weave, form, size and services."""
    rng = np.random.default_rng(20261101)
    order = np.sort(np.r_[np.arange(ORDERS), rng.integers(0, ORDERS, LINES - ORDERS)])
    alloys = installed_registry().alloys
    wire = np.exp(rng.uniform(np.log(0.03e-3), np.log(6e-3), LINES))
    pitch = wire * rng.uniform(2.2, 8.0, LINES)
    width, run = (
        rng.uniform(0.3, 1.83, LINES),
        np.exp(rng.uniform(np.log(0.05), np.log(900.0), LINES)),
    )
    quantity = rng.integers(1, 30, LINES).astype(np.float64)
    net = width * run * rng.uniform(0.6, 1.0, LINES)
    mass = np.pi / 2 * wire**2 * 8000.0 / pitch
    form = rng.integers(0, 3, LINES)
    cloth = ClothColumns(
        weave=rng.integers(0, 6, LINES),
        pitch_m=pitch,
        wire_diameter_m=wire,
        aperture_m=pitch - wire,
        open_area=(1 - wire / pitch) ** 2,
        path_ratio=np.full(LINES, 1.03),
        thickness_m=2 * wire,
        alloy=rng.integers(0, len(alloys), LINES),
        alloys=alloys,
        width_m=width,
    )
    return OrderColumns(
        cloth=cloth,
        order=order,
        same_cloth=np.arange(LINES),
        warp=np.arange(LINES),
        form=form,
        quantity=quantity,
        net_area_m2=net,
        gross_area_m2=width * run,
        net_mass_kg=mass * net,
        gross_mass_kg=mass * width * run,
        stock_width_m=width,
        run_length_m=run,
        cut_length_m=np.where(form > 0, rng.uniform(0.0, 500.0, LINES), 0.0),
        cut_count=np.where(form > 0, rng.integers(0, 200, LINES), 0).astype(np.float64),
        roll_count=np.ceil(run / 30.48),
        part_roll_count=rng.integers(0, 2, LINES).astype(np.float64),
        offcut_credit=np.where(form > 0, rng.uniform(0.0, 0.2, LINES), 0.0),
        services={name: rng.random(LINES) < 0.15 for name in SERVICES},
    )


def priced(
    orders: OrderColumns, book: PriceBook, factors: dict[str, FloatArray] | None = None
) -> tuple[Ledger, MessageLog]:
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    log = MessageLog(len(orders))
    return price_columns(orders, rules, book, log, today=DAY, factors=factors), log


def factor(value: float) -> FloatArray:
    return np.full(LINES, value)


def test_items_add_to_subtotals_to_totals_to_orders(orders: OrderColumns, demo: PriceBook) -> None:
    ledger, _ = priced(orders, demo)
    assert ledger.priced.mean() > 0.9
    assert not ledger.faults
    cents = sum(item.minor for item in ledger.items)
    np.testing.assert_array_equal(cents, ledger.price_minor)
    np.testing.assert_array_equal(np.floor(cents), cents)
    stages = sum(to_minor(total, 2) for total in ledger.stage_totals().values())
    np.testing.assert_array_equal(stages, ledger.price_minor)
    by_order = np.bincount(orders.order, weights=ledger.price_minor)
    items = np.sum([np.bincount(orders.order, weights=i.minor) for i in ledger.items], axis=0)
    np.testing.assert_array_equal(items, by_order)
    frame = ledger.items_frame()
    by_line = frame.groupby("line")["amount"].sum()
    np.testing.assert_allclose(by_line, ledger.price[by_line.index], rtol=0, atol=1e-8)


def test_quantity_times_rate_is_the_amount_of_every_item(
    orders: OrderColumns, demo: PriceBook
) -> None:
    ledger, _ = priced(orders, demo)
    for item in ledger.items:
        arises = item.minor != 0.0
        product = to_minor(item.quantity[arises] * item.rate[arises], ledger.digits)
        np.testing.assert_array_equal(product, item.minor[arises], err_msg=item.label)


def test_nothing_is_negative_but_credits_named_so(orders: OrderColumns, demo: PriceBook) -> None:
    for rounding in ("up", "nearest"):
        ledger, _ = priced(orders, dataclasses.replace(demo, rounding=rounding))
        for item in ledger.items:
            assert (item.minor >= 0.0).all() or "credit" in item.label, item.label
        assert (ledger.price_minor >= 0.0).all()


def test_what_an_order_shares_adds_up_to_the_orders_amount(
    orders: OrderColumns, demo: PriceBook
) -> None:
    ledger, _ = priced(orders, demo)
    (set_up,) = [item for item in ledger.items if item.label == "order set-up"]
    live = np.unique(orders.order[ledger.priced])
    shared = np.bincount(orders.order, weights=set_up.minor, minlength=ORDERS)[live]
    np.testing.assert_array_equal(shared, 1800.0)


def test_an_order_comes_to_its_minimum(orders: OrderColumns, demo: PriceBook) -> None:
    rates = tuple(replace(r, amount=400.0) if r.key == "minimum.order" else r for r in demo.rates)
    ledger, _ = priced(orders, replace(demo, rates=rates))
    through = STAGES_TO_MINIMUM
    cents = sum(item.minor for item in ledger.items if item.stage in through)
    by_order = np.bincount(orders.order, weights=cents)[np.unique(orders.order[ledger.priced])]
    assert by_order.min() == 40000.0


STAGES_TO_MINIMUM = (
    "wire", "weaving", "finishing", "cutting", "packing", "freight", "overhead", "margin",
    "breaks and minimums",
)  # fmt: skip


def test_a_refused_line_has_no_items(orders: OrderColumns, demo: PriceBook) -> None:
    ledger, log = priced(orders, demo)
    np.testing.assert_array_equal(ledger.priced, ~log.refused())
    assert np.isnan(ledger.price[~ledger.priced]).all()
    assert all((item.minor[~ledger.priced] == 0.0).all() for item in ledger.items)


@pytest.mark.parametrize(
    "key",
    [
        "wire.metal", "wire.alloy_surcharge", "wire.drawing_extra", "wire.scrap", "weaving.loom",
        "weaving.set_up", "weaving.set_up_time", "overhead.share", "margin.share", "freight.kg",
        "service.anneal", "surcharge.rush", "tax.rate",
    ],
)  # fmt: skip
def test_no_price_falls_when_a_rate_rises(orders: OrderColumns, demo: PriceBook, key: str) -> None:
    single = own_orders(orders)
    before, _ = priced(single, demo)
    after, _ = priced(single, demo, {key: factor(1.07)})
    live = before.priced
    assert (after.price_minor[live] >= before.price_minor[live]).all()
    assert (after.price_minor[live] > before.price_minor[live]).any()


@pytest.mark.parametrize("key", ["weaving.efficiency", "weaving.picks_per_minute"])
def test_no_price_falls_when_loom_hours_rise(
    orders: OrderColumns, demo: PriceBook, key: str
) -> None:
    single = own_orders(orders)
    before, _ = priced(single, demo)
    after, _ = priced(single, demo, {key: factor(0.9)})
    assert (after.price_minor >= before.price_minor).all()


def test_no_price_falls_when_more_metal_is_used(orders: OrderColumns, demo: PriceBook) -> None:
    single = own_orders(orders)
    heavier = dataclasses.replace(single, gross_mass_kg=single.gross_mass_kg * 1.1)
    assert (priced(heavier, demo)[0].price_minor >= priced(single, demo)[0].price_minor).all()


def test_a_price_falls_with_quantity_only_where_a_break_begins(
    orders: OrderColumns, demo: PriceBook
) -> None:
    single = own_orders(orders)
    more = dataclasses.replace(
        single,
        **{
            name: getattr(single, name) * 1.01
            for name in ("quantity", "net_area_m2", "gross_area_m2", "net_mass_kg", "gross_mass_kg",
                         "run_length_m", "cut_length_m", "cut_count", "roll_count")
        },
    )  # fmt: skip
    before, after = priced(single, demo)[0], priced(more, demo)[0]
    steps = np.array([100.0, 250.0, 600.0])
    begun = np.searchsorted(steps, more.net_area_m2, side="right") > np.searchsorted(
        steps, single.net_area_m2, side="right"
    )
    falls = after.price_minor < before.price_minor
    assert falls.any()
    assert not (falls & ~begun).any()
    off = dataclasses.replace(demo, rules_disabled=("quantity break",))
    flat, flat_more = priced(single, off)[0], priced(more, off)[0]
    assert (flat_more.price_minor >= flat.price_minor).all()


def own_orders(orders: OrderColumns) -> OrderColumns:
    """Each line an order of its own: what one line shares then cannot shift to another."""
    return dataclasses.replace(orders, order=np.arange(len(orders)))


@pytest.mark.parametrize(("currency", "digits"), [("USD", 2), ("JPY", 0), ("KWD", 3)])
def test_another_currency_changes_amounts_and_nothing_else(
    orders: OrderColumns, demo: PriceBook, currency: str, digits: int
) -> None:
    some = take_lines(own_orders(orders), np.arange(0, LINES, 12))
    off = dataclasses.replace(demo, rules_disabled=("rounding",))
    home, home_log = priced(some, off)
    away, away_log = priced(some, in_currency(off, currency))
    assert away.digits == digits
    np.testing.assert_array_equal(away.priced, home.priced)
    assert away_log.by_line().keys() == home_log.by_line().keys()
    assert [i.label for i in away.items] == [i.label for i in home.items]
    per_euro = {"USD": 1 / 0.86, "JPY": 1 / 0.0058, "KWD": 1 / 2.80}[currency]
    for here, there in zip(home.items, away.items, strict=True):
        if here.base or here.shared:
            continue
        np.testing.assert_array_equal(there.quantity, here.quantity)
        np.testing.assert_allclose(there.rate, here.rate * per_euro, rtol=1e-12)
    # Each of some thirty items may be off by half a minor unit of either currency, and what rests
    # on it by as much again.
    slack = 60 * (0.5 * 10.0**-digits + 0.5e-2 * per_euro)
    live = home.priced
    np.testing.assert_allclose(away.price[live], home.price[live] * per_euro, rtol=1e-9, atol=slack)
