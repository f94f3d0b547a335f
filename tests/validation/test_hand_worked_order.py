"""An order of five lines for one customer, priced by hand from the demo price book, to the cent.

The mill, its rates, the customer and the order are invented; the working is this file's own, in
decimals, each item rounded half-up to the cent before it is added to anything. From outside are
Peirce's circular-arc path (1937, closed form in the project's reference values) and the densities
of EN 10088-1 and ASTM G1 that the alloys' records name.

The order: two cloths, 304 at 10 mesh woven to order and carbon steel at 4 mesh from 40 m on hand.

1. 2 rolls, 48 in × 100 ft, 304          4. 1 roll, 36 in × 100 ft, carbon steel
2. 1 roll, 48 in × 49 ft, a half roll    5. 30 pieces, 200 mm × 150 mm, carbon steel
3. 4 strips, 300 mm × 10 m, 304

The customer's terms: 5 % discount; freight to the zone north, by pallets of 150 kg, 60.00 each for
one and 48.00 each from two; 304 indexed on a base of 1.00 per kg, the index at 1.24.
"""

from __future__ import annotations

import dataclasses
import math
import tomllib
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.agreed import for_customer
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.customer import parse_customer
from meshcore.demo import demo_data
from meshcore.estimates.results import EstimateSet
from meshcore.supply.policy import parse_supply_policy

DAY = date(2026, 10, 1)
CENT = Decimal("0.01")
TERMS = {
    "customer": {
        "name": "Bakery by the Weir", "payment": "30 days net", "incoterm": "DAP",
        "place": "Weir Yard", "zone": "north",
    },
    "rates": [
        {"key": "customer.discount", "amount": 5.0, "unit": "%", "date": DAY, "note": "agreed"},
        {"key": "surcharge.metal_index.base", "amount": 1.00, "currency": "EUR", "unit": "kg",
         "alloy": "304", "date": DAY, "note": "base agreed"},
        {"key": "surcharge.metal_index.value", "amount": 1.24, "currency": "EUR", "unit": "kg",
         "alloy": "304", "date": DAY, "note": "index of October"},
    ],
}  # fmt: skip
TARIFF = (
    Rate(key="freight.zone.north", amount=60.0, currency="EUR", unit="pallet", at="1 pallet",
         date=DAY, note="tariff"),
    Rate(key="freight.zone.north", amount=48.0, currency="EUR", unit="pallet", at="2 pallets",
         date=DAY, note="tariff"),
    Rate(key="freight.pallet_load", amount=150.0, unit="kg", date=DAY, note="tariff"),
)  # fmt: skip
FINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
COARSE = {"mesh_count": "4 / in", "wire_diameter": "0.063 in", "alloy": "carbon steel"}
LINES = [
    FINE | {"form": "roll", "width": "48 in", "length": "100 ft", "quantity": 2},
    FINE | {"form": "roll", "width": "48 in", "length": "49 ft", "quantity": 1},
    FINE | {"form": "strip", "width": "300 mm", "length": "10 m", "quantity": 4},
    COARSE | {"form": "roll", "width": "36 in", "length": "100 ft", "quantity": 1},
    COARSE | {"form": "piece", "shape": "rectangle", "dimensions": "200 mm x 150 mm",
              "quantity": 30},
]  # fmt: skip


def _book() -> PriceBook:
    demo = mc.demo_price_book()
    return dataclasses.replace(demo, rates=(*demo.rates, *TARIFF))


@pytest.fixture(scope="module")
def order() -> EstimateSet:
    policy = tomllib.loads((demo_data() / "supply_policy.toml").read_text("utf-8"))
    policy["stock"] = [COARSE | {"width": "36 in", "length": "40 m"}]
    return mc.estimate_list(
        pd.DataFrame(LINES).fillna(""),
        for_customer(_book(), parse_customer(TERMS, "terms")),
        parse_supply_policy(policy, "policy"),
    )


