"""The stock width of strips and pieces, chosen by the price of what is cut from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.items import PricingRule
from meshcore.costing.order_columns import OrderColumns, take_lines
from meshcore.costing.pipeline import price_columns
from meshcore.enquiry import PIECE, STRIP
from meshcore.estimates.orders import supplied
from meshcore.messages import MessageLog
from meshcore.supply.consumption import consume
from meshcore.supply.forms import FormColumns, SupplyColumns, take_forms
from meshcore.supply.on_hand import numbers_of
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.together import CLOTH_DECIMALS, same_lines


@dataclass(frozen=True, slots=True)
class Pricing:
    """What the price of a supply is worked out with."""

    book: PriceBook
    rules: Sequence[tuple[str, PricingRule]]
    mass_kg_m2: FloatArray


def widths_by_price(
    forms: FormColumns,
    piece_runs_m: FloatArray | None,
    orders: OrderColumns,
    policy: SupplyPolicy,
    pricing: Pricing,
    standing: BoolArray,
) -> IntArray | None:
    """Return the number of the stock width that each line is best cut from.

    Parameters
    ----------
    forms, piece_runs_m
        What is to be delivered, and lengths of pieces laid closer than boxes.
    orders
        The lines as they would be priced with the widths that take the least area.
    policy, pricing
        Stock widths, and what prices are worked out with.
    standing
        Lines that are not refused.

    Returns
    -------
    Numbers of widths, -1 where there is no choice; None where there is none on any line.

    Notes
    -----
    Each item is priced on each width by itself. Where a cloth has several items, or rolls besides,
    each width is tried for all of them together as well, since lines of one width share a warp;
    each cloth is priced as an order of its own.
    """
    cut = np.flatnonzero(standing & ((forms.form == STRIP) | (forms.form == PIECE)))
    if not cut.size or len(policy.widths_m) == 1:
        return None
    widths = range(len(policy.widths_m))
    runs = None if piece_runs_m is None else piece_runs_m[cut]
    few = take_forms(forms, cut)
    supplies = [_supply(few, policy, np.full(len(cut), w), runs) for w in widths]
    item = forms.item[cut]
    alone = take_lines(orders, cut)
    alone = replace(alone, order=item, same_cloth=item, warp=item)
    prices = [prices_of(resupplied(alone, s, pricing.mass_kg_m2[cut]), item, pricing)
              for s in supplies]  # fmt: skip
    best = np.full(len(forms.form), -1, dtype=np.int64)
    best[cut] = np.argmin(np.stack(prices), axis=0)
    return _with_others(best, forms, piece_runs_m, orders, policy, pricing, standing)


def _with_others(
    best: IntArray,
    forms: FormColumns,
    piece_runs_m: FloatArray | None,
    orders: OrderColumns,
    policy: SupplyPolicy,
    pricing: Pricing,
    standing: BoolArray,
) -> IntArray:
    """Try each width for all items of a cloth together, where it has several lines."""
    cloth = orders.same_cloth
    own = np.where(best >= 0, forms.item, len(cloth) + np.arange(len(cloth)))
    lines = np.flatnonzero(standing)
    items = np.unique(np.stack([cloth[lines], own[lines]]), axis=1)
    several = np.bincount(items[0], minlength=int(cloth.max()) + 1) > 1
    has_choice = np.bincount(cloth[lines], weights=best[lines] >= 0, minlength=len(several)) > 0
    rows = lines[(several & has_choice)[cloth[lines]]]
    if not rows.size:
        return best
    few = take_forms(forms, rows)
    runs = None if piece_runs_m is None else piece_runs_m[rows]
    group = cloth[rows]
    taken = replace(take_lines(orders, rows), order=group)
    choices = [best[rows]]
    choices += [np.where(best[rows] >= 0, w, -1) for w in range(len(policy.widths_m))]
    prices, used = [], []
    for choice in choices:
        supply = _supply(few, policy, choice, runs)
        columns = resupplied(taken, supply, pricing.mass_kg_m2[rows])
        prices.append(prices_of(columns, group, pricing))
        numbers = numbers_of(supply.stock_width_m, policy.widths_m)
        used.append(np.where(best[rows] >= 0, numbers, -1))
    cheapest = np.argmin(np.stack(prices), axis=0)
    chosen = best.copy()
    chosen[rows] = np.stack(used)[cheapest, np.arange(len(rows))]
    return chosen


def resupplied(
    columns: OrderColumns, supply: SupplyColumns, mass_kg_m2: FloatArray
) -> OrderColumns:
    """Return the same lines with other cloth consumed for them."""
    no_one = np.zeros(len(columns), dtype=np.bool_)
    width = np.round(supply.stock_width_m, CLOTH_DECIMALS)
    return replace(
        columns,
        warp=same_lines([columns.same_cloth, width], no_one),
        **supplied(supply, mass_kg_m2),
    )


def _supply(
    forms: FormColumns, policy: SupplyPolicy, stock: IntArray, runs: FloatArray | None
) -> SupplyColumns:
    return consume(forms, policy, MessageLog(len(forms.form)), stock, runs)


def prices_of(columns: OrderColumns, group: IntArray, pricing: Pricing) -> FloatArray:
    """Price of each line's group, on each of its lines; infinite where one has none.

    Minimums and rounding steps are left out: in an order they may be met by other lines, and
    under them one width would seem as good as another.
    """
    log = MessageLog(len(columns))
    ledger = price_columns(columns, pricing.rules, pricing.book, log)
    minor = np.zeros(len(columns))
    for item in ledger.items:
        if not item.top_up:
            minor += item.minor
    index = np.unique(group, return_inverse=True)[1]
    sums: FloatArray = np.bincount(index, np.where(ledger.priced, minor, np.inf)).astype(np.float64)
    spread: FloatArray = sums[index]
    return spread
