"""A nest in bands that fit a page: it breaks between rows, never through a piece."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class Band:
    """Part of a length of cloth: its pieces by number, and from where to where it is drawn [m]."""

    pieces: IntArray
    from_m: float
    to_m: float


def bands_of(boxes: FloatArray, length_m: float, most_m: float) -> list[Band]:
    """Part a length of cloth into bands.

    Parameters
    ----------
    boxes
        Boxes of the pieces: least x, least y, greatest x, greatest y [m].
    length_m
        Length of the cloth [m].
    most_m
        Length of a band at most [m]; a longer piece has a band of its own length.

    Returns
    -------
    Bands in their order; each piece is in one of them, and whole in it. Where no line across the
    cloth misses all pieces, neighbouring bands show a little of the same cloth.

    Examples
    --------
    >>> boxes = np.array([[0.0, 0, 1.0, 1], [1.2, 0, 2.0, 1], [2.1, 0, 3.0, 1]])
    >>> [(b.pieces.tolist(), b.from_m, b.to_m) for b in bands_of(boxes, 3.0, 2.5)]
    [([0, 1], 0.0, 2.1), ([2], 2.1, 3.0)]
    """
    order = np.argsort(boxes[:, 0], kind="stable")
    starts, ends = boxes[order, 0], np.maximum.accumulate(boxes[order, 2])
    bands: list[Band] = []
    first, at = 0, 0.0
    while first < len(order):
        begin = min(at, float(starts[first]))
        last = int(np.searchsorted(ends, begin + most_m, side="right"))
        last = max(last, first + 1)
        # Back to where a row ends: the next piece begins after all of these have ended.
        clear = [n for n in range(last, first, -1) if n == len(order) or starts[n] >= ends[n - 1]]
        last = clear[0] if clear else last
        end = float(ends[first:last].max())
        if last == len(order):
            end = max(end, min(length_m, begin + most_m))
        elif starts[last] >= end:
            end = max(end, min(float(starts[last]), begin + most_m))
        bands.append(Band(order[first:last], begin, end))
        first, at = last, end
    return bands
