"""Orders of strips that fill whole rolls exactly, so that their least cost is known."""

from __future__ import annotations

from collections import Counter

import numpy as np

from meshcore.supply.policy import default_supply_policy
from meshcore.supply.slitting.plan import StripOrder, slit_terms

POLICY = default_supply_policy()
TERMS = slit_terms(POLICY)
#: Strip widths are whole multiples of this, but for the one that fills the rest of the roll [m].
STEP_M = 5e-3
GRID_M = 1e-4


def whole_rolls(seed: int, *, mixed_lengths: bool) -> tuple[StripOrder, float]:
    """Strips that fill some rolls exactly, and the cost of those rolls."""
    rng = np.random.default_rng(seed)
    wanted: Counter[tuple[int, int]] = Counter()
    cost = 0.0
    steps = round(STEP_M / GRID_M)
    for _ in range(rng.integers(2, 8, endpoint=True)):
        stock = TERMS.stocks[rng.integers(len(TERMS.stocks))]
        alike = int(rng.integers(1, 4, endpoint=True))
        cells = int((stock.width_m - 2 * POLICY.edge_trim_m) / GRID_M + 1e-6)
        slits = rng.choice(np.arange(1, cells // steps), rng.integers(1, 7), replace=False)
        cuts = np.sort(slits) * steps
        cost += stock.width_m * POLICY.full_length_m * alike
        for width in np.diff(np.r_[0, cuts, cells]):
            ends = np.sort(rng.choice(np.arange(1, 20), rng.integers(0, 3), replace=False))
            lengths = np.diff(np.r_[0, ends, 20]) if mixed_lengths else [20]
            for length in lengths:
                wanted[int(width), int(length)] += alike
    sizes = sorted(wanted)
    order = StripOrder(
        np.array([w * GRID_M for w, _ in sizes]),
        np.array([n * POLICY.full_length_m / 20 for _, n in sizes]),
        np.array([wanted[size] for size in sizes]),
    )
    return order, cost
