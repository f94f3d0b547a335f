"""Slit plans: what they hold must fit, add up and be bought."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from thorough import share

from meshcore.messages import Message
from meshcore.supply.offcuts import KeepTerms, worth_keeping
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.rolls import RollTerms, cheapest_mix, cheapest_width
from meshcore.supply.slitting.patterns import fill, fillings_worth
from meshcore.supply.slitting.plan import SlitPlan, SlitStock, SlitTerms, StripOrder, slit_terms
from meshcore.supply.slitting.planning import slit

TERMS = slit_terms(default_supply_policy())
KERFED = replace(TERMS, kerf_m=0.003)
WHOLE = replace(
    TERMS, stocks=tuple(replace(s, rolls=replace(s.rolls, part_m=None)) for s in TERMS.stocks)
)
_WIDTHS = default_supply_policy().widths_m
CHARGED = slit_terms(default_supply_policy(), [10.0 * w for w in _WIDTHS], part_charge=25.0)

#: What one step of the search may take beyond the budget where six processes share two cores [s].
BEYOND_S = 2.0


def order(*strips: tuple[float, float, int]) -> StripOrder:
    widths, lengths, quantities = zip(*strips, strict=True)
    return StripOrder(np.array(widths), np.array(lengths), np.array(quantities))


def planned(strips: StripOrder, terms: SlitTerms = TERMS, seconds: float = 1.0) -> SlitPlan:
    plan = slit(strips, terms, seconds)
    assert isinstance(plan, SlitPlan)
    return plan


def check(plan: SlitPlan) -> None:
    """Everything that must hold of any plan, worked out afresh."""
    terms, items = plan.terms, plan.items
    made = np.zeros(len(items.quantity), dtype=int)
    for run in plan.runs:
        width = terms.stocks[run.stock].width_m
        usable = width if run.as_woven else width - 2 * terms.edge_trim_m
        taken = sum(lane.width_m for lane in run.lanes) + terms.kerf_m * (len(run.lanes) - 1)
        assert taken <= usable + 1e-9
        for lane in run.lanes:
            assert sum(items.length_m[i] * n for i, n in lane.strips) <= run.length_m + 1e-9
            for i, n in lane.strips:
                assert items.width_m[i] == pytest.approx(lane.width_m)
                made[i] += n * run.repeats
    assert (made >= items.quantity).all()
    cost = 0.0
    for number, (stock, rolls) in enumerate(zip(terms.stocks, plan.rolls, strict=True)):
        runs = plan.runs_of_stock(number)
        held = np.zeros(len(runs), dtype=int)
        for roll in rolls:
            assert np.dot(roll.runs, [run.length_m for run in runs]) <= roll.length_m + 1e-6
            held += np.array(roll.runs) * roll.count
            charge = stock.rolls.part_charge if roll.kind == "part" else 0.0
            cost += (roll.length_m * stock.rolls.metre_cost + charge) * roll.count
            known = {"full": (stock.rolls.full_m,), "half": stock.rolls.halves_m}
            assert roll.kind == "part" or roll.length_m in known[roll.kind]
        assert held.tolist() == [run.repeats for run in runs]
    assert plan.cost == pytest.approx(cost)
    assert plan.bound <= plan.cost
    left = sum(offcut.area_m2 for offcut in plan.offcuts)
    produced = float((items.width_m * items.length_m) @ made)
    edges = sum(
        (terms.stocks[r.stock].width_m - plan.usable_m(r)) * r.length_m * r.repeats
        for r in plan.runs
    )
    # Of each run, between one kerf fewer than lanes and one a lane is lost.
    kerfs = sum(terms.kerf_m * len(r.lanes) * r.length_m * r.repeats for r in plan.runs)
    last = sum(terms.kerf_m * r.length_m * r.repeats for r in plan.runs)
    missing = plan.area_m2 - produced - left - edges
    assert kerfs - last - 1e-6 <= missing <= kerfs + 1e-6


STRIPS = st.lists(
    st.tuples(
        st.integers(20, 900).map(lambda mm: mm / 1e3),
        st.sampled_from([1.5, 3.0, 4.2, 10.0, 30.48]),
        st.integers(1, 12),
    ),
    min_size=1,
    max_size=6,
    unique_by=lambda s: s[:2],
)


@pytest.mark.thorough
@settings(max_examples=share(15, 50))
@given(strips=STRIPS, terms=st.sampled_from([TERMS, KERFED, WHOLE, CHARGED]))
def test_plans_fit_and_add_up(strips: list[tuple[float, float, int]], terms: SlitTerms) -> None:
    check(planned(order(*strips), terms, seconds=share(0.1, 0.3)))


def test_two_halves_of_a_width_need_one_run() -> None:
    plan = planned(order((0.452, 30.48, 2)))
    assert plan.cost == pytest.approx(0.9144 * 30.48)
    assert plan.gap == 0.0
    assert plan.overs.tolist() == [0]


def test_kerf_costs_a_strip() -> None:
    usable = 0.9144 - 0.010
    three = order((usable / 3, 30.48, 3))
    assert planned(three).cost < planned(three, KERFED).cost


def test_strip_as_wide_as_the_cloth_is_delivered_as_woven() -> None:
    plan = planned(order((1.2192, 10.0, 2)))
    assert [run.as_woven for run in plan.runs] == [True]
    assert plan.cost == pytest.approx(1.2192 * 20.0)
    assert plan.slit_length_m == 0.0


def test_overs_are_reported_and_not_delivered() -> None:
    # Three lie across, four are wanted: two runs, in which up to six would fit.
    stock = SlitStock(1.0, RollTerms(full_m=10.0, metre_cost=1.0))
    terms = SlitTerms((stock,), 0.0, 0.0, join=False)
    plan = planned(order((0.3, 10.0, 4)), terms)
    assert plan.cost == pytest.approx(20.0)
    assert (plan.overs >= 0).all()
    assert plan.net_area_m2 == pytest.approx(0.3 * 10.0 * 4)


def test_strips_longer_than_a_roll_are_refused_or_joined() -> None:
    long = order((0.4, 70.0, 2))
    refused = slit(long, TERMS)
    assert isinstance(refused, list)
    assert isinstance(refused[0], Message)
    assert refused[0].field == "length"
    plan = planned(long, replace(TERMS, join=True))
    check(plan)
    assert plan.joined_strips == 2
    (parts,) = plan.parts_of_strip
    assert sum(plan.items.length_m[i] * n for i, n in parts) == pytest.approx(70.0)


def test_strips_wider_than_any_cloth_are_refused() -> None:
    refused = slit(order((1.9, 1.0, 1), (0.5, 1.0, 1)), TERMS)
    assert isinstance(refused, list)
    assert [m.field for m in refused] == ["width"]


def test_nothing_ordered_is_misuse() -> None:
    with pytest.raises(ValueError, match="above zero"):
        slit(order((0.4, 1.0, 0)), TERMS)


def test_whole_rolls_only_are_bought_where_the_policy_has_no_parts() -> None:
    plan = planned(order((0.4, 5.0, 3)), WHOLE)
    check(plan)
    # Cheapest single roll that holds 5 m of three lanes or 15 m of one: the shorter half roll.
    assert plan.cost == pytest.approx(min(s.width_m for s in WHOLE.stocks) * 12.4968)


def test_same_seed_same_plan() -> None:
    strips = order((0.31, 30.48, 7), (0.27, 30.48, 5), (0.45, 30.48, 9))
    assert planned(strips).runs == planned(strips).runs


PROCESS = """
import math
import numpy as np
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.slitting.plan import StripOrder, slit_terms
from meshcore.supply.slitting.planning import slit
rng = np.random.default_rng(7)
terms = slit_terms(default_supply_policy(), part_charge=1.4)
for lengths in (np.full(6, 11.0), rng.choice([3.0, 4.2, 10.0], 6)):
    order = StripOrder(rng.integers(20, 800, 6) / 1e3, lengths, rng.integers(1, 20, 6))
    print(slit(order, terms, math.inf).runs)
