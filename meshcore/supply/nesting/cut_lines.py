"""Cuts that two rectangles share: where they touch, one cut parts both."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray

#: Decimals of a metre to which sides lie on one line: what a nest may be off.
_DECIMALS = 6


def shared_m(boxes_m: FloatArray) -> float:
    """Length of the sides of boxes that lie on each other [m].

    Parameters
    ----------
    boxes_m
        Rectangles that do not overlap: least x, least y, greatest x, greatest y [m].

    Examples
    --------
    Three squares in a row share two sides; a fourth, half beside the first, half a side more.

    >>> row = [[0.0, 0.0, 1.0, 1.0], [1.0, 0.0, 2.0, 1.0], [2.0, 0.0, 3.0, 1.0]]
    >>> shared_m(np.array(row))
    2.0
    >>> shared_m(np.array([*row, [-0.5, 1.0, 0.5, 2.0]]))
    2.5
    """
    x0, y0, x1, y1 = boxes_m.T
    return _laid_twice(x0, x1, y0, y1) + _laid_twice(y0, y1, x0, x1)


def _laid_twice(low: FloatArray, high: FloatArray, start: FloatArray, end: FloatArray) -> float:
    """Length laid twice by sides at `low` and at `high`, each from `start` to `end`."""
    line = np.round(np.concatenate([low, high]), _DECIMALS)
    from_, to = np.tile(start, 2), np.tile(end, 2)
    order = np.lexsort((from_, line))
    twice, at, reached = 0.0, np.nan, -np.inf
    for n in order.tolist():
        if line[n] != at:
            at, reached = line[n], -np.inf
        twice += max(min(reached, float(to[n])) - float(from_[n]), 0.0)
        reached = max(reached, float(to[n]))
    return twice
