"""Cutting stock by column generation: a lower bound on cost, and the patterns behind it.

The linear programme over all patterns, on HiGHS, is solved by making patterns as they are
needed (P. C. Gilmore and R. E. Gomory, Operations Research 9, 1961, and 11, 1963; from memory).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.solver.programme import solve_linear
from meshcore.supply.stopping import stop_asked

#: A pattern enters when its worth exceeds its cost by this share [-]; the solver's own tolerance
#: is 1e-7.
_WORTHWHILE = 1e-7
#: Rounds of patterns made of what the best ones leave out, per turn of the linear programme.
#: Measured on 110 items: five make it six times faster, ten no better.
_MORE_PATTERNS = 5


@dataclass(frozen=True, slots=True)
class Column:
    """A pattern: what it costs and how many of each item it yields.

    Parameters
    ----------
    cost
        Cost of using it once.
    counts
        Items yielded, one number an item.
    layout
        What the maker of the pattern needs to draw it again.
    """

    cost: float
    counts: tuple[int, ...]
    layout: object


@dataclass(frozen=True, slots=True)
class Priced:
    """The best pattern of one class at given item worths.

    Parameters
    ----------
    column
        The pattern; None where the class holds none.
    worth_bound
        No pattern of the class is worth more than this.
    cost
        Least cost of a pattern of the class.
    """

    column: Column | None
    worth_bound: float
    cost: float


#: Item worths and the most of each item a pattern may hold → the best pattern of each class.
Pricer: TypeAlias = Callable[[FloatArray, IntArray], Sequence[Priced]]
#: The same, a slack and a limit → patterns whose worth falls short of their cost by no more.
Lister: TypeAlias = Callable[[FloatArray, IntArray, float, int], Sequence[Column]]


@dataclass(frozen=True, slots=True)
class Relaxation:
    """Solution of the linear programme.

    Parameters
    ----------
    bound
        No plan costs less.
    uses
        How often each column is used [-].
    worths
        What one more of each item would cost.
    """

    bound: float
    uses: FloatArray
    worths: FloatArray


def join_columns(columns: list[Column], more: Sequence[Column]) -> None:
    """Add to `columns` those of `more` that it lacks."""
    known = {(column.cost, column.counts) for column in columns}
    for column in more:
        if (column.cost, column.counts) not in known:
            known.add((column.cost, column.counts))
            columns.append(column)


def relax(
    demand: IntArray | FloatArray, columns: list[Column], pricer: Pricer, deadline: float
) -> Relaxation:
    """Solve the linear programme, adding the columns it needs to `columns`.

    The bound is that of A. A. Farley (Operations Research 38, 1990; from memory): worths scaled
    down until no pattern is worth more than it costs are a feasible dual, so it holds even where
    time ran out before the last pattern was found.
    """
    bound = 0.0
    most = np.ceil(demand).astype(np.int64)
    while True:
        yields = np.array([column.counts for column in columns]).T
        linear = solve_linear([column.cost for column in columns], yields, demand)
        worths = linear.worths
        priced = pricer(worths, most)
        excess = max((p.worth_bound / p.cost for p in priced), default=1.0)
        bound = max(bound, linear.cost / max(excess, 1.0))
        before = len(columns)
        join_columns(columns, _worthwhile(priced, worths))
        if len(columns) == before or time.monotonic() > deadline or stop_asked():
            uses = np.pad(linear.values, (0, len(columns) - before))
            return Relaxation(bound, uses, worths)
        join_columns(columns, _others(priced, worths, most, pricer, deadline))


def _worthwhile(priced: Sequence[Priced], worths: FloatArray) -> list[Column]:
    columns = (p.column for p in priced if p.column is not None)
    return [c for c in columns if np.dot(c.counts, worths) > c.cost * (1.0 + _WORTHWHILE)]


def _others(
    priced: Sequence[Priced],
    worths: FloatArray,
    most: IntArray,
    pricer: Pricer,
    deadline: float,
) -> list[Column]:
    """Patterns of the items that the best ones leave out: they save many turns of the loop."""
    others: list[Column] = []
    rest = worths.copy()
    for _ in range(_MORE_PATTERNS):
        for p in priced:
            if p.column is not None:
                rest[np.array(p.column.counts) > 0] = 0.0
        if not rest.any() or time.monotonic() > deadline or stop_asked():
            break
        priced = pricer(rest, most)
        others += _worthwhile(priced, worths)
    return others
