"""A weave at a glance: plan and section without words, small enough to stand beside the others."""

from __future__ import annotations

from meshcore.enquiry import WEAVES
from meshcore.weave.drawing.layout import LEFT, SIDE, TOP, WIDTH, Plan
from meshcore.weave.drawing.plan import draw_wires
from meshcore.weave.drawing.section import draw_cut, drawn_points
from meshcore.weave.drawing.svg import Theme, new_sheet
from meshcore.weave.geometry.centreline import centreline
from meshcore.weave.geometry.interlacing import tiled

#: Wires drawn each way: a repeat of every weave and the wire after it.
_WIRES = 5
#: Room between plan and section, and around both, in drawing units.
_BETWEEN, _AROUND = 26.0, 6.0


def draw_at_a_glance(
    weave: int, wire_diameter_m: float, pitch_m: float, theme: Theme = "inherit"
) -> str:
    """Draw a weave's plan above its section, both to one scale, without dimensions.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, pitch_m
        Sizes [m].
    theme
        As `meshcore.weave.drawing.sheet.draw_cloth` has it.

    Returns
    -------
    SVG text.

    Raises
    ------
    ValueError
        If there is no such weave or theme, a size is not positive, or the wire is beyond the jam.

    Examples
    --------
    >>> draw_at_a_glance(0, 0.4e-3, 2.54e-3)[:4]
    '<svg'
    """
    path = centreline(weave, wire_diameter_m, pitch_m)
    scale = SIDE / (_WIRES * pitch_m)
    plan = Plan(weave, tiled(weave, _WIRES), pitch_m * scale, wire_diameter_m * scale)
    middle = TOP + SIDE + _BETWEEN + plan.wire
    bottom = middle + plan.wire + _AROUND
    title = f"{WEAVES[weave].capitalize()}, plan and section"
    sheet = new_sheet(WIDTH, bottom, title, f"{title}, to one scale.", theme)
    sheet.root.set(
        "viewBox",
        f"{LEFT - _AROUND:g} {TOP - _AROUND:g} {SIDE + 2 * _AROUND:g} {bottom - TOP + _AROUND:.2f}",
    )
    draw_wires(sheet, plan)
    x, z = drawn_points(path)
    draw_cut(sheet, plan, x * scale, z * scale, middle)
    return sheet.write()