def mass_per_area(pitch_mm: float, wire_mm: float, density: float) -> float:
    """Peirce's arc: θ = asin(2d/√(p²+d²)) − atan(d/p), ℓ = (p − 2d·sin θ)/cos θ + 2dθ [kg/m²]."""
    angle = math.asin(2 * wire_mm / math.hypot(pitch_mm, wire_mm)) - math.atan(wire_mm / pitch_mm)
    straight = (pitch_mm - 2 * wire_mm * math.sin(angle)) / math.cos(angle)
    length = straight + 2 * wire_mm * angle
    return math.pi / 2 * wire_mm**2 * density / pitch_mm * length / pitch_mm / 1e3


def cents(amount: float | Decimal) -> Decimal:
    return Decimal(repr(float(amount))).quantize(CENT, ROUND_HALF_UP)


#: Net area [m²] and run [m] of each line. The four strips are cut from 48 in, in which lines 1
#: and 2 are woven: 1219.2 − 20 mm of trim hold three of 301 mm with their kerfs, two rows of 10 m.
#: On 60 in four lie side by side, 10 m of 1.524 m, and a warp and a loom change of their own come
#: to more than the 9.144 m² saved: 2,826.80 for the three lines and not 2,776.35. The pieces lie on
#: 36 in: 914.4 − 20 mm hold four of 200 + 3 mm, eight rows of 150 + 3 mm, or five of 153 mm, six
#: rows of 203 mm, which is 1.218 m against 1.224 m.
NET = (2 * 1.2192 * 30.48, 1.2192 * 14.9352, 4 * 0.3 * 10.0, 0.9144 * 30.48, 30 * 0.2 * 0.15)
RUN = (2 * 30.48, 14.9352, 20.0, 30.48, 6 * 0.203)
WIDTH = (1.2192, 1.2192, 1.2192, 0.9144, 0.9144)
FINE_LINES = (True, True, True, False, False)
#: Of 0.635 mm: extra between 0.63 (1.05) and 0.80 (0.82), picks between 0.63 (82) and 1.00 (68);
#: of 1.6002 mm: extra between 1.60 (0.45) and 2.50 (0.32), picks between 1.60 (52) and 2.50 (38).
EXTRA = {True: 1.05 - 0.23 * 5 / 170, False: 0.45 - 0.13 * 0.0002 / 0.9}
PICKS = {True: 82 - 14 * 5 / 370, False: 52 - 14 * 0.0002 / 0.9}
METAL, SURCHARGE = {True: 3.45, False: 1.15}, {True: 1.10, False: 0.0}
AREA_MASS = {True: mass_per_area(2.54, 0.635, 7930), False: mass_per_area(6.35, 1.6002, 7850)}
PITCH_M = {True: 0.00254, False: 0.00635}
#: Metres of cut and cuts: the half roll is cut across once; four strips have four slits along 10 m,
#: and each of their two rows the trim, and one cut across 1.2192 m; a piece is cut round. Rates by
#: form.
CUT_M = (0.0, 1.2192, 4 * 10.0 + 2 * 10.0 + 2 * 1.2192, 0.0, 30 * 0.7)
CUTS = (0, 1, 4 + 2 * 2, 0, 30)
CUT_RATES = ((0.18, 1.50), (0.18, 1.50), (0.22, 0.35), (0.18, 1.50), (0.34, 0.06))
#: Rolls to pack by width (4.20 below 1 m, 6.50 from it), and strips and pieces at 6.00 a hundred.
PACKED = (2 * 6.50, 6.50, 4 * 0.06, 4.20, 30 * 0.06)
#: One warp of 10 mesh in 48 in for 95.8952 m of lines 1 to 3, by length: 481 ends at 1,500 an hour
#: and 0.75 h to dress, at 41.00. The others come from stock.
WARP = (481 / 1500 + 0.75) * 41.0
#: The warp loses 3 m of its ends, and the run 1.5 m of cloth, at the price of the metal; the loom
#: is changed over for the run for 90.00.
WARP_LOST = 3 * 481 * math.pi / 4 * 0.635**2 * 7930 / 1e6 * 3.45
ENDS_LOST = 1.5 * 1.2192 * AREA_MASS[True] * 3.45
CHANGE = 90.0
#: 104.53 m² of 304 are past the step of 100 m², the carbon steel is below it.
BREAK = {True: Decimal("0.02"), False: Decimal(0)}


