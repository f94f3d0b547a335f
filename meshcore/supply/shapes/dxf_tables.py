"""Tables and title blocks among the lines of a drawing: lines that meet in tees about words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from meshcore.supply.shapes.dxf_edges import Edge
from meshcore.supply.shapes.dxf_loops import JOIN_M
from meshcore.supply.shapes.outlines import Point as Spot

if TYPE_CHECKING:
    from shapely import LineString

#: Straight lines that a table has at least: its sides and one within.
_LEAST_LINES = 5


def tables_of(edges: Sequence[Edge], texts: Sequence[Spot]) -> list[tuple[int, ...]]:
    """Find groups of edges that look like a table with lettering in it.

    Parameters
    ----------
    edges
        Edges of a drawing [m].
    texts
        Where lettering begins [m].

    Returns
    -------
    Numbers of the edges of each table.
    """
    import shapely  # noqa: PLC0415 - heavy

    upright = [n for n, edge in enumerate(edges) if _is_upright(edge)]
    if not upright or not texts:
        return []
    lines = [_line(edges[n]) for n in upright]
    tree = shapely.STRtree(lines)
    one, two = tree.query(lines, predicate="dwithin", distance=JOIN_M)
    group = np.arange(len(lines))
    for a, b in zip(one.tolist(), two.tolist(), strict=True):
        group[group == group[b]] = group[a]
    tables = []
    for code in np.unique(group).tolist():
        members = np.flatnonzero(group == code).tolist()
        count = sum(len(lines[m].coords) - 1 for m in members)
        x0, y0, x1, y1 = shapely.total_bounds([lines[m] for m in members])
        lettered = any(x0 <= x <= x1 and y0 <= y <= y1 for x, y in texts)
        if lettered and count >= _LEAST_LINES and _has_tee([lines[m] for m in members]):
            tables.append(tuple(upright[m] for m in members))
    return tables


def _is_upright(edge: Edge) -> bool:
    pairs = zip(edge.corners, edge.corners[1:], strict=False)
    return all(not a[2] and min(abs(a[0] - b[0]), abs(a[1] - b[1])) <= JOIN_M for a, b in pairs)


def _line(edge: Edge) -> LineString:
    from shapely import LineString  # noqa: PLC0415 - heavy

    points = [corner[:2] for corner in edge.corners]
    return LineString([*points, points[0]] if edge.closed else points)


def _has_tee(lines: Sequence[LineString]) -> bool:
    """Tell whether the end of a line lies within another."""
    from shapely import Point  # noqa: PLC0415 - heavy

    for one in lines:
        corners = [Point(*spot) for spot in one.coords]
        for other in lines:
            if other is one or other.is_closed:
                continue
            for end in (Point(*other.coords[0]), Point(*other.coords[-1])):
                if one.dwithin(end, JOIN_M) and not any(c.dwithin(end, JOIN_M) for c in corners):
                    return True
    return False
