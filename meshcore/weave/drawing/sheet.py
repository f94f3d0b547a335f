"""Plan and section of cloth, to scale and dimensioned, as SVG.

The plan looks down on the cloth; the section A–A is taken along one shute wire and stands below
the plan in line with it. Both come from `meshcore.weave.geometry.interlacing` and
`meshcore.weave.geometry.centreline`, and carry what they show as data attributes: ``data-set``
(warp or shute), ``data-wire`` (its number), and on a section's warp wires ``data-side`` (above or
below the shute wire that is cut).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import TWILLED, WEAVES, WELDED
from meshcore.units import METRES_PER_INCH
from meshcore.weave.drawing.svg import OUTLINE, TEXT, Sheet, Theme, new_sheet, offset
from meshcore.weave.geometry.centreline import Line, Segment, centreline
from meshcore.weave.geometry.interlacing import interlacing, tiled
from meshcore.weave.geometry.path import INTERMEDIATE_CRIMPS, THICKNESS_IN_WIRES
from meshcore.weave.judging.limits import length_text

#: Fills told apart by every common colour vision (Okabe and Ito, 2008, from memory), and light
#: enough under ink on white, dark enough under ink on black.
WARP_FILL, SHUTE_FILL = "#56b4e9", "#e69f00"
#: Wires drawn each way: enough to show a repeat and the wire after it.
_WIRES, _TWILL_WIRES = 4, 5

#: Layout in drawing units: the plan is a square of side `_SIDE` at (`_LEFT`, `_TOP`).
_SIDE, _LEFT, _TOP, _RIGHT = 420.0, 74.0, 138.0, 156.0
_WIDTH = _LEFT + _SIDE + _RIGHT
#: Heights of the heading's lines, and of the dimension lines above the plan.
_TITLE, _SUBTITLE, _PITCH_LINE, _APERTURE_LINE = 26.0, 46.0, 88.0, 120.0
#: Room below the plan for its labels and the section's heading, and below the section.
_BETWEEN, _BELOW = 84.0, 84.0
#: Gap that parts the wire below from the wire above: a share of the aperture, and a cap in units.
_GAP_SHARE, _GAP_CAP = 0.08, 2.5
#: Outlines never take more than this share of a wire.
_OUTLINE_SHARE = 0.12
#: Points on each arc of a section: a chord's error is then below a tenth of a unit.
_ARC_POINTS = 14
#: Opacity of the wire that lies behind the section's plane.
_BEHIND = "0.35"
#: Hatching lines across a cut wire, as shares of its radius.
_HATCHES = (-0.5, 0.0, 0.5)
#: Longest share of the plan's side that the scale bar may take.
_BAR_SHARE = 0.4


@dataclass(frozen=True, slots=True)
class _Plan:
    """What is drawn, in drawing units."""

    weave: int
    over: BoolArray
    pitch: float
    wire: float

    @property
    def wires(self) -> int:
        return len(self.over)

    @property
    def cut(self) -> int:
        """Shute wire that the section is taken along; the one above it in the plan lies behind."""
        return self.wires // 2

    @property
    def outline(self) -> float:
        return min(OUTLINE, _OUTLINE_SHARE * self.wire)

    def across(self, number: float) -> float:
        """X of a warp wire's axis."""
        return _LEFT + (number + 0.5) * self.pitch

    def down(self, number: float) -> float:
        """Y of a shute wire's axis in the plan."""
        return _TOP + (number + 0.5) * self.pitch


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
    pitch = _SIDE / wires
    units_per_m = pitch / pitch_m
    plan = _Plan(weave, tiled(weave, wires), pitch, wire_diameter_m * units_per_m)
    thickness_m = THICKNESS_IN_WIRES * wire_diameter_m
    middle = _TOP + _SIDE + _BETWEEN + thickness_m * units_per_m / 2
    height = middle + thickness_m * units_per_m / 2 + _BELOW
    sizes = _sizes(wire_diameter_m, pitch_m)
    title = f"{_heading(weave)}: {sizes}"
    sheet = new_sheet(_WIDTH, height, title, _description(weave, thickness_m, sizes), theme)
    sheet.text(_LEFT, _TITLE, _heading(weave), font_weight="600", font_size="16")
    sheet.text(_LEFT, _SUBTITLE, sizes)
    _draw_plan(sheet, plan)
    _dimension_plan(sheet, plan, wire_diameter_m, pitch_m)
    x, z = _sampled(path)
    _draw_section(sheet, plan, x * units_per_m, z * units_per_m, middle)
    half = thickness_m * units_per_m / 2
    edge = _LEFT + _SIDE
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


