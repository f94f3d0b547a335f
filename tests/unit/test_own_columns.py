"""Pricing rules see the columns of a list that nothing else reads, and cannot change them."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pandas as pd

import meshcore as mc
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import Rates

LINES = pd.DataFrame(
    {
        "mesh_count": "10 / in",
        "wire_diameter": "0.025 in",
        "alloy": "304",
        "form": "roll",
        "width": "48 in",
        "length": "100 ft",
        "quantity": 2,
        "Kunde": ["Harrow Vale", "Fellside"],
        "Zone": [1, 3],
    }
)


def zone_freight(columns: OrderColumns, _rates: Rates) -> Iterable[mc.CostColumn]:
    zone = np.asarray(columns.own["Zone"], dtype=np.float64)
    yield mc.CostColumn("zone freight", "zones", zone, "line", 10.0, "agreed by zone")


def patron(columns: OrderColumns, _rates: Rates) -> Iterable[mc.CostColumn]:
    share = np.where(columns.own["Kunde"] == "Fellside", 0.05, 0.0)
    yield mc.CostColumn("customer (credit)", "subtotal", 0.0, "", share, "terms of the customer",
                        base=("subtotal",), credit=True)  # fmt: skip


def meddling(columns: OrderColumns, _rates: Rates) -> Iterable[mc.CostColumn]:
    columns.own["Zone"][:] = 0.0
    yield mc.CostColumn("nothing", "lines", 0.0, "line", 1.0, "test")


def amounts(estimates: mc.EstimateSet, label: str) -> list[float]:
    (item,) = [i for i in estimates.ledger.items if i.label == label]
    return [float(minor) / 100.0 for minor in item.minor]


def test_a_rule_charges_by_a_column_of_the_list() -> None:
    with mc.register_rules(mc.PricingRule("zone freight", "freight", zone_freight)):
        priced = mc.estimate_list(LINES)
    assert amounts(priced, "zone freight") == [10.0, 30.0]


def test_a_rule_gives_a_customer_his_discount() -> None:
    with mc.register_rules(mc.PricingRule("patron", "breaks and minimums", patron)):
        priced = mc.estimate_list(LINES)
    given = amounts(priced, "customer (credit)")
    assert given[0] == 0.0
    assert given[1] < -50.0


def test_a_rule_that_writes_into_them_is_set_aside() -> None:
    with mc.register_rules(mc.PricingRule("meddling", "freight", meddling)):
        priced = mc.estimate_list(LINES)
    assert "read-only" in str(priced.faults[0])
    assert priced.orders.own["Zone"].tolist() == [1.0, 3.0]


def test_a_range_keeps_them_with_their_lines() -> None:
    with mc.register_rules(mc.PricingRule("zone freight", "freight", zone_freight)):
        priced = mc.estimate_list(LINES)
        found = mc.budget_range(priced, [1], draws=50)
    assert found.nominal == priced[1].price
