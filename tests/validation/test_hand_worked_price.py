"""An order priced by hand from the demo price book, to the cent.

The mill, its rates and the order are invented; the working is this file's own, done with pencil
rules: each item is rounded half-up to the cent before it is added to anything. Geometry and the
definition of the pound are the only facts from outside: Peirce's circular-arc path (1937, closed
form in the project's reference values) and 1 lb = 0.45359237 kg (international pound, 1959).

The order has two lines.

A. 3 rolls, 48 in × 100 ft, 10 mesh, 0.025 in wire, 304, with certificate, in a rush.
B. 1 roll, 36 in × 40 ft, 12 mesh, 0.023 in wire, alloy 625, calendered and annealed. The mill
   sells no half rolls, so 40 ft is a part roll.
"""

from __future__ import annotations

import dataclasses
import math
from datetime import date

import numpy as np
import pandas as pd
import pytest

from meshcore import plugins
from meshcore.costing.book.files import read_price_book
from meshcore.costing.items import PricingRule
from meshcore.costing.pipeline import price_columns
from meshcore.demo import demo_data
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.results import EstimateSet
from meshcore.messages import MessageLog
from meshcore.supply.policy import default_supply_policy

METRES_PER_INCH = 0.0254
NO_HALVES = dataclasses.replace(default_supply_policy(), half_lengths_m=())

# Cloth. Path ratio from θ = asin(2d/√(p²+d²)) − atan(d/p), L = (p − 2d·sin θ)/cos θ,
# ℓ/p = (L + 2dθ)/p; mass per area = π/2 · d² · ρ/p · ℓ/p.
#   A: p 2.54, d 0.635, ρ 7930: θ 0.261466, L 2.289525, ℓ/p 1.032121;
#      1.977456 × 1.032121 = 2.040973 kg/m²; 3 × 1.2192 m × 30.48 m = 111.483648 m²;
#      227.535154 kg.
#   B: p 2.116667, d 0.5842, ρ 8440: θ 0.291789, L 1.859142, ℓ/p 1.039402;
#      2.137632 × 1.039402 = 2.221860 kg/m²; 0.9144 m × 12.192 m = 11.148365 m²; 24.770106 kg.
# Wire drawn, with 4 % scrap: A 236.636560 kg; B 25.760911 kg.
LINE_A = [
    # 236.636560 kg × 3.45 = 816.396
    ("base metal", 816.40),
    # no row for 304, so its family's: 236.636560 kg × 1.10 = 260.300
    ("alloy surcharge", 260.30),
    # 0.635 mm lies 5/170 of the way from 0.63 (1.05) to 0.80 (0.82): 1.05 − 0.23 × 5/170 =
    # 1.043235; 236.636560 kg × 1.043235 = 246.868
    ("drawing extra", 246.87),
    # one warp loses 3 m of its 481 ends: π/4 × 0.635² mm² × 7930 = 0.002511369 kg/m a wire;
    # 481 × 3 m × that = 3.623905 kg; × 3.45 = 12.502
    ("warp waste", 12.50),
    # the run loses 1.5 m of cloth: 1.5 × 1.2192 m² × 2.040973 = 3.732531 kg; × 3.45 = 12.877
    ("ends' waste", 12.88),
    # 91.44 m ÷ 2.54 mm = 36,000 picks; 0.635 mm lies 5/370 of the way from 82 to 68 picks a
    # minute: 81.810811; × 60 × 72 % = 3534.227 an hour; 10.186103 h × 38.50 = 392.165, and the
    # next figure is a 0: 392.16496
    ("weaving", 392.16),
    # 48 in ÷ 0.1 in = 480 pitches, 481 ends; 481 ÷ 1500 + 0.75 = 1.070667 h, for one warp
    # (91.44 m of 400 m); × 41.00 = 43.897
    ("warp set-up", 43.90),
    # one run of one cloth and width
    ("loom change", 90.00),
    # one lot
    ("certificate", 15.00),
    # 1.2192 m wide: the step at 1.0 m; 3 × 6.50
    ("packing of rolls", 19.50),
    # 227.535154 kg × 3.00 per 100 kg = 6.826
    ("packing", 6.83),
    # 227.535154 kg × 14.50 per 100 kg = 32.993
    ("freight", 32.99),
    # 12.00 an order, shared by what the lines come to so far: A 1949.33, B 1677.76, of 3627.09;
    # 12.00 × 1949.33 / 3627.09 = 6.449
    ("freight, consignment", 6.45),
    # wire 816.40 + 260.30 + 246.87 + 12.50 + 12.88 = 1348.95; × 6 % = 80.937
    ("overhead on wire", 80.94),
    # weaving 526.06 + finishing 15.00 = 541.06; × 38 % = 205.603
    ("overhead on weaving, finishing, cutting", 205.60),
    # cost 1348.95 + 526.06 + 15.00 + 26.33 + 39.44 + 286.54 = 2242.32; 18 % of the price is
    # 18/82 of the cost: 492.217
    ("margin on price", 492.22),
    # 2734.54 so far, and 111.48 m² is past the step at 100 m²: − 2 % = 54.691
    ("quantity break (credit)", -54.69),
    # 18.00 an order, shared: A 2679.85, B 1893.97 + 415.75 + 14.00 = 2323.72, of 5003.57;
    # 18.00 × 2679.85 / 5003.57 = 9.641
    ("order set-up", 9.64),
    # 2679.85 + 9.64 = 2689.49; × 15 % = 403.4235
    ("rush", 403.42),
    # 3092.91, up to the next 0.05
    ("rounding up", 0.04),
]
PRICE_A, COST_A = 3092.95, 2242.32

