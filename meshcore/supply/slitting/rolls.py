"""Runs and rolls chosen together, where rolls come in few lengths or part rolls cost extra."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.plan import SlitTerms, StripOrder
from meshcore.supply.slitting.runs import RunLayout
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.quiet_solver import quiet_solver

#: Seconds that the programme may take [s].
_SECONDS = 2.0
#: Patterns times strips up to which it gets anywhere in that time.
_MOST_ENTRIES = 150_000


def choose_runs_and_rolls(
    columns: Sequence[Column], items: StripOrder, terms: SlitTerms
) -> list[int] | None:
    """Find the uses of each pattern that need the cheapest rolls.

    Parameters
    ----------
    columns
        Patterns, each laid out on a run.
    items
        Strips wanted.
    terms
        Stock widths and rolls.

    Returns
    -------
    How often each pattern is used; None where nothing was found in time.

    Notes
    -----
    A mixed integer programme: the runs on a stock width take no more length than its rolls have.
    That no run spans two rolls is left to the packing; with strips of one length it is exact,
    because a roll then counts for the whole runs that it holds.
    """
    if len(columns) * len(items.quantity) > _MOST_ENTRIES:
        return None
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy

    layouts = [column.layout for column in columns]
    runs = [layout for layout in layouts if isinstance(layout, RunLayout)]
    length = float(items.length_m[0]) if np.ptp(items.length_m) <= SLACK else None
    purchases = [
        (stock, *purchase)
        for stock, s in enumerate(terms.stocks)
        for purchase in _purchases(s.rolls, length)
    ]
    patterns, options, stocks = len(columns), len(purchases), len(terms.stocks)
    demand_rows = np.zeros((len(items.quantity), patterns + options))
    demand_rows[:, :patterns] = np.array([column.counts for column in columns]).T
    length_rows = np.zeros((stocks, patterns + options))
    for index, run in enumerate(runs):
        length_rows[run.stock, index] = -run.length_m
    link_rows: list[FloatArray] = []
    for index, (stock, metres, _, whole) in enumerate(purchases):
        length_rows[stock, patterns + index] = metres
        if not whole:
            # Metres of part rolls need as many part rolls, the option that follows.
            part = terms.stocks[stock].rolls.part_m or (0.0, 0.0)
            row = np.zeros(patterns + options)
            row[patterns + index], row[patterns + index + 1] = -1.0, part[1]
            link_rows.append(row)
    rows = np.vstack([demand_rows, length_rows, *link_rows])
    least = np.concatenate([items.quantity, np.zeros(stocks + len(link_rows))])
    integral = np.array([1] * patterns + [int(whole) for *_, whole in purchases])
    with quiet_solver():
        found = milp(
            np.array([0.0] * patterns + [cost for _, _, cost, _ in purchases]),
            integrality=integral,
            bounds=Bounds(0, np.inf),
            constraints=LinearConstraint(rows, lb=least - SLACK),
            options={"time_limit": _SECONDS},
        )
    if found.x is None:
        return None
    return [round(use) for use in found.x[:patterns].tolist()]


def _purchases(rolls: RollTerms, length: float | None) -> list[tuple[float, float, bool]]:
    """List what can be bought: metres that count, cost, and whether in whole numbers only."""
    options = [
        (_counting(roll, length), roll * rolls.metre_cost, True)
        for roll in (rolls.full_m, *rolls.halves_m)
    ]
    if rolls.part_m:
        options.append((1.0, rolls.metre_cost, False))
        options.append((0.0, rolls.part_charge, True))
    return options


def _counting(roll_m: float, length: float | None) -> float:
    if length is None:
        return roll_m
    return math.floor(roll_m / length * (1.0 + SLACK)) * length
