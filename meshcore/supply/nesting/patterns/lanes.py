"""Lanes of equal pieces along a cloth: how many lie on a length, and what length some need."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.rounding import SLACK


class Positions(NamedTuple):
    """Shift along [m], shift across [m] and turn [rad] of each piece."""

    x_m: FloatArray
    y_m: FloatArray
    turn_rad: FloatArray


@dataclass(frozen=True, slots=True)
class Lanes:
    """Lanes of one shape, one row a lane: its pieces follow each other at equal steps.

    Parameters
    ----------
    x_m, y_m, turn_rad
        Shift [m] and turn [rad] of the first piece of each lane.
    end_m
        Where the first piece of each lane ends along the cloth [m].
    step_m
        From a piece to the next in its lane [m]; above zero.

    Examples
    --------
    Two lanes of pieces 0.3 m long at a step of 0.4 m:

    >>> zero = np.zeros(2)
    >>> lanes = Lanes(zero, np.array([0.0, 0.5]), zero, zero + 0.3, zero + 0.4)
    >>> lanes.capacity(1.1), round(lanes.length_for(5), 9)
    (6, 1.1)
    """

    x_m: FloatArray
    y_m: FloatArray
    turn_rad: FloatArray
    end_m: FloatArray
    step_m: FloatArray

    def counts(self, length_m: float) -> IntArray:
        """Pieces of each lane that end within a length."""
        slack = length_m * SLACK
        whole = np.floor((length_m + slack - self.end_m) / self.step_m) + 1.0
        return np.maximum(whole, 0.0).astype(np.int64)

    def capacity(self, length_m: float) -> int:
        """Pieces that end within a length."""
        return int(self.counts(length_m).sum())

    def length_for(self, pieces: int) -> float:
        """Least length on which `pieces` end [m].

        The ends of the pieces are so many arithmetic progressions; only those near the length
        where the lanes' rates come to the number are looked at.
        """
        rates = 1.0 / self.step_m
        enough = (pieces + float(self.end_m @ rates)) / float(rates.sum())
        enough = max(enough, float(self.end_m.min()))
        after = enough - 2.0 * float(self.step_m.max())
        before = self.counts(after)
        if before.sum() >= pieces:
            before = np.zeros_like(before)
        upto = self.counts(enough)
        number = upto - before
        lane = np.repeat(np.arange(len(number)), number)
        within = np.arange(len(lane)) - np.repeat(np.cumsum(number) - number, number)
        ends = self.end_m[lane] + (before[lane] + within) * self.step_m[lane]
        wanted = pieces - int(before.sum())
        return float(np.partition(ends, wanted - 1)[wanted - 1])

    def positions(self, pieces: int) -> Positions:
        """Where the first pieces lie; of those that end last, the ones nearest the edge."""
        counts = self.counts(self.length_for(pieces))
        spare = int(counts.sum()) - pieces
        last = np.where(counts > 0, self.end_m + (counts - 1) * self.step_m, -np.inf)
        for lane in np.lexsort((-self.y_m, -last))[:spare]:
            counts[lane] -= 1
        lane = np.repeat(np.arange(len(counts)), counts)
        number = np.arange(len(lane)) - np.repeat(np.cumsum(counts) - counts, counts)
        x = self.x_m[lane] + number * self.step_m[lane]
        return Positions(x, self.y_m[lane], self.turn_rad[lane])
