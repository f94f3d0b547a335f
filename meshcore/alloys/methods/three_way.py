"""What is certain of each service, and what is possible as far as anybody knows."""

from __future__ import annotations

from functools import reduce
from operator import and_, or_
from typing import NamedTuple

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray


class Maybe(NamedTuple):
    """Services of which something is certain, and those of which it is possible.

    Examples
    --------
    >>> hot = above(np.array([80.0, 20.0, np.nan]), 60.0)
    >>> hot.certain.tolist(), hot.possible.tolist()
    ([True, False, False], [True, False, True])
    """

    certain: BoolArray
    possible: BoolArray


def above(value: FloatArray, limit: float) -> Maybe:
    """Where a value is more than a limit; possible where it is not known."""
    more = value > limit
    return Maybe(more, more | np.isnan(value))


def at_least(value: FloatArray, limit: float) -> Maybe:
    """Where a value is as much as a limit or more."""
    more = value >= limit
    return Maybe(more, more | np.isnan(value))


def below(value: FloatArray, limit: float) -> Maybe:
    """Where a value is less than a limit."""
    less = value < limit
    return Maybe(less, less | np.isnan(value))


def between(value: FloatArray, least: float, most: float) -> Maybe:
    """Where a value lies between two, the ends included."""
    inside = (value >= least) & (value <= most)
    return Maybe(inside, inside | np.isnan(value))


def is_so(code: IntArray) -> Maybe:
    """Where a three-way field (1 yes, 0 no, -1 not known) says yes."""
    return Maybe(code == 1, code != 0)


def sure(mask: BoolArray) -> Maybe:
    """Where something is known of every service."""
    return Maybe(mask, mask)


def both(*parts: Maybe) -> Maybe:
    """Where all hold."""
    return Maybe(
        reduce(and_, [p.certain for p in parts]), reduce(and_, [p.possible for p in parts])
    )


def either(*parts: Maybe) -> Maybe:
    """Where any holds."""
    return Maybe(reduce(or_, [p.certain for p in parts]), reduce(or_, [p.possible for p in parts]))
