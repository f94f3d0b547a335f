"""Slit plans as DXF for the slitter: millimetres, knives on their own layer."""

from __future__ import annotations

from meshcore.supply.drawing.dxf_writing import (
    CLOTH,
    KNIVES,
    OFFCUTS,
    PIECES,
    box,
    draw,
    letters,
    new_drawing,
    straight_line,
    written,
)
from meshcore.supply.drawing.knives import cuts_along, knives_of, lane_places
from meshcore.supply.drawing.sheet_parts import mm
from meshcore.supply.offcuts import LEAST_OFFCUT_M
from meshcore.supply.slitting.plan import SlitPlan

#: Gap between patterns [m], and the height of lettering as a share of the cloth's width [-].
_GAP_M, _LETTER_SHARE = 0.2, 0.02


def slit_dxf(plan: SlitPlan) -> bytes:
    """Draw the patterns of a slit plan.

    Returns
    -------
    A DXF drawing in millimetres. Each pattern is drawn once, one above the other, the cloth running
    to the right: its outline on layer ``cloth``, the strips on ``pieces``, a line for each knife
    with where it stands on ``knives``, cloth beside the strips on ``offcuts``, lettering on
    ``labels``.
    """
    drawing = new_drawing()
    space = drawing.modelspace()
    base = 0.0
    for number, run in enumerate(plan.runs, 1):
        width, length = plan.terms.stocks[run.stock].width_m, run.length_m
        letter = width * _LETTER_SHARE
        draw(space, box(0.0, base, length, base + width), CLOTH)
        words = f"pattern {number}, {mm(width)} mm wide, {length:.3f} m, slit {run.repeats} times"
        letters(space, words, (0.0, base + width + letter), letter)
        places = lane_places(plan, run)
        for lane in places:
            at = 0.0
            for end in cuts_along(lane, 0.0, plan.items.length_m):
                draw(space, box(at, base + lane.from_m, end, base + lane.to_m), PIECES)
                at = end
        for knife in knives_of(plan, run):
            straight_line(space, (0.0, base + knife), (length, base + knife), KNIVES)
            letters(space, mm(knife), (length + letter, base + knife), letter)
        far = places[-1].to_m
        if plan.usable_m(run) < width and width - far > LEAST_OFFCUT_M:
            draw(space, box(0.0, base + far, length, base + width), OFFCUTS)
        base += width + _GAP_M
    return written(drawing)
