"""The plan: cloth seen from above, each lower wire broken off where it goes under."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray
from meshcore.weave.drawing.layout import LEFT, SHUTE_FILL, SIDE, TOP, WARP_FILL, Plan
from meshcore.weave.drawing.svg import TEXT, Sheet
from meshcore.weave.judging.limits import length_text

#: Heights of the dimension lines above the plan, in drawing units.
_PITCH_LINE, _APERTURE_LINE = 88.0, 120.0
#: Gap that parts the wire below from the wire above: a share of the aperture, and a cap in units.
_GAP_SHARE, _GAP_CAP = 0.08, 2.5


def draw_plan(sheet: Sheet, plan: Plan) -> None:
    """Draw the wires, name both sets, and mark where the section is taken."""
    draw_wires(sheet, plan)
    base, middle = TOP + SIDE, TEXT * 0.35
    sheet.text(plan.across(0), base + 18, "warp", text_anchor="middle")
    sheet.text(LEFT - 10, plan.down(0) + middle, "shute", text_anchor="end")
    y = plan.down(plan.cut)
    for x in (LEFT - 16, LEFT + SIDE + 16):
        outward = 12 if x > LEFT else -12
        sheet.line(x, y, x + outward, y, stroke_width="1.6")
        sheet.line(x + outward, y, x + outward, y - 22)
        sheet.arrow(x + outward, y - 26, 0.0, -1.0)
        sheet.text(x + outward, y + 16, "A", text_anchor="middle", font_weight="600")


def draw_wires(sheet: Sheet, plan: Plan) -> None:
    """Draw the wires as they are seen from above."""
    for name, on_top in (("warp", plan.over), ("shute", ~plan.over.T)):
        for number in range(plan.wires):
            wire = sheet.group(**{"data-view": "plan", "data-set": name, "data-wire": str(number)})
            for start, end in _visible(plan, on_top[number]):
                _piece(wire, plan, name, number, start, end)


def _visible(plan: Plan, on_top: BoolArray) -> list[tuple[float, float]]:
    """Stretches of one wire that are seen from above, from the plan's edge in drawing units."""
    aperture = plan.pitch - plan.wire
    gap = min(_GAP_CAP, _GAP_SHARE * aperture) + plan.wire / 2
    stretches, start = [], 0.0
    for crossing in np.flatnonzero(~on_top).tolist():
        axis = (crossing + 0.5) * plan.pitch
        stretches.append((start, axis - gap))
        start = axis + gap
    return [*stretches, (start, SIDE)]


def _piece(wire: Sheet, plan: Plan, name: str, number: int, start: float, end: float) -> None:
    half, along = plan.wire / 2, end - start
    width = f"{plan.outline:.2f}"
    if name == "warp":
        x, y = plan.across(number), TOP + start
        wire.rect(x - half, y, plan.wire, along, fill=WARP_FILL)
        for side in (x - half, x + half):
            wire.line(side, y, side, y + along, stroke_width=width)
    else:
        x, y = LEFT + start, plan.down(number)
        wire.rect(x, y - half, along, plan.wire, fill=SHUTE_FILL)
        for side in (y - half, y + half):
            wire.line(x, side, x + along, side, stroke_width=width)


def dimension_plan(sheet: Sheet, plan: Plan, wire_diameter_m: float, pitch_m: float) -> None:
    """Dimension the pitch, the aperture and the wire, given in [m]."""
    half = plan.wire / 2
    sheet.dimension_across(
        plan.across(0), plan.across(1), _PITCH_LINE, TOP, f"pitch {length_text(pitch_m)}", "pitch"
    )
    aperture = f"aperture {length_text(pitch_m - wire_diameter_m)}"
    sheet.dimension_across(
        plan.across(2) + half, plan.across(3) - half, _APERTURE_LINE, TOP, aperture, "aperture"
    )
    y, edge = plan.down(0), LEFT + SIDE
    words = ["wire", length_text(wire_diameter_m)]
    sheet.dimension_up(y - half, y + half, edge + 26, edge + 4, words, "wire")
