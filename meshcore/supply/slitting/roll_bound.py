"""Least cost of the rolls that strips can be slit from, the charge for part rolls with it.

Rolls are whole; what they yield is bounded by the worth of their cross-sections (J. F. Benders,
Numerische Mathematik 4, 1962; from memory): a programme of the rolls alone is told, again and
again, why those that it chose are too few.
"""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.slitting.plan import SlitTerms
from meshcore.supply.slitting.roll_choice import RollChoice
from meshcore.supply.slitting.scales import Scale
from meshcore.supply.solver.column_generation import Column, Pricer, join_columns
from meshcore.supply.solver.programme import solve_linear
from meshcore.supply.solver.whole_numbers import at_most

#: Rolls chosen, and told why they are too few, at most where no clock has a say.
_TURNS_WITHOUT_CLOCK = 60
#: Seconds that one choice of rolls may take at most [s].
_CHOICE_S = 2.0
#: Share of the demand that rolls may fail to yield [-] and still be enough: rounding of the solver.
_ENOUGH = 1e-6
#: Least rate of a stock width, as a share of the greatest [-]: none is for nothing.
_LEAST_RATE = 1e-3


@dataclass(frozen=True, slots=True)
class Section:
    """Strips side by side, as the rolls' cross-sections have to yield them.

    Parameters
    ----------
    wanted
        What is wanted of each item: strips, or metres on the scale.
    most
        Strips of each item that a cross-section may hold.
    pricer
        Makes the cross-section of each stock width that is worth the most, and bounds its worth.
    as_woven
        For each stock width, which items are delivered at that width as they are woven.
    scale
        Measures the rolls.
    """

    wanted: FloatArray
    most: IntArray
    pricer: Pricer
    as_woven: Sequence[IntArray]
    scale: Scale

    def worth(self, worths: FloatArray) -> tuple[FloatArray, list[Column]]:
        """Bound of the worth of a cross-section of each stock width, and those found."""
        priced = self.pricer(worths, self.most)
        columns = [p.column for p in priced if p.column is not None]
        bounds = np.array([p.worth_bound for p in priced])
        for stock, items in enumerate(self.as_woven):
            if len(items):
                bounds[stock] = max(bounds[stock], float(worths[items].max()))
                columns += [_single(int(item), stock, len(worths)) for item in items]
        return bounds, columns


def _single(item: int, stock: int, items: int) -> Column:
    counts = [0] * items
    counts[item] = 1
    # As woven, it is another cross-section than the same one slit from a wider cloth.
    return Column(-1.0 - stock, tuple(counts), stock)


@dataclass(frozen=True, slots=True)
class RollBound:
    """What the programme of the rolls came to.

    Parameters
    ----------
    cost
        No rolls that yield the strips cost less.
    reached
        Whether rolls of that cost yield them, as far as cross-sections tell.
    columns
        Cross-sections made on the way, laid out by the number of their stock width.
    rates
        What a cross-section of each stock width is worth where those rolls are bought, in all as
        much as they cost; None where no rolls were reached.
    used
        Numbers of the stock widths of the rolls that were chosen last.
    """

    cost: float
    reached: bool
    columns: tuple[Column, ...]
    rates: FloatArray | None = None
    used: tuple[int, ...] = ()


def roll_bound(
    sections: Sequence[Section], terms: SlitTerms, seconds: float, strips: int
) -> RollBound:
    """Bound the cost of rolls from below.

    Parameters
    ----------
    sections
        The strips, as each scale measures them; a bound by any of them holds.
    terms
        Stock widths and rolls.
    seconds
        Time budget [s]; infinite to stop by turns instead.
    strips
        How many are wanted: no plan needs more rolls.

    Notes
    -----
    Worths π of the items and the bounds μ of what a cross-section of each stock width is worth
    give Σ μ·(metres of roll) ≥ Σ π·(metres wanted) for every plan whatever.
    """
    deadline = time.monotonic() + seconds
    master = RollChoice(terms, [section.scale for section in sections], strips)
    pools: list[list[Column]] = [[] for _ in sections]
    best, rates = 0.0, None
    used: tuple[int, ...] = ()
    turns = _TURNS_WITHOUT_CLOCK if math.isinf(seconds) else math.inf
    turn = 0
    while turn < turns and time.monotonic() < deadline:
        turn += 1
        chosen = master.cheapest(at_most(_CHOICE_S, deadline - time.monotonic()))
        if chosen is None:
            break
        best, used = max(best, chosen.bound), chosen.used
        # The first scale that falls short will do: its answer changes what the others are asked.
        if not any(
            _tell(master, number, section, pools[number], chosen.yields[number], deadline)
            for number, section in enumerate(sections)
        ):
            if time.monotonic() < deadline:
                rates = _rates(sections[0], pools[0], chosen.yields[0], deadline)
                rates = rates * best / max(float(rates @ chosen.yields[0]), SLACK)
            break
    columns = tuple(column for pool in pools for column in pool)
    return RollBound(best, rates is not None, columns, rates, used)


