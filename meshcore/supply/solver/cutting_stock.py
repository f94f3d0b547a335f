"""Whole patterns that come close to the bound: dives, and a mixed integer programme.

A dive fixes the patterns that the linear programme uses most and generates patterns again for
what remains; the integer programme, on HiGHS, combines the patterns of all dives.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.solver.column_generation import (
    Column,
    Lister,
    Priced,
    Pricer,
    Relaxation,
    join_columns,
    relax,
)
from meshcore.supply.solver.whole_numbers import SAME_COST, Cutting, whole_numbers
from meshcore.supply.stopping import stop_asked

#: A pattern used more than this share of a time in the linear programme is fixed in a dive [-].
_FIXED = 0.65
#: Dives beyond the first choose at random among patterns within this share of the most used [-].
_RANDOM_BAND = 0.3
#: Chance that a random dive fixes a pattern once less often than it would [-].
_DOUBT = 0.3
#: States kept to set out from again.
_STATES_KEPT = 40
#: What an item is worth at least when a plan is finished in haste, as a share of the dearest [-].
_NOMINAL_WORTH = 1e-3
#: Items that each pattern is then made of: so many of the large ones, and of the small ones.
_HASTE_LARGE, _HASTE_SMALL = 30, 15
#: Turns in a row that may gain nothing before the search ends. In the zero-waste instances of the
#: tests a better plan never came after more than 30 idle turns.
_PATIENCE = 60
#: Patterns listed for each width at most.
_LISTED = 500
#: Dives between two goes of the integer programme; it gains by the patterns that dives find.
_DIVES_PER_PROGRAMME = 4
#: Dives before its first go; they often find the best plan at once.
_FIRST_DIVES = 3
#: Turns where no clock has a say: dives with one go of the integer programme among them.
_TURNS_WITHOUT_CLOCK = 8
#: Columns up to which the integer programme is worth trying.
_INTEGER_COLUMNS = 3000


def solve(
    demand: IntArray,
    first: Sequence[Column],
    pricer: Pricer,
    seconds: float,
    seed: int = 0,
    raise_bound: Callable[[float], float] = lambda bound: bound,
    lister: Lister | None = None,
    start: Cutting | None = None,
    enough: float = 0.0,
) -> Cutting:
    """Meet a demand at the least cost.

    Parameters
    ----------
    demand
        Items wanted; above zero.
    first
        Patterns to start from, which must be able to meet the demand.
    pricer
        Makes the best patterns for given worths of the items.
    seconds
        Time budget [s]; it stops the search for better plans, not the first plan. Infinite to stop
        by turns instead, so that no clock has a say.
    seed
        Of the random choices in later dives.
    raise_bound
        Raises a linear bound to the least cost that whole patterns can come to.
    lister
        Lists patterns that are worth their cost, which a plan at the bound is made of.
    start
        A plan to improve on.
    enough
        Gap to the bound at which the search ends [-].

    Returns
    -------
    The cheapest plan found, with a lower bound that holds for every plan of such patterns.
    """
    deadline = time.monotonic() + seconds
    pool = list(first)
    relaxed = relax(demand, pool, pricer, deadline)
    bound = raise_bound(relaxed.bound)
    search = _Search(pool, pricer, deadline, np.random.default_rng(seed))
    root = _State((), demand, tuple(pool), relaxed)
    search.offer(start or _greedy(root, pricer))
    goal = bound * (1.0 + max(enough, SAME_COST))
    turn = tried = idle = 0
    turns = _TURNS_WITHOUT_CLOCK if math.isinf(seconds) else math.inf
    if lister is not None:
        join_columns(pool, lister(relaxed.worths, demand, 0.0, _LISTED))
    while (
        time.monotonic() < deadline
        and not stop_asked()
        and turn < turns
        and search.best.cost > goal
        and idle < _PATIENCE
    ):
        before = search.best.cost
        if turn % _DIVES_PER_PROGRAMME == _FIRST_DIVES and tried < len(pool) <= _INTEGER_COLUMNS:
            tried = len(pool)
            search.offer(whole_numbers(demand, pool, deadline))
        else:
            search.dive(root, at_random=turn > 0)
        turn += 1
        idle = idle + 1 if search.best.cost >= before else 0
    best = search.best
    return Cutting(best.columns, best.uses, best.cost, bound, tuple(pool))


@dataclass(frozen=True, slots=True)
class _State:
    """Part of a plan: patterns fixed, items left, and the linear programme of the rest."""

    taken: tuple[tuple[Column, int], ...]
    left: IntArray
    columns: tuple[Column, ...]
    relaxed: Relaxation

    def cost(self) -> float:
        return math.fsum(column.cost * n for column, n in self.taken)


class _Search:
    """Dives that share their patterns, the best plan, and the states worth going back to."""

    def __init__(
        self, pool: list[Column], pricer: Pricer, deadline: float, rng: np.random.Generator
    ) -> None:
        self.pool, self.pricer, self.deadline, self.rng = pool, pricer, deadline, rng
        self.best = Cutting((), (), math.inf)
        self.states: list[_State] = []

    def offer(self, plan: Cutting | None) -> None:
        if plan is not None:
            join_columns(self.pool, plan.columns)
            if plan.cost < self.best.cost * (1.0 - SAME_COST):
                self.best = plan

    def dive(self, root: _State, *, at_random: bool) -> None:
        """Fix the patterns used most, generate again for what remains, until nothing does.

        A random dive sets out from a state of an earlier one: the last choices are the ones that
        fail, and the cheapest to make again.
        """
        state = root
        if at_random:
            choice = int(self.rng.integers(len(self.states) + 1 + len(self.states) // 3))
            state = self.states[choice] if choice < len(self.states) else self._afresh(root)
        rng = self.rng if at_random else None
        path: list[_State] = []
        while state.left.any():
            promise = state.cost() + state.relaxed.bound
            if promise >= self.best.cost * (1.0 - SAME_COST):
                break
            if time.monotonic() > self.deadline or stop_asked():
                return
            path.append(state)
            state = self._step(state, rng)
        else:
            self.offer(_plan(state))
        self.states = [*self.states, *path[1:]][-_STATES_KEPT:]

    def _afresh(self, root: _State) -> _State:
        """Return the root with all patterns made since; its linear programme has other answers."""
        columns = list(self.pool)
        self.rng.shuffle(columns)
        relaxed = relax(root.left, columns, self.pricer, self.deadline)
        return _State((), root.left, tuple(columns), relaxed)

    def _step(self, state: _State, rng: np.random.Generator | None) -> _State:
        fixed = _fixed(state, rng)
        left = _less(state.left, fixed)
        columns = _fitting(state.columns, left)
        closed = left == 0

        def rest(worths: FloatArray, most: IntArray) -> Sequence[Priced]:
            return self.pricer(np.where(closed, 0.0, worths), most)

        relaxed = relax(left, columns, rest, self.deadline) if left.any() else state.relaxed
        return _State((*state.taken, *fixed), left, tuple(columns), relaxed)


def _less(left: IntArray, fixed: Sequence[tuple[Column, int]]) -> IntArray:
    for column, times in fixed:
        left = left - times * np.array(column.counts)
    return np.maximum(left, 0)


def _plan(state: _State) -> Cutting:
    uses: dict[Column, int] = {}
    for column, times in state.taken:
        uses[column] = uses.get(column, 0) + times
    return Cutting(tuple(uses), tuple(uses.values()), state.cost())


def _greedy(state: _State, pricer: Pricer) -> Cutting:
    """Finish a plan with the pattern worth most for its cost, again and again."""
    left = state.left
    taken = list(state.taken)
    # Items that the linear programme has in plenty are worth nothing to it, yet are wanted.
    worths = state.relaxed.worths + _NOMINAL_WORTH * state.relaxed.worths.max()
    while left.any():
        made = pricer(_in_haste(np.where(left > 0, worths, 0.0)), left)
        best = max(
            # Items in no pattern that can be made are in those that the search set out from.
            [p.column for p in made if p.column is not None] or _of_use(state.columns, left),
            key=lambda column: float(np.dot(column.counts, worths)) / column.cost,
        )
        counts = np.array(best.counts)
        yielded = counts > 0
        times = max(1, int((left[yielded] // counts[yielded]).min()))
        taken.append((best, times))
        left = _less(left, taken[-1:])
    return _plan(_State(tuple(taken), left, (), state.relaxed))


def _of_use(columns: Sequence[Column], left: IntArray) -> list[Column]:
    """Columns that yield something of what is left."""
    return [column for column in columns if (np.array(column.counts)[left > 0] > 0).any()]


def _in_haste(worths: FloatArray) -> FloatArray:
    """Keep the items worth most, which are the large ones, and the least ones to fill up with."""
    wanted = np.flatnonzero(worths)
    order = wanted[np.argsort(-worths[wanted], kind="stable")]
    kept = np.zeros_like(worths)
    for some in (order[:_HASTE_LARGE], order[-_HASTE_SMALL:]):
        kept[some] = worths[some]
    return kept


def _fitting(columns: Sequence[Column], left: IntArray) -> list[Column]:
    """Columns without more of anything than is left; singles stay, so that demand can be met."""
    counts = np.array([column.counts for column in columns])
    fits = (counts <= left).all(axis=1)
    useful = (np.minimum(counts, left).sum(axis=1) > 0) & ((counts > 0).sum(axis=1) == 1)
    return [column for column, keep in zip(columns, fits | useful, strict=True) if keep]


def _fixed(state: _State, rng: np.random.Generator | None) -> list[tuple[Column, int]]:
    """Patterns to fix now: all nearly whole uses, or else the one that is nearest to it."""
    uses, columns = state.relaxed.uses, state.columns
    remaining = state.left.copy()
    fixed: list[tuple[Column, int]] = []
    whole = np.floor(uses + 1.0 - _FIXED)
    for index in np.argsort(-uses, kind="stable").tolist():
        if not whole[index]:
            break
        counts = np.array(columns[index].counts)
        yielded = counts > 0
        times = min(int(whole[index]), int((remaining[yielded] // counts[yielded]).min()))
        if rng is not None and times and rng.random() < _DOUBT:
            times -= 1
        if times:
            fixed.append((columns[index], times))
            remaining = remaining - times * counts
    if fixed:
        return fixed
    index = int(np.argmax(uses))
    if rng is not None:
        near = np.flatnonzero(uses >= uses[index] * _RANDOM_BAND)
        index = int(rng.choice(near, p=uses[near] / uses[near].sum()))
    return [(columns[index], 1)]
