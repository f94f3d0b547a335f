"""Strength of wire by its temper, and the heat up to which drawing keeps what it gave.

A record gives the strength of annealed wire. Hard-drawn wire is by family, over all sizes: the
finer the wire the stronger. Soft-drawn wire lies between the two.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from meshcore.alloys.methods.data_tables import data_rows
from meshcore.alloys.methods.families import closeness
from meshcore.arrays import FloatArray

#: State of the wire in the cloth, from soft to hard.
TEMPERS: tuple[str, ...] = ("annealed", "soft-drawn", "hard-drawn")
ANNEALED, SOFT_DRAWN, HARD_DRAWN = range(len(TEMPERS))


@dataclass(frozen=True, slots=True)
class HardDrawn:
    """What drawing gives to some families.

    Parameters
    ----------
    groups
        Families or their kin.
    least_mpa, most_mpa
        Tensile strength of hard-drawn wire, thick to fine [MPa].
    keeps_to_c
        Temperature up to which springs of it are used [°C]: above it they relax.
    """

    groups: tuple[str, ...]
    least_mpa: float
    most_mpa: float
    keeps_to_c: float
    source: str


@cache
def hard_drawn() -> tuple[HardDrawn, ...]:
    """Return what is known of hard-drawn wire, by family."""
    return tuple(
        HardDrawn(
            tuple(cells["groups"].split()),
            float(cells["least_mpa"]),
            float(cells["most_mpa"]),
            float(cells["keeps_to_c"]),
            cells["source"],
        )
        for cells in data_rows("tempers.csv")
    )


def _row_of(family: str) -> HardDrawn | None:
    named = [(max(closeness(g, family) for g in row.groups), i, row)
             for i, row in enumerate(hard_drawn())]  # fmt: skip
    best = max(named)
    return best[2] if best[0] >= 0 else None


def strength_mpa(
    temper: int, annealed_mpa: tuple[FloatArray, FloatArray], resists_as: Sequence[str]
) -> tuple[FloatArray, FloatArray]:
    """Least and most tensile strength of each alloy's wire in a temper [MPa].

    Parameters
    ----------
    temper
        Index into ``TEMPERS``; -1 where none is named: then that of annealed wire.
    annealed_mpa
        Least and most of annealed wire of each alloy [MPa].
    resists_as
        Family of each alloy, empty where it has none: then nothing is said of it when drawn.

    Examples
    --------
    >>> annealed = np.array([500.0]), np.array([750.0])
    >>> [end.tolist() for end in strength_mpa(HARD_DRAWN, annealed, ["aust"])]
    [[1200.0], [2000.0]]
    """
    if temper in (-1, ANNEALED):
        return annealed_mpa
    rows = [_row_of(family) if family else None for family in resists_as]
    least = np.array([np.nan if row is None else row.least_mpa for row in rows])
    most = np.array([np.nan if row is None else row.most_mpa for row in rows])
    if temper == HARD_DRAWN:
        return least, most
    between = np.fmin(annealed_mpa[1], least), np.fmax(annealed_mpa[1], least)
    return tuple(np.where(np.isnan(least), np.nan, end) for end in between)  # type: ignore[return-value]
