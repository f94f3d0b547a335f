"""What the lines of a list were taken as, in words."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, IntArray


def orders_taken(order: IntArray, options: BoolArray, by_column: bool) -> str:
    """Say what the lines were taken as: one order, or several, and options beside them.

    Parameters
    ----------
    order
        Number of the order of each line.
    options
        Lines that are offered beside the others.
    by_column
        Whether a column of the list tells its orders apart.

    Examples
    --------
    >>> orders_taken(np.array([0, 0, 1]), np.array([False, False, True]), by_column=False)
    'one order of 2 lines and 1 option in no total'
    """
    count = int(options.sum())
    beside = f"{count} option{'s' if count > 1 else ''} in no total" if count else ""
    lines = len(options) - count
    orders = len(np.unique(order[~options]))
    if orders == 1:
        taken = f"one order of {lines} lines" if lines > 1 else "one order of one line"
    elif orders:
        taken = f"{orders} orders{', by the column order' if by_column else ', one a line'}"
    else:
        taken = "" if count else "no order"
    return " and ".join(part for part in (taken, beside) if part)