LINE_B = [
    # 21.50 USD per lb ÷ 0.45359237 × 0.86 EUR per USD = 40.763472 EUR per kg; × 25.760911 =
    # 1050.104
    ("base metal", 1050.10),
    # 0.5842 mm lies 842/1300 of the way from 0.50 (1.35) to 0.63 (1.05): 1.155692; × 25.760911 =
    # 29.772
    ("drawing extra", 29.77),
    # 433 ends, 3 m: π/4 × 0.5842² mm² × 8440 = 0.002262327 kg/m a wire; 2.938763 kg × 40.763472 =
    # 119.794
    ("warp waste", 119.79),
    # 1.5 × 0.9144 m² × 2.221860 = 3.047503 kg; × 40.763472 = 124.227
    ("ends' waste", 124.23),
    # 12.192 m × 12 / 0.0254 m = 5760 picks; 0.5842 mm lies 1842/2300 of the way from 95 to 82:
    # 84.588696; × 60 × 72 % = 3654.232 an hour; 1.576255 h × 38.50 = 60.686
    ("weaving", 60.69),
    # 36 in × 12 = 432 pitches, 433 ends; 433 ÷ 1500 + 0.75 = 1.038667 h × 41.00 = 42.585
    ("warp set-up", 42.59),
    # another cloth, so another run
    ("loom change", 90.00),
    # 11.148365 m² × 0.85 = 9.476, and the rollers set once
    ("calender", 9.48),
    ("calender, set-up", 45.00),
    # 24.770106 kg × 1.45 = 35.917, and the furnace once
    ("anneal", 35.92),
    ("anneal, set-up", 60.00),
    # a part roll is cut off once across its width: 0.9144 m × 0.18 = 0.165, and one cut
    ("cutting", 0.16),
    ("handling of cuts", 1.50),
    # 0.9144 m wide: the step at 0.1 m
    ("packing of rolls", 4.20),
    # 24.770106 kg × 3.00 per 100 kg = 0.743
    ("packing", 0.74),
    # 24.770106 kg × 14.50 per 100 kg = 3.592
    ("freight", 3.59),
    # the rest of 12.00
    ("freight, consignment", 5.55),
    # wire 1050.10 + 29.77 + 119.79 + 124.23 = 1323.89; × 6 % = 79.433
    ("overhead on wire", 79.43),
    # weaving 193.28 + finishing 150.40 + cutting 1.66 = 345.34; × 38 % = 131.229
    ("overhead on weaving, finishing, cutting", 131.23),
    # cost 1323.89 + 193.28 + 150.40 + 1.66 + 4.94 + 9.14 + 210.66 = 1893.97; × 18/82 = 415.750
    ("margin on price", 415.75),
    # 40 ft is neither a full roll nor a half
    ("part-roll surcharge", 14.00),
    # the rest of 18.00
    ("order set-up", 8.36),
    # 2332.08, up to the next 0.05
    ("rounding up", 0.02),
]
PRICE_B, COST_B = 2332.10, 1893.97


