"""Scales that measure strips and rolls alike: what fits a roll is no more than the roll."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.supply.slitting.patterns import cells_down, common_grid, fill

#: Parts that a roll is taken to have, for the scales that count in parts.
_PARTS = (1, 2, 3, 4, 5, 6, 8, 10)


@dataclass(frozen=True, slots=True)
class Scale:
    """A measure of strips along a lane.

    Parameters
    ----------
    lengths_m, measures
        Each different length of strip [m], and what it measures.
    whole
        Whether all measures are whole numbers, so that what a roll holds is one too.

    Notes
    -----
    A roll measures the most that any lane of it can hold, so that a roll on the scale takes all
    strips on the scale that it takes in truth: a conservative scale (S. P. Fekete and
    J. Schepers, Mathematical Methods of Operations Research 60, 2004; from memory).
    """

    lengths_m: FloatArray
    measures: FloatArray
    whole: bool

    @property
    def one_length(self) -> bool:
        """Whether all strips have one length, so that each is a cross-section of its lane."""
        return len(self.lengths_m) == 1

    def of(self, length_m: FloatArray) -> FloatArray:
        """Measure of strips whose lengths are all on the scale."""
        place = np.abs(length_m[:, np.newaxis] - self.lengths_m).argmin(axis=1)
        found: FloatArray = self.measures[place]
        return found

    def of_roll(self, roll_m: float) -> float:
        """Most that a lane of a roll can hold."""
        if np.array_equal(self.measures, self.lengths_m):
            return roll_m
        grid = common_grid(self.lengths_m.tolist(), [roll_m])
        # Strips that lose a part of a cell only loosen the bound.
        sizes = np.maximum(cells_down(self.lengths_m, grid), 1)
        room = int(cells_down(np.array([roll_m]), grid)[0])
        most: IntArray = room // sizes
        return float(fill(sizes, self.measures, most, room).worth[room])

    def per_metre(self, longest_m: float) -> float:
        """Most that a metre of a part roll can hold, in the mean over the roll."""
        if np.array_equal(self.measures, self.lengths_m):
            return 1.0
        fits = self.lengths_m <= longest_m * (1.0 + SLACK)
        return float((self.measures[fits] / self.lengths_m[fits]).max(initial=0.0))


def scales_for(lengths_m: FloatArray, longest_m: float) -> list[Scale]:
    """Scales by which strips of some lengths take the most of the rolls.

    Parameters
    ----------
    lengths_m
        Lengths of the strips [m].
    longest_m
        Length of a full roll [m].

    Returns
    -------
    Of one length, the count of strips alone; of several, the lengths themselves, and the counts
    of parts that each is more than (dual feasible functions).

    Examples
    --------
    >>> [s.measures.tolist() for s in scales_for(np.array([7.0, 7.0]), 30.0)]
    [[1.0]]
    """
    distinct = np.unique(lengths_m)
    distinct = distinct[np.r_[True, np.diff(distinct) > distinct[1:] * SLACK]]
    if len(distinct) == 1:
        return [Scale(distinct, np.ones(1), whole=True)]
    scales = [Scale(distinct, distinct, whole=False)]
    for parts in _PARTS:
        held = distinct / longest_m * (parts + 1)
        counted = np.array([_more_than(x) for x in held])
        if counted.any() and not any(np.array_equal(counted, s.measures) for s in scales):
            scales.append(Scale(distinct, counted, whole=True))
    return scales


def _more_than(parts: float) -> float:
    """Whole parts that a length is more than: half a part too many is none."""
    return float(math.ceil(parts * (1.0 - SLACK)) - 1)
