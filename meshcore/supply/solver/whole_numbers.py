"""Plans in whole numbers, and the integer programmes behind them, on HiGHS."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import IntArray
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.programme import solve_in_whole_numbers

#: Costs this near, as a share [-], are equal.
SAME_COST = 1e-7
#: Seconds that the integer programme may take at most in one go [s].
_INTEGER_SECONDS = 1.0


@dataclass(frozen=True, slots=True)
class Cutting:
    """Patterns in whole numbers.

    Parameters
    ----------
    columns, uses
        Patterns and how often each is used.
    cost
        Cost of them all.
    bound
        No plan costs less.
    pool
        All patterns that were made on the way.
    """

    columns: tuple[Column, ...]
    uses: tuple[int, ...]
    cost: float
    bound: float = 0.0
    pool: tuple[Column, ...] = ()


def gathered(columns: Sequence[Column], uses: IntArray) -> Cutting:
    """Return the plan that uses `columns` so often, alike ones together."""
    used = [(column, int(n)) for column, n in zip(columns, uses, strict=True) if n]
    cost = math.fsum(column.cost * n for column, n in used)
    return Cutting(tuple(c for c, _ in used), tuple(n for _, n in used), cost)


def at_most(limit: float, seconds: float) -> float:
    """Time for a part of the work [s]: its own limit, or infinite where no clock has a say.

    Examples
    --------
    >>> at_most(2.0, 10.0), at_most(2.0, 0.5), at_most(2.0, math.inf)
    (2.0, 0.5, inf)
    """
    return math.inf if math.isinf(seconds) else min(limit, seconds)


def whole_numbers(demand: IntArray, columns: Sequence[Column], deadline: float) -> Cutting | None:
    """Whole numbers of the patterns at hand, by mixed integer programme."""
    seconds = at_most(_INTEGER_SECONDS, deadline - time.monotonic())
    if seconds <= 0:
        return None
    yields = np.array([column.counts for column in columns]).T
    costs = [column.cost for column in columns]
    answer = solve_in_whole_numbers(costs, yields, demand, seconds, gap=SAME_COST)
    return None if answer is None else gathered(columns, np.rint(answer.values).astype(np.int64))
