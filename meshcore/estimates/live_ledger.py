"""The ledger of a list with all that may arise, and what of it follows a line's quantity."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from meshcore import plugins
from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.items import GroupSum, PricingRule, Term, term_values
from meshcore.costing.ledger import Ledger, LedgerItem
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.pipeline import price_columns
from meshcore.enquiry import ROLL
from meshcore.estimates.results import EstimateSet
from meshcore.messages import MessageLog
from meshcore.supply.on_hand import on_hand_of

#: Columns of a line that go with the number of its rolls.
_WITH_QUANTITY = (
    "quantity", "net_area_m2", "gross_area_m2", "net_mass_kg", "gross_mass_kg", "run_length_m",
    "cut_length_m", "cut_count", "roll_count", "part_roll_count",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LiveLedger:
    """A ledger with all items that may arise, those of no amount too.

    Parameters
    ----------
    ledger
        The items at the quantities asked for.
    twice
        The same items with each roll line's quantity doubled, by which it is told what follows it.
    adjustable
        Lines whose quantity may be changed without the library: rolls of which each number follows
        the quantity. Strips and pieces are cut from a layout of all of them.
    follows
        Whether the rules that made the prices are here, so that what follows is what they would
        reckon. Where one has gone since, the items stand as they were.
    """

    ledger: Ledger
    twice: Ledger
    adjustable: BoolArray
    follows: bool


def live_ledger(estimates: EstimateSet) -> LiveLedger:
    """Price a list again at its cloth, keeping every item, and with its rolls doubled."""
    orders = estimates.orders
    rolls = (orders.form == ROLL) & estimates.ledger.priced & ~estimates.log.refused()
    for mask in on_hand_of(estimates.policy.on_hand, orders.cloth):
        rolls &= ~mask
    ledger = _all_items(estimates, orders)
    if not np.array_equal(ledger.price_minor, estimates.ledger.price_minor):
        kept, none = estimates.ledger, np.zeros(len(orders), dtype=np.bool_)
        return LiveLedger(kept, kept, none, follows=False)
    twice = _all_items(estimates, _doubled(orders, rolls))
    if len(twice.items) != len(ledger.items):
        return LiveLedger(ledger, ledger, np.zeros(len(orders), dtype=np.bool_), follows=True)
    adjustable = rolls.copy()
    for once, again in zip(ledger.items, twice.items, strict=True):
        for one, other in zip(_facts(once), _facts(again), strict=True):
            adjustable &= (one == other) | (other == 2.0 * one) | np.isnan(one)
    return LiveLedger(ledger, twice, adjustable, follows=True)


def _all_items(estimates: EstimateSet, orders: OrderColumns) -> Ledger:
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    log: MessageLog = estimates.log.copy()
    return price_columns(orders, rules, estimates.book, log, keep_all=True)


def _doubled(orders: OrderColumns, rolls: BoolArray) -> OrderColumns:
    by = np.where(rolls, 2.0, 1.0)
    held: dict[str, FloatArray] = {name: getattr(orders, name) * by for name in _WITH_QUANTITY}
    runs = {width: length * by for width, length in orders.runs_by_width.items()}
    return replace(orders, **held, runs_by_width=runs)  # type: ignore[arg-type]


def fact_of(term: Term) -> FloatArray | float:
    """Return what a line brings to a term."""
    return term.each if isinstance(term, GroupSum) else term_values(term)


def _facts(item: LedgerItem) -> list[FloatArray]:
    """Numbers of an item that stand in a workbook as numbers."""
    lines = len(item.minor)
    held: list[FloatArray | float] = [fact_of(item.terms[name]) for name in named_in(item)]
    if not item.live.quantity and not item.base:
        held.append(item.whole)
    if item.shared_by is not None:
        held.append(item.shared_by)
    return [np.broadcast_to(np.asarray(values, dtype=np.float64), (lines,)) for values in held]


def named_in(item: LedgerItem) -> list[str]:
    """Names of the terms that an item's formulas hold."""
    held = "".join((item.live.quantity, item.live.rate, item.live.at))
    return [name for name in item.terms if f"{{{name}}}" in held]
