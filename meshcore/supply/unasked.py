"""Cutting planned without being asked for, where it takes no time that anyone would mind.

Whether it does is reckoned from what is to be cut, and the plans are made by steps, not by a clock:
the same list is planned, and priced, alike on every machine.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from meshcore.arrays import BoolArray, IntArray
from meshcore.enquiry import PIECE, STRIP
from meshcore.messages import MessageLog
from meshcore.rounding import SLACK
from meshcore.supply.cutting import UNASKED, PlannedSupply, Told, WidthCosting
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.planning import (
    PLANNED_COLUMNS,
    groups_of,
    plan_groups,
    share_cloth,
    slit_group,
    waiting_to_be_cut,
)
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape

#: Seconds of a processor core that a plan takes at the least. Measured, as the next ones, on random
#: orders of 2 to 16 sizes and up to 30,000 strips.
_LEAST_S = 0.03
#: For strips, by the square of their sizes, of one length and of several, and for each strip [s].
_ONE_LENGTH_S, _LENGTHS_S, _STRIP_S = 0.015, 0.035, 2e-5
#: For pieces, for each shape and for each piece [s].
_SHAPE_S, _PIECE_S = 0.02, 1e-4


def plan_unasked(
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    cloth_group: IntArray,
    supply: SupplyColumns,
    policy: SupplyPolicy,
    log: MessageLog,
    costing: WidthCosting | None = None,
    progress: Told = lambda _share, _words: None,
) -> PlannedSupply | None:
    """Plan every group of several sizes or shapes, if the policy's time is enough for all of them.

    Parameters
    ----------
    forms, shapes, cloth_group, supply, policy, log, costing, progress
        As for `meshcore.supply.planning.plan_cutting`.

    Returns
    -------
    The supply with the plans in it; None where there is nothing to plan, or too much.

    Notes
    -----
    Strips of one size and pieces of one shape have their whole rows and closed forms already, so
    that a line that is an order of its own is never planned unasked, and no order is dearer than
    its lines apart.
    """
    waiting = np.flatnonzero(waiting_to_be_cut(forms, supply, log))
    groups, of_several = _several(cloth_group[waiting], forms.form[waiting], forms.item[waiting])
    if not groups or groups * _LEAST_S > policy.planning_s:
        return None
    jobs = [
        (form, waiting[lines])
        for form in (STRIP, PIECE)
        for lines in groups_of(of_several & (forms.form[waiting] == form), cloth_group[waiting])
    ]
    if sum(_reckoned_s(forms, *job) for job in jobs) > policy.planning_s:
        return None
    return plan_groups(jobs, forms, shapes, supply, policy, UNASKED, log, costing, progress)


def from_one_width(
    planned: PlannedSupply,
    forms: FormColumns,
    policy: SupplyPolicy,
    width_m: float,
    costing: WidthCosting,
) -> PlannedSupply | None:
    """Slit the strips of each plan from one stock width alone, since each width needs a warp.

    Parameters
    ----------
    planned
        Plans over all stock widths.
    forms, policy
        What is to be delivered, and what from.
    width_m
        The stock width [m].
    costing
        Tells what stock widths cost.

    Returns
    -------
    The supply with the strips' plans remade; None where none is. Their bounds stay those over all
    widths.
    """
    from meshcore.supply.slitting.plan import SlitPlan  # noqa: PLC0415 - only when used

    alone = replace(policy, widths_m=(width_m,))
    columns = {name: getattr(planned.supply, name).copy() for name in PLANNED_COLUMNS}
    plans = list(planned.plans)
    number_of_width = policy.widths_m.index(width_m)
    for number, plan in enumerate(planned.plans):
        wide = plan.layout
        if not isinstance(wide, SlitPlan) or [*wide.length_by_width] == [width_m]:
            continue
        if _reckoned_s(forms, STRIP, plan.rows) > policy.planning_s:
            continue
        costs = costing(plan.rows[:1])[0].of_width(number_of_width)
        made = slit_group(forms, plan.rows, alone, UNASKED, costs)
        if isinstance(made, list) or not isinstance(made.layout, SlitPlan):
            continue
        bound = min(made.layout.bound, wide.bound)
        plans[number] = replace(made, layout=replace(made.layout, bound=bound))
        share_cloth(columns, plan.rows, planned.supply.net_area_m2, plans[number])
    if all(one is other for one, other in zip(plans, planned.plans, strict=True)):
        return None
    return PlannedSupply(replace(planned.supply, **columns), tuple(plans))


def _several(cloth: IntArray, form: IntArray, item: IntArray) -> tuple[int, BoolArray]:
    """How many groups of one cloth and form have several items, and which lines are theirs."""
    if not cloth.size:
        return 0, np.zeros(0, dtype=np.bool_)
    groups, group = np.unique(np.stack([cloth, form]), axis=1, return_inverse=True)
    group = group.reshape(-1)
    pairs = np.unique(np.stack([group, item]), axis=1)
    several = np.bincount(pairs[0], minlength=groups.shape[1]) > 1
    return int(several.sum()), several[group]


def _reckoned_s(forms: FormColumns, form: int, rows: IntArray) -> float:
    """Time that a group will take [s], as measured on such groups."""
    different = len(np.unique(forms.item[rows]))
    count = float(forms.quantity[rows].sum())
    if form != STRIP:
        return _LEAST_S + _SHAPE_S * different + _PIECE_S * count
    one_length = np.ptp(forms.length_m[rows]) <= SLACK
    squared = _ONE_LENGTH_S if one_length else _LENGTHS_S
    return _LEAST_S + squared * different**2 + _STRIP_S * count
