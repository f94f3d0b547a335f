"""Equal circles in a strip: square and hexagonal rows, and the densest packing there is.

Rows of equal circles, square or hexagonal, are elementary geometry, worked out here afresh. That
no packing of the plane is denser than π/√12 is L. Fejes Tóth's theorem (1940); the bound for a
finite region is N. Oler, An inequality in the geometry of numbers, Acta Mathematica 105 (1961).
Both from memory.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import grid_plan, nest, quick_nest
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape

DENSEST = math.pi / math.sqrt(12.0)
#: Rounding of the closed forms on both sides [-].
ROUNDING = 1e-9


def square_rows(count: int, diameter: float, width: float, spacing: float) -> float:
    """Length of square rows across the strip, to the last circle's end."""
    pitch = diameter + spacing
    across = math.floor((width + spacing) / pitch + ROUNDING)
    return math.ceil(count / across) * pitch - spacing


def rows_across(count: int, diameter: float, width: float, spacing: float) -> float:
    """Hexagonal rows that run across: each next row half a pitch aside."""
    pitch = diameter + spacing
    full = math.floor((width + spacing) / pitch + ROUNDING)
    room_aside = full * pitch - spacing + pitch / 2 <= width * (1 + ROUNDING)
    second = full if room_aside else full - 1
    laid, rows = 0, 0
    while laid < count:
        laid += full if rows % 2 == 0 else second
        rows += 1
    return diameter + (rows - 1) * pitch * math.sqrt(3.0) / 2


def rows_along(count: int, diameter: float, width: float, spacing: float) -> float:
    """Hexagonal rows that run along: each next row half a pitch on."""
    pitch = diameter + spacing
    rows = 1 + math.floor((width - diameter) / (pitch * math.sqrt(3.0) / 2) + ROUNDING)
    ends = sorted(
        diameter + n * pitch + (row % 2) * pitch / 2 for row in range(rows) for n in range(count)
    )
    return ends[count - 1]


def case(number: int) -> tuple[int, float, float, float]:
    rng = np.random.default_rng(number)
    diameter = float(rng.uniform(0.03, 0.3))
    return int(rng.integers(5, 400)), diameter, float(rng.uniform(0.9, 2.0)), float(rng.choice(
        [0.0, 0.002, 0.01]))  # fmt: skip


def order_of(count: int, diameter: float) -> NestOrder:
    shape = read_shape("disc", f"diameter {diameter * 1e3:.9f} mm")
    assert isinstance(shape, Shape), shape
    return NestOrder((shape,), np.array([count]))


def terms_of(width: float, spacing: float) -> NestTerms:
    return NestTerms((width,), edge_trim_m=0.0, spacing_m=spacing, max_length_m=1000.0)


@pytest.mark.parametrize("number", range(100))
def test_at_least_as_good_as_the_best_rows(number: int) -> None:
    count, diameter, width, spacing = case(number)
    plan = nest(order_of(count, diameter), terms_of(width, spacing), seconds=0)
    assert isinstance(plan, NestPlan)
    rows = (square_rows, rows_across, rows_along)
    best = min(row(count, diameter, width, spacing) for row in rows)
    # A cloth is cut off one spacing after its last piece.
    assert (best + spacing) / plan.length_m >= 0.99
    grid = grid_plan(order_of(count, diameter), terms_of(width, spacing))
    assert isinstance(grid, NestPlan)
    assert plan.length_m <= grid.length_m * (1.0 + ROUNDING)
    assert grid.length_m == pytest.approx(square_rows(count, diameter, width, spacing) + spacing)
    assert plan.bound_m <= plan.length_m


def test_no_nest_is_denser_than_the_plane() -> None:
    """In wide strips without spacing the density nears π/√12 from below.

    Edges and ends cost about a radius each: of 60 diameters across, 2 %.
    """
    plan = quick_nest(order_of(20_000, 0.02), terms_of(1.2, 0.0))
    assert isinstance(plan, NestPlan)
    assert 0.98 * DENSEST < plan.yield_share < DENSEST


def test_olers_bound_is_met_by_one_row() -> None:
    """Circles in a strip just as wide lie in one row, and Oler's inequality is then an equality."""
    plan = quick_nest(order_of(50, 0.1), terms_of(0.1, 0.0))
    assert isinstance(plan, NestPlan)
    assert plan.length_m == pytest.approx(5.0, rel=1e-9)
    assert plan.gap == pytest.approx(0.0, abs=1e-9)