def shares(total: Decimal, weights: list[float]) -> list[Decimal]:
    """Share to the cent: each line up to where the running part of the whole lies, half-up."""
    running, before, parts = 0.0, Decimal(0), []
    for weight in weights:
        running += weight
        upto = cents(float(total) * running / sum(weights))
        parts.append(upto - before)
        before = upto
    return parts


def by_run(amount: float) -> list[Decimal]:
    """Share what the run in 48 in costs by the lengths of the lines that are woven in it."""
    return [*shares(cents(amount), list(RUN[:3])), Decimal(0), Decimal(0)]


def by_hand() -> list[Decimal]:
    mass = [net * AREA_MASS[f] for net, f in zip(NET, FINE_LINES, strict=True)]
    # 361.08 kg are three pallets of 150 kg: 3 × 48.00 = 144.00, by mass.
    assert math.ceil(sum(mass) / 150) == 3
    freight = shares(Decimal("144.00"), mass)
    set_up, change, warp_lost, ends_lost = map(by_run, (WARP, CHANGE, WARP_LOST, ENDS_LOST))
    subtotals: list[Decimal] = []
    for n, fine in enumerate(FINE_LINES):
        drawn = RUN[n] * WIDTH[n] * AREA_MASS[fine] * 1.04
        wire = sum(cents(drawn * r[fine]) for r in (METAL, SURCHARGE, EXTRA))
        wire += warp_lost[n] + ends_lost[n]
        loom = cents(RUN[n] / PITCH_M[fine] / (PICKS[fine] * 60 * 0.72) * 38.50)
        cut = cents(CUT_M[n] * CUT_RATES[n][0]) + cents(CUTS[n] * CUT_RATES[n][1])
        worked = loom + set_up[n] + change[n] + cut
        packing = cents(PACKED[n]) + cents(mass[n] * 0.03)
        cost = wire + worked + packing + freight[n]
        cost += cents(wire * Decimal("0.06")) + cents(worked * Decimal("0.38"))
        # 18 % of the price is 18/82 of the cost.
        price = cost + cents(float(cost) * 0.18 / 0.82)
        price -= cents(price * BREAK[fine])
        subtotals.append(price - cents(price * Decimal("0.05")))
    set_up_of_order = shares(Decimal("18.00"), [float(s) for s in subtotals])
    prices = []
    for n, fine in enumerate(FINE_LINES):
        # The index is 0.24 a kg above its base; what is delivered of 304 bears it.
        price = subtotals[n] + set_up_of_order[n] + (cents(mass[n] * 0.24) if fine else 0)
        steps = (price / Decimal("0.05")).to_integral_value(ROUND_CEILING)
        prices.append(steps * Decimal("0.05"))
    return prices


def test_the_order_comes_to_what_it_comes_to_by_hand(order: EstimateSet) -> None:
    assert order.table["status"].tolist() == ["ok"] * 5
    assert [cents(price) for price in order.ledger.price.tolist()] == by_hand()
    assert cents(sum(order.ledger.price.tolist())) == Decimal("3314.90")


def test_what_is_on_hand_is_taken_from_there_and_said(order: EstimateSet) -> None:
    assert order.orders.from_stock is not None
    assert order.orders.from_stock.tolist() == [False, False, False, True, True]
    items = order.cost_items()
    assert items[items["label"] == "warp set-up"]["line"].tolist() == [0, 1, 2]
    said = [m.text for line in (3, 4) for m in order.messages[line]]
    assert all("taken from stock, 40 m of it on hand" in text for text in said)


def test_the_terms_stand_with_the_book(order: EstimateSet) -> None:
    assert "DAP Weir Yard (Incoterms 2020), 30 days net" in order.book.note
