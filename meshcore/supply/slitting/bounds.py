"""What no slit plan costs less than: the area, and whole rolls."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.slitting.patterns import Across
from meshcore.supply.slitting.plan import SlitTerms, StripOrder
from meshcore.supply.slitting.roll_bound import RollBound, Section, roll_bound
from meshcore.supply.slitting.runs import RunLayout
from meshcore.supply.slitting.scales import Scale, scales_for
from meshcore.supply.solver.column_generation import Column


def usable(terms: SlitTerms) -> FloatArray:
    """Width between the trimmed edges of each stock [m]."""
    return np.array([stock.width_m - 2.0 * terms.edge_trim_m for stock in terms.stocks])


def as_woven(items: StripOrder, terms: SlitTerms, metre_costs: FloatArray) -> list[Column]:
    """Make runs of strips as wide as the cloth itself, which need no trimming."""
    columns = []
    for number, stock in enumerate(terms.stocks):
        same = np.abs(items.width_m - stock.width_m) <= stock.width_m * SLACK
        for item in np.flatnonzero(same).tolist():
            counts = [0] * len(items.width_m)
            counts[item] = 1
            length = float(items.length_m[item])
            layout = RunLayout(number, length, ((stock.width_m, ((item, 1),), 1),))
            columns.append(Column(float(metre_costs[number]) * length, tuple(counts), layout))
    return columns


def area_bound(items: StripOrder, terms: SlitTerms, metre_costs: FloatArray) -> float:
    """Cost of the area of the strips, in the cloth that is cheapest by usable area.

    It is the bound of last resort, where time runs out before the linear programme has one.
    """
    widths = np.array([stock.width_m for stock in terms.stocks])
    as_woven = (np.abs(items.width_m[:, np.newaxis] - widths) <= widths * SLACK).any(axis=1)
    slit_cost = float((metre_costs / usable(terms)).min())
    woven_cost = float((metre_costs / widths).min())
    area = items.width_m * items.length_m * items.quantity
    return float(area @ np.where(as_woven, min(woven_cost, slit_cost), slit_cost))


def rolls_bound(items: StripOrder, terms: SlitTerms, seconds: float) -> RollBound:
    """Bound of the cost of the rolls that the strips take, the charges for part rolls with it."""
    longest = max(stock.rolls.full_m for stock in terms.stocks)
    scales = scales_for(items.length_m, longest)
    sections = [_section(items, terms, scale) for scale in scales]
    bound = roll_bound(sections, terms, seconds, int(items.quantity.sum()))
    costs = np.array([stock.rolls.metre_cost for stock in terms.stocks])
    least = area_bound(items, terms, costs) + min(stock.to_use for stock in terms.stocks)
    return replace(bound, cost=max(bound.cost, least))


def _section(items: StripOrder, terms: SlitTerms, scale: Scale) -> Section:
    widths, group = items.width_m, np.arange(len(items.width_m))
    if not scale.one_length:
        widths, group = np.unique(items.width_m, return_inverse=True)
    wanted: FloatArray = np.bincount(group, scale.of(items.length_m) * items.quantity).astype(
        np.float64
    )
    most = np.bincount(group, items.quantity).astype(np.int64)
    # A cross-section is told from those of other stocks by its cost, which has no other meaning.
    across = Across(widths, usable(terms), np.arange(1.0, len(terms.stocks) + 1.0), terms.kerf_m)
    woven = [
        np.flatnonzero(np.abs(widths - stock.width_m) <= stock.width_m * SLACK)
        for stock in terms.stocks
    ]
    return Section(wanted, most, across.pricer(), woven, scale)
