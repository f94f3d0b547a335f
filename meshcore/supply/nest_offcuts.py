"""Rectangles that are free beside the pieces of a cloth and at its end."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import FloatArray


def free_rectangles(
    boxes_m: FloatArray, low_m: float, high_m: float, length_m: float, spacing_m: float
) -> list[tuple[str, float, float]]:
    """Find the strip beside all pieces, and the largest rectangle free at the end.

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

    Returns
    -------
    Where, width across and length along the cloth [m] of each.

    Examples
    --------
    >>> boxes = np.array([[0.0, 0.0, 1.0, 0.4], [0.0, 0.4, 0.5, 0.8]])
    >>> for where, width, length in free_rectangles(boxes, 0.0, 1.0, 1.0, 0.0):
    ...     print(where, round(width, 9), round(length, 9))
    beside the pieces 0.2 1.0
    end of the cloth 0.4 0.5
    """
    below = boxes_m[:, 1].min() - spacing_m - low_m
    above = high_m - boxes_m[:, 3].max() - spacing_m
    found = [("beside the pieces", float(side), length_m) for side in (below, above) if side > 0]
    top = float(boxes_m[:, 3].max())
    width, length = _largest_at_end(boxes_m, top, length_m, spacing_m)
    if width > 0.0 and length > 0.0:
        found.append(("end of the cloth", width, length))
    return found


def _largest_at_end(
    boxes_m: FloatArray, top_m: float, length_m: float, spacing_m: float
) -> tuple[float, float]:
    """Largest rectangle that touches the end, by the classic stack over a staircase of bars."""
    low, high = boxes_m[:, 1] - spacing_m, boxes_m[:, 3] + spacing_m
    edges = np.unique(np.clip(np.concatenate([low, high]), boxes_m[:, 1].min(), top_m))
    middle = (edges[1:] + edges[:-1]) / 2
    if not len(middle):
        return 0.0, 0.0
    # The pieces that end last in each bar decide, so only the far ones need to be looked at.
    order = np.argsort(boxes_m[:, 2])
    reach = np.zeros(len(middle))
    first = np.searchsorted(middle, low[order])
    after = np.searchsorted(middle, high[order])
    for a, b, end in zip(first, after, boxes_m[order, 2] + spacing_m, strict=True):
        reach[a:b] = end
    free = np.maximum(length_m - reach, 0.0).tolist()
    best = (0.0, 0.0, 0.0)
    stack: list[tuple[float, float]] = []
    for start, bar in zip(edges.tolist(), [*free, 0.0], strict=True):
        begin = start
        while stack and stack[-1][1] >= bar:
            begin, height = stack.pop()
            width = start - begin
            best = max(best, (width * height, width, height))
        stack.append((begin, bar))
    return best[1], best[2]
