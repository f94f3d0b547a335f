"""Edges of DXF entities: corners with bulges, in metres."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from meshcore.rounding import SLACK
from meshcore.supply.shapes.outlines import Corner

#: Ellipses and splines are replaced by polygons within this distance [m].
FLATTEN_M = 1e-5
#: Heights that differ by less than this, in drawing units, are one.
_LEVEL = 1e-6
#: Segments of a spline's span at least.
_SPAN_SEGMENTS = 4


class NotFlat(ValueError):  # noqa: N818 - it says what is wrong
    """An entity that stands out of the drawing's plane."""


@dataclass(frozen=True, slots=True)
class Edge:
    """A line of straight and circular parts.

    Parameters
    ----------
    corners
        x [m], y [m] and bulge of each corner; the last bulge counts where the line is closed.
    closed
        Whether the last corner leads back to the first.
    """

    corners: tuple[Corner, ...]
    closed: bool


def edges_of(entity: Any, metres: float) -> list[Edge]:  # noqa: ANN401 - untyped package
    """Edges of an entity; none for what is no line.

    Parameters
    ----------
    entity
        Any entity of ezdxf.
    metres
        Metres of a drawing unit [m].

    Raises
    ------
    NotFlat
        If the entity is drawn in a plane of its own.
    """
    read = {
        "LINE": _line, "ARC": _arc, "CIRCLE": _circle, "LWPOLYLINE": _polyline,
        "POLYLINE": _old_polyline, "ELLIPSE": _curve, "SPLINE": _curve,
    }.get(entity.dxftype())  # fmt: skip
    if read is None:
        return []
    edge = read(entity, metres)
    if len(edge.corners) < 2:  # noqa: PLR2004 - ends of a line
        return []
    scaled = tuple((x * metres, y * metres, bulge) for x, y, bulge in edge.corners)
    return [Edge(scaled, edge.closed)]


def _line(entity: Any, _: float) -> Edge:  # noqa: ANN401 - untyped package
    start, end = entity.dxf.start, entity.dxf.end
    _level(entity, (start.z, end.z))
    return Edge(((start.x, start.y, 0.0), (end.x, end.y, 0.0)), closed=False)


def _arc(entity: Any, _: float) -> Edge:  # noqa: ANN401 - untyped package
    turn = math.radians((entity.dxf.end_angle - entity.dxf.start_angle) % 360.0 or 360.0)
    start = math.radians(entity.dxf.start_angle)
    centre, radius = entity.dxf.center, entity.dxf.radius
    # Two parts, so that no bulge grows without bound towards a full turn.
    bulge = math.tan(turn / 8)
    angles = (start, start + turn / 2, start + turn)
    corners = [
        (centre.x + radius * math.cos(a), centre.y + radius * math.sin(a), bulge) for a in angles
    ]
    whole = turn > 2 * math.pi * (1.0 - SLACK)
    return _upright(entity, corners[:2] if whole else corners, whole)


def _circle(entity: Any, _: float) -> Edge:  # noqa: ANN401 - untyped package
    centre, radius = entity.dxf.center, entity.dxf.radius
    corners = [(centre.x - radius, centre.y, 1.0), (centre.x + radius, centre.y, 1.0)]
    return _upright(entity, corners, closed=True)


def _polyline(entity: Any, _: float) -> Edge:  # noqa: ANN401 - untyped package
    corners = [(float(x), float(y), float(bulge)) for x, y, bulge in entity.get_points("xyb")]
    return _upright(entity, corners, bool(entity.closed))


def _old_polyline(entity: Any, _: float) -> Edge:  # noqa: ANN401 - untyped package
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        return Edge((), closed=False)
    if entity.is_3d_polyline:
        _level(entity, [v.dxf.location.z for v in entity.vertices])
    corners = [
        (v.dxf.location.x, v.dxf.location.y, float(v.dxf.get("bulge", 0.0)))
        for v in entity.vertices
        # Frame points of a fitted curve are not on it.
        if not v.dxf.flags & v.SPLINE_FRAME_CONTROL_POINT
    ]
    return _upright(entity, corners, bool(entity.is_closed))


def _curve(entity: Any, metres: float) -> Edge:  # noqa: ANN401 - untyped package
    if entity.dxftype() == "SPLINE":
        points = list(entity.flattening(FLATTEN_M / metres, _SPAN_SEGMENTS))
        closed = bool(entity.closed)
    else:
        points = list(entity.flattening(FLATTEN_M / metres))
        closed = False
    _level(entity, [p.z for p in points])
    return _tidied(tuple((p.x, p.y, 0.0) for p in points), closed)


def _level(entity: Any, heights: Sequence[float]) -> None:  # noqa: ANN401 - untyped package
    """Raise where an entity is not at one height: what it is from above is not what is cut."""
    if max(heights) - min(heights) > _LEVEL * max(1.0, abs(max(heights))):
        raise NotFlat(f"a {entity.dxftype()} stands out of the drawing's plane")


def _upright(entity: Any, corners: list[Corner], closed: bool) -> Edge:  # noqa: ANN401 - untyped package
    """Corners as seen from above; an entity drawn from below is mirrored."""
    normal = entity.dxf.get("extrusion", None)
    if normal is not None:
        if math.hypot(normal.x, normal.y) > SLACK:
            raise NotFlat(f"a {entity.dxftype()} stands out of the drawing's plane")
        if normal.z < 0:
            corners = [(-x, y, -bulge) for x, y, bulge in corners]
    return _tidied(tuple(corners), closed)


def _tidied(corners: tuple[Corner, ...], closed: bool) -> Edge:
    """Drop corners that repeat the one before, and close a line that ends where it began."""
    kept: list[Corner] = []
    for x, y, bulge in corners:
        if kept and (x, y) == kept[-1][:2]:
            kept[-1] = (x, y, bulge)
        else:
            kept.append((x, y, bulge))
    if len(kept) > 2 and kept[0][:2] == kept[-1][:2]:  # noqa: PLR2004 - more than there and back
        return Edge(tuple(kept[:-1]), closed=True)
    return Edge(tuple(kept), closed)
