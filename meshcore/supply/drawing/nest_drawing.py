"""Nest plan as SVG, to scale: cloth, trimmed edges, numbered pieces, offcuts, sizes, legend."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET

import numpy as np

from meshcore.rounding import SLACK
from meshcore.supply.drawing.outlines import View, path_of, roomiest
from meshcore.supply.nesting.parts import Cloth
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.shapes.outlines import turn_matrix
from meshcore.weave.drawing.svg import OUTLINE, TEXT, THIN, Sheet, Theme, new_sheet

#: Fills of the shapes, told apart by every common colour vision (Okabe and Ito, 2008, from
#: memory); every piece carries its shape's number as well, for no colour tells all.
FILLS = ("#56b4e9", "#e69f00", "#009e73", "#cc79a7", "#f0e442", "#0072b2", "#d55e00")
_FILL_OPACITY = "0.45"
#: Layout in drawing units: room along for cloth, margins, heading, gaps, a line of the legend.
_ALONG, _LEFT, _RIGHT, _TOP = 660.0, 24.0, 150.0, 66.0
_WIDTH = _LEFT + _ALONG + _RIGHT
_CLOTH_HEAD, _BAND_GAP, _CLOTH_GAP, _LINE = 62.0, 14.0, 22.0, 20.0
_SMALL = 11.0
#: A long cloth is drawn in up to this many bands, each at most so many times as long as wide.
_MOST_BANDS, _BAND_ASPECT = 4, 3.0
#: Cloths and pieces of a cloth that are drawn at most: beyond that a picture tells less than the
#: list, and takes long to open.
_MOST_CLOTHS, _MOST_PIECES = 12, 4000
#: Room that a digit needs from its middle to the nearest edge, as a share of its size [-].
_LABEL_ROOM = 0.65
#: Hatching of what is left over.
_HATCH = "meshcore-hatch"
_HATCH_STEP = 8.0
_MM = 1e3


def draw_nest_plan(plan: NestPlan, theme: Theme = "system") -> str:
    """Draw a nest to scale.

    Parameters
    ----------
    plan
        The plan.
    theme
        As for ``meshcore.weave.drawing.svg.new_sheet``.

    Returns
    -------
    SVG text. The cloth runs to the right; a long one goes on in a band below. Each piece carries
    its shape's number in ``data-shape``, each cloth its repeats in ``data-repeats``, each offcut
    whether it is kept in ``data-kept``.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.nesting.planning import NestOrder, NestTerms, quick_nest
    >>> from meshcore.supply.shapes.outlines import rectangle
    >>> order = NestOrder((rectangle(0.3, 0.2),), np.array([5]))
    >>> draw_nest_plan(quick_nest(order, NestTerms((1.0,), 0.0, 0.0, 30.0))).count("data-shape")
    5
    """
    drawn = plan.cloths[:_MOST_CLOTHS]
    band_m = _band_length(plan)
    scale = _ALONG / band_m
    heights = [_cloth_height(cloth, plan, band_m, scale) for cloth in drawn]
    legend = _LINE * (len(plan.order.shapes) + 2)
    height = _TOP + sum(heights) + _CLOTH_GAP * len(heights) + legend
    title = f"{plan.pieces} pieces from {plan.length_m:.3f} m of {_mm(plan.width_m)} cloth"
    sheet = new_sheet(_WIDTH, height, title, _description(plan), theme)
    _define_hatch(sheet)
    sheet.text(_LEFT, 24.0, title, font_weight="600")
    sheet.text(_LEFT, 44.0, _summary(plan), font_size=f"{_SMALL}")
    top = _TOP
    for number, (cloth, high) in enumerate(zip(drawn, heights, strict=True), start=1):
        _draw_cloth(sheet, plan, cloth, number, top, band_m, scale)
        top += high + _CLOTH_GAP
    if more := len(plan.cloths) - len(drawn):
        sheet.text(_LEFT, top - _CLOTH_GAP / 2, f"and {more} cloths more, not drawn")
    _draw_legend(sheet, plan, top + _LINE / 2)
    return sheet.write()


def _band_length(plan: NestPlan) -> float:
    longest = max(cloth.length_m for cloth in plan.cloths)
    least = max(_BAND_ASPECT * plan.width_m, longest / _MOST_BANDS)
    # A short cloth need not be drawn larger than one that is as long as it is wide.
    return max(min(longest, least), plan.width_m)


def _cloth_height(cloth: Cloth, plan: NestPlan, band_m: float, scale: float) -> float:
    bands = math.ceil(cloth.length_m / band_m * (1.0 - SLACK))
    return _CLOTH_HEAD + bands * (plan.width_m * scale + _BAND_GAP)


def _summary(plan: NestPlan) -> str:
    proof = "checked: none outside, none overlapping" if plan.checked else "not checked"
    return (
        f"{plan.method}; yield {plan.yield_share:.1%}, at most {plan.gap:.1%} above the least "
        f"length, {plan.count_per_metre:.3g} per metre; {proof}"
    )


def _description(plan: NestPlan) -> str:
    cloths = (
        f"{cloth.repeats} times {cloth.length_m:.3f} m with {len(cloth.placements.shape)} pieces"
        for cloth in plan.cloths
    )
    return f"{_summary(plan)}. Lengths of cloth: {', '.join(cloths)}."


def _define_hatch(sheet: Sheet) -> None:
    step = f"{_HATCH_STEP:g}"
    pattern = ET.SubElement(
        ET.SubElement(sheet.root, "defs"),
        "pattern",
        {
            "id": _HATCH,
            "width": step,
            "height": step,
            "patternUnits": "userSpaceOnUse",
            "patternTransform": "rotate(45)",
        },
    )
    ink = {"stroke": "currentColor", "stroke-width": f"{THIN}"}
    ET.SubElement(pattern, "line", {"x1": "0", "y1": "0", "x2": "0", "y2": step} | ink)


def _draw_cloth(
    sheet: Sheet,
    plan: NestPlan,
    cloth: Cloth,
    number: int,
    top: float,
    band_m: float,
    scale: float,
) -> None:
    group = sheet.group(data_cloth=str(number), data_repeats=str(cloth.repeats))
    times = f", cut {cloth.repeats} times" if cloth.repeats > 1 else ""
    pieces = len(cloth.placements.shape)
    words = f"Cloth {number}: {cloth.length_m:.3f} m, {pieces} pieces{times}"
    group.text(_LEFT, top + 12.0, words, font_weight="600", font_size=f"{_SMALL}")
    bands = math.ceil(cloth.length_m / band_m * (1.0 - SLACK))
    band_top = top + _CLOTH_HEAD
    first_end = _LEFT + min(cloth.length_m, band_m) * scale
    group.dimension_across(
        _LEFT, first_end, band_top - 14.0, band_top, _mm(min(cloth.length_m, band_m)), "length"
    )
    for band in range(bands):
        start = band * band_m
        view = View(scale, start, _LEFT, band_top, plan.width_m)
        _draw_band(group, plan, cloth, view, min(start + band_m, cloth.length_m), band == 0)
        band_top += plan.width_m * scale + _BAND_GAP


def _draw_band(
    group: Sheet, plan: NestPlan, cloth: Cloth, view: View, end_m: float, dimensioned: bool
) -> None:
    """Draw the part of a cloth from the view's start to `end_m`.

    A piece across the end of a band shows in part in both.
    """
    x0, x1 = view.x(view.start_m), view.x(end_m)
    high = plan.width_m * view.scale
    group.rect(
        x0, view.top, x1 - x0, high, fill="none", stroke="currentColor",
        stroke_width=f"{OUTLINE}", data_part="cloth",
    )  # fmt: skip
    for y in _trims(plan):
        group.line(x0, view.y(y), x1, view.y(y), stroke_dasharray="6 4", data_part="trim")
    window = _window(group, x0, view.top, x1 - x0, high)
    _draw_offcuts(window, plan, cloth, view, end_m)
    _draw_pieces(window, plan, cloth, view, end_m)
    if dimensioned:
        side = x1 + 16.0
        usable = plan.width_m - 2.0 * plan.terms.edge_trim_m
        words = [_mm(plan.width_m)]
        words += [f"{_mm(usable)} usable"] if plan.terms.edge_trim_m else []
        group.dimension_up(view.top, view.top + high, side, x1, words, "width")


def _window(group: Sheet, x: float, y: float, width: float, height: float) -> Sheet:
    """Open a part of the picture that cuts off what is drawn beyond it."""
    edge = OUTLINE / 2
    x, y, width, height = x - edge, y - edge, width + 2 * edge, height + 2 * edge
    place = {"x": x, "y": y, "width": width, "height": height}
    texts = {name: f"{value:.2f}" for name, value in place.items()}
    inner = ET.SubElement(group.here, "svg", texts | {"viewBox": " ".join(texts.values())})
    return Sheet(group.root, inner)


def _trims(plan: NestPlan) -> tuple[float, ...]:
    trim = plan.terms.edge_trim_m
    return (trim, plan.width_m - trim) if trim else ()


def _draw_offcuts(group: Sheet, plan: NestPlan, cloth: Cloth, view: View, end_m: float) -> None:
    keep = plan.terms.keep
    for free in plan.free(cloth):
        start, end = max(free.x0_m, view.start_m), min(free.x1_m, end_m)
        if end <= start:
            continue
        kept = bool(
            keep and free.width_m >= keep.least_width_m and free.length_m >= keep.least_length_m
        )
        group.rect(
            view.x(start), view.y(free.y1_m), (end - start) * view.scale,
            free.width_m * view.scale, fill=f"url(#{_HATCH})", fill_opacity="0.5",
            stroke="currentColor", stroke_width=f"{THIN}", stroke_dasharray="2 2",
            data_part="offcut", data_kept="yes" if kept else "no",
        )  # fmt: skip


def _draw_pieces(group: Sheet, plan: NestPlan, cloth: Cloth, view: View, end_m: float) -> None:
    placed, box = cloth.placements, plan.boxes(cloth)
    shown = (box[:, 2] > view.start_m + SLACK) & (box[:, 0] < end_m - SLACK)
    for piece in np.flatnonzero(shown)[:_MOST_PIECES].tolist():
        number, turn = int(placed.shape[piece]), float(placed.turn_rad[piece])
        shift = (float(placed.x_m[piece]), float(placed.y_m[piece]))
        shape = plan.order.shapes[number]
        contours = [contour.placed(turn, shift) for contour in shape.contours]
        ET.SubElement(
            group.here,
            "path",
            {
                "d": " ".join(path_of(contour, view) for contour in contours),
                "fill": _fill(number),
                "fill-opacity": _FILL_OPACITY,
                "fill-rule": "evenodd",
                "stroke": "currentColor",
                "stroke-width": f"{THIN}",
                "data-shape": str(number + 1),
            },
        )
        (spot_x, spot_y), room = roomiest(shape)
        label = str(number + 1)
        if room * view.scale >= _SMALL * _LABEL_ROOM * len(label):
            cos, sin = turn_matrix(turn)
            x = cos * spot_x - sin * spot_y + shift[0]
            y = sin * spot_x + cos * spot_y + shift[1]
            group.text(
                view.x(x), view.y(y) + _SMALL * 0.35, label,
                text_anchor="middle", font_size=f"{_SMALL}",
            )  # fmt: skip


def _draw_legend(sheet: Sheet, plan: NestPlan, top: float) -> None:
    rows = zip(plan.order.shapes, plan.order.quantity.tolist(), strict=True)
    for number, (shape, quantity) in enumerate(rows):
        y = top + number * _LINE
        sheet.rect(
            _LEFT, y, 18.0, 12.0, fill=_fill(number), fill_opacity=_FILL_OPACITY,
            stroke="currentColor", stroke_width=f"{THIN}",
        )  # fmt: skip
        words = (
            f"{number + 1}  {shape.kind}, {_mm(shape.width_m)} × {_mm(shape.height_m)}, "
            f"{quantity} pieces"
        )
        sheet.text(_LEFT + 26.0, y + TEXT * 0.8, words, font_size=f"{_SMALL}")
    y = top + len(plan.order.shapes) * _LINE
    sheet.rect(
        _LEFT, y, 18.0, 12.0, fill=f"url(#{_HATCH})", stroke="currentColor", stroke_width=f"{THIN}"
    )
    kept = (
        f", {plan.kept_area_m2:.3f} m² of it worth keeping" if plan.terms.keep is not None else ""
    )
    left = math.fsum(offcut.area_m2 for offcut in plan.offcuts)
    words = f"left over in rectangles: {left:.3f} m²{kept}; dashed lines: trimmed edges"
    sheet.text(_LEFT + 26.0, y + TEXT * 0.8, words, font_size=f"{_SMALL}")


def _fill(number: int) -> str:
    return FILLS[number % len(FILLS)]


def _mm(metres: float) -> str:
    return f"{metres * _MM:.1f}".removesuffix(".0") + " mm"
