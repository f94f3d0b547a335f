"""How often prices came up, in steps of equal width."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.ranges import BudgetRange

if TYPE_CHECKING:
    import pandas as pd

#: Steps that a table holds at a glance.
_STEPS = 10


def price_bins(spread: BudgetRange, steps: int = _STEPS) -> pd.DataFrame:
    """Count the draws of a budget range by price.

    Parameters
    ----------
    spread
        The range.
    steps
        How many steps of equal width, from the least price to the greatest.

    Returns
    -------
    ``price_from``, ``price_to`` [its currency], and ``draws``; the counts sum to all draws. A
    price on an edge counts above it, the greatest in the last step.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    counts, edges = np.histogram(spread.prices, bins=steps)
    return pd.DataFrame({"price_from": edges[:-1], "price_to": edges[1:], "draws": counts})
