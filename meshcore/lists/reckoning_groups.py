"""Sums over the lines that an item's group holds, as formulas."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from meshcore.arrays import IntArray
from meshcore.costing.ledger import LedgerItem
from meshcore.lists.own_sheets import RECKONING
from meshcore.lists.reckoning_parts import Column, Places, Working, runs

#: Most arguments of a function: Office Open XML spreadsheet limit is 255.
_MOST_ARGUMENTS = 200


def groups(made: Working, per: str) -> tuple[IntArray, dict[int, list[int]]]:
    """Return each line's group, and the lines with a price of each group, in their order."""
    orders = made.estimates.orders
    group = {"order": orders.order, "cloth": orders.same_cloth, "warp": orders.warp}[per]
    members: dict[int, list[int]] = {}
    for n in np.flatnonzero(made.live.ledger.priced).tolist():
        members.setdefault(int(group[n]), []).append(n)
    return group, members


def over(letter: str, lines: Sequence[int], function: str) -> str:
    """Write a function over a column's cells of some lines."""
    spans = [
        f"{RECKONING}!{letter}{Places.row(run[0])}:{letter}{Places.row(run[-1])}"
        for run in runs(lines)
    ]
    while len(spans) > _MOST_ARGUMENTS:
        cut = range(0, len(spans), _MOST_ARGUMENTS)
        spans = [f"{function}({','.join(spans[n : n + _MOST_ARGUMENTS])})" for n in cut]
    return f"{function}({','.join(spans)})"


def summed_over_group(
    made: Working, item: LedgerItem, name: str, per: str, each: Callable[[int], str]
) -> Callable[[int], str]:
    """Write a sum over a line's group; of a line that is alone in it, what it brings itself."""
    group, members = groups(made, per)
    if all(len(held) == 1 for held in members.values()):
        return each
    letter = made.add(Column(item.stage, item.label, f"{name} of the line", each))
    sums = {
        code: made.shared.put(f"{item.label}: {name} of {per} {number}", over(letter, held, "SUM"))
        for number, (code, held) in enumerate(members.items(), start=1)
        if len(held) > 1
    }

    def formula(n: int) -> str:
        return sums.get(int(group[n])) or f"{letter}{Places.row(n)}"

    return formula
