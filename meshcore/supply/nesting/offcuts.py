"""Rectangles that are free beside the pieces of a cloth and at its end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray


@dataclass(frozen=True, slots=True)
class FreeRectangle:
    """A free rectangle: where it is, in words and along and across the cloth [m]."""

    where: str
    x0_m: float
    y0_m: float
    x1_m: float
    y1_m: float

    @property
    def length_m(self) -> float:
        """Length along the cloth [m]."""
        return self.x1_m - self.x0_m

    @property
    def width_m(self) -> float:
        """Width across the cloth [m]."""
        return self.y1_m - self.y0_m


def free_rectangles(
    boxes_m: FloatArray, low_m: float, high_m: float, length_m: float, spacing_m: float
) -> list[FreeRectangle]:
    """Find the strips beside all pieces, and the largest rectangle free at the end.

    Parameters
    ----------
    boxes_m
        Boxes of the pieces: least x, least y, greatest x, greatest y [m].
    low_m, high_m
        Where the usable width begins and ends [m].
    length_m
        Length of the cloth used [m].
    spacing_m
        Kept free around each piece [m].

    Examples
    --------
    >>> boxes = np.array([[0.0, 0.0, 1.0, 0.4], [0.0, 0.4, 0.5, 0.8]])
    >>> for free in free_rectangles(boxes, 0.0, 1.0, 1.0, 0.0):
    ...     print(free.where, round(free.width_m, 9), round(free.length_m, 9))
    beside the pieces 0.2 1.0
    end of the cloth 0.4 0.5
    """
    bottom, top = float(boxes_m[:, 1].min()), float(boxes_m[:, 3].max())
    beside = [(low_m, bottom - spacing_m), (top + spacing_m, high_m)]
    rectangles = [
        FreeRectangle("beside the pieces", 0.0, y0, length_m, y1) for y0, y1 in beside if y1 > y0
    ]
    y0, y1, free = _largest_at_end(boxes_m, bottom, top, length_m, spacing_m)
    if y1 > y0 and free > 0.0:
        rectangles.append(FreeRectangle("end of the cloth", length_m - free, y0, length_m, y1))
    return rectangles


def _largest_at_end(
    boxes_m: FloatArray, bottom_m: float, top_m: float, length_m: float, spacing_m: float
) -> tuple[float, float, float]:
    """Bottom, top and length of the largest rectangle that touches the end.

    The classic stack over a staircase of bars, each bar the length free behind the last piece.
    """
    low, high = boxes_m[:, 1] - spacing_m, boxes_m[:, 3] + spacing_m
    edges = np.unique(np.clip(np.concatenate([low, high]), bottom_m, top_m))
    middle = (edges[1:] + edges[:-1]) / 2
    # The piece that ends last in a bar decides: it is written there last.
    order = np.argsort(boxes_m[:, 2])
    reach = np.zeros(len(middle))
    first = np.searchsorted(middle, low[order])
    after = np.searchsorted(middle, high[order])
    for a, b, end in zip(first, after, boxes_m[order, 2] + spacing_m, strict=True):
        reach[a:b] = end
    free = np.maximum(length_m - reach, 0.0).tolist()
    best = (0.0, 0.0, 0.0, 0.0)
    stack: list[tuple[float, float]] = []
    for edge, bar in zip(edges.tolist(), [*free, 0.0], strict=True):
        begin = edge
        while stack and stack[-1][1] >= bar:
            begin, height = stack.pop()
            best = max(best, ((edge - begin) * height, begin, edge, height))
        stack.append((begin, bar))
    return best[1], best[2], best[3]
