"""How firm a price is, its range from all that is open, and the explanation of it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from run_charges import without_run_charges

import meshcore as mc
from meshcore.demo import demo_supply_policy
from meshcore.estimates.firmness import budget_class, combined_range
from meshcore.estimates.reasons import tornado

BOOK = mc.demo_price_book()
ROLL = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 3}  # fmt: skip


def _priced(book: mc.PriceBook = BOOK, **cells: object) -> mc.EstimateSet:
    return mc.estimate_list(pd.DataFrame([ROLL | cells]), book)


def test_a_class_says_what_is_still_open() -> None:
    assert budget_class(_priced()).name == "firm"
    asked = budget_class(_priced(note="twice please"))
    assert (asked.name, "twice" in asked.why) == ("budget", True)
    assert budget_class(_priced(replace(BOOK, stand_in=True))).name == "rough"
    assert budget_class(_priced(wire_diameter="16 ga")).name == "none"


def test_range_and_tolerances_stand_together_and_combined() -> None:
    """The bill is price × length; both spread, so their ends lie beyond those of the rates."""
    priced = _priced()
    both = combined_range(priced)
    low, high = priced.table["price_min"][0], priced.table["price_max"][0]
    assert both.delivery == (low, high)
    assert both.both[0] < both.budget[0] < both.budget[1] < both.both[2]
    # Of independent spreads the variances add: that of ±10 % drawn evenly is (0.1)² ÷ 3.
    drawn = mc.budget_range(priced)
    spread = np.hypot(np.std(drawn.prices) / drawn.mean, 0.1 / np.sqrt(3.0)) * drawn.mean
    assert (both.both[2] - both.both[0]) / 2 == pytest.approx(1.30 * spread, rel=0.06)


def test_a_tornado_by_each_inputs_own_uncertainty() -> None:
    own = tornado(_priced(), own=True).set_index("driver")
    same = tornado(_priced()).set_index("driver")
    assert set(own.index) == {"wire.metal", "wire.alloy_surcharge", "weaving.efficiency", "yield"}
    # The metal's own uncertainty is the 10 % that all are moved by otherwise.
    assert own["swing"]["wire.metal"] == same["swing"]["wire.metal"]
    ratio = own["swing"]["wire.alloy_surcharge"] / same["swing"]["wire.alloy_surcharge"]
    assert ratio == pytest.approx(1.5, rel=0.01)


@pytest.mark.parametrize("cells", [
    {}, {"form": "strip", "width": "150 mm", "length": "10 m"},
    {"form": "piece", "shape": "disc", "dimensions": "diameter 200 mm", "width": "", "length": ""},
])  # fmt: skip
def test_an_explanation_begins_at_the_specification(cells: dict[str, object]) -> None:
    priced = mc.estimate_list(pd.DataFrame([ROLL | cells]), BOOK)
    text = priced[0].explain()
    row = priced.table.iloc[0]
    for figure in (row["mass_per_area_kg_m2"], row["net_area_m2"], row["gross_area_m2"]):
        assert f"{figure:.9g}" in text
    supply = priced.supply
    assert f"stock width {supply.stock_width_m[0] * 1e3:.9g} mm" in text
    assert f"run of {supply.run_length_m[0]:.9g} m" in text
    cut = f"cut {supply.cut_length_m[0]:.9g} m in" if supply.cut_count[0] else "no cuts"
    assert cut in text
    assert "ends = " in text


def test_an_explanation_says_what_each_base_holds() -> None:
    text = _priced()[0].explain()
    items = _priced().cost_items()
    wire = items[items["stage"] == "wire"]
    held = " + ".join(f"{label} {amount:,.2f}" for label, amount in
                      zip(wire["label"], wire["amount"], strict=True))  # fmt: skip
    assert f"of {held}\n" in text


def test_an_explanation_of_a_plan_names_its_widths_its_part_and_its_cuts() -> None:
    strip = ROLL | {"form": "strip", "length": "10 m"}
    lines = [
        ROLL | {"quantity": 2},
        strip | {"width": "150 mm", "quantity": 90},
        strip | {"width": "230 mm", "quantity": 50},
    ]
    # Two widths, so that each has its warp in the text.
    book = without_run_charges(BOOK)
    priced = mc.estimate_list(pd.DataFrame(lines), book, demo_supply_policy())
    [plan] = priced.plans
    assert len(plan.layout.length_by_width) > 1
    text = priced[1].explain()
    for width, length in plan.layout.length_by_width.items():
        assert f"{width * 1e3:.9g} mm × {length:.9g} m" in text
        # The ends of a mean width are the ends of no warp.
        assert f"{width:.9g} m ÷ 0.00254 m" in text
        assert f"1 warp(s) × ({round(width / 0.00254) + 1} ends" in text
    # 90 × 0.15 m and 50 × 0.23 m of one length: 135 of 250 m².
    assert "135 m² ÷ 250 m² = 0.54: a run of" in text
    assert (
        f"the line's part of the {plan.layout.supplied['cut_length_m']:.9g} m of the plan" in text
    )
