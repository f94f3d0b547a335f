"""Slit plans against an independent model: the arc flow of J. M. Valério de Carvalho.

Annals of Operations Research 86, 1999 (from memory): a pattern across the cloth is a path from one
edge to the other, a strip an arc as long as it is wide, so that whole flows are plans of all
patterns at once. Here each stock width has its own flow, and its value are runs on rolls: full and
half ones, and part rolls at a charge. It is solved by scipy's HiGHS to its own proof, without
anything of meshcore. Widths are whole multiples of 10 mm, so nothing is rounded; costs are compared
to 1e-6, ten times the solver's tolerance.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from thorough import share

from meshcore.demo import demo_data
from meshcore.supply.policy import read_supply_policy
from meshcore.supply.slitting.plan import SlitPlan, SlitTerms, StripOrder, slit_terms
from meshcore.supply.slitting.planning import slit
from meshcore.supply.slitting.report import summary

GRID_M = 10e-3
LENGTHS_M = (4.0, 6.0, 7.62, 9.0, 10.0, 12.4968, 14.5, 20.0, 30.48)
#: The search ends by itself once its plan is proven; this is for a slow machine.
SECONDS = 90.0


def practical_terms(kerf_m: float) -> SlitTerms:
    """Stock of the demonstration policy with the charge that its lists are planned with."""
    policy = read_supply_policy(demo_data() / "supply_policy.toml")
    terms = slit_terms(policy, part_charge=policy.part_roll_charge_m * policy.widths_m[0])
    return SlitTerms(terms.stocks, policy.edge_trim_m, kerf_m, terms.join)


def practical_order(seed: int) -> tuple[StripOrder, SlitTerms]:
    rng = np.random.default_rng(seed)
    kinds = int(rng.integers(2, 6))
    widths = rng.choice(np.arange(3, 80), kinds, replace=False) * GRID_M
    length = float(rng.choice(LENGTHS_M))
    quantity = rng.integers(1, 24, kinds)
    return StripOrder(widths, np.full(kinds, length), quantity), practical_terms(seed % 2 * GRID_M)


def optimum(order: StripOrder, terms: SlitTerms) -> float:
    """Least cost by the arc flow."""
    from scipy.optimize import LinearConstraint, milp  # noqa: PLC0415
    from scipy.sparse import csr_array  # noqa: PLC0415

    length = float(order.length_m[0])
    sizes = [round((w + terms.kerf_m) / GRID_M) for w in order.width_m]
    costs: list[float] = []
    entries: list[tuple[int, int, float]] = []
    least: list[float] = [float(q) for q in order.quantity]
    most: list[float] = [math.inf] * len(sizes)
    for stock in terms.stocks:
        usable = stock.width_m - 2 * terms.edge_trim_m + terms.kerf_m
        edge = math.floor(usable / GRID_M + 1e-6)
        nodes = len(least)
        least += [0.0] * (edge + 1)
        most += [0.0] * (edge + 1)
        arcs = [(at, at + size, item) for item, size in enumerate(sizes)
                for at in range(edge + 1 - size)]  # fmt: skip
        arcs += [(at, at + 1, -1) for at in range(edge)]
        for start, end, item in arcs:
            variable = len(costs)
            costs.append(0.0)
            entries += [(nodes + start, variable, -1.0), (nodes + end, variable, 1.0)]
            if item >= 0:
                entries.append((item, variable, 1.0))
        rolls = stock.rolls
        bought = [(m * rolls.metre_cost, math.floor(m / length + 1e-9))
                  for m in (rolls.full_m, *rolls.halves_m)]  # fmt: skip
        bought += [(n * length * rolls.metre_cost + rolls.part_charge, n)
                   for n in range(1, math.floor(rolls.full_m / length + 1e-9) + 1)]  # fmt: skip
        free = len(least)
        least.append(0.0)
        most.append(math.inf)
        # Runs that leave the near edge are no more than the rolls hold.
        flow = len(costs)
        costs.append(0.0)
        entries += [(nodes, flow, 1.0), (nodes + edge, flow, -1.0), (free, flow, -1.0)]
        # A width that has a roll is charged for being used.
        used = len(least)
        least.append(0.0)
        most.append(math.inf)
        entries.append((used, len(costs), float(order.quantity.sum())))
        costs.append(stock.to_use)
        for cost, runs in bought:
            if runs:
                entries += [(free, len(costs), float(runs)), (used, len(costs), -1.0)]
                costs.append(cost)
    rows, columns, values = zip(*entries, strict=True)
    table = csr_array((values, (rows, columns)), shape=(len(least), len(costs)))
    found = milp(
        costs, integrality=np.ones(len(costs), dtype=np.int64),
        constraints=LinearConstraint(table, least, most),
        options={"mip_rel_gap": 0.0, "time_limit": 300.0},
    )  # fmt: skip
    assert found.status == 0
    return float(found.fun)


@pytest.mark.thorough
@pytest.mark.timed
@pytest.mark.parametrize("seed", share((1, 2, 4, 7, 11), range(1, 21)))
def test_no_plan_is_dearer_than_the_arc_flow_and_no_bound_above_it(seed: int) -> None:
    order, terms = practical_order(seed)
    least = optimum(order, terms)
    plan = slit(order, terms, SECONDS)
    assert isinstance(plan, SlitPlan)
    assert plan.cost <= least * (1 + 1e-6)
    assert plan.bound <= least * (1 + 1e-6)
    assert plan.gap <= 1e-6
    assert summary(plan).endswith("optimal: no plan costs less")


@pytest.mark.thorough
@pytest.mark.timed
@pytest.mark.parametrize("seed", share((3, 8), range(1, 21)))
def test_no_plan_is_dearer_where_widths_are_charged_for_being_used(seed: int) -> None:
    """Charges as a warp of each width costs, about 4 m² of cloth, the wider the more."""
    order, terms = practical_order(seed)
    charged = replace(terms, stocks=tuple(replace(s, to_use=3.0 + s.width_m) for s in terms.stocks))
    least = optimum(order, charged)
    plan = slit(order, charged, SECONDS)
    assert isinstance(plan, SlitPlan)
    assert plan.cost <= least * (1 + 1e-6)
    assert plan.bound <= least * (1 + 1e-6)
