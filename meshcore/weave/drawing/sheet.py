"""Plan and section of cloth, to scale and dimensioned, as SVG.

The plan looks down on the cloth; the section A–A is taken along one shute wire and stands below
the plan in line with it. Both come from `meshcore.weave.geometry.interlacing` and
`meshcore.weave.geometry.centreline`, and carry what they show as data attributes: ``data-set``
(warp or shute), ``data-wire`` (its number), and on a section's warp wires ``data-side`` (above or
below the shute wire that is cut).
"""

from __future__ import annotations

import numpy as np

from meshcore.enquiry import TWILLED, WEAVES, WELDED
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.drawing.layout import LEFT, SIDE, TOP, WIDTH, Plan
from meshcore.weave.drawing.plan import dimension_plan, draw_plan
from meshcore.weave.drawing.section import draw_section, drawn_points
from meshcore.weave.drawing.svg import TEXT, Sheet, Theme, new_sheet
from meshcore.weave.geometry.centreline import centreline
from meshcore.weave.geometry.interlacing import tiled
from meshcore.weave.geometry.path import INTERMEDIATE_CRIMPS, THICKNESS_IN_WIRES
from meshcore.weave.judging.limits import length_text

#: Wires drawn each way: enough to show a repeat and the wire after it.
_WIRES, _TWILL_WIRES = 4, 5
#: Heights of the heading's lines, in drawing units.
_TITLE, _SUBTITLE = 26.0, 46.0
#: Room below the plan for its labels and the section's heading, and below the section.
_BETWEEN, _BELOW = 84.0, 84.0
#: Longest share of the plan's side that the scale bar may take.
_BAR_SHARE = 0.4


def draw_cloth(
    weave: int,
    wire_diameter_m: float,
    pitch_m: float,
    *,
    theme: Theme = "system",
    crimps: int = INTERMEDIATE_CRIMPS,
) -> str:
    """Draw cloth in plan and section.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_diameter_m, pitch_m
        Sizes [m]; any scale, from micrometres to metres.
    theme
        ``"system"`` follows the reader's light or dark setting, and brings its paper, so it suits
        an image; ``"inherit"`` has no paper and takes the text colour of the page that the SVG is
        put into inline; ``"light"`` and ``"dark"`` are fixed, for a page that knows its theme.
    crimps
        Crimps a pitch of an intermediate crimp [-].

    Returns
    -------
    The drawing as SVG text.

    Raises
    ------
    ValueError
        If there is no such weave or theme, a size is not positive, or the wire is beyond the jam:
        what cannot be woven cannot be drawn.

    Examples
    --------
    >>> picture = draw_cloth(0, 0.635e-3, 2.54e-3)
    >>> "aperture 1.905 mm" in picture, picture.count("<circle")
    (True, 4)
    """
    path = centreline(weave, wire_diameter_m, pitch_m, crimps)
    wires = _TWILL_WIRES if weave == TWILLED else _WIRES
    pitch = SIDE / wires
    units_per_m = pitch / pitch_m
    plan = Plan(weave, tiled(weave, wires), pitch, wire_diameter_m * units_per_m)
    thickness_m = THICKNESS_IN_WIRES * wire_diameter_m
    middle = TOP + SIDE + _BETWEEN + thickness_m * units_per_m / 2
    height = middle + thickness_m * units_per_m / 2 + _BELOW
    sizes = _sizes(wire_diameter_m, pitch_m)
    title = f"{_heading(weave)}: {sizes}"
    sheet = new_sheet(WIDTH, height, title, _description(weave, thickness_m, sizes), theme)
    sheet.text(LEFT, _TITLE, _heading(weave), font_weight="600", font_size="16")
    sheet.text(LEFT, _SUBTITLE, sizes)
    draw_plan(sheet, plan)
    dimension_plan(sheet, plan, wire_diameter_m, pitch_m)
    x, z = drawn_points(path)
    draw_section(sheet, plan, x * units_per_m, z * units_per_m, middle)
    half = thickness_m * units_per_m / 2
    edge = LEFT + SIDE
    words = ["thickness", length_text(thickness_m)]
    sheet.dimension_up(middle - half, middle + half, edge + 26, edge + 4, words, "thickness")
    _scale_bar(sheet, units_per_m, height - 22)
    return sheet.write()


def _heading(weave: int) -> str:
    name = WEAVES[weave]
    if weave == WELDED:
        return "Welded square screen (straight wires, not woven)"
    return f"{name.capitalize()} weave" if weave <= TWILLED else f"{name.capitalize()} screen"


def _sizes(wire_diameter_m: float, pitch_m: float) -> str:
    aperture = pitch_m - wire_diameter_m
    return (
        f"{METRES_PER_INCH / pitch_m:.4g} per inch, wire {length_text(wire_diameter_m)}, aperture "
        f"{length_text(aperture)}, open area {(aperture / pitch_m) ** 2 * 100:.4g} %"
    )


def _description(weave: int, thickness_m: float, sizes: str) -> str:
    below = (
        "All warp wires lie on the shute wires and are welded to them."
        if weave == WELDED
        else "Where two wires cross, the lower one is broken off at the upper one's edge."
    )
    return (
        f"Plan and section to scale. {sizes}, thickness {length_text(thickness_m)}. Warp runs up "
        f"the page, shute across it. {below}"
    )


def _scale_bar(sheet: Sheet, units_per_m: float, y: float) -> None:
    # Rounding must not leave the bar a hair too long for its own decade.
    longest = _BAR_SHARE * SIDE / units_per_m * (1.0 + SLACK)
    decade = 10.0 ** np.floor(np.log10(longest))
    size = decade * max(step for step in (1, 2, 5) if step * decade <= longest)
    end = LEFT + size * units_per_m
    sheet.line(LEFT, y, end, y, stroke_width="2")
    for x in (LEFT, end):
        sheet.line(x, y - 5, x, y + 5)
    sheet.text(end + 10, y + TEXT * 0.35, f"{length_text(size)}, plan and section to one scale")