@pytest.fixture(scope="module")
def order() -> EstimateSet:
    enquiries = pd.DataFrame(
        {
            "order": ["H-1", "H-1"],
            "mesh_count": ["10 / in", "12 / in"],
            "wire_diameter": ["0.025 in", "0.023 in"],
            "alloy": ["304", "alloy 625"],
            "form": ["roll", "roll"],
            "width": ["48 in", "36 in"],
            "length": ["100 ft", "40 ft"],
            "quantity": ["3", "1"],
            "services": ["certificate, rush", "calender, anneal"],
        }
    )
    book = read_price_book(demo_data() / "price_book.toml")
    return estimate_list(enquiries, book, supply_policy=NO_HALVES)


@pytest.mark.parametrize(("line", "worked"), [(0, LINE_A), (1, LINE_B)])
def test_every_item_to_the_cent(
    order: EstimateSet, line: int, worked: list[tuple[str, float]]
) -> None:
    items = order.ledger.items_frame(np.array([line]))
    assert list(zip(items["label"], items["amount"], strict=True)) == worked


@pytest.mark.parametrize(
    ("line", "cost", "price", "worked"),
    [(0, COST_A, PRICE_A, LINE_A), (1, COST_B, PRICE_B, LINE_B)],
)
def test_cost_and_price_to_the_cent(
    order: EstimateSet, line: int, cost: float, price: float, worked: list[tuple[str, float]]
) -> None:
    assert (order.ledger.cost[line], order.ledger.price[line]) == (cost, price)
    assert round(sum(amount for _, amount in worked), 2) == price


def test_what_the_order_shares_adds_up(order: EstimateSet) -> None:
    items = order.ledger.items_frame()
    by_label = items.groupby("label")["amount"].sum().round(2)
    assert (by_label["freight, consignment"], by_label["order set-up"]) == (12.00, 18.00)


def test_mass_from_the_closed_form(order: EstimateSet) -> None:
    for line, (pitch, wire, density) in enumerate(
        [(2.54e-3, 0.635e-3, 7930.0), (METRES_PER_INCH / 12, 0.023 * METRES_PER_INCH, 8440.0)]
    ):
        theta = math.asin(2 * wire / math.hypot(pitch, wire)) - math.atan(wire / pitch)
        straight = (pitch - 2 * wire * math.sin(theta)) / math.cos(theta)
        path = (straight + 2 * wire * theta) / pitch
        expected = math.pi / 2 * wire**2 * density / pitch * path
        assert order.mass_per_area_kg_m2[line] == pytest.approx(expected, rel=1e-12)


def test_loom_hours_and_warp_ends_from_first_principles(order: EstimateSet) -> None:
    """A pick is one shute wire; an end is one warp wire; both lie one pitch apart."""
    items = order.ledger.items_frame()
    hours = items[items["label"] == "weaving"]["quantity"].to_numpy()
    set_up = items[items["label"] == "warp set-up"]["quantity"].to_numpy()
    shutes = np.array([3 * 1200 * 10, 480 * 12])  # inches of cloth times wires an inch
    per_minute = np.array([82 - 14 * 5 / 370, 95 - 13 * 184.2 / 230])
    np.testing.assert_allclose(hours, shutes / per_minute / 60 / 0.72, rtol=1e-12)
    ends = np.array([48 * 10 + 1, 36 * 12 + 1])
    np.testing.assert_allclose(set_up, ends / 1500 + 0.75, rtol=1e-12)


def test_tax_where_the_book_leaves_it_on(order: EstimateSet) -> None:
    """Twenty per cent on 3092.95 is 618.59, on 2332.10 it is 466.42."""
    book = dataclasses.replace(order.book, rules_disabled=())
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    log = MessageLog(2)
    ledger = price_columns(order.orders, rules, book, log, today=date(2026, 11, 1))
    assert ledger.before_tax.tolist() == [PRICE_A, PRICE_B]
    assert ledger.price.tolist() == [3711.54, 2798.52]


def test_the_old_rate_for_calendering_is_warned_about(order: EstimateSet) -> None:
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    log = MessageLog(2)
    price_columns(order.orders, rules, order.book, log, today=date(2026, 11, 1))
    said = [str(message) for message in log.by_line()[1]]
    assert list(log.by_line()) == [1]
    assert all("service.calender" in text and "244 days old" in text for text in said)
