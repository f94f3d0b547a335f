"""Drawings for machines as DXF: millimetres, arcs as arcs, one layer for each kind of line."""

from __future__ import annotations

import io
import math
from typing import Any

from meshcore.supply.shapes.dxf_entities import CUT_LAYER
from meshcore.supply.shapes.outlines import Contour, Point, straight

#: Layers: name and colour number.
CLOTH, PIECES, OFFCUTS, KNIVES, LABELS = "cloth", CUT_LAYER, "offcuts", "knives", "labels"
_COLOURS = {CLOTH: 8, PIECES: 7, OFFCUTS: 3, KNIVES: 1, LABELS: 5}
#: $INSUNITS and $MEASUREMENT of millimetres.
_MILLIMETRES, _METRIC = 4, 1
_MM = 1e3


def box(x0: float, y0: float, x1: float, y1: float) -> Contour:
    """Outline of an upright box."""
    return straight([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def draw(space: Any, contour: Contour, layer: str) -> None:  # noqa: ANN401 - untyped package
    """Draw a contour as one closed polyline, or as a circle where it is one."""
    corners = contour.corners
    whole = len(corners) == 2 and all(abs(c[2]) == 1.0 for c in corners)  # noqa: PLR2004
    if whole:
        (x0, y0, _), (x1, y1, _) = corners
        centre = mm_point(((x0 + x1) / 2, (y0 + y1) / 2))
        radius = math.hypot(x1 - x0, y1 - y0) / 2
        space.add_circle(centre, radius * _MM, dxfattribs={"layer": layer})
        return
    points = [(x * _MM, y * _MM, bulge) for x, y, bulge in corners]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer})


def straight_line(space: Any, start: Point, end: Point, layer: str) -> None:  # noqa: ANN401 - untyped package
    """Draw a line."""
    space.add_line(mm_point(start), mm_point(end), dxfattribs={"layer": layer})


def letters(space: Any, words: str, at: Point, height: float) -> None:  # noqa: ANN401 - untyped package
    """Write words, `height` high [m]."""
    text = space.add_text(words, height=height * _MM, dxfattribs={"layer": LABELS})
    text.set_placement(mm_point(at))


def mm_point(point: Point) -> Point:
    """Return a point in millimetres."""
    return point[0] * _MM, point[1] * _MM


def new_drawing() -> Any:  # noqa: ANN401 - untyped package
    """Begin a drawing in millimetres, with its layers."""
    from ezdxf.filemanagement import new  # noqa: PLC0415 - heavy

    drawing = new("R2010")
    drawing.header["$INSUNITS"] = _MILLIMETRES
    drawing.header["$MEASUREMENT"] = _METRIC
    for name, colour in _COLOURS.items():
        drawing.layers.add(name, color=colour)
    return drawing


def written(drawing: Any) -> bytes:  # noqa: ANN401 - untyped package
    """Return a drawing as a file."""
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode(drawing.output_encoding)
