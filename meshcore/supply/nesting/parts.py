"""Pieces placed on cloth: one by one or in lanes, in parts end to end on a length of cloth."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.nesting.patterns.lanes import Lanes


@dataclass(frozen=True, slots=True)
class Placements:
    """Pieces on one cloth, one row a piece.

    A piece's outline is its shape's, turned about the origin and then shifted:
    ``shape.outline.placed(turn_rad, (x_m, y_m))``.

    Parameters
    ----------
    shape
        Number of the shape.
    x_m, y_m
        Shift [m].
    turn_rad
        Turn, anticlockwise [rad].
    """

    shape: IntArray
    x_m: FloatArray
    y_m: FloatArray
    turn_rad: FloatArray


def joined(parts: list[Placements]) -> Placements:
    """Return the pieces of several parts as one."""
    return Placements(
        np.concatenate([p.shape for p in parts]),
        np.concatenate([p.x_m for p in parts]),
        np.concatenate([p.y_m for p in parts]),
        np.concatenate([p.turn_rad for p in parts]),
    )


@dataclass(frozen=True)
class LanePart:
    """The first `count` pieces of one shape in lanes, `shift_m` along the cloth."""

    shape: int
    lanes: Lanes
    count: int
    shift_m: float = 0.0

    @cached_property
    def length_m(self) -> float:
        """Length from the start of the part to its last piece [m]."""
        return self.lanes.length_for(self.count)

    def placements(self) -> Placements:
        """Return where each piece lies."""
        x, y, turn = self.lanes.positions(self.count)
        shape = np.full(self.count, self.shape, dtype=np.int64)
        return Placements(shape, x + self.shift_m, y, turn)


@dataclass(frozen=True, slots=True)
class FreePart:
    """Pieces placed one by one, `shift_m` along the cloth."""

    pieces: Placements
    length_m: float
    shift_m: float = 0.0

    def placements(self) -> Placements:
        """Return where each piece lies."""
        p = self.pieces
        return Placements(p.shape, p.x_m + self.shift_m, p.y_m, p.turn_rad)


@dataclass(frozen=True)
class Cloth:
    """A length of cloth and what is cut from it.

    Parameters
    ----------
    length_m
        Length used [m].
    parts
        Pieces, in one or several parts end to end.
    repeats
        How many lengths are cut so.
    """

    length_m: float
    parts: tuple[LanePart | FreePart, ...]
    repeats: int = 1

    @cached_property
    def placements(self) -> Placements:
        """All pieces of one such length."""
        return joined([part.placements() for part in self.parts])
