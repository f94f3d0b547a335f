"""Cuts that two rectangles share are made, and counted, once where pieces may touch."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
import shapely

import meshcore as mc
from meshcore.demo import demo_data
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.nesting.cut_lines import shared_m
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest
from meshcore.supply.shapes.outlines import rectangle
from meshcore.supply.shapes.texts import read_shape

TOUCHING = NestTerms((1.0,), 0.0, 0.0, 30.0)


def planned(order: NestOrder, terms: NestTerms) -> NestPlan:
    plan = nest(order, terms, seconds=0)
    assert isinstance(plan, NestPlan)
    return plan


def test_a_grid_of_squares_by_hand() -> None:
    """Four across and three along of 250 mm: 3·3 + 4·2 sides of 250 mm are shared."""
    plan = planned(NestOrder((rectangle(0.25, 0.25),), np.array([12])), TOUCHING)
    assert plan.length_m == pytest.approx(0.75)
    assert plan.common_cuts_m == pytest.approx(17 * 0.25)
    assert plan.cut_length_m == pytest.approx(12 * 1.0 - 17 * 0.25)


def test_pieces_kept_apart_share_no_cut() -> None:
    apart = planned(
        NestOrder((rectangle(0.25, 0.25),), np.array([9])), replace(TOUCHING, spacing_m=0.002)
    )
    assert apart.cut_length_m == pytest.approx(9.0)
    assert "cut_length_m" not in apart.supplied


@pytest.mark.parametrize("seed", range(8))
def test_against_the_union_of_lines_by_another_library(seed: int) -> None:
    """Against the length of the union of the outlines, by shapely's overlay."""
    rng = np.random.default_rng(seed)
    shapes = tuple(rectangle(*(rng.integers(2, 9, 2) * 0.05)) for _ in range(3))
    plan = planned(NestOrder(tuple(dict.fromkeys(shapes)), rng.integers(
        2, 9, len(set(shapes)))), TOUCHING)  # fmt: skip
    for cloth in plan.cloths:
        drawn = [shapely.box(*box).exterior for box in plan.boxes(cloth).tolist()]
        union = shapely.union_all(drawn, grid_size=1e-7).length
        whole = sum(line.length for line in drawn)
        assert shared_m(plan.boxes(cloth)) == pytest.approx(whole - union, abs=1e-5)


def test_discs_share_no_cut_though_their_boxes_touch() -> None:
    disc = read_shape("disc", "diameter 250 mm")
    assert not isinstance(disc, mc.Message)
    plan = planned(NestOrder((disc,), np.array([4])), TOUCHING)
    assert plan.common_cuts_m == 0.0


def test_a_planned_order_is_charged_for_the_cuts_that_are_made() -> None:
    policy = replace(mc.read_supply_policy(demo_data() / "supply_policy.toml"), spacing_m=0.0)
    book = mc.read_price_book(demo_data() / "price_book.toml")
    line = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "piece",
            "shape": "rectangle", "dimensions": "200 x 200 mm", "quantity": 40}  # fmt: skip
    table = pd.DataFrame([line])
    planned_cuts = mc.estimate_list(table, book, policy, cutting=CuttingEffort(0.5))
    whole = mc.estimate_list(table, book, policy, cutting=CuttingEffort(0))
    [plan] = planned_cuts.plans
    assert isinstance(plan.layout, NestPlan)
    assert planned_cuts.supply.cut_length_m[0] == pytest.approx(plan.layout.cut_length_m)
    assert planned_cuts.supply.cut_length_m[0] < whole.supply.cut_length_m[0] == pytest.approx(32.0)
    assert planned_cuts.table["price"].sum() < whole.table["price"].sum()