"""


def test_without_a_clock_any_process_makes_the_same_plan() -> None:
    def runs() -> str:
        return subprocess.run(
            [sys.executable, "-c", PROCESS], capture_output=True, text=True, check=True
        ).stdout

    first = runs()
    assert first.count("RunLayout") + first.count("Run(") > 2
    assert runs() == first


def test_the_budget_holds_on_a_loaded_machine() -> None:
    """Two other processes at full load for every core; what one step takes may go beyond."""
    rng = np.random.default_rng(3)
    strips = StripOrder(
        rng.choice(np.arange(20, 800), 30, replace=False) / 1e3,
        rng.choice([1.5, 3.0, 4.2, 10.0], 30), rng.integers(1, 31, 30),
    )  # fmt: skip
    busy = [
        subprocess.Popen([sys.executable, "-c", "while True: pass"])
        for _ in range(2 * (os.cpu_count() or 1))
    ]
    try:
        began = time.monotonic()
        plan = slit(strips, CHARGED, seconds=3.0)
        took = time.monotonic() - began
    finally:
        for process in busy:
            process.kill()
            process.wait()
    assert isinstance(plan, SlitPlan)
    assert took < 3.0 + BEYOND_S


def test_exact_sums_of_rolls_are_found() -> None:
    """Every sum of up to three full rolls, six of 49 ft and six of 41 ft: none is bought over."""
    foot = 0.3048
    terms = RollTerms(100 * foot, (49 * foot, 41 * foot), (0.0, 100 * foot), 1.0, 4.5 * foot)
    sums = {100 * f + 49 * a + 41 * b for f, a, b in product(range(4), range(7), range(7))} - {0}
    feet = np.array(sorted(sums), dtype=np.float64)
    mix = cheapest_mix(feet * foot, terms)
    assert mix.length_m / foot == pytest.approx(feet, rel=1e-9)
    assert mix.cost / foot == pytest.approx(feet, rel=1e-9)
    assert not mix.parts.any()
    at = int(np.flatnonzero(feet == 213)[0])
    assert (mix.full[at], mix.halves[at].tolist()) == (0, [1, 4])


def test_offcuts_worth_keeping() -> None:
    plan = planned(order((0.5, 30.48, 1)))
    kept = worth_keeping(plan.offcuts, KeepTerms(0.3, 1.0, 0.5))
    assert [o.where for o in kept] == ["beside the strips"]
    assert kept[0].width_m == pytest.approx(0.9144 - 0.010 - 0.5)


@settings(deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(1, 12), st.integers(0, 20), st.integers(0, 4)), min_size=1, max_size=4
    ),
    st.integers(0, 40),
)
def test_knapsack_against_brute_force(items: list[tuple[int, int, int]], capacity: int) -> None:
    sizes, worths, most = (np.array(column) for column in zip(*items, strict=True))
    options = np.array(np.meshgrid(*[np.arange(m + 1) for m in most])).reshape(len(items), -1).T
    fits = options[options @ sizes <= capacity]
    best = fill(sizes, worths.astype(float), most, capacity)
    counts = best.filling(capacity)
    assert best.worth[capacity] == (fits @ worths).max()
    assert counts @ worths == best.worth[capacity]
    assert counts @ sizes <= capacity
    assert (counts <= most).all()
    least = float((fits @ worths).max()) * 0.8
    listed = fillings_worth(sizes, worths.astype(float), most, capacity, least, 10_000)
    wanted = {tuple(row) for row in fits.tolist() if np.dot(row, worths) >= least * (1 - 1e-9)}
    assert set(listed) == wanted


@settings(deadline=None)
@given(
    st.floats(0.1, 400.0),
    st.sampled_from([(), (15.0,), (12.5, 15.0)]),
    st.sampled_from([None, (0.0, 30.0), (5.0, 30.0)]),
    st.sampled_from([0.0, 3.0]),
)
def test_cheapest_mix_against_integer_programme(
    required: float,
    halves: tuple[float, ...],
    part: tuple[float, float] | None,
    charge: float,
) -> None:
    from scipy.optimize import LinearConstraint, milp  # noqa: PLC0415

    terms = RollTerms(30.0, halves, part, 2.0, charge)
    mix = cheapest_mix(np.array([required]), terms)
    lengths = [30.0, *halves]
    costs = [2.0 * m for m in lengths]
    rows = [[*lengths, 1.0, 0.0]]
    least = [required]
    if part:
        rows += [[*[0.0] * len(lengths), -1.0, part[1]], [*[0.0] * len(lengths), 1.0, -part[0]]]
        least += [0.0, 0.0]
    found = milp(
        [*costs, 2.0 if part else 1e6, charge if part else 1e6],
        integrality=np.array([*[1] * len(lengths), 0, 1]),
        constraints=LinearConstraint(np.array(rows), lb=least),
        options={"mip_rel_gap": 0.0},
    )
    assert mix.cost[0] == pytest.approx(found.fun, rel=1e-6)
    bought = mix.full[0] * 30.0 + float(mix.halves[0] @ np.array(halves or [])) + mix.part_m[0]
    assert bought == pytest.approx(mix.length_m[0])
    assert bought >= required * (1 - 1e-9)
    if part and mix.parts[0]:
        assert part[0] * mix.parts[0] <= mix.part_m[0] * (1 + 1e-9)
        assert mix.part_m[0] <= part[1] * mix.parts[0] * (1 + 1e-9)


def test_cheapest_width_takes_a_wider_cloth_where_it_costs_less() -> None:
    chosen = cheapest_width(
        np.array([0.8, 0.9144]), np.array([0.9144, 1.2192]), np.array([12.0, 11.0]), 0.005
    )
    assert chosen.tolist() == [1, 1]
