"""A cutting plan over several stock widths: each width's warp is charged by its own ends."""

from __future__ import annotations

import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.slitting.plan import SlitPlan

POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
BOOK = mc.read_price_book(demo_data() / "price_book.toml")


def _strips(*wanted: tuple[str, int]) -> pd.DataFrame:
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "strip",
            "length": "20 m"}  # fmt: skip
    return pd.DataFrame([line | {"width": width, "quantity": n} for width, n in wanted])


def test_each_width_bears_the_set_up_of_its_own_ends() -> None:
    """At 10 / in, 48 in have 481 ends and 72 in have 721; 1,500 ends an hour, 0.75 h to dress."""
    priced = mc.estimate_list(_strips(("321 mm", 26)), BOOK, POLICY, cutting=CuttingEffort(0.5))
    [plan] = priced.plans
    assert isinstance(plan.layout, SlitPlan)
    assert {round(w / 0.0254): m for w, m in plan.layout.length_by_width.items()} == {
        48: 40.0, 72: 80.0,
    }  # fmt: skip
    items = priced.cost_items()
    set_up = items[items["label"] == "warp set-up"]
    assert set_up["quantity"].tolist() == pytest.approx([481 / 1500 + 0.75, 721 / 1500 + 0.75])
    assert set_up["amount"].tolist() == [43.90, 50.46]


def test_lines_share_each_width_by_what_they_take_of_it() -> None:
    priced = mc.estimate_list(
        _strips(("289 mm", 8), ("755 mm", 12)), BOOK, POLICY, cutting=CuttingEffort(0.5)
    )
    [plan] = priced.plans
    assert isinstance(plan.layout, SlitPlan)
    widths = plan.layout.length_by_width
    assert len(widths) == 2
    items = priced.cost_items()
    paid = items[items["label"] == "warp set-up"]["amount"].sum()
    due = sum(round((round(w / 0.00254) + 1) / 1500 * 41 + 0.75 * 41, 2) for w in widths)
    assert paid == pytest.approx(due, abs=0.005)
    runs = priced.orders.runs_by_width
    assert sum(length.sum() for length in runs.values()) == pytest.approx(plan.length_m)
