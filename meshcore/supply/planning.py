"""Cutting planned: strips slit and pieces nested together, order by order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import PIECE, STRIP
from meshcore.messages import Message, MessageLog
from meshcore.supply.cutting import (
    UNASKED,
    CuttingEffort,
    CuttingPlan,
    PlannedSupply,
    Told,
    WidthCosting,
    WidthCosts,
)
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape


def plan_cutting(
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    cloth_group: IntArray,
    supply: SupplyColumns,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    log: MessageLog,
    costing: WidthCosting | None = None,
    progress: Told = lambda _share, _words: None,
) -> PlannedSupply:
    """Plan the cutting of every group of strips, and of every group of pieces.

    Parameters
    ----------
    forms
        What is to be delivered.
    shapes
        Row → shape, of the lines of pieces.
    cloth_group
        Lines of one number are cut from the same cloth: one order, one mesh, one alloy.
    supply
        What whole-row arithmetic found, kept for all other lines.
    policy, effort
        Stock and trims; time and seed.
    log
        Receives what cannot be cut, and notes of the plans.
    costing
        Tells what stock widths cost; by their area unless given.
    progress
        Told the share of the groups that are done, and the best of the one in hand.

    Notes
    -----
    The cloth of a plan is shared over its lines by the area that each takes delivered.
    """
    waiting = waiting_to_be_cut(forms, supply, log)
    jobs = [
        (form, rows)
        for form in (STRIP, PIECE)
        for rows in groups_of(waiting & (forms.form == form), cloth_group)
    ]
    return plan_groups(jobs, forms, shapes, supply, policy, effort, log, costing, progress)


def plan_groups(
    jobs: Sequence[tuple[int, IntArray]],
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    supply: SupplyColumns,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    log: MessageLog,
    costing: WidthCosting | None = None,
    progress: Told = lambda _share, _words: None,
) -> PlannedSupply:
    """Plan the cutting of some groups, each of one form and one cloth; the others stay.

    Parameters are those of `plan_cutting`. Where the effort is unasked, a group that no plan is
    found for stays as it is too.
    """
    columns = {name: getattr(supply, name).copy() for name in PLANNED_COLUMNS}
    plans: list[CuttingPlan] = []
    firsts = np.array([rows[0] for _, rows in jobs], dtype=np.int64)
    by_area = [WidthCosts.by_area(policy)] * len(jobs)
    costs = by_area if costing is None or not jobs else costing(firsts)
    for number, (form, rows) in enumerate(jobs):
        progress(number / len(jobs), "")
        tell = _part_of(progress, number, len(jobs))
        planned = (
            slit_group(forms, rows, policy, effort, costs[number], tell)
            if form == STRIP
            else nest_group(forms, shapes, rows, policy, effort, costs[number], tell)
        )
        if isinstance(planned, list) and effort is UNASKED:
            continue
        for message in planned if isinstance(planned, list) else planned.notes:
            log.add(rows, message)
        if isinstance(planned, CuttingPlan):
            plans.append(planned)
            share_cloth(columns, rows, supply.net_area_m2, planned)
    return PlannedSupply(replace(supply, **columns), tuple(plans))


def waiting_to_be_cut(forms: FormColumns, supply: SupplyColumns, log: MessageLog) -> BoolArray:
    """Lines of strips and pieces that stand, and that cloth is consumed for."""
    return ~log.refused() & np.isfinite(supply.gross_area_m2) & np.isin(forms.form, (STRIP, PIECE))


def _part_of(progress: Told, number: int, jobs: int) -> Told:
    """Progress of one job, told as that of all."""
    return lambda share, words: progress((number + share) / jobs, words)


#: Cloth that a part roll more may save at the least [m²]: of plans that take the same cloth, the
#: one with fewer rolls is the cheaper to handle. Small against any order.
FEWER_ROLLS_M2 = 0.01
#: Columns that a plan changes.
PLANNED_COLUMNS = (
    "stock_width_m",
    "run_length_m",
    "gross_area_m2",
    "cut_length_m",
    "roll_count",
    "part_roll_count",
    "offcut_credit",
)


def groups_of(mask: BoolArray, group: IntArray) -> list[IntArray]:
    """Lines of each group, of those in a mask."""
    return [np.flatnonzero(mask & (group == code)) for code in np.unique(group[mask])]


def slit_group(
    forms: FormColumns,
    rows: IntArray,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    costs: WidthCosts,
    report: Told = lambda _share, _words: None,
) -> CuttingPlan | list[Message]:
    """Plan a group of strips at what widths cost; or say what cannot be slit."""
    from meshcore.supply.slitting.plan import StripOrder, slit_terms  # noqa: PLC0415 - only when used
    from meshcore.supply.slitting.planning import slit  # noqa: PLC0415

    order = StripOrder(
        forms.width_m[rows], forms.length_m[rows], forms.quantity[rows].astype(np.int64)
    )
    charge = max(policy.part_roll_charge_m, FEWER_ROLLS_M2 / policy.widths_m[0])
    terms = slit_terms(policy, costs.a_metre, charge * costs.a_metre[0], costs.to_use)
    plan = slit(order, terms, effort.seconds, effort.seed, report)
    return (
        plan
        if isinstance(plan, list)
        else CuttingPlan(rows, policy.keep, plan, rows, np.arange(len(rows), dtype=np.int64))
    )


def nest_group(
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    rows: IntArray,
    policy: SupplyPolicy,
    effort: CuttingEffort,
    costs: WidthCosts,
    report: Told,
) -> CuttingPlan | list[Message]:
    """Plan a group of pieces on one stock width, at what widths cost; or say what cannot be cut."""
    from meshcore.supply.nesting.plan import NestOrder, nest_terms  # noqa: PLC0415 - only when used
    from meshcore.supply.nesting.planning import nest  # noqa: PLC0415

    terms = nest_terms(
        policy,
        keep=policy.keep,
        bias_45=effort.bias_45,
        warp_along_long_side=effort.warp_along_long_side,
        metre_costs=tuple(costs.a_metre),
        to_use=tuple(costs.to_use),
    )
    # Equal shapes on several lines are one, so that parting a line changes no plan.
    of_row = [shapes[row] for row in rows.tolist()]
    different = tuple(dict.fromkeys(of_row))
    number = {shape: n for n, shape in enumerate(different)}
    counts = np.bincount([number[shape] for shape in of_row], forms.quantity[rows])
    order = NestOrder(different, counts.astype(np.int64))
    seconds = 0.0 if effort is UNASKED else effort.seconds
    plan = nest(order, terms, seconds, effort.seed, report)
    firsts = rows[[of_row.index(shape) for shape in different]]
    if isinstance(plan, list):
        return plan
    of_rows = np.array([number[shape] for shape in of_row], dtype=np.int64)
    return CuttingPlan(rows, policy.keep, plan, firsts, of_rows)


def share_cloth(
    columns: dict[str, FloatArray],
    rows: IntArray,
    net_area_m2: FloatArray,
    plan: CuttingPlan,
) -> None:
    """Share a plan's cloth, cuts and rolls over its lines by net area."""
    share = net_area_m2[rows] / net_area_m2[rows].sum()
    columns["stock_width_m"][rows] = plan.area_m2 / plan.length_m
    columns["offcut_credit"][rows] = plan.credit_share
    for name, total in plan.layout.supplied.items():
        columns[name][rows] = total * share
