"""Loose edges chained into closed loops."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.supply.shapes.dxf_edges import Edge
from meshcore.supply.shapes.outlines import Contour, Corner, Point

#: Ends nearer than this belong together [m]: a fiftieth of the finest wire that pieces are cut
#: from, and far above the rounding of a drawing.
JOIN_M = 2e-5


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """Where a chain of edges stops [m], and why."""

    at: Point
    why: str


def loops_of(edges: Sequence[Edge]) -> list[Contour] | OpenEnd:
    """Chain edges into closed loops.

    Returns
    -------
    The loops, each at the place of its first edge; or the end at which one stays open.

    Examples
    --------
    >>> half = Edge(((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)), closed=False)
    >>> flat = Edge(((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), closed=False)
    >>> [round(loop.area, 4) for loop in loops_of([half, flat])]
    [0.3927]
    """
    ends = _Ends(edges)
    loops: list[Contour] = []
    used = [edge.closed for edge in edges]
    for first, edge in enumerate(edges):
        if edge.closed:
            loops.append(Contour(edge.corners))
        elif not used[first]:
            chain = _chain(edges, first, ends, used)
            if isinstance(chain, OpenEnd):
                return chain
            loops.append(Contour(chain))
    return loops


class _Ends:
    """Ends of open edges by place."""

    def __init__(self, edges: Sequence[Edge]) -> None:
        self._cells: dict[tuple[int, int], list[tuple[int, int]]] = defaultdict(list)
        self._edges = edges
        for number, edge in enumerate(edges):
            if not edge.closed:
                for side in (0, -1):
                    self._cells[_cell(edge.corners[side])].append((number, side))

    def near(self, corner: Corner) -> list[tuple[int, int]]:
        """Return number and side of the edges that end at a place."""
        i, j = _cell(corner)
        return [
            (number, side)
            for di in (-1, 0, 1)
            for dj in (-1, 0, 1)
            for number, side in self._cells.get((i + di, j + dj), ())
            if math.dist(self._edges[number].corners[side][:2], corner[:2]) <= JOIN_M
        ]


def _cell(corner: Corner) -> tuple[int, int]:
    return math.floor(corner[0] / JOIN_M), math.floor(corner[1] / JOIN_M)


def _chain(
    edges: Sequence[Edge], first: int, ends: _Ends, used: list[bool]
) -> tuple[Corner, ...] | OpenEnd:
    used[first] = True
    start = edges[first].corners[0]
    corners = list(edges[first].corners)
    while True:
        here = corners[-1]
        meeting = ends.near(here)
        if len(meeting) > 2:  # noqa: PLR2004 - one edge in, one out
            return OpenEnd(here[:2], "more than two lines meet")
        onward = [(number, side) for number, side in meeting if not used[number]]
        if not onward:
            if math.dist(here[:2], start[:2]) <= JOIN_M:
                return tuple(corners[:-1])
            return OpenEnd(here[:2], "an outline is open")
        number, side = onward[0]
        used[number] = True
        following = edges[number].corners if side == 0 else _backwards(edges[number].corners)
        # The corner is where the outline has been; the next edge begins there.
        corners[-1] = (here[0], here[1], following[0][2])
        corners += following[1:]


def _backwards(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    bulges = [-corner[2] for corner in corners[:-1]][::-1]
    return tuple(
        (x, y, bulge) for (x, y, _), bulge in zip(corners[::-1], [*bulges, 0.0], strict=True)
    )
