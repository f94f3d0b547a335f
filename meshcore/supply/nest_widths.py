"""Pieces of one cloth parted over several stock widths, each shape on the one that suits it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from itertools import combinations
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.closer import length_alone
from meshcore.supply.cutting import (
    CuttingEffort,
    CuttingPlan,
    PlannedSupply,
    WidthCosting,
    WidthCosts,
)
from meshcore.supply.forms import FormColumns
from meshcore.supply.planning import PLANNED_COLUMNS, nest_group, share_cloth
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape

if TYPE_CHECKING:
    from meshcore.supply.nesting.plan import NestPlan


def parted_over_widths(
    planned: PlannedSupply,
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    policy: SupplyPolicy,
    effort: CuttingEffort,
    costing: WidthCosting,
) -> PlannedSupply | None:
    """Nest the pieces of each plan on several stock widths, where that promises a lower price.

    Parameters
    ----------
    planned
        Plans of one stock width each.
    forms, shapes
        What is to be delivered; row → shape.
    policy, effort
        Stock widths and trims; time and seed of each plan.
    costing
        Tells what stock widths cost.

    Returns
    -------
    The supply with the plans of pieces parted, each part a plan of its own; None where none is.
    """
    from meshcore.supply.nesting.plan import NestPlan  # noqa: PLC0415 - only for pieces

    columns = {name: getattr(planned.supply, name).copy() for name in PLANNED_COLUMNS}
    plans: list[CuttingPlan] = []
    for plan in planned.plans:
        costs = costing(plan.rows[:1])[0] if isinstance(plan.layout, NestPlan) else None
        parts = _parts(plan, forms, shapes, policy, effort, costs) if costs is not None else []
        for part in parts:
            share_cloth(columns, part.rows, planned.supply.net_area_m2, part)
        plans += parts or [plan]
    if len(plans) == len(planned.plans):
        return None
    return PlannedSupply(replace(planned.supply, **columns), tuple(plans))


def _parts(
    plan: CuttingPlan,
    forms: FormColumns,
    shapes: Mapping[int, Shape],
    policy: SupplyPolicy,
    effort: CuttingEffort,
    costs: WidthCosts,
) -> list[CuttingPlan]:
    """One plan for each stock width that shapes are parted over; none where one width will do."""
    layout: NestPlan = plan.layout  # type: ignore[assignment]
    width = best_widths(_cost_alone(layout, policy, costs), np.array(costs.to_use))
    used = np.unique(width).tolist()
    if len(used) == 1:
        return []
    area = np.array([s.area_m2 for s in layout.order.shapes]) * layout.order.quantity
    made: list[CuttingPlan] = []
    for number in used:
        own = width == number
        share = float(area[own].sum() / area.sum())
        part = nest_group(
            forms,
            shapes,
            plan.rows[own[plan.shape_of_row]],
            replace(policy, widths_m=(policy.widths_m[number],)),
            replace(effort, seconds=effort.seconds * share) if effort.by_clock else effort,
            costs.of_width(number),
            lambda _share, _words: None,
        )
        if isinstance(part, list):
            return []
        made.append(part)
    return made


def _cost_alone(layout: NestPlan, policy: SupplyPolicy, costs: WidthCosts) -> FloatArray:
    """Cost of the cloth of each shape on each width, laid by itself; infinite where too large."""
    order, terms = layout.order, layout.terms
    table = np.full((len(order.shapes), len(policy.widths_m)), np.inf)
    for number, (width, metre) in enumerate(zip(policy.widths_m, costs.a_metre, strict=True)):
        alone = replace(terms, widths_m=(width,), metre_costs=(), to_use=())
        for n, (shape, pieces) in enumerate(
            zip(order.shapes, order.quantity.tolist(), strict=True)
        ):
            length = length_alone(shape, pieces, alone)
            table[n, number] = np.inf if np.isnan(length) else metre * length
    return table


def best_widths(cost: FloatArray, to_use: FloatArray) -> IntArray:
    """Return the stock width of each shape at the least cost of cloth and of the widths used.

    Parameters
    ----------
    cost
        Cost of the cloth of each shape on each width, one row a shape.
    to_use
        Charge for each width that is used.

    Notes
    -----
    Every set of widths is tried; they are few.

    Examples
    --------
    >>> best_widths(np.array([[1.0, 3.0], [9.0, 4.0]]), np.array([1.0, 1.0])).tolist()
    [0, 1]
    >>> best_widths(np.array([[1.0, 3.0], [9.0, 4.0]]), np.array([5.0, 5.0])).tolist()
    [1, 1]
    """
    best, least = np.zeros(len(cost), dtype=np.int64), np.inf
    widths = range(cost.shape[1])
    for some in (s for n in range(1, len(widths) + 1) for s in combinations(widths, n)):
        chosen = np.array(some)[np.argmin(cost[:, some], axis=1)]
        total = float(cost[np.arange(len(cost)), chosen].sum() + to_use[np.unique(chosen)].sum())
        if total < least:
            best, least = chosen.astype(np.int64), total
    return best
