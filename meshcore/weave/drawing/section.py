"""The section A–A: one shute wire in side view, and the warp wires that it crosses cut through."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.weave.drawing.layout import LEFT, SHUTE_FILL, SIDE, WARP_FILL, WIDTH, Plan
from meshcore.weave.drawing.svg import Sheet, offset
from meshcore.weave.geometry.centreline import Line, Segment
from meshcore.weave.geometry.interlacing import interlacing, tiled

#: Points on each arc of a section: a chord's error is then below a tenth of a unit.
_ARC_POINTS = 14
#: Opacity of the wire that lies behind the section's plane.
_BEHIND = "0.35"
#: Hatching lines across a cut wire, as shares of its radius.
_HATCHES = (-0.5, 0.0, 0.5)


def drawn_points(path: Sequence[Segment]) -> tuple[FloatArray, FloatArray]:
    """Points along one repeat of a wire [m], from the crossing at x = 0."""
    pieces = [
        piece.points(np.linspace(0.0, 1.0, 2 if isinstance(piece, Line) else _ARC_POINTS))
        for piece in path
    ]
    return np.concatenate([x for x, _ in pieces]), np.concatenate([z for _, z in pieces])


def draw_section(sheet: Sheet, plan: Plan, x: FloatArray, z: FloatArray, middle: float) -> None:
    """Draw the section about mid-plane at `middle`; `x` and `z` are a repeat of the cut wire."""
    sheet.text(
        LEFT + SIDE / 2, middle - plan.wire - 26, "Section A–A", text_anchor="middle",
        font_weight="600",
    )  # fmt: skip
    draw_cut(sheet, plan, x, z, middle)


def draw_cut(sheet: Sheet, plan: Plan, x: FloatArray, z: FloatArray, middle: float) -> None:
    """Draw the wires of the section alone, as `draw_section` does with its heading."""
    _band(sheet, plan, plan.cut - 1, (x, z), middle, behind=True)
    for number in range(plan.wires):
        above = bool(plan.over[number, plan.cut])
        _cut_wire(sheet, plan, number, middle, above)
    _band(sheet, plan, plan.cut, (x, z), middle, behind=False)


def _cut_wire(sheet: Sheet, plan: Plan, number: int, middle: float, above: bool) -> None:
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
    plan: Plan,
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
    plan: Plan, row: int, repeat: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Axis of shute wire `row` across the whole section: x, and height above mid-plane."""
    pattern = interlacing(plan.weave)[0]
    over = ~tiled(plan.weave, max(plan.wires, len(pattern)))[: len(pattern), row]
    if not over.any():
        # A welded shute wire is straight and lies below every warp wire.
        return np.array([0.0, WIDTH]), np.full(2, -plan.wire / 2)
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
    ends = np.array([LEFT, LEFT + SIDE])
    inside = (x > ends[0]) & (x < ends[1])
    start, stop = np.interp(ends, x, y)
    return np.append(np.insert(x[inside], 0, ends[0]), ends[1]), np.append(
        np.insert(y[inside], 0, start), stop
    )
