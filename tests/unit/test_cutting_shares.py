"""A plan's cloth, cuts and rolls are shared over its lines by the area that each is delivered."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from meshcore.enquiry import PIECE, STRIP
from meshcore.messages import MessageLog
from meshcore.supply.consumption import consume
from meshcore.supply.cutting import CuttingEffort, PlannedSupply
from meshcore.supply.forms import FormColumns
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.planning import FEWER_ROLLS_M2, plan_cutting
from meshcore.supply.policy import SupplyPolicy, default_supply_policy
from meshcore.supply.shapes.outlines import rectangle
from meshcore.supply.slitting.plan import SlitPlan

POLICY = replace(
    default_supply_policy(),
    widths_m=(1.0, 1.5),
    full_length_m=30.0,
    half_lengths_m=(15.0,),
    part_roll_charge_m=2.0,
    edge_trim_m=0.0,
    kerf_m=0.0,
    spacing_m=0.0,
    keep=KeepTerms(0.2, 0.5, 0.4),
)
#: Two lines of strips and one of pieces of one order, and strips of another cloth.
FORM = np.array([STRIP, STRIP, PIECE, STRIP])
WIDTH, LENGTH = np.array([0.3, 0.2, 0.4, 0.5]), np.array([10.0, 10.0, 0.5, 8.0])
QUANTITY = np.array([2.0, 1.0, 6.0, 1.0])
CLOTH = np.array([0, 0, 0, 1])


def planned(
    policy: SupplyPolicy = POLICY, told: list[float] | None = None, seconds: float = 0.5
) -> tuple[PlannedSupply, FormColumns, MessageLog]:
    texts = np.array(["text"] * 4, dtype=object)
    forms = FormColumns(
        FORM,
        WIDTH,
        LENGTH,
        QUANTITY,
        WIDTH * LENGTH,
        2 * (WIDTH + LENGTH),
        np.arange(4),
        texts,
        texts,
    )
    log = MessageLog(4)
    supply = consume(forms, policy, log)
    shapes = {2: rectangle(0.4, 0.5)}

    def tell(share: float, _words: str) -> None:
        if told is not None:
            told.append(share)

    effort = CuttingEffort(seconds)
    return plan_cutting(forms, shapes, CLOTH, supply, policy, effort, log, None, tell), forms, log


def test_one_plan_a_form_and_cloth() -> None:
    plans = planned()[0].plans
    assert [plan.rows.tolist() for plan in plans] == [[0, 1], [3], [2]]
    assert [type(plan.layout) for plan in plans] == [SlitPlan, SlitPlan, NestPlan]


def test_strips_share_the_rolls_by_their_area() -> None:
    """Strips of 2 × 300 mm and 200 mm, 10 m long, lie on one run: 6 m² and 2 m² of 8 m²."""
    (supply, plans) = (planned()[0].supply, planned()[0].plans)
    (plan, *_) = plans
    assert isinstance(plan.layout, SlitPlan)
    # A part roll of 10 m and 2 m² charged cost 12 m², a half roll 15 m².
    assert plan.area_m2 == pytest.approx(10.0)
    assert plan.length_m == pytest.approx(10.0)
    share = np.array([0.75, 0.25])
    assert supply.stock_width_m[:2] == pytest.approx([1.0, 1.0])
    assert supply.run_length_m[:2] == pytest.approx(10.0 * share)
    assert supply.gross_area_m2[:2] == pytest.approx(10.0 * share)
    # Two slits between three lanes, one beside them.
    assert supply.cut_length_m[:2] == pytest.approx(3 * 10.0 * share)
    assert supply.roll_count[:2] == pytest.approx(share)
    assert supply.part_roll_count[:2] == pytest.approx(share)
    # 200 mm × 10 m is left of 10 m².
    assert plan.credit_share == pytest.approx(0.4 * 0.2)
    assert supply.offcut_credit[:2] == pytest.approx([0.08, 0.08])


def test_pieces_keep_their_rolls_and_cuts_but_for_those_that_two_share() -> None:
    (cut, forms, _) = planned(seconds=0.0)
    rows = consume(forms, POLICY, MessageLog(4))
    plan = cut.plans[2]
    assert plan.length_m * cut.supply.stock_width_m[2] == pytest.approx(plan.area_m2)
    assert cut.supply.gross_area_m2[2] == pytest.approx(1.2)
    assert cut.supply.run_length_m[2] == pytest.approx(plan.length_m)
    # Two across and three along: three sides of 400 mm and four of 500 mm part two pieces each.
    assert cut.supply.cut_length_m[2] == pytest.approx(rows.cut_length_m[2] - 3 * 0.4 - 4 * 0.5)
    for name in ("cut_count", "roll_count", "part_roll_count", "net_area_m2"):
        assert getattr(cut.supply, name)[2] == getattr(rows, name)[2]


def test_the_charge_of_a_part_roll_is_cloth_of_the_narrowest_width() -> None:
    (plan, *_) = planned()[0].plans
    assert isinstance(plan.layout, SlitPlan)
    assert [s.rolls.part_charge for s in plan.layout.terms.stocks] == [2.0, 2.0]
    assert [s.rolls.metre_cost for s in plan.layout.terms.stocks] == [1.0, 1.5]
    (free, *_) = planned(replace(POLICY, part_roll_charge_m=0.0))[0].plans
    assert isinstance(free.layout, SlitPlan)
    assert free.layout.terms.stocks[0].rolls.part_charge == FEWER_ROLLS_M2


def test_nothing_is_kept_or_credited_where_the_mill_takes_nothing_back() -> None:
    cut = planned(replace(POLICY, keep=None))[0]
    assert [plan.kept for plan in cut.plans] == [()] * 3
    assert cut.supply.offcut_credit.tolist() == [0.0] * 4


def test_progress_is_told_as_that_of_all() -> None:
    told: list[float] = []
    planned(told=told)
    assert told == sorted(told)
    assert {0.0, 1 / 3, 2 / 3} <= set(told)
    assert told[-1] <= 1.0


def test_effort_reaches_the_plan() -> None:
    assert (CuttingEffort().bias_45, CuttingEffort().warp_along_long_side) == (False, False)
    plan = planned(seconds=0.0)[0].plans[2]
    assert isinstance(plan.layout, NestPlan)
    assert (plan.layout.terms.bias_45, plan.layout.terms.warp_along_long_side) == (False, False)
    assert plan.layout.terms.keep == POLICY.keep
