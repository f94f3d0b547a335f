"""Plans and pieces as DXF for the cutter: millimetres, arcs as arcs."""

from __future__ import annotations

import io
import math
from collections.abc import Sequence
from typing import Any

from meshcore.supply.nesting.parts import Cloth
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.shapes.outlines import Contour, Point, Shape, straight

#: Layers: name and colour number.
CLOTH, PIECES, OFFCUTS, LABELS = "cloth", "pieces", "offcuts", "labels"
_COLOURS = {CLOTH: 8, PIECES: 7, OFFCUTS: 3, LABELS: 5}
#: $INSUNITS and $MEASUREMENT of millimetres.
_MILLIMETRES, _METRIC = 4, 1
_MM = 1e3
#: Gap between cloths, or between pieces drawn side by side [m].
_GAP_M = 0.1
#: Height of lettering, as a share of the cloth's width [-].
_LETTER_SHARE = 0.02


def nest_dxf(plan: NestPlan) -> bytes:
    """Draw a nest for the cutter.

    Parameters
    ----------
    plan
        A plan that was checked.

    Returns
    -------
    A DXF drawing in millimetres. Each kind of cloth is drawn once, one above the other, with how
    often it is cut; the outline of the cloth and its trimmed edges on layer ``cloth``, what is to
    be cut on ``pieces``, what is left over on ``offcuts``, lettering on ``labels``.

    Raises
    ------
    ValueError
        If the plan was not checked: what is not proven is not cut.
    """
    if not plan.checked:
        raise ValueError("only a plan that nest() has checked can go to the cutter")
    drawing = _new()
    space = drawing.modelspace()
    base = 0.0
    for number, cloth in enumerate(plan.cloths, start=1):
        _draw_cloth(space, plan, cloth, number, base)
        base += plan.width_m + _GAP_M
    return _written(drawing)


def shapes_dxf(shapes: Sequence[Shape]) -> bytes:
    """Draw pieces side by side, in millimetres, on layer ``pieces``."""
    drawing = _new()
    space = drawing.modelspace()
    at = 0.0
    for shape in shapes:
        for contour in shape.contours:
            _draw(space, contour.placed(0.0, (at, 0.0)), PIECES)
        at += shape.width_m + _GAP_M
    return _written(drawing)


def _draw_cloth(space: Any, plan: NestPlan, cloth: Cloth, number: int, base_m: float) -> None:  # noqa: ANN401
    trim, width, length = plan.terms.edge_trim_m, plan.width_m, cloth.length_m
    _draw(space, _box(0.0, base_m, length, base_m + width), CLOTH)
    if trim:
        for y in (base_m + trim, base_m + width - trim):
            space.add_line(_mm((0.0, y)), _mm((length, y)), dxfattribs={"layer": CLOTH})
    letter = _LETTER_SHARE * width * _MM
    words = f"cloth {number}, {width * _MM:g} mm wide, {length:.3f} m, cut {cloth.repeats} times"
    _write(space, words, (0.0, base_m + width), letter)
    placed = cloth.placements
    rows = zip(placed.shape, placed.x_m, placed.y_m, placed.turn_rad, strict=True)
    for piece, (shape, x, y, turn) in enumerate(rows, start=1):
        shift = (float(x), float(y) + base_m)
        for contour in plan.order.shapes[shape].contours:
            _draw(space, contour.placed(float(turn), shift), PIECES)
        box = plan.order.shapes[shape].outline.placed(float(turn), shift).bounds
        middle = ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        _write(space, f"{shape + 1}-{piece}", middle, letter / 2)
    for free in plan.free(cloth):
        _draw(space, _box(free.x0_m, free.y0_m + base_m, free.x1_m, free.y1_m + base_m), OFFCUTS)


def _box(x0: float, y0: float, x1: float, y1: float) -> Contour:
    return straight([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def _draw(space: Any, contour: Contour, layer: str) -> None:  # noqa: ANN401 - untyped package
    """Draw a contour as one closed polyline, or as a circle where it is one."""
    corners = contour.corners
    whole = len(corners) == 2 and all(abs(c[2]) == 1.0 for c in corners)  # noqa: PLR2004
    if whole:
        (x0, y0, _), (x1, y1, _) = corners
        centre = _mm(((x0 + x1) / 2, (y0 + y1) / 2))
        radius = math.hypot(x1 - x0, y1 - y0) / 2
        space.add_circle(centre, radius * _MM, dxfattribs={"layer": layer})
        return
    points = [(x * _MM, y * _MM, bulge) for x, y, bulge in corners]
    space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": layer})


def _write(space: Any, words: str, at: Point, height: float) -> None:  # noqa: ANN401 - untyped package
    text = space.add_text(words, height=height, dxfattribs={"layer": LABELS})
    text.set_placement(_mm(at))


def _mm(point: Point) -> Point:
    return point[0] * _MM, point[1] * _MM


def _new() -> Any:  # noqa: ANN401 - untyped package
    from ezdxf.filemanagement import new  # noqa: PLC0415 - heavy

    drawing = new("R2010")
    drawing.header["$INSUNITS"] = _MILLIMETRES
    drawing.header["$MEASUREMENT"] = _METRIC
    for name, colour in _COLOURS.items():
        drawing.layers.add(name, color=colour)
    return drawing


def _written(drawing: Any) -> bytes:  # noqa: ANN401 - untyped package
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode(drawing.output_encoding)
