"""A list is planned unasked where that takes no time: never dearer, and alike on every machine."""

from __future__ import annotations

import time
from dataclasses import replace
from functools import cache

import numpy as np
import pandas as pd
import pytest
from thorough import share

import meshcore as mc
from meshcore.demo import demo_supply_policy
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.nesting import planning as nesting
from meshcore.supply.policy import policy_from_values

BOOK, POLICY = mc.demo_price_book(), demo_supply_policy()
CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
WHOLE_ROWS = CuttingEffort(0)
#: Random orders that are priced with a plan and without; the tests look at eight of them at least.
ORDERS = share(12, 300)
#: A price is rounded up to this, line by line [EUR]: a line more may be a step more.
STEP = 0.05


def strips(rng: np.random.Generator, lines: int) -> pd.DataFrame:
    """Strips of several widths and lengths in one cloth."""
    widths, counts = rng.integers(20, 600, lines), rng.integers(2, 40, lines)
    lengths = rng.choice(np.array(["7.5 m", "10 m", "30 m"]), lines)
    return pd.DataFrame(
        [CLOTH | {"form": "strip", "width": f"{w} mm", "length": m, "quantity": int(n)}
         for w, m, n in zip(widths, lengths, counts, strict=True)]
    )  # fmt: skip


def pieces(rng: np.random.Generator, lines: int) -> pd.DataFrame:
    """Pieces of several shapes in one cloth."""
    rows = []
    for _ in range(lines):
        a, b = rng.integers(60, 600, 2)
        shape, sizes = (
            ("rectangle", f"{a} x {b} mm"),
            ("disc", f"diameter {a} mm"),
            ("triangle", f"side a {a} mm, side b {a} mm, side c {a} mm"),
        )[rng.integers(3)]
        quantity = int(rng.integers(2, 40))
        rows.append(
            CLOTH | {"form": "piece", "shape": shape, "dimensions": sizes, "quantity": quantity}
        )
    return pd.DataFrame(rows)


@cache
def orders() -> tuple[pd.DataFrame, ...]:
    """Random orders, of strips and of pieces by turns."""
    rng = np.random.default_rng(20261126)
    kinds = (strips, pieces)
    return tuple(kinds[number % 2](rng, int(rng.integers(2, 5))) for number in range(ORDERS))


def price(lines: pd.DataFrame, cutting: CuttingEffort | None = None) -> float:
    return float(mc.estimate_table(lines, BOOK, POLICY, cutting=cutting)["price"].sum())


@cache
def price_unasked(number: int) -> float:
    """What an order of `orders` costs, planned unasked; worked out once for all tests."""
    return price(orders()[number])


@pytest.mark.thorough
def test_a_plan_unasked_is_never_dearer_than_whole_rows_or_the_lines_apart() -> None:
    cheaper = 0
    for number, lines in enumerate(orders()):
        planned = price_unasked(number)
        whole = price(lines, WHOLE_ROWS)
        apart = mc.estimate_list(lines, BOOK, POLICY, lines_apart=True).table["price"].sum()
        assert planned <= min(whole, apart) + 1e-9
        cheaper += planned < whole
    assert cheaper >= ORDERS // 2


def test_no_clock_has_a_say(monkeypatch: pytest.MonkeyPatch) -> None:
    quick = [price_unasked(number) for number in range(4)]
    nesting._remembered.clear()
    # Each look at the clock finds an hour gone: whatever is left by time would end at once.
    hours = iter(range(0, 10**9, 3600))
    monkeypatch.setattr(time, "monotonic", lambda: float(next(hours)))
    assert [price(one) for one in orders()[:4]] == quick


def test_parting_a_line_changes_no_plan() -> None:
    for number, lines in enumerate(orders()[:6]):
        first = int(lines["quantity"].iloc[0])
        parted = pd.concat([lines.iloc[:1], lines], ignore_index=True)
        parted.loc[[0, 1], "quantity"] = [1, first - 1]
        assert price(parted) == pytest.approx(price_unasked(number), abs=STEP * len(parted))


def test_a_width_more_is_taken_only_where_it_saves_more_than_its_warp() -> None:
    for number in range(0, 8, 2):
        lines = orders()[number]
        alone = min(
            float(mc.estimate_table(lines, BOOK, replace(POLICY, widths_m=(width,)))["price"].sum())
            for width in POLICY.widths_m
        )
        assert price_unasked(number) <= alone + STEP * len(lines)


def test_what_would_take_long_is_not_planned_unasked() -> None:
    lines = strips(np.random.default_rng(3), 4)
    assert mc.estimate_list(lines, BOOK, POLICY).plans
    hurried = replace(POLICY, planning_s=0.3)
    assert not mc.estimate_list(lines, BOOK, hurried).plans
    assert not mc.estimate_list(lines, BOOK, replace(POLICY, planning_s=0.0)).plans
    long = pd.concat([lines.assign(order=n) for n in range(3)], ignore_index=True)
    assert not mc.estimate_list(long, BOOK, POLICY).plans


def test_a_line_of_its_own_is_laid_in_rows_and_closed_forms() -> None:
    for lines in orders()[:2]:
        assert not mc.estimate_list(lines.iloc[:1], BOOK, POLICY).plans
        assert not mc.estimate_list(lines, BOOK, POLICY, lines_apart=True).plans


def test_what_was_saved_before_is_priced_again_without_plans() -> None:
    import dataclasses  # noqa: PLC0415 - as a saved estimate keeps it

    kept = dataclasses.asdict(POLICY)
    del kept["planning_s"]
    assert policy_from_values(kept).planning_s == 0.0


def test_triangles_are_laid_in_interlocking_rows_without_a_plan() -> None:
    sizes = "side a 300 mm, side b 300 mm, side c 300 mm"
    line = CLOTH | {"form": "piece", "shape": "triangle", "dimensions": sizes, "quantity": 60}
    supply = mc.estimate_list(pd.DataFrame([line]), BOOK, POLICY).supply
    # In rows of boxes 0.3 m x 0.26 m with 3 mm between them they would take 5.5 m2.
    net = 60 * np.sqrt(3.0) / 4.0 * 0.3**2
    assert net < supply.gross_area_m2[0] < 1.3 * net
