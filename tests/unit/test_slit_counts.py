"""Slit plans worked by hand in round numbers: rolls, slits, offcuts, overs, and their limits."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from meshcore.messages import Message
from meshcore.supply.offcuts import Offcut
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.bounds import rolls_bound
from meshcore.supply.slitting.patterns import cells_down, cells_up, common_grid
from meshcore.supply.slitting.plan import Lane, Run, SlitPlan, SlitStock, SlitTerms, StripOrder
from meshcore.supply.slitting.planning import slit
from meshcore.supply.slitting.report import report_lines
from meshcore.supply.slitting.roll_packing import PackedRoll, pack_rolls
from meshcore.supply.slitting.runs import run_lengths

ROLLS = RollTerms(30.0, (15.0,), (0.0, 30.0), metre_cost=2.0)
#: 1 m cloth, 980 mm of it usable.
TERMS = SlitTerms((SlitStock(1.0, ROLLS),), edge_trim_m=0.010, kerf_m=0.002, join=False)
#: Whole and half rolls only.
WHOLE = replace(TERMS, stocks=(SlitStock(1.0, replace(ROLLS, part_m=None)),))


#: Any length, at the cost of its cloth.
BY_THE_METRE = replace(TERMS, stocks=(SlitStock(1.0, replace(ROLLS, halves_m=())),))


def order(*strips: tuple[float, float, int]) -> StripOrder:
    widths, lengths, quantities = zip(*strips, strict=True)
    return StripOrder(np.array(widths), np.array(lengths), np.array(quantities))


def planned(strips: StripOrder, terms: SlitTerms = TERMS) -> SlitPlan:
    plan = slit(strips, terms, seconds=5.0)
    assert isinstance(plan, SlitPlan)
    return plan


@pytest.fixture
def plan() -> SlitPlan:
    """Two runs of 10 m: two lanes of 300 mm, one of 200 mm with two strips of 5 m end to end."""
    strips = order((0.3, 10.0, 4), (0.2, 5.0, 3))
    lanes = (Lane(0.3, ((0, 1),)), Lane(0.3, ((0, 1),)), Lane(0.2, ((1, 2),)))
    runs = (Run(0, 10.0, lanes, 2),)
    rolls = ((PackedRoll("full", 30.0, (2,), 1, 60.0),),)
    parts = (((0, 1),), ((1, 1),))
    return SlitPlan(strips, TERMS, strips, parts, runs, rolls, cost=60.0, bound=48.0)


def test_figures_of_a_plan(plan: SlitPlan) -> None:
    assert plan.gap == pytest.approx(0.25)
    assert replace(plan, bound=70.0).gap == 0.0
    assert plan.produced.tolist() == [4, 4]
    assert plan.overs.tolist() == [0, 1]
    (note,) = plan.notes
    assert note.text.startswith("1 strips over")
    assert plan.joined_strips == 0
    assert replace(plan, parts_of_strip=(((0, 2),), ((1, 1),))).joined_strips == 4
    assert plan.net_area_m2 == pytest.approx(4 * 3.0 + 3 * 1.0)
    assert (plan.area_m2, plan.length_m, plan.yield_share) == (30.0, 30.0, 0.5)
    assert (plan.roll_count, plan.part_roll_count) == (1, 0)


def test_slits_of_a_plan(plan: SlitPlan) -> None:
    """One at the near edge and one along each of three lanes; each 10 m long, twice."""
    assert plan.slit_length_m == 4 * 10.0 * 2
    untrimmed = replace(plan, terms=replace(TERMS, edge_trim_m=0.0))
    assert untrimmed.slit_length_m == 3 * 10.0 * 2
    full = (Lane(0.3, ((0, 1),)), Lane(0.3, ((0, 1),)), Lane(0.376, ((1, 2),)))
    exact = replace(plan, runs=(Run(0, 10.0, full, 2),), terms=replace(TERMS, kerf_m=0.0))
    assert exact.usable_m(exact.runs[0]) == pytest.approx(0.98)
    assert exact.slit_length_m == 4 * 10.0 * 2
    filled = (*full[:2], Lane(0.38, ((1, 2),)))
    exact = replace(exact, runs=(Run(0, 10.0, filled, 2),))
    assert exact.slit_length_m == 4 * 10.0 * 2
    as_woven = replace(plan, runs=(Run(0, 10.0, (Lane(1.0, ((0, 1),)),), 2, as_woven=True),))
    assert as_woven.slit_length_m == 0
    assert as_woven.usable_m(as_woven.runs[0]) == 1.0


def test_what_is_left_of_a_plan(plan: SlitPlan) -> None:
    """980 mm less 800 mm of lanes and a kerf for each; of 30 m, two runs of 10 m."""
    assert plan.offcuts == (
        Offcut("beside the strips", 0.174, 10.0, 2),
        Offcut("end of a roll", 1.0, 10.0, 1),
    )
    short = (*plan.runs[0].lanes[:2], Lane(0.2, ((1, 1),)))
    less = replace(plan, runs=(Run(0, 10.0, short, 2),))
    assert Offcut("end of a lane", 0.2, 5.0, 2) in less.offcuts


def test_a_plan_in_words(plan: SlitPlan) -> None:
    assert report_lines(replace(plan, parts_of_strip=(((0, 2),), ((1, 1),)))) == [
        "buy 1 full roll 1000 mm × 30.000 m",
        "slit 2 × 10.000 m of 1000 mm cloth: 2 × 300 mm, 1 × 200 mm",
        "left 2 × 174 mm × 10.000 m beside the strips",
        "left 1 × 1000 mm × 10.000 m end of a roll",
        "over 1 strips of 200 mm × 5.000 m: not ordered, not billed",
        "join 4 strips that are longer than a roll",
        "30.00 m² bought, 50.0 % of it ordered; at most 25 % above the least possible cost",
    ]
    assert "2 full rolls" in report_lines(
        replace(plan, rolls=((PackedRoll("full", 30.0, (1,), 2, 60.0),),))
    )[0]  # fmt: skip
    assert report_lines(replace(plan, bound=60.0))[-1].endswith("optimal: no plan costs less")


@pytest.mark.parametrize(
    ("width", "length", "fields"),
    [
        (0.98, 30.0, []),
        (0.9801, 30.0, ["width"]),
        (1.0, 30.0, []),  # as woven
        (1.001, 30.0, ["width"]),
        (0.5, 30.01, ["length"]),
        (0.99, 31.0, ["width", "length"]),
    ],
)
def test_what_can_be_slit(width: float, length: float, fields: list[str]) -> None:
    answer = slit(order((width, length, 1)), TERMS, seconds=1.0)
    refused = [] if isinstance(answer, SlitPlan) else answer
    assert [message.field for message in refused] == fields
    for message in refused:
        assert isinstance(message, Message)
        assert ("980 mm" if message.field == "width" else "30 m") in message.text


@pytest.mark.parametrize(("width", "across"), [(0.1944, 5), (0.1945, 4), (0.489, 2), (0.4891, 1)])
def test_lanes_fill_the_usable_width_to_the_last_kerf(width: float, across: int) -> None:
    """Five lanes of 194.4 mm and four kerfs of 2 mm are 980 mm."""
    one, two = (planned(order((width, 10.0, n)), BY_THE_METRE) for n in (across, across + 1))
    assert (one.length_m, two.length_m) == (10.0, 20.0)
    assert (one.gap, two.gap) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("strips", "length"),
    [
        (((1.0, 10.0, 2),), 20.0),
        (((1.0, 10.0, 2), (0.5, 10.0, 1)), 30.0),
        (((1.0, 10.0, 2), (1.0, 7.0, 1)), 27.0),
        (((1.0, 10.0, 1), (0.5, 5.0, 1)), 15.0),
        (((1.0, 29.9, 1), (0.48, 5.0, 2)), 34.9),
        (((1.0, 30.0, 1), (0.48, 5.0, 2)), 35.0),
    ],
)
def test_strips_as_wide_as_the_widest_cloth(
    strips: tuple[tuple[float, float, int], ...], length: float
) -> None:
    made = planned(order(*strips), BY_THE_METRE)
    assert made.length_m == pytest.approx(length)
    assert made.overs.sum() == 0
    woven_m = sum(run.length_m * run.repeats for run in made.runs if run.as_woven)
    assert woven_m == pytest.approx(sum(m * n for width, m, n in strips if width == 1.0))


@pytest.mark.parametrize(
    ("strips", "rolls"),
    [
        (3, [("full", 30.0, 1)]),
        (4, [("full", 30.0, 1), ("half", 15.0, 1)]),
        (7, [("full", 30.0, 2), ("half", 15.0, 1)]),
    ],
)
def test_runs_onto_whole_rolls(strips: int, rolls: list[tuple[str, float, int]]) -> None:
    """Strips of 600 mm lie alone on runs of 10 m, three to a roll, one to a half roll."""
    made = planned(order((0.6, 10.0, strips)), WHOLE)
    (packed,) = made.rolls
    assert sorted((roll.kind, roll.length_m, roll.count) for roll in packed) == sorted(rolls)
    assert made.cost == pytest.approx(sum(2.0 * length * n for _, length, n in rolls))
    assert made.length_m == sum(length * n for _, length, n in rolls)


def test_mixed_lengths_share_their_lanes() -> None:
    """Strips of 490 mm: 20 m + 10 m in one lane, 15 m + 15 m in the other, a full roll in all."""
    terms = replace(TERMS, edge_trim_m=0.010, kerf_m=0.0)
    made = planned(order((0.49, 20.0, 1), (0.49, 10.0, 1), (0.49, 15.0, 2)), terms)
    assert made.cost == pytest.approx(60.0)
    assert made.gap == pytest.approx(0.0, abs=1e-9)
    assert made.overs.tolist() == [0, 0, 0]
    assert made.slit_length_m == pytest.approx(3 * 30.0)


@pytest.mark.parametrize(
    ("length", "kind", "bought", "cost"),
    [
        (30.0, "full", 30.0, 60.0),
        (15.0, "half", 15.0, 30.0),
        (14.0, "half", 15.0, 30.0),
        (13.0, "part", 13.0, 26.0 + 3.0),
        (15.1, "part", 15.1, 30.2 + 3.0),
        (29.0, "full", 30.0, 60.0),
        (2.0, "part", 5.0, 10.0 + 3.0),
    ],
)
def test_a_run_is_bought_in_the_cheapest_roll(
    length: float, kind: str, bought: float, cost: float
) -> None:
    """Part rolls from 5 m on at a charge of 3: 14 m cost 31 as a part, 30 as a half roll."""
    terms = replace(ROLLS, part_m=(5.0, 30.0), part_charge=3.0)
    (roll,) = pack_rolls(np.array([length]), np.array([1]), terms)
    assert (roll.kind, roll.count) == (kind, 1)
    assert roll.length_m == pytest.approx(bought)
    assert roll.cost == pytest.approx(cost)


def test_runs_of_one_length_are_told_apart_on_their_rolls() -> None:
    rolls = pack_rolls(
        np.array([10.0, 10.0, 15.0]), np.array([2, 1, 2]), replace(ROLLS, part_m=None)
    )
    held = np.sum([np.array(roll.runs) * roll.count for roll in rolls], axis=0)
    assert held.tolist() == [2, 1, 2]
    assert sum(roll.cost * roll.count for roll in rolls) == pytest.approx(120.0)
    for roll in rolls:
        assert np.dot(roll.runs, [10.0, 10.0, 15.0]) <= roll.length_m


def test_runs_of_one_length_fill_alike_rolls_alike() -> None:
    """Nine runs of 10 m as 4, 3 and 2 of three patterns: each roll of 30 m holds three of them."""
    counts = np.array([4, 3, 2])
    rolls = pack_rolls(np.array([10.0, 10.0, 10.0]), counts, replace(ROLLS, part_m=None))
    assert sum(roll.count for roll in rolls) == 3
    assert all(sum(roll.runs) == 3 for roll in rolls)
    held = np.sum([np.array(roll.runs) * roll.count for roll in rolls], axis=0)
    assert held.tolist() == counts.tolist()


def test_run_lengths_worth_trying() -> None:
    """Strip lengths, rolls that hold one, sums of two, and up to eight strips end to end."""
    lengths = run_lengths(np.array([4.0, 7.0, 4.0]), np.array([1.0, 1.0, 1.0]), [30.0, 15.0, 3.0])
    multiples = {4.0 * n for n in range(1, 8)} | {7.0 * n for n in range(1, 5)}
    assert lengths.tolist() == sorted(multiples | {11.0, 15.0, 30.0})


def test_of_many_lengths_those_that_take_most_cloth_are_runs() -> None:
    """Ten have runs of their own, and the longest, which must lie on one."""
    strips, weights = np.arange(1.0, 13.0), np.array([*range(12, 0, -1)], dtype=float)
    lengths = run_lengths(strips, weights, [12.0])
    assert lengths.tolist() == [*range(1, 11), 11.0, 12.0]  # 11 as a sum of two
    few = run_lengths(strips, weights[::-1], [12.0])
    assert few.tolist() == [*range(3, 13)]


def test_the_least_that_whole_rolls_can_cost() -> None:
    """Three runs of 10 m to a roll of 60, one to a half roll of 30; in runs of 980 mm, one lane."""
    for strips, least in ((1, 30.0), (2, 60.0), (3, 60.0), (4, 90.0), (6, 120.0), (3001, 60030.0)):
        bound = rolls_bound(order((0.6, 10.0, strips)), WHOLE, 5.0)
        assert bound.cost == pytest.approx(least)
        assert bound.reached


@pytest.mark.parametrize(("strips", "least"), [(1, 23.0), (2, 43.0), (3, 60.0), (4, 83.0)])
def test_the_charge_for_a_part_roll_is_in_the_bound(strips: int, least: float) -> None:
    """A metre costs 2 and a part roll 3 more: 10 m cost 23, a full roll of 30 m 60."""
    charged = replace(ROLLS, halves_m=(), part_charge=3.0)
    terms = replace(TERMS, stocks=(SlitStock(1.0, charged),))
    made = planned(order((0.6, 10.0, strips)), terms)
    assert made.bound == pytest.approx(least)
    assert made.cost == pytest.approx(least)
    assert report_lines(made)[-1].endswith("optimal: no plan costs less")


def test_strips_that_share_no_lane_of_a_roll_are_counted_one_by_one() -> None:
    """Two strips of 490 mm by 16 m lie on 30 m side by side; four take two rolls, not 32 m."""
    made = planned(order((0.48, 16.0, 4), (0.48, 3.0, 1)), WHOLE)
    assert made.cost == pytest.approx(120.0)
    assert made.bound == pytest.approx(120.0)


def test_cells_are_rounded_the_safe_way() -> None:
    grid = common_grid([0.3, 0.2], [1.0])
    assert grid == pytest.approx(0.1)
    assert cells_up(np.array([0.3, 0.2, 0.21]), grid).tolist() == [3, 2, 3]
    assert cells_down(np.array([1.0, 0.99]), grid).tolist() == [10, 9]
    # Sizes without a common measure are put on the finest grid that is workable.
    assert common_grid([0.1234567], [1.0]) == pytest.approx(1.0 / 100_000)


def test_nothing_of_no_size_is_slit() -> None:
    for strips in ((0.0, 1.0, 1), (0.1, 0.0, 1), (0.1, 1.0, 0)):
        with pytest.raises(ValueError, match="above zero"):
            slit(order((0.2, 1.0, 1), strips), TERMS)
