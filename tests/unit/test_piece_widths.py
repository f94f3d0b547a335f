"""Pieces of one order on several stock widths: each shape where it suits, if the price falls."""

from __future__ import annotations

from dataclasses import replace
from itertools import product

import numpy as np
import pandas as pd
import pytest
from run_charges import without_run_charges

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.supply.cutting import CuttingEffort, CuttingPlan
from meshcore.supply.nest_widths import best_widths
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.policy import SupplyPolicy

POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
#: So that a second width is worth its warp.
BOOK = without_run_charges(mc.read_price_book(demo_data() / "price_book.toml"))
CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "piece"}


def _pieces(*wanted: tuple[str, str, int]) -> pd.DataFrame:
    return pd.DataFrame(
        [CLOTH | {"shape": s, "dimensions": sizes, "quantity": n} for s, sizes, n in wanted]
    )


#: Rectangles that 60 in take with little waste, and triangles that do as well on less.
TWO_WIDTHS = _pieces(
    ("triangle", "side a 1068 mm, side b 1068 mm, side c 1068 mm", 38),
    ("rectangle", "1242 x 1308 mm", 12),
    ("triangle", "side a 695 mm, side b 695 mm, side c 695 mm", 55),
    ("triangle", "side a 356 mm, side b 356 mm, side c 356 mm", 16),
)


def test_shapes_are_parted_over_two_widths_where_the_price_falls() -> None:
    priced = mc.estimate_list(TWO_WIDTHS, BOOK, POLICY)
    by_width = {p.layout.length_by_width.popitem()[0]: p for p in priced.plans}
    assert len(by_width) == 2
    alone = [
        mc.estimate_list(TWO_WIDTHS, BOOK, _only(width)).table["price"].sum()
        for width in POLICY.widths_m
        if width > 1.3
    ]
    assert priced.table["price"].sum() < min(alone)
    laid = {row: n for p in priced.plans for row, n in _laid(p).items()}
    assert laid == {0: 38, 1: 12, 2: 55, 3: 16}


def test_each_width_bears_its_own_warp() -> None:
    """Hours to dress a warp by hand from the book: a wire a pitch, 1,500 an hour, 0.75 h."""
    priced = mc.estimate_list(TWO_WIDTHS, BOOK, POLICY)
    items = priced.cost_items()
    hours = items[items["label"] == "warp set-up"]["quantity"].sum()
    used = {round(w / 0.0254) for w in priced.supply.stock_width_m}
    due = [(round(w / 0.1) + 1) / 1500 + 0.75 for w in used]
    assert len(due) == 2
    assert hours == pytest.approx(sum(due), abs=1e-6)


def test_the_time_given_is_parted_too_and_the_price_never_above_that_without_it() -> None:
    parted = mc.estimate_list(TWO_WIDTHS, BOOK, POLICY, cutting=CuttingEffort(1.0))
    unasked = mc.estimate_list(TWO_WIDTHS, BOOK, POLICY)
    assert parted.table["price"].sum() <= unasked.table["price"].sum()


@pytest.mark.parametrize("seed", range(20))
def test_no_other_choice_of_widths_is_cheaper(seed: int) -> None:
    """Against every choice of a width for each shape, written out."""
    rng = np.random.default_rng(seed)
    cost, to_use = rng.uniform(1, 9, (4, 3)), rng.uniform(0, 6, 3)
    cost[rng.random((4, 3)) < 0.2] = np.inf
    cost[:, 2] = np.minimum(cost[:, 2], 9.0)

    def total(chosen: tuple[int, ...]) -> float:
        cloth = sum(float(cost[n, w]) for n, w in enumerate(chosen))
        return cloth + float(to_use[list(set(chosen))].sum())

    least = min(total(chosen) for chosen in product(range(3), repeat=4))
    assert total(tuple(best_widths(cost, to_use).tolist())) == pytest.approx(least)


def _only(width_m: float) -> SupplyPolicy:
    return replace(POLICY, widths_m=(width_m,), on_hand=())


def _laid(plan: CuttingPlan) -> dict[int, int]:
    assert isinstance(plan.layout, NestPlan)
    counts = np.zeros(len(plan.firsts), dtype=np.int64)
    for cloth in plan.layout.cloths:
        counts += cloth.repeats * np.bincount(cloth.placements.shape, minlength=len(counts))
    return dict(zip(plan.firsts.tolist(), counts.tolist(), strict=True))