def _draw_plan(sheet: Sheet, plan: _Plan) -> None:
    for name, on_top in (("warp", plan.over), ("shute", ~plan.over.T)):
        for number in range(plan.wires):
            wire = sheet.group(**{"data-view": "plan", "data-set": name, "data-wire": str(number)})
            for start, end in _visible(plan, on_top[number]):
                _piece(wire, plan, name, number, start, end)
    base, middle = _TOP + _SIDE, TEXT * 0.35
    sheet.text(plan.across(0), base + 18, "warp", text_anchor="middle")
    sheet.text(_LEFT - 10, plan.down(0) + middle, "shute", text_anchor="end")
    y = plan.down(plan.cut)
    for x in (_LEFT - 16, _LEFT + _SIDE + 16):
        outward = 12 if x > _LEFT else -12
        sheet.line(x, y, x + outward, y, stroke_width="1.6")
        sheet.line(x + outward, y, x + outward, y - 22)
        sheet.arrow(x + outward, y - 26, 0.0, -1.0)
        sheet.text(x + outward, y + 16, "A", text_anchor="middle", font_weight="600")


def _visible(plan: _Plan, on_top: BoolArray) -> list[tuple[float, float]]:
    """Stretches of one wire that are seen from above, from the plan's edge in drawing units."""
    aperture = plan.pitch - plan.wire
    gap = min(_GAP_CAP, _GAP_SHARE * aperture) + plan.wire / 2
    stretches, start = [], 0.0
    for crossing in np.flatnonzero(~on_top).tolist():
        axis = (crossing + 0.5) * plan.pitch
        stretches.append((start, axis - gap))
        start = axis + gap
    return [*stretches, (start, _SIDE)]


def _piece(wire: Sheet, plan: _Plan, name: str, number: int, start: float, end: float) -> None:
    half, along = plan.wire / 2, end - start
    width = f"{plan.outline:.2f}"
    if name == "warp":
        x, y = plan.across(number), _TOP + start
        wire.rect(x - half, y, plan.wire, along, fill=WARP_FILL)
        for side in (x - half, x + half):
            wire.line(side, y, side, y + along, stroke_width=width)
    else:
        x, y = _LEFT + start, plan.down(number)
        wire.rect(x, y - half, along, plan.wire, fill=SHUTE_FILL)
        for side in (y - half, y + half):
            wire.line(x, side, x + along, side, stroke_width=width)


def _dimension_plan(sheet: Sheet, plan: _Plan, wire_diameter_m: float, pitch_m: float) -> None:
    half = plan.wire / 2
    sheet.dimension_across(
        plan.across(0), plan.across(1), _PITCH_LINE, _TOP, f"pitch {length_text(pitch_m)}", "pitch"
    )
    aperture = f"aperture {length_text(pitch_m - wire_diameter_m)}"
    sheet.dimension_across(
        plan.across(2) + half, plan.across(3) - half, _APERTURE_LINE, _TOP, aperture, "aperture"
    )
    y, edge = plan.down(0), _LEFT + _SIDE
    words = ["wire", length_text(wire_diameter_m)]
    sheet.dimension_up(y - half, y + half, edge + 26, edge + 4, words, "wire")


def _sampled(path: Sequence[Segment]) -> tuple[FloatArray, FloatArray]:
    """Points along one repeat of a wire [m], from the crossing at x = 0."""
    pieces = [
        piece.points(np.linspace(0.0, 1.0, 2 if isinstance(piece, Line) else _ARC_POINTS))
        for piece in path
    ]
    return np.concatenate([x for x, _ in pieces]), np.concatenate([z for _, z in pieces])


def _draw_section(sheet: Sheet, plan: _Plan, x: FloatArray, z: FloatArray, middle: float) -> None:
    sheet.text(
        _LEFT + _SIDE / 2, middle - plan.wire - 26, "Section A–A", text_anchor="middle",
        font_weight="600",
    )  # fmt: skip
    _band(sheet, plan, plan.cut - 1, (x, z), middle, behind=True)
    for number in range(plan.wires):
        above = bool(plan.over[number, plan.cut])
        _cut_wire(sheet, plan, number, middle, above)
    _band(sheet, plan, plan.cut, (x, z), middle, behind=False)


