"""Pieces of many shapes in columns of boxes across the cloth."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.rounding import SLACK
from meshcore.supply.nesting.cloths import Part
from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.plan import NestOrder
from meshcore.supply.nesting.postures import Posture

#: Pieces beyond which columns are not worked out: rows of each shape then serve as well.
MOST_PIECES = 1000


def shelf_parts(
    order: NestOrder,
    chosen: Sequence[Posture],
    usable_m: float,
    low_m: float,
    spacing_m: float,
) -> list[tuple[Part, int]]:
    """Columns filled by first fit, the longest pieces first.

    Parameters
    ----------
    order
        Pieces wanted.
    chosen
        How each shape lies.
    usable_m, low_m
        Usable width, and where it begins [m].
    spacing_m
        Least distance between pieces [m].
    """
    shape = np.repeat(np.arange(len(order.shapes)), order.quantity)
    longest_first = sorted(shape.tolist(), key=lambda n: (-chosen[n].along_m, -chosen[n].across_m))
    columns: list[list[int]] = []
    filled: list[float] = []
    room = usable_m * (1.0 + SLACK) + spacing_m
    for number in longest_first:
        across = chosen[number].across_m + spacing_m
        for column, taken in enumerate(filled):
            if taken + across <= room:
                columns[column].append(number)
                filled[column] += across
                break
        else:
            columns.append([number])
            filled.append(across)
    return [(_column(numbers, chosen, low_m, spacing_m), 1) for numbers in columns]


def _column(
    numbers: Sequence[int], chosen: Sequence[Posture], low_m: float, spacing_m: float
) -> FreePart:
    across = np.array([chosen[n].across_m + spacing_m for n in numbers])
    y = low_m + np.cumsum(across) - across - np.array([chosen[n].bounds[1] for n in numbers])
    pieces = Placements(
        np.array(numbers, dtype=np.int64),
        np.array([-chosen[n].bounds[0] for n in numbers]),
        y,
        np.array([chosen[n].turn_rad for n in numbers]),
    )
    return FreePart(pieces, max(chosen[n].along_m for n in numbers))
