"""How near slit plans come to their lower bound, against the time they are given."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

from meshcore.supply.policy import default_supply_policy
from meshcore.supply.slitting.plan import SlitPlan, StripOrder, slit_terms
from meshcore.supply.slitting.planning import slit

sys.path.append(str(Path(__file__).resolve().parents[1] / "tests"))
from zero_waste import TERMS, whole_rolls

SEED = 20261101
BUDGETS_S = (0.25, 1.0, 4.0)
ORDERS = 8
#: With this many lines or fewer asked of a bench, it is a quick look: one budget, few orders.
QUICK_LINES = 10_000
STRIP_KINDS = 12
#: Orders cut from whole rolls without waste, that the search proves by itself.
ZERO_WASTE, ALLOWED_S = 12, 120.0
LENGTHS_M = (1.5, 3.0, 4.2, 10.0, 30.48)


def random_order(rng: np.random.Generator, *, mixed_lengths: bool) -> StripOrder:
    """Draw an order of a dozen strip sizes, up to thirty of each."""
    widths = rng.choice(np.arange(20, 800), STRIP_KINDS, replace=False) / 1e3
    lengths = rng.choice(LENGTHS_M, STRIP_KINDS) if mixed_lengths else np.full(STRIP_KINDS, 30.48)
    return StripOrder(widths, lengths, rng.integers(1, 31, STRIP_KINDS))


def main(lines: int | None = None) -> None:
    """Print the gap and the time taken for each kind of order and each time budget."""
    quick = lines is not None and lines <= QUICK_LINES
    terms = slit_terms(default_supply_policy())
    for mixed in (False, True):
        kind = "mixed lengths" if mixed else "one length"
        for seconds in BUDGETS_S[:1] if quick else BUDGETS_S:
            rng = np.random.default_rng(SEED)
            gaps, yields, took = [], [], []
            for _ in range(2 if quick else ORDERS):
                order = random_order(rng, mixed_lengths=mixed)
                began = time.perf_counter()
                plan = slit(order, terms, seconds)
                took.append(time.perf_counter() - began)
                if not isinstance(plan, SlitPlan):
                    raise TypeError(f"an order of the bench was refused: {plan}")
                gaps.append(plan.gap)
                yields.append(plan.yield_share)
            print(
                f"slitting, {STRIP_KINDS} sizes of {kind}, {seconds:g} s allowed: gap to the "
                f"bound {np.mean(gaps) * 100:.2f} % on average, {np.max(gaps) * 100:.2f} % at "
                f"most; yield {np.mean(yields) * 100:.1f} %; {np.mean(took):.2f} s taken"
            )
    zero_waste(2 if quick else ZERO_WASTE)


def zero_waste(orders: int) -> None:
    """Print how long plans without waste take to be found and proven."""
    took, proven = [], 0
    for seed in range(1, orders + 1):
        order, cost = whole_rolls(seed, mixed_lengths=False)
        began = time.process_time()
        plan = slit(order, TERMS, ALLOWED_S)
        took.append(time.process_time() - began)
        proven += isinstance(plan, SlitPlan) and plan.gap <= 1e-7 and plan.cost <= cost * (1 + 1e-7)
    print(
        f"slitting whole rolls without waste: {proven} of {orders} found and proven; "
        f"{np.mean(took):.2f} s of the processor on average, {max(took):.2f} s at most"
    )


if __name__ == "__main__":
    main()
