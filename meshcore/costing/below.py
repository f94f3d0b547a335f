"""Prices that credits take below the cost or zero, or an agreed price far above the cost."""

from __future__ import annotations

from meshcore.arrays import BoolArray
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.running_totals import RunningTotals
from meshcore.messages import Message, MessageLog


def refuse_below_zero(running: RunningTotals, priced: BoolArray, said: MessageLog) -> BoolArray:
    """Refuse the lines whose price came out below zero; return those that are left.

    Parameters
    ----------
    running
        The amounts as worked.
    priced
        The lines priced so far.
    said
        Receives the refusals, which name the rules that take most off.
    """
    rows = priced & (running.price < 0.0)
    if not rows.any():
        return priced
    text = f"the price comes out below zero, by {_takers(running, rows)}. Mend or remove it."
    said.add(rows, Message("price", "", text, code="price.below_zero"))
    return priced & ~rows


def doubt_below_cost(running: RunningTotals, priced: BoolArray, said: MessageLog) -> None:
    """Put to review the lines whose price before tax is below their cost."""
    rows = priced & (running.before_tax < running.cost)
    if rows.any():
        text = (
            f"the price before tax is below the cost, by {_takers(running, rows)}. Settle whether "
            "it is to be."
        )
        said.add(rows, Message("price", "", text, "review", code="price.below_cost"))


def doubt_far_above_cost(running: RunningTotals, priced: BoolArray, said: MessageLog) -> None:
    """Put to review the lines that an agreed price brings to many times their cost."""
    for item in running.items:
        if item.top_up == "net":
            rows = priced & (item.minor > 0.0) & (running.before_tax > _FAR_ABOVE * running.cost)
            text = (
                f"the price agreed comes to more than {_FAR_ABOVE:g} times the cost, by "
                f"{_named(item)}. Check the price and its unit."
            )
            said.add(rows, Message("price", "", text, "review", code="price.far_above_cost"))


def _takers(running: RunningTotals, rows: BoolArray) -> str:
    """Name what takes most off the price on some lines."""
    off = [(float(item.minor[rows].sum()), item) for item in running.items]
    takes = sorted((sum_, n) for n, (sum_, _) in enumerate(off) if sum_ < 0.0)[:_NAMED]
    return ", ".join(_named(off[n][1]) for _, n in takes) or "rounding"


def _named(item: LedgerItem) -> str:
    return f"{item.label} (rule {item.rule}, plugin {item.plugin})"


#: As many rules as a message names.
_NAMED = 3
#: No margin brings a price so far above its cost; a slip of the point or the unit does (common
#: sense, no source).
_FAR_ABOVE = 10.0
