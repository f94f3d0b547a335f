"""A slit plan made better, as long as there is time."""

from __future__ import annotations

import itertools
import math
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from meshcore.supply.slitting.plan import SlitPlan
from meshcore.supply.slitting.roll_bound import RollBound
from meshcore.supply.solver.column_generation import join_columns
from meshcore.supply.solver.whole_numbers import SAME_COST, Cutting
from meshcore.supply.stopping import stop_asked

#: Share of the time that goes into the bound of the rolls, of what is then left into the first
#: patterns, and of what is left each time into patterns from another seed [-].
BOUND_SHARE, _FIRST_SHARE, _AGAIN_SHARE = 0.3, 0.7, 0.5
#: Patterns kept for the programme of runs and rolls.
_MOST_PATTERNS = 4000
#: Time below which nothing more is begun [s].
_LEAST_S = 0.05


@dataclass(frozen=True, slots=True)
class Way:
    """What patterns are made for.

    Parameters
    ----------
    by_rates
        Whether a width costs what the rolls' bound says that it is worth, or what its cloth costs.
    widths
        Numbers of the stock widths to do with where it can be; all if None.
    """

    by_rates: bool = False
    widths: tuple[int, ...] | None = None


def ways_for(bound: RollBound, widths: int, *, charged: bool) -> list[Way]:
    """Return the ways to take turns in, the most promising first.

    Parameters
    ----------
    bound
        Bound of the rolls, and the widths of those that it came to.
    widths
        How many stock widths there are.
    charged
        Whether widths are charged for being used, so that fewer of them may be cheaper.
    """
    ways = [Way(by_rates=True)] if bound.rates is not None else []
    if charged and bound.used:
        ways.append(Way(widths=bound.used))
    ways.append(Way())
    if charged:
        alone = [(width,) for width in range(widths) if (width,) != bound.used]
        ways += [Way(widths=width) for width in alone]
    return ways


def improved(
    cut: Callable[[float, int, Way], Cutting],
    plan: Callable[[Cutting], SlitPlan],
    bound: RollBound,
    ways: Sequence[Way],
    deadline: float,
    seed: int,
    told: Callable[[SlitPlan], None] = lambda _best: None,
) -> SlitPlan:
    """Return the cheapest plan that is found before the deadline.

    Parameters
    ----------
    cut
        Makes patterns in some seconds from a seed, in one of the ways.
    plan
        Makes patterns a plan: runs, and the rolls for them.
    bound
        Bound of the cost of the rolls, and patterns that came with it.
    ways
        Ways to make patterns, taken in turns.
    deadline
        By the monotonic clock [s]; infinite where no clock has a say: each way is then tried once.
    seed
        Of the first patterns; those after count on from it.
    told
        Told the best plan so far.
    """
    pool = list(bound.columns)
    made: list[SlitPlan] = []
    endless = math.isinf(deadline)
    for turn, way in enumerate(ways if endless else itertools.cycle(ways)):
        left = len(ways) - turn - 1
        share = _FIRST_SHARE / max(left, 1) if left >= 0 else _AGAIN_SHARE
        found = cut((deadline - time.monotonic()) * share, seed + turn, way)
        join_columns(pool, found.pool)
        pool = pool[-_MOST_PATTERNS:]
        made.append(plan(replace(found, pool=tuple(pool), bound=bound.cost)))
        told(min(made, key=lambda p: p.cost))
        out_of_time = deadline - time.monotonic() < _LEAST_S or stop_asked()
        if proven(made[-1]) or out_of_time:
            break
    return min(made, key=lambda p: p.cost)


def proven(plan: SlitPlan) -> bool:
    """Whether no plan costs less."""
    return plan.gap <= SAME_COST
