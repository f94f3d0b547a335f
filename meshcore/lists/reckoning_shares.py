"""The share that each line bears of an amount of its group, to the minor unit and none lost."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

from openpyxl.utils import get_column_letter

from meshcore.costing.ledger import LedgerItem
from meshcore.lists.reckoning_formulas import fact
from meshcore.lists.reckoning_groups import groups, over
from meshcore.lists.reckoning_parts import FIRST_AMOUNT, Column, Places, Working


def share_of(
    made: Working,
    number: int,
    item: LedgerItem,
    quantity: str,
    rate: str,
    own: Callable[[int], str],
) -> Callable[[int], str]:
    """Write a line's share of an amount that its group bears, to the cent and none lost."""
    group, members = groups(made, item.per)
    if all(len(held) == 1 for held in members.values()):
        return own
    power, digits = 10**made.digits, made.digits
    alone = made.add(Column(item.stage, item.label, "amount before sharing", own))
    weight = _weight(made, number)
    place = {n: (k, len(held)) for held in members.values() for k, n in enumerate(held)}
    before = {b: a for held in members.values() for a, b in pairwise(held)}
    running_at = get_column_letter(made.first_working + len(made.columns))

    def running(n: int) -> str:
        first = f"{running_at}{Places.row(before[n])}+" if n in before else ""
        return first + weight(n)

    run = made.add(Column(item.stage, item.label, "running weight", running))
    totals: dict[int, str] = {}
    for count, (code, held) in enumerate(members.items(), start=1):
        if len(held) < 2:  # noqa: PLR2004 - a line alone shares with none
            continue
        if item.top_up == "floor":
            target, base = over(rate, held, "MAX"), over(quantity, held, "SUM")
            whole = f"MAX(0,ROUND(ROUND({target},{digits})-{base},{digits}))"
        else:
            whole = over(alone, held, "MIN" if item.credit else "MAX")
        totals[code] = made.shared.put(f"{item.label}: amount of {item.per} {count}", whole)
    reached_at = get_column_letter(made.first_working + len(made.columns))

    def reached(n: int) -> str:
        held = members[int(group[n])]
        if len(held) == 1:
            return "0"
        total = f"ROUND({totals[int(group[n])]}*{power},0)"
        if n == held[-1]:
            return total
        whole, (k, count) = f"{run}{Places.row(held[-1])}", place[n]
        return (
            f"IF({whole}=0,INT({total}*({k + 1}/{count})+0.5),"
            f"INT({total}*({run}{Places.row(n)}/{whole})+0.5))"
        )

    made.add(Column(item.stage, item.label, "reached so far", reached))

    def share(n: int) -> str:
        if len(members[int(group[n])]) == 1:
            return own(n)
        less = f"-{reached_at}{Places.row(before[n])}" if n in before else ""
        return f"ROUND(({reached_at}{Places.row(n)}{less})/{power},{digits})"

    return share


def _weight(made: Working, number: int) -> Callable[[int], str]:
    item = made.live.ledger.items[number]
    if item.shared_by is not None:
        again = made.live.twice.items[number].shared_by
        return fact(made, item.shared_by, item.shared_by if again is None else again)
    if number == 0:
        return lambda _n: "0"
    first, last = get_column_letter(FIRST_AMOUNT), get_column_letter(FIRST_AMOUNT + number - 1)
    power = 10**made.digits
    return lambda n: f"MAX(0,ROUND(SUM({first}{Places.row(n)}:{last}{Places.row(n)})*{power},0))"
