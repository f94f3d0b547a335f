"""The one-dimensional worked example published with the cutting-stock problem: 73 parents.

Widely published (parent width 5600; widths and demands as below); the optimum of 73 is the
published one. Widths are whole numbers, so nothing is rounded and the count is exact. The bound
is the linear programme of Gilmore and Gomory, rounded up to whole parents.
"""

from __future__ import annotations

import numpy as np
import pytest

from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.plan import SlitPlan, SlitStock, SlitTerms, StripOrder
from meshcore.supply.slitting.planning import slit

PARENT_MM = 5600
DEMAND = {
    1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
    2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
}  # fmt: skip
OPTIMUM = 73
LENGTH_M = 10.0


@pytest.fixture(scope="module")
def plan() -> SlitPlan:
    # A metre of cloth costs a tenth, so a parent of 10 m costs 1.
    parent = SlitStock(PARENT_MM / 1e3, RollTerms(full_m=LENGTH_M, metre_cost=1 / LENGTH_M))
    order = StripOrder(
        np.array(list(DEMAND)) / 1e3,
        np.full(len(DEMAND), LENGTH_M),
        np.array(list(DEMAND.values())),
    )
    found = slit(order, SlitTerms((parent,), edge_trim_m=0.0, kerf_m=0.0, join=False))
    assert isinstance(found, SlitPlan)
    return found


def test_optimum_is_found_and_proven(plan: SlitPlan) -> None:
    assert plan.cost == pytest.approx(OPTIMUM)
    assert plan.bound == pytest.approx(OPTIMUM)
    assert sum(run.repeats for run in plan.runs) == OPTIMUM


def test_every_pattern_fits_and_demand_is_met(plan: SlitPlan) -> None:
    for run in plan.runs:
        assert sum(round(lane.width_m * 1e3) for lane in run.lanes) <= PARENT_MM
    made = plan.produced
    assert (made >= plan.items.quantity).all()
    assert (plan.overs == made - plan.items.quantity).all()


def test_bound_is_the_linear_programme_of_all_patterns_rounded_up() -> None:
    """An independent solver: every maximal pattern listed by brute force, then scipy's linprog."""
    from scipy.optimize import linprog  # noqa: PLC0415

    widths = sorted(DEMAND, reverse=True)
    patterns: list[list[int]] = []

    def extend(counts: list[int], room: int) -> None:
        if len(counts) == len(widths):
            if room < min(widths):
                patterns.append(counts)
            return
        width = widths[len(counts)]
        for n in range(room // width, -1, -1):
            extend([*counts, n], room - n * width)

    extend([], PARENT_MM)
    yields = -np.array(patterns).T
    wanted = -np.array([DEMAND[w] for w in widths])
    found = linprog(np.ones(len(patterns)), A_ub=yields, b_ub=wanted)
    assert found.x is not None
    assert OPTIMUM - 1 < found.x.sum() <= OPTIMUM
