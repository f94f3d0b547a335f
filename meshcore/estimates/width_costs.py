"""What each stock width of a cloth costs by the metre and to set up, as the rules price it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from meshcore.arrays import IntArray
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.estimates.choosing import Pricing, prices_of
from meshcore.supply.cutting import WidthCosting, WidthCosts
from meshcore.supply.policy import SupplyPolicy

#: Lines of each probe: a roll; a roll of twice its length; two rolls of one warp; of two warps.
_LINES = np.array([0, 1, 2, 2, 3, 3])
#: Their lengths, in full rolls.
_ROLLS = np.array([1.0, 2.0, 1.0, 1.0, 1.0, 1.0])
#: Their warps.
_WARPS = np.array([0, 1, 2, 2, 3, 4])
#: First line of each probe.
_FIRSTS = np.array([0, 1, 2, 4])


def width_costing(
    orders: Callable[[], OrderColumns], policy: SupplyPolicy, pricing: Pricing
) -> WidthCosting:
    """Return what tells the costs of lines by their number, and works out those of each once.

    Parameters
    ----------
    orders
        Makes the lines, as they would be priced without a plan; called when they are first needed.
    policy, pricing
        As for `width_costs`.
    """
    known: dict[int, WidthCosts] = {}

    def costing(rows: IntArray) -> list[WidthCosts]:
        asked = rows.tolist()
        new = np.array([row for row in dict.fromkeys(asked) if row not in known], dtype=np.int64)
        if new.size:
            found = width_costs(orders(), new, policy, pricing)
            known.update(zip(new.tolist(), found, strict=True))
        return [known[row] for row in asked]

    return costing


def width_costs(
    orders: OrderColumns,
    rows: IntArray,
    policy: SupplyPolicy,
    pricing: Pricing,
) -> list[WidthCosts]:
    """Return what cloth of each stock width costs, for the cloth of some lines.

    Parameters
    ----------
    orders
        The lines, as they would be priced without a plan.
    rows
        Numbers of the lines whose cloth is asked about.
    policy
        Stock widths, and the length of a full roll.
    pricing
        What prices are worked out with.

    Returns
    -------
    The costs for each of `rows`, as areas of the narrowest cloth that cost the same [m²]; by area
    where a price cannot be had.

    Notes
    -----
    The rules are asked, not known: two rolls from two warps cost more than from one by a set-up,
    and a roll of twice the length more than one by the cloth of a roll. Margins, overheads and
    whatever else a mill's rules put on either are in both.

    References
    ----------
    Marginal cost by difference: common practice, no source.
    """
    widths, full = np.array(policy.widths_m), policy.full_length_m
    cases, probes = len(rows) * len(widths), len(_LINES)
    taken = take_lines(orders, np.repeat(rows, len(widths) * probes))
    width = np.tile(np.repeat(widths, probes), len(rows))
    length = np.tile(_ROLLS * full, cases)
    case = np.repeat(np.arange(cases), probes)
    order = case * probes + np.tile(_LINES, cases)
    mass = np.repeat(pricing.mass_kg_m2[rows], len(widths) * probes)
    zero, one_each = np.zeros(len(width)), np.ones(len(width))
    # The same is delivered from all, whatever the line asks for: parting it must change nothing.
    delivered = one_each * widths[0] * full
    columns = replace(
        taken,
        order=order,
        same_cloth=order,
        warp=case * probes + np.tile(_WARPS, cases),
        quantity=one_each,
        net_area_m2=delivered,
        net_mass_kg=mass * delivered,
        gross_area_m2=width * length,
        gross_mass_kg=mass * width * length,
        stock_width_m=width,
        run_length_m=length,
        cut_length_m=zero,
        cut_count=zero,
        roll_count=one_each,
        part_roll_count=zero,
        offcut_credit=zero,
        runs_by_width={},
        from_stock=None,
    )
    prices = prices_of(columns, order, pricing).reshape(len(rows), len(widths), probes)
    one, twice, together, apart = np.moveaxis(prices, 2, 0)[_FIRSTS]
    with np.errstate(invalid="ignore"):
        a_metre, to_use = (twice - one) / full, apart - together
    sound = np.isfinite(a_metre) & (a_metre > 0.0) & (to_use >= 0.0)
    return [
        WidthCosts(*((cost * (widths[0] / metre[0])).tolist() for cost in (metre, charge)))
        if good.all()
        else WidthCosts.by_area(policy)
        for metre, charge, good in zip(a_metre, to_use, sound, strict=True)
    ]
