"""A slit plan made better, as long as there is time."""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from dataclasses import replace

from meshcore.supply.slitting.plan import SlitPlan
from meshcore.supply.slitting.roll_bound import RollBound
from meshcore.supply.solver.column_generation import join_columns
from meshcore.supply.solver.whole_numbers import SAME_COST, Cutting

#: Share of the time that goes into the bound of the rolls, of what is then left into the first
#: patterns, and of what is left each time into patterns from another seed [-].
BOUND_SHARE, _FIRST_SHARE, _AGAIN_SHARE = 0.3, 0.7, 0.5
#: Patterns kept for the programme of runs and rolls.
_MOST_PATTERNS = 4000
#: Time below which nothing more is begun [s].
_LEAST_S = 0.05


def improved(
    cut: Callable[[float, int, bool], Cutting],
    plan: Callable[[Cutting], SlitPlan],
    bound: RollBound,
    deadline: float,
    seed: int,
) -> SlitPlan:
    """Return the cheapest plan that is found before the deadline.

    Parameters
    ----------
    cut
        Makes patterns in some seconds from a seed, at the bound's rates or at the cost of cloth.
    plan
        Makes patterns a plan: runs, and the rolls for them.
    bound
        Bound of the cost of the rolls, and patterns that came with it.
    deadline
        By the monotonic clock [s]; infinite where no clock has a say.
    seed
        Of the first patterns; those after count on from it.
    """
    pool = list(bound.columns)
    share, best, by_rates = _FIRST_SHARE, None, bound.rates is not None
    while True:
        found = cut((deadline - time.monotonic()) * share, seed, by_rates)
        join_columns(pool, found.pool)
        pool = pool[-_MOST_PATTERNS:]
        made = plan(replace(found, pool=tuple(pool), bound=bound.cost))
        best = made if best is None else min(best, made, key=lambda p: p.cost)
        if proven(best) or math.isinf(deadline) or deadline - time.monotonic() < _LEAST_S:
            return best
        seed, share = seed + 1, _AGAIN_SHARE
        by_rates = bound.rates is not None and not by_rates


def proven(plan: SlitPlan) -> bool:
    """Whether no plan costs less."""
    return plan.gap <= SAME_COST