def _start(
    master: RollChoice, number: int, section: Section, pool: list[Column], deadline: float
) -> None:
    """Make first cross-sections, and tell the rolls what items cost where any part can be had."""
    items = len(section.wanted)
    some = np.flatnonzero(section.wanted > 0)
    for item in some.tolist():
        worths = np.zeros(items)
        worths[item] = 1.0
        bounds, columns = section.worth(worths)
        join_columns(pool, columns)
        if len(some) == 1:
            master.require(number, bounds, float(section.wanted[item]))
    rates = master.rates(number)
    while len(some) > 1:
        counts = np.array([column.counts for column in pool], dtype=np.float64)[:, some]
        costs = rates[[_stock(column) for column in pool]]
        worths = np.zeros(items)
        worths[some] = solve_linear(costs, counts.T, section.wanted[some]).worths
        bounds, columns = section.worth(worths)
        before = len(pool)
        join_columns(pool, columns)
        near = bool((bounds <= rates * (1.0 + _ENOUGH)).all())
        if near or len(pool) == before or time.monotonic() > deadline:
            master.require(number, bounds, float(worths @ section.wanted))
            return


def _tell(
    master: RollChoice,
    number: int,
    section: Section,
    pool: list[Column],
    yields: FloatArray,
    deadline: float,
) -> bool:
    """Tell the rolls why they are too few; False where they are enough."""
    wanted = section.wanted
    if not pool:
        _start(master, number, section, pool, deadline)
        return True
    while True:
        share, worths = _yield_of(section, pool, yields)
        if share >= 1.0 - _ENOUGH:
            return False
        bounds, columns = section.worth(worths)
        before = len(pool)
        join_columns(pool, columns)
        if float(bounds @ yields) < float(worths @ wanted) * (1.0 - _ENOUGH):
            master.require(number, bounds, float(worths @ wanted))
            return True
        if len(pool) == before or time.monotonic() > deadline:
            return False


def _yield_of(section: Section, pool: list[Column], yields: FloatArray) -> tuple[float, FloatArray]:
    """Share of what is wanted that rolls yield by the patterns made, and the items' worths."""
    wanted = section.wanted
    counts = np.array([column.counts for column in pool], dtype=np.float64)
    stock = np.array([_stock(column) for column in pool])
    of_stock = (stock == np.arange(len(yields))[:, np.newaxis]).astype(np.float64)
    rows = np.block([[counts.T, -wanted[:, np.newaxis]], [-of_stock, np.zeros((len(yields), 1))]])
    costs = np.zeros(len(pool) + 1)
    costs[-1] = -1.0
    # A solver's answer may lie below zero by its tolerance; no rolls yield less than none.
    answer = solve_linear(costs, rows, [*np.zeros(len(wanted)), *-np.maximum(yields, 0.0)])
    return -answer.cost, answer.worths[: len(wanted)]


def _rates(section: Section, pool: list[Column], yields: FloatArray, deadline: float) -> FloatArray:
    """Find what a cross-section of each stock width is worth where so many of each can be had."""
    while True:
        share, worths = _yield_of(section, pool, yields)
        bounds, columns = section.worth(worths)
        before = len(pool)
        join_columns(pool, columns)
        least = float(worths @ section.wanted) * share * (1.0 + _ENOUGH)
        if float(bounds @ yields) <= least or len(pool) == before or time.monotonic() > deadline:
            floor: FloatArray = np.maximum(bounds, _LEAST_RATE * float(bounds.max()))
            return floor


def _stock(column: Column) -> int:
    if not isinstance(column.layout, int):
        raise TypeError(f"a cross-section is laid out by its stock: {column.layout!r}")
    return column.layout
