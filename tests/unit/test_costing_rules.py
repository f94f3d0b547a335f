"""The bundled pricing rules, each by itself: what drives it, and what it flags."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from costing_lines import alloy, book, lines, price, rate

from meshcore.alloys.record import Rating
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ledger import Ledger
from meshcore.costing.order_columns import OrderColumns
from meshcore.messages import MessageLog
from meshcore_mill_costing import meshcore_pricing_rules, meshcore_services
from meshcore_mill_costing.weaving import loom_hours, warp_ends

RULES = {rule.name: rule for rule in meshcore_pricing_rules()}
LOOM = (
    rate("weaving.loom", 40.0, "h", "EUR"),
    rate("weaving.picks_per_minute", 50.0, "picks/min"),
    rate("weaving.efficiency", 80.0, "%"),
)


def work(columns: OrderColumns, priced: PriceBook, *names: str) -> tuple[Ledger, MessageLog]:
    return price(columns, [RULES[name] for name in names], priced)


def amounts(ledger: Ledger, label: str) -> list[float]:
    (item,) = [item for item in ledger.items if item.label == label]
    return [float(minor) / 10**ledger.digits for minor in item.minor]


def test_every_rule_has_its_own_name_and_says_what_it_reads() -> None:
    assert len(RULES) == len(meshcore_pricing_rules())
    assert all(rule.reads for name, rule in RULES.items() if name != "offcut credit")


def test_scrap_is_bought_too() -> None:
    priced = book(rate("wire.metal", 3.0, "kg", "EUR"), rate("wire.scrap", 5.0, "%"))
    assert amounts(work(lines(1), priced, "wire metal")[0], "base metal") == [315.0]


def test_offcuts_are_credited_to_the_lines_that_leave_them() -> None:
    columns = dataclasses.replace(lines(2), offcut_credit=np.array([0.1, 0.0]))
    priced = book(rate("wire.metal", 3.0, "kg", "EUR"))
    credit = amounts(work(columns, priced, "wire metal", "offcut credit")[0], "offcut credit")
    assert credit == [-30.0, 0.0]
    none = work(lines(2), priced, "wire metal", "offcut credit")[0]
    assert [item.label for item in none.items] == ["base metal"]


def test_a_surcharge_is_due_only_where_listed() -> None:
    priced = book(rate("wire.alloy_surcharge", 1.5, "kg", "EUR", alloy="blue"))
    ledger, log = work(lines(2, codes=[0, 1]), priced, "alloy surcharge")
    assert amounts(ledger, "alloy surcharge") == [0.0, 150.0]
    assert log.status().tolist() == ["ok", "ok"]


def test_wire_finer_than_the_drawing_table_is_refused() -> None:
    priced = book(
        rate("wire.drawing_extra", 9.0, "kg", "EUR", at="0.1 mm"),
        rate("wire.drawing_extra", 1.0, "kg", "EUR", at="1 mm"),
    )
    ledger, log = work(lines(2, wire_m=np.array([0.05e-3, 0.55e-3])), priced, "drawing extra")
    assert log.status().tolist() == ["refused", "ok"]
    assert amounts(ledger, "drawing extra") == [0.0, 500.0]


def test_loom_hours_from_picks() -> None:
    # 30 m at 2 mm are 15,000 picks; at 50 a minute and 80 %, 15,000 / 2400 = 6.25 h.
    ledger, _ = work(lines(1), book(*LOOM), "loom time")
    assert ledger.items[0].quantity[0] == pytest.approx(6.25, rel=1e-14)
    assert amounts(ledger, "weaving") == [250.0]


def test_picks_may_depend_on_wire() -> None:
    table = [
        rate("weaving.picks_per_minute", 100.0, "picks/min", at="0.2 mm"),
        rate("weaving.picks_per_minute", 40.0, "picks/min", at="0.8 mm"),
    ]
    ledger, _ = work(lines(1), book(LOOM[0], LOOM[2], *table), "loom time")
    assert ledger.items[0].quantity[0] == pytest.approx(15_000 / (70 * 60 * 0.8), rel=1e-14)


def test_welded_screen_takes_no_loom() -> None:
    ledger, log = work(lines(1, weave=6), book(*LOOM), "loom time")
    assert not ledger.items
    assert log.status().tolist() == ["review"]


def test_loom_hours_are_picks_over_running_picks() -> None:
    assert float(loom_hours(*map(np.array, (12.0, 0.001, 6000.0, 0.5)))) == 4.0


@pytest.mark.parametrize(
    ("width_in", "per_in", "ends"), [(48, 10, 481), (36, 12, 433), (72, 200, 14401), (60, 7, 421)]
)
def test_warp_ends_fill_the_width_and_close_it(width_in: int, per_in: int, ends: int) -> None:
    found = warp_ends(np.array(width_in * 0.0254), np.array(0.0254 / per_in))
    assert float(found) == ends


def test_a_short_run_bears_the_whole_warp() -> None:
    priced = book(
        rate("weaving.set_up", 40.0, "h", "EUR"),
        rate("weaving.ends_per_hour", 1002.0, "ends/h"),
        rate("weaving.set_up_time", 0.5, "h"),
        rate("weaving.warp_length", 100.0, "m"),
    )
    columns = dataclasses.replace(lines(3), run_length_m=np.array([1.0, 100.0, 100.1]))
    # 1 m at 2 mm is 501 ends: half an hour to prepare, and half an hour whatever their number.
    ledger, _ = work(columns, priced, "warp set-up")
    assert amounts(ledger, "warp set-up") == [40.0, 40.0, 80.0]
    assert (ledger.price / columns.run_length_m).round(1).tolist() == [40.0, 0.4, 0.8]
    # A book that says nothing of a fixed time has none: the half hour for the ends alone.
    by_ends = book(*(r for r in priced.rates if r.key != "weaving.set_up_time"))
    ledger, _ = work(columns, by_ends, "warp set-up")
    assert amounts(ledger, "warp set-up") == [20.0, 20.0, 40.0]


@pytest.mark.parametrize(
    ("unit", "amount"),
    [("piece", 4.0), ("m of cut", 12.0), ("m2", 25.0), ("kg", 90.0), ("lot", 1.0), ("roll", 2.0),
     ("cut", 7.0), ("100 kg", 0.9)],
)  # fmt: skip
def test_a_service_is_charged_by_the_unit_that_the_book_names(unit: str, amount: float) -> None:
    columns = dataclasses.replace(
        lines(1, services={"clean": np.array([True])}),
        quantity=np.array([4.0]),
        cut_length_m=np.array([12.0]),
        net_area_m2=np.array([25.0]),
        net_mass_kg=np.array([90.0]),
        roll_count=np.array([2.0]),
        cut_count=np.array([7.0]),
    )
    ledger, _ = work(columns, book(rate("service.clean", 1.0, unit, "EUR")), "services")
    assert amounts(ledger, "clean") == [amount]


def test_a_service_may_have_a_set_up_besides() -> None:
    priced = book(
        rate("service.coat", 2.0, "m2", "EUR"), rate("service.coat.set_up", 50.0, "lot", "EUR")
    )
    coated = (alloy("red", coat=Rating("good", "it holds")),)
    columns = lines(2, alloys=coated, services={"coat": np.array([True, False])})
    ledger, log = work(columns, priced, "services")
    assert amounts(ledger, "coat") == [60.0, 0.0]
    assert amounts(ledger, "coat, set-up") == [50.0, 0.0]
    assert log.status().tolist() == ["ok", "ok"]


@pytest.mark.parametrize(
    ("rating", "status", "says"),
    [
        (Rating("no", "it burns"), "refused", "red does not take it (weld: it burns)"),
        (Rating("poor", "it cracks"), "review", "red takes it poorly (weld: it cracks)"),
        (Rating("fair", "with care"), "ok", ""),
        (None, "review", "not known here"),
    ],
)
def test_a_service_that_the_alloy_does_not_take_is_flagged_with_the_reason(
    rating: Rating | None, status: str, says: str
) -> None:
    alloys = (alloy("red", weld=rating) if rating else alloy("red"),)
    columns = lines(1, alloys=alloys, services={"weld seam": np.array([True])})
    priced = book(rate("service.weld seam", 9.0, "piece", "EUR"))
    _, log = work(columns, priced, "services")
    assert log.status().tolist() == [status]
    said = [str(message) for message in log.by_line().get(0, [])]
    assert all(says in text for text in said)
    assert bool(said) == bool(says)


def test_a_service_without_a_rate_refuses_its_lines_only() -> None:
    columns = lines(2, services={"clean": np.array([True, False])})
    _, log = work(columns, book(), "services")
    assert log.status().tolist() == ["refused", "ok"]
    assert "has no service.clean" in str(log.by_line()[0][0])


def test_a_service_with_nothing_to_count_is_looked_at() -> None:
    columns = lines(1, services={"edge finish": np.array([True])})
    priced = book(
        rate("service.edge finish", 2.0, "m of cut", "EUR"),
        rate("service.edge finish.set_up", 25.0, "lot", "EUR"),
    )
    ledger, log = work(columns, priced, "services")
    assert ledger.price.tolist() == [0.0]
    assert log.status().tolist() == ["review"]
    assert "nothing is charged" in str(log.by_line()[0][0])


def test_a_service_in_a_unit_that_no_line_has_is_refused() -> None:
    columns = lines(1, services={"clean": np.array([True])})
    _, log = work(columns, book(rate("service.clean", 2.0, "pallet", "EUR")), "services")
    assert "per pallet, which no line has" in str(log.by_line()[0][0])


def test_cutting_follows_the_cuts_of_the_form() -> None:
    columns = dataclasses.replace(
        lines(2, form=2, services={"cut": np.array([True, True])}),
        cut_length_m=np.array([10.0, 0.0]),
        cut_count=np.array([40.0, 0.0]),
    )
    priced = book(
        rate("cutting.metre", 0.5, "m of cut", "EUR"), rate("cutting.cut", 0.1, "cut", "EUR")
    )
    ledger, log = work(columns, priced, "cutting", "services")
    assert ledger.price.tolist() == [9.0, 0.0]
    assert log.status().tolist() == ["ok", "review"]


def test_rolls_are_packed_and_sent_by_width_and_mass() -> None:
    columns = lines(3)
    widths = np.array([0.9, 1.2, 1.8])
    columns = dataclasses.replace(columns, cloth=dataclasses.replace(columns.cloth, width_m=widths))
    priced = book(
        rate("packing.roll", 5.0, "roll", "EUR", at="1 m"),
        rate("packing.roll", 9.0, "roll", "EUR", at="1.5 m"),
        rate("packing.kg", 0.02, "kg", "EUR"),
        rate("packing.piece", 6.0, "100 pieces", "EUR"),
        rate("freight.kg", 10.0, "100 kg", "EUR"),
        rate("freight.roll", 7.0, "roll", "EUR", at="1.5 m"),
    )
    ledger, log = work(columns, priced, "packing", "freight")
    assert amounts(ledger, "packing of rolls") == [0.0, 5.0, 9.0]
    assert amounts(ledger, "packing") == [2.0] * 3
    assert not any(i.minor.any() for i in ledger.items if i.label == "packing of pieces")
    assert amounts(ledger, "freight") == [10.0] * 3
    assert amounts(ledger, "freight of long rolls") == [0.0, 0.0, 7.0]
    assert log.status().tolist() == ["ok"] * 3
    pieces, _ = work(dataclasses.replace(columns, form=np.full(3, 2)), priced, "packing")
    assert amounts(pieces, "packing of pieces") == [0.06] * 3


def test_overhead_by_base_and_margin_on_cost_or_price() -> None:
    metal = rate("wire.metal", 1.0, "kg", "EUR")
    overheads = (
        rate("overhead.share", 10.0, "%", base="wire"),
        rate("overhead.share", 50.0, "%", base="weaving, cutting"),
    )
    on_cost = rate("margin.share", 25.0, "%", base="cost")
    on_price = rate("margin.share", 25.0, "%", base="price")
    names = ("wire metal", "loom time", "overhead", "margin")
    # Wire 100, loom 250; overheads 10 and 125: cost 485.
    ledger, _ = work(lines(1), book(metal, *LOOM, *overheads, on_cost), *names)
    assert amounts(ledger, "overhead on weaving, cutting") == [125.0]
    assert amounts(ledger, "margin on cost") == [121.25]
    ledger, _ = work(lines(1), book(metal, *LOOM, *overheads, on_price), *names)
    assert amounts(ledger, "margin on price") == [161.67]
    assert ledger.price[0] * 0.25 == pytest.approx(161.67, abs=0.01)


def test_a_margin_of_the_whole_price_cannot_be() -> None:
    priced = book(
        rate("wire.metal", 1.0, "kg", "EUR"), rate("margin.share", 100.0, "%", base="price")
    )
    _, log = work(lines(1), priced, "wire metal", "margin")
    assert "cannot be" in str(log.by_line()[0][0])


def test_breaks_minimums_surcharges_rounding_and_tax() -> None:
    priced = book(
        rate("wire.metal", 1.0, "kg", "EUR"),
        rate("break.discount", 5.0, "%", at="80 kg"),
        rate("minimum.line", 60.0, "line", "EUR"),
        rate("surcharge.part_roll", 8.0, "roll", "EUR"),
        rate("surcharge.rush", 10.0, "%"),
        rate("rounding.step", 1.0, "line", "EUR"),
        rate("tax.rate", 20.0, "%"),
    )
    columns = dataclasses.replace(
        lines(2, mass_kg=np.array([100.0, 10.0]), services={"rush": np.array([True, False])}),
        part_roll_count=np.array([1.0, 0.0]),
    )
    ledger, _ = work(columns, priced, *RULES.keys() - {"loom time", "warp set-up"})
    # 100 − 5 = 95; + 8 = 103; rush 10.30; 113.30, up to 114; tax 22.80.
    # 10, brought to 60; no rush; whole already; tax 12.
    assert amounts(ledger, "quantity break (credit)") == [-5.0, 0.0]
    assert amounts(ledger, "minimum charge per line") == [0.0, 50.0]
    assert amounts(ledger, "rush") == [10.3, 0.0]
    assert amounts(ledger, "rounding up") == [0.7, 0.0]
    assert ledger.before_tax.tolist() == [114.0, 60.0]
    assert ledger.price.tolist() == [136.8, 72.0]
    nearest, _ = work(columns, dataclasses.replace(priced, rounding="nearest"), *RULES)
    assert np.isnan(nearest.price).all()
    nearest, _ = work(
        columns, dataclasses.replace(priced, rounding="nearest"),
        *RULES.keys() - {"loom time", "warp set-up"},
    )  # fmt: skip
    assert amounts(nearest, "rounding (charge or credit)") == [-0.3, 0.0]


def test_rush_without_a_rate_refuses_who_asks_for_it() -> None:
    columns = lines(2, services={"rush": np.array([False, True])})
    _, log = work(columns, book(rate("wire.metal", 1.0, "kg", "EUR")), "wire metal", "rush")
    assert log.status().tolist() == ["ok", "refused"]


def test_order_charges_are_shared() -> None:
    priced = book(
        rate("wire.metal", 1.0, "kg", "EUR"),
        rate("surcharge.order_set_up", 10.0, "order", "EUR"),
        rate("freight.consignment", 5.0, "order", "EUR"),
        rate("minimum.order", 300.0, "order", "EUR"),
    )
    columns = lines(3, order=[0, 0, 0], mass_kg=np.array([50.0, 50.0, 100.0]))
    ledger, _ = work(columns, priced, "wire metal", "freight", "minimum per order", "order set-up")
    assert sum(amounts(ledger, "order set-up")) == 10.0
    assert sum(amounts(ledger, "freight, consignment")) == 5.0
    assert sum(amounts(ledger, "minimum charge per order")) == pytest.approx(95.0)


def test_services_have_one_name_each() -> None:
    words = [w.casefold() for s in meshcore_services() for w in (s.name, *s.aliases)]
    assert len(set(words)) == len(words)
