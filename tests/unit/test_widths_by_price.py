"""The stock width of strips and pieces is that of the least price, and pieces interlock.

The measure is the price with each stock width alone in the policy; no trade source.
"""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.demo import demo_data

POLICY = mc.read_supply_policy(demo_data() / "supply_policy.toml")
MESH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}


def strips(quantities: list[int], width: str = "100 mm", length: str = "3 m") -> pd.DataFrame:
    return pd.DataFrame(
        [{**MESH, "form": "strip", "width": width, "length": length, "quantity": q}
         for q in quantities]
    )  # fmt: skip


def prices(lines: pd.DataFrame, policy: mc.SupplyPolicy = POLICY) -> np.ndarray:
    return mc.estimate_list(lines, supply_policy=policy, lines_apart=True).ledger.price


def test_each_line_is_cut_from_the_width_of_the_least_price() -> None:
    rng = np.random.default_rng(20261125)
    rows = []
    for _ in range(200):
        form = str(rng.choice(["strip", "piece"]))
        w, h = rng.integers(40, 800, 2)
        size = {"width": f"{w} mm", "length": f"{h / 20:.1f} m", "dimensions": ""}
        box = {"width": "", "length": "", "dimensions": f"{w} mm x {h} mm"}
        cells = size if form == "strip" else box
        rows.append({**MESH, "form": form, "quantity": int(rng.integers(1, 400)), **cells})
    lines = pd.DataFrame(rows)
    found = prices(lines)
    each = [
        prices(lines, dataclasses.replace(POLICY, widths_m=(width,))) for width in POLICY.widths_m
    ]
    least = np.fmin.reduce(each)
    # What lies under a minimum, or one step of rounding, is one price for several widths.
    assert np.nanmax(found - least) <= 0.05 + 1e-9
    assert (found[~np.isnan(least)] > 0).all()


@pytest.mark.parametrize("width", ["100 mm", "140 mm", "310 mm"])
def test_more_strips_never_cost_less_below_the_breaks(width: str) -> None:
    """Area delivered stays under 100 m², where the first break begins."""
    share = float(width.removesuffix(" mm")) / 1000 * 3
    quantities = list(range(1, int(100 / share)))
    assert (np.diff(prices(strips(quantities, width))) >= 0).all()


def test_items_of_one_cloth_share_a_width_where_that_is_cheaper() -> None:
    """Apart, each would be cut from its own width and pay its own warp."""
    lines = pd.concat([strips([3], "430 mm", "2 m"), strips([2], "560 mm", "2 m")])
    together = mc.estimate_list(lines, supply_policy=POLICY)
    assert len(set(together.orders.warp.tolist())) == 1
    assert np.nansum(together.ledger.price) < np.nansum(prices(lines))


def test_triangles_are_laid_in_rows_that_interlock() -> None:
    """Turned by half, two triangles fill one box: far less cloth than boxes take."""
    asked = mc.Enquiry(
        mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
        form=mc.Piece("triangle", side_a="300 mm", side_b="300 mm", side_c="300 mm"),
        quantity=400,
    )  # fmt: skip
    priced = mc.estimate(asked, supply_policy=POLICY)
    row = priced.row
    boxes = 400 * 0.300 * 0.300 * np.sqrt(3) / 2
    assert row["gross_area_m2"] < 0.75 * boxes
    assert row["gross_area_m2"] > row["net_area_m2"]


def test_discs_are_staggered_without_planning() -> None:
    priced = mc.estimate(
        mc.Enquiry(
            mesh_count="10 / in",
            wire_diameter="0.025 in",
            alloy="304",
            form=mc.Piece("disc", diameter="200 mm"),
            quantity=500,
        ),
        supply_policy=POLICY,
    )
    assert 100 * np.pi / 4 < priced.row["yield_pct"] < 100 * np.pi / np.sqrt(12)


def test_a_price_that_falls_as_the_quantity_rises_is_said_with_the_better_quantity() -> None:
    """Strips of 0.366 m²: 274 of them reach 100 m², where the demonstration book gives 2 %."""
    one = strips([273], "120 mm", "3.05 m")
    asked = mc.estimate_list(one, supply_policy=POLICY)[0]
    more = mc.estimate_list(one.assign(quantity=274), supply_policy=POLICY)[0]
    assert more.price < asked.price
    (said,) = [m for m in asked.messages if m.code == "price.falls_with_quantity"]
    assert (said.field, said.read, said.severity) == ("quantity", "273", "note")
    assert f"274 cost less than 273: {more.price:,.2f} EUR where" in said.text
    assert f"273 cost {asked.price:,.2f} EUR, as a break" in said.text
    assert not [m for m in more.messages if m.code == "price.falls_with_quantity"]


def test_a_better_quantity_looks_at_all_lines_of_the_cloth() -> None:
    lines = strips([200, 73], "120 mm", "3.05 m")
    found = mc.estimate_list(lines, supply_policy=POLICY)
    texts = [[m.text for m in e.messages if m.code == "price.falls_with_quantity"] for e in found]
    assert "201 cost less than 200" in texts[0][0]
    assert "with the other lines of its cloth" in texts[1][0]


def test_far_below_a_break_nothing_is_said() -> None:
    found = mc.estimate_list(strips([200], "120 mm", "3.05 m"), supply_policy=POLICY)
    assert not [m for m in found[0].messages if m.code == "price.falls_with_quantity"]
