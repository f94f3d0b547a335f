"""Runs and rolls chosen together, where rolls come in few lengths or part rolls cost extra."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.slitting.plan import SlitTerms, StripOrder
from meshcore.supply.slitting.runs import RunLayout
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.programme import solve_in_whole_numbers
from meshcore.supply.solver.whole_numbers import SAME_COST, at_most

#: Seconds that the programme may take at most, and below which it is not begun [s].
_SECONDS, _LEAST_S = 5.0, 0.02
#: Patterns times strips up to which it gets anywhere in that time.
_MOST_ENTRIES = 150_000


def choose_runs_and_rolls(
    columns: Sequence[Column],
    items: StripOrder,
    terms: SlitTerms,
    seconds: float,
    bound: float = 0.0,
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
    seconds
        Time that is left [s]; infinite where no clock has a say.
    bound
        No rolls cost less; rolls at it end the search.

    Returns
    -------
    How often each pattern is used; None where nothing was found in time.

    Notes
    -----
    A mixed integer programme: the runs on a stock width take no more length than its rolls have.
    That no run spans two rolls is left to the packing; with strips of one length it is exact,
    because a roll then counts for the whole runs that it holds.
    """
    if len(columns) * len(items.quantity) > _MOST_ENTRIES or seconds < _LEAST_S:
        return None
    patterns, stocks = len(columns), len(terms.stocks)
    length = float(items.length_m[0]) if np.ptp(items.length_m) <= SLACK else None
    rolls = [
        _Roll(number, _counting_m(roll_m, length), roll_m * stock.rolls.metre_cost)
        for number, stock in enumerate(terms.stocks)
        for roll_m in (stock.rolls.full_m, *stock.rolls.halves_m)
    ]
    parts = [
        _Parts(
            number,
            _counting_m(stock.rolls.part_m[1], length),
            stock.rolls.metre_cost,
            stock.rolls.part_charge,
        )
        for number, stock in enumerate(terms.stocks)
        if stock.rolls.part_m
    ]
    yields = np.array([column.counts for column in columns]).T
    runs_m = _by_stock([(_run(c).stock, _run(c).length_m) for c in columns], stocks)
    rolls_m = _by_stock([(roll.stock, roll.counting_m) for roll in rolls], stocks)
    parts_m = _by_stock([(part.stock, 1.0) for part in parts], stocks)
    strips, ways = len(yields), len(parts)
    charges = np.array([stock.to_use for stock in terms.stocks])
    most = float(items.quantity.sum())
    counted = [
        _by_stock([(roll.stock, -1.0) for roll in rolls], stocks),
        np.zeros((stocks, ways)),
        _by_stock([(part.stock, -1.0) for part in parts], stocks),
    ]
    # Variables: uses of patterns, rolls, metres of part rolls, part rolls, widths used.
    rows = np.block(
        [
            [yields, np.zeros((strips, len(rolls) + 2 * ways + stocks))],
            [-runs_m, rolls_m, parts_m, np.zeros((stocks, ways + stocks))],
            [
                np.zeros((ways, patterns + len(rolls))),
                -np.eye(ways),
                np.diag([part.longest_m for part in parts]),
                np.zeros((ways, stocks)),
            ],
            [np.zeros((stocks, patterns)), *counted, most * np.eye(stocks)],
        ]
    )
    costs = np.concatenate(
        [
            np.zeros(patterns),
            [roll.cost for roll in rolls],
            [part.metre_cost for part in parts],
            [part.charge for part in parts],
            charges,
        ]
    )
    least = np.concatenate([items.quantity, np.zeros(2 * stocks + ways)]) - SLACK
    whole = np.repeat([True, True, False, True, True], [patterns, len(rolls), ways, ways, stocks])
    answer = solve_in_whole_numbers(
        costs, rows, least, at_most(_SECONDS, seconds), gap=SAME_COST, whole=whole,
        target=bound * (1.0 + SAME_COST),
    )  # fmt: skip
    return None if answer is None else [round(use) for use in answer.values[:patterns].tolist()]


@dataclass(frozen=True, slots=True)
class _Roll:
    """A roll of fixed length: its stock width, the metres of it that count, its cost."""

    stock: int
    counting_m: float
    cost: float


@dataclass(frozen=True, slots=True)
class _Parts:
    """Part rolls of a stock width: cloth by the metre, and a charge for each roll."""

    stock: int
    longest_m: float
    metre_cost: float
    charge: float


def _run(column: Column) -> RunLayout:
    if not isinstance(column.layout, RunLayout):
        raise TypeError(f"a pattern to be cut from rolls is not laid out: {column.layout!r}")
    return column.layout


def _by_stock(metres: Sequence[tuple[int, float]], stocks: int) -> FloatArray:
    """One row a stock width, one column a (stock, metres) pair: its metres in its stock's row."""
    table = np.zeros((stocks, len(metres)))
    for column, (stock, length_m) in enumerate(metres):
        table[stock, column] = length_m
    return table


def _counting_m(roll_m: float, length: float | None) -> float:
    """Metres of a roll that runs can fill: of runs of one length, whole ones only."""
    if length is None:
        return roll_m
    return math.floor(roll_m / length * (1.0 + SLACK)) * length
