"""Plans in whole numbers, and the integer programmes behind them, on scipy's HiGHS."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import IntArray
from meshcore.supply.solver.column_generation import Column
from meshcore.supply.solver.quiet_solver import quiet_solver

#: Costs this near, as a share [-], are equal.
SAME_COST = 1e-7
#: Seconds that the integer programme may take at most in one go [s].
_INTEGER_SECONDS = 1.0
#: Units in a sum up to which rounding it up is worth the while; beyond, it gains under 0.1 %.
_MOST_UNITS = 1000
#: Seconds for that rounding [s].
_SUM_SECONDS = 0.5


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


def least_sum(units: Sequence[float], bound: float) -> float:
    """Least sum of whole numbers of `units` that reaches `bound`: what whole rolls can cost.

    Examples
    --------
    >>> least_sum([9.0, 12.0], 13.0)
    18.0
    """
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy

    if bound > min(units) * _MOST_UNITS:
        return bound
    scaled = np.array(units) / bound
    with quiet_solver():
        found = milp(
            scaled,
            integrality=np.ones(len(units), dtype=np.int64),
            bounds=Bounds(0, np.inf),
            constraints=LinearConstraint(scaled[np.newaxis, :], lb=1.0 - SAME_COST),
            options={"time_limit": _SUM_SECONDS, "mip_rel_gap": 0.0},
        )
    if found.status == 0 and found.x is not None:
        return max(bound, float(np.rint(found.x) @ np.array(units)))
    return bound


def whole_numbers(demand: IntArray, columns: Sequence[Column], deadline: float) -> Cutting | None:
    """Whole numbers of the patterns at hand, by mixed integer programme."""
    from scipy.optimize import Bounds, LinearConstraint, milp  # noqa: PLC0415 - heavy
    from scipy.sparse import csc_array  # noqa: PLC0415 - heavy

    seconds = min(_INTEGER_SECONDS, deadline - time.monotonic())
    if seconds <= 0:
        return None
    yields = csc_array(np.array([column.counts for column in columns], dtype=np.float64).T)
    costs = np.array([column.cost for column in columns])
    with quiet_solver():
        found = milp(
            costs,
            integrality=np.ones(len(columns), dtype=np.int64),
            bounds=Bounds(0, np.inf),
            constraints=LinearConstraint(yields, lb=demand.astype(np.float64)),
            options={"time_limit": seconds, "mip_rel_gap": SAME_COST},
        )
    if found.x is None:
        return None
    return gathered(columns, np.rint(found.x).astype(np.int64))
