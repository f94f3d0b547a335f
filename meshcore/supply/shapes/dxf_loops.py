"""Loose edges chained into closed loops; ends that nearly meet are joined."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.supply.shapes.dxf_edges import Edge
from meshcore.supply.shapes.outlines import Contour, Corner, Point

#: Ends nearer than this belong together [m]: a fiftieth of the finest wire that pieces are cut
#: from, and far above the rounding of a drawing.
JOIN_M = 2e-5
#: Gaps up to this are closed where nothing else is asked for, and said [m]: under what any cutter
#: keeps to (common practice, no source).
CLOSE_M = 2e-4


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """Where edges stay without a loop [m], why, and which they are."""

    at: Point
    why: str
    edges: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Loops:
    """Loops in the order of their first edges; what makes none; and gaps that were closed [m]."""

    loops: tuple[Contour, ...]
    open_ends: tuple[OpenEnd, ...]
    gaps: tuple[tuple[Point, float], ...]


def loops_of(edges: Sequence[Edge], close_m: float = CLOSE_M) -> Loops:
    """Chain edges into closed loops.

    Parameters
    ----------
    edges
        Edges as they were drawn, each once.
    close_m
        Gaps between ends up to this are closed [m].

    Examples
    --------
    >>> half = Edge(((0.0, 0.0, 1.0), (1.0, 0.0, 0.0)), closed=False)
    >>> flat = Edge(((0.0, 0.0, 0.0), (1.0, 0.0, 0.0)), closed=False)
    >>> [round(loop.area, 4) for loop in loops_of([half, flat]).loops]
    [0.3927]
    """
    first: list[tuple[int, Contour]] = [
        (n, Contour(edge.corners)) for n, edge in enumerate(edges) if edge.closed
    ]
    loose = [n for n, edge in enumerate(edges) if not edge.closed and _extent(edge) > JOIN_M]
    if not loose:
        return Loops(tuple(loop for _, loop in first), (), ())
    ends = np.array([point for n in loose for point in (edges[n].corners[0][:2],
                                                         edges[n].corners[-1][:2])])  # fmt: skip
    node, gaps = _nodes(ends, close_m)
    open_ends: list[OpenEnd] = []
    for group in _groups(node):
        numbers = [loose[n] for n in group]
        own = [(int(node[2 * n]), int(node[2 * n + 1])) for n in group]
        degree = np.bincount(np.array(own).ravel())
        wrong = next((n for n in np.array(own).ravel().tolist() if degree[n] != 2), None)  # noqa: PLR2004 - one in, one out
        if wrong is None:
            first.append((min(numbers), _chained(numbers, own, edges)))
            continue
        meeting = np.flatnonzero(degree > 2)  # noqa: PLR2004
        at = int(meeting[0]) if meeting.size else wrong
        spot = ends[int(np.flatnonzero(node == at)[0])]
        why = "more than two lines meet" if meeting.size else "an outline is open"
        open_ends.append(OpenEnd((float(spot[0]), float(spot[1])), why, tuple(numbers)))
    first.sort(key=lambda pair: pair[0])
    return Loops(tuple(loop for _, loop in first), tuple(open_ends), tuple(gaps))


def _extent(edge: Edge) -> float:
    """Size of the box about an edge, its bulges left out unless it comes back to its start [m]."""
    corners = np.array([corner[:2] for corner in edge.corners])
    return float(np.ptp(corners, axis=0).max())


def _nodes(ends: FloatArray, close_m: float) -> tuple[IntArray, list[tuple[Point, float]]]:
    """Return the number of the place where each end meets others, and the gaps closed."""
    node = _joined_within(ends, np.arange(len(ends)), JOIN_M)
    gaps: list[tuple[Point, float]] = []
    if close_m <= JOIN_M:
        return node, gaps
    alone = np.flatnonzero(np.bincount(node)[node] == 1)
    pairs = _pairs(ends[alone], close_m)
    pairs.sort(key=lambda pair: pair[2])
    taken: set[int] = set()
    for one, two, apart in pairs:
        # Nearest first: each end is led to one other.
        if not {one, two} & taken:
            taken |= {one, two}
            node[alone[two]] = node[alone[one]]
            x, y = ends[alone[one]]
            gaps.append(((float(x), float(y)), apart))
    return np.unique(node, return_inverse=True)[1].reshape(-1).astype(np.int64), gaps


def _pairs(points: FloatArray, within: float) -> list[tuple[int, int, float]]:
    import shapely  # noqa: PLC0415 - heavy

    if not len(points):
        return []
    spots = np.atleast_1d(np.asarray(shapely.points(points)))
    one, two = shapely.STRtree(spots).query(spots, predicate="dwithin", distance=within)
    once = one < two
    apart = np.hypot(*(points[one[once]] - points[two[once]]).T)
    return list(zip(one[once].tolist(), two[once].tolist(), apart.tolist(), strict=True))


def _joined_within(points: FloatArray, node: IntArray, within: float) -> IntArray:
    """Give points that are near each other one number."""
    parent = node.tolist()

    def root(n: int) -> int:
        while parent[n] != n:
            parent[n] = parent[parent[n]]
            n = parent[n]
        return n

    for one, two, _ in _pairs(points, within):
        a, b = sorted((root(one), root(two)))
        parent[b] = a
    roots = [root(n) for n in range(len(points))]
    return np.unique(roots, return_inverse=True)[1].reshape(-1).astype(np.int64)


def _groups(node: IntArray) -> list[list[int]]:
    """Edges that hang together, by number; edge n has the ends 2·n and 2·n + 1."""
    pairs = node.reshape(-1, 2)
    at: dict[int, list[int]] = {}
    for edge, (a, b) in enumerate(pairs.tolist()):
        at.setdefault(a, []).append(edge)
        at.setdefault(b, []).append(edge)
    seen: set[int] = set()
    groups = []
    for edge in range(len(pairs)):
        if edge in seen:
            continue
        pending, group = [edge], []
        seen.add(edge)
        while pending:
            here = pending.pop()
            group.append(here)
            for end in pairs[here].tolist():
                for other in at[end]:
                    if other not in seen:
                        seen.add(other)
                        pending.append(other)
        groups.append(sorted(group))
    return groups


def _chained(
    numbers: Sequence[int], ends: Sequence[tuple[int, int]], edges: Sequence[Edge]
) -> Contour:
    """Return the one loop of edges that meet two and two, from the first of them on."""
    at: dict[int, list[int]] = {}
    for place, pair in enumerate(ends):
        for end in pair:
            at.setdefault(end, []).append(place)
    chain: list[tuple[Edge, bool]] = []
    here, came = 0, ends[0][0]
    while True:
        is_reverse = ends[here][0] != came
        chain.append((edges[numbers[here]], is_reverse))
        came = ends[here][0] if is_reverse else ends[here][1]
        if len(chain) == len(numbers):
            return Contour(_joined(chain))
        places = at[came]
        here = places[0] if places[1] == here else places[1]


def _joined(chain: Sequence[tuple[Edge, bool]]) -> tuple[Corner, ...]:
    """Corners of edges end to end, those marked run backwards; each ends where the next begins."""
    corners: list[Corner] = []
    for edge, is_reverse in chain:
        following = backwards(edge.corners) if is_reverse else edge.corners
        if corners:
            # The corner is where the outline has been; the next edge begins there.
            following = ((*corners.pop()[:2], following[0][2]), *following[1:])
        corners += following
    return tuple(corners[:-1])


def backwards(corners: Sequence[Corner]) -> tuple[Corner, ...]:
    """Return an open edge run the other way."""
    bulges = [-corner[2] for corner in corners[:-1]][::-1]
    return tuple(
        (x, y, bulge) for (x, y, _), bulge in zip(corners[::-1], [*bulges, 0.0], strict=True)
    )