def _cut_wire(sheet: Sheet, plan: _Plan, number: int, middle: float, above: bool) -> None:
    radius = plan.wire / 2
    x, y = plan.across(number), middle - radius if above else middle + radius
    side = "above" if above else "below"
    group = sheet.group(
        **{"data-view": "section", "data-set": "warp", "data-wire": str(number), "data-side": side}
    )
    width = f"{plan.outline:.2f}"
    group.circle(x, y, radius, fill=WARP_FILL, stroke="currentColor", stroke_width=width)
    for share in _HATCHES:
        # A chord at 45°, its middle `share` of the radius from the centre.
        reach, shift = radius * np.sqrt((1 - share**2) / 2), radius * share / np.sqrt(2)
        group.line(
            x + shift - reach, y + shift + reach, x + shift + reach, y + shift - reach,
            stroke_width=f"{plan.outline / 2:.2f}",
        )  # fmt: skip


def _band(
    sheet: Sheet,
    plan: _Plan,
    row: int,
    repeat: tuple[FloatArray, FloatArray],
    middle: float,
    behind: bool,
) -> None:
    """Side view of one shute wire, laid so that it is over where the interlacing says."""
    x, height = _laid(plan, row, repeat)
    group = sheet.group(
        **{"data-view": "section", "data-set": "shute", "data-wire": str(row)},
        **({"opacity": _BEHIND} if behind else {}),
    )
    y = middle - height
    upper, lower = (_trimmed(*offset(x, y, side * plan.wire / 2)) for side in (-1.0, 1.0))
    outline_x = np.concatenate([upper[0], lower[0][::-1]])
    outline_y = np.concatenate([upper[1], lower[1][::-1]])
    group.curve(outline_x, outline_y, closed=True, fill=SHUTE_FILL)
    for edge_x, edge_y in (upper, lower):
        group.curve(
            edge_x, edge_y, fill="none", stroke="currentColor", stroke_width=f"{plan.outline:.2f}"
        )


def _laid(
    plan: _Plan, row: int, repeat: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Axis of shute wire `row` across the whole section: x, and height above mid-plane."""
    pattern = interlacing(plan.weave)[0]
    over = ~tiled(plan.weave, max(plan.wires, len(pattern)))[: len(pattern), row]
    if not over.any():
        # A welded shute wire is straight and lies below every warp wire.
        return np.array([0.0, _WIDTH]), np.full(2, -plan.wire / 2)
    shift = next(s for s in range(len(pattern)) if (np.roll(pattern, s) == over).all())
    length = len(pattern) * plan.pitch
    turns = range(-2, plan.wires + 1)
    x = np.concatenate([repeat[0] + length * turn for turn in turns])
    x += plan.across(shift)
    height = np.tile(repeat[1], len(turns))
    # Pieces share their ends, and a curve's course needs each point once.
    distinct = np.append(True, np.diff(x) > 0)
    return x[distinct], height[distinct]


def _trimmed(x: FloatArray, y: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Return the part of a curve that lies below the plan."""
    ends = np.array([_LEFT, _LEFT + _SIDE])
    inside = (x > ends[0]) & (x < ends[1])
    start, stop = np.interp(ends, x, y)
    return np.append(np.insert(x[inside], 0, ends[0]), ends[1]), np.append(
        np.insert(y[inside], 0, start), stop
    )


#: Far above the rounding of a few float operations, far below what a reader could see.
_BAR_SLACK = 1e-9


def _scale_bar(sheet: Sheet, units_per_m: float, y: float) -> None:
    # Rounding must not leave the bar a hair too long for its own decade.
    longest = _BAR_SHARE * _SIDE / units_per_m * (1.0 + _BAR_SLACK)
    decade = 10.0 ** np.floor(np.log10(longest))
    size = decade * max(step for step in (1, 2, 5) if step * decade <= longest)
    end = _LEFT + size * units_per_m
    sheet.line(_LEFT, y, end, y, stroke_width="2")
    for x in (_LEFT, end):
        sheet.line(x, y - 5, x, y + 5)
    sheet.text(end + 10, y + TEXT * 0.35, f"{length_text(size)}, plan and section to one scale")
