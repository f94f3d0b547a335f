"""Plans and pieces as DXF for the cutter: millimetres, arcs as arcs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from meshcore.supply.drawing.dxf_writing import (
    CLOTH,
    OFFCUTS,
    PIECES,
    box,
    draw,
    letters,
    new_drawing,
    straight_line,
    written,
)
from meshcore.supply.nesting.parts import Cloth
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.shapes.outlines import Shape

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
    drawing = new_drawing()
    space = drawing.modelspace()
    base = 0.0
    for number, cloth in enumerate(plan.cloths, start=1):
        _draw_cloth(space, plan, cloth, number, base)
        base += plan.width_m + _GAP_M
    return written(drawing)


def shapes_dxf(shapes: Sequence[Shape]) -> bytes:
    """Draw pieces side by side, in millimetres, on layer ``pieces``."""
    drawing = new_drawing()
    space = drawing.modelspace()
    at = 0.0
    for shape in shapes:
        for contour in shape.contours:
            draw(space, contour.placed(0.0, (at, 0.0)), PIECES)
        at += shape.width_m + _GAP_M
    return written(drawing)


def _draw_cloth(space: Any, plan: NestPlan, cloth: Cloth, number: int, base_m: float) -> None:  # noqa: ANN401
    trim, width, length = plan.terms.edge_trim_m, plan.width_m, cloth.length_m
    draw(space, box(0.0, base_m, length, base_m + width), CLOTH)
    if trim:
        for y in (base_m + trim, base_m + width - trim):
            straight_line(space, (0.0, y), (length, y), CLOTH)
    letter = _LETTER_SHARE * width
    words = f"cloth {number}, {width * _MM:g} mm wide, {length:.3f} m, cut {cloth.repeats} times"
    letters(space, words, (0.0, base_m + width), letter)
    placed = cloth.placements
    rows = zip(placed.shape, placed.x_m, placed.y_m, placed.turn_rad, strict=True)
    for piece, (shape, x, y, turn) in enumerate(rows, start=1):
        shift = (float(x), float(y) + base_m)
        for contour in plan.order.shapes[shape].contours:
            draw(space, contour.placed(float(turn), shift), PIECES)
        x0, y0, x1, y1 = plan.order.shapes[shape].outline.placed(float(turn), shift).bounds
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        letters(space, f"{shape + 1}-{piece}", middle, letter / 2)
    for free in plan.free(cloth):
        draw(space, box(free.x0_m, free.y0_m + base_m, free.x1_m, free.y1_m + base_m), OFFCUTS)
