"""Slit plan as SVG: each pattern with its lanes, strips, offcuts and repeats."""

from __future__ import annotations

from meshcore.supply.slitting.plan import Run, SlitPlan
from meshcore.supply.slitting.report import report_lines, run_text, summary
from meshcore.weave.drawing.svg import OUTLINE, TEXT, THIN, Sheet, Theme, new_sheet

#: Fill of strips: told apart from paper by every common colour vision, light enough under ink on
#: white, dark enough under ink on black (Okabe and Ito, 2008, from memory).
STRIP_FILL = "#56b4e9"
#: Layout in drawing units: length of the longest run, and height of the widest cloth.
_ALONG, _ACROSS = 560.0, 150.0
_LEFT, _RIGHT, _TOP, _BETWEEN, _BELOW = 92.0, 150.0, 84.0, 46.0, 18.0
_WIDTH = _LEFT + _ALONG + _RIGHT
#: A strip is labelled where its lane is at least this high and the strip this long.
_LABEL_HEIGHT, _LABEL_LENGTH = TEXT + 2.0, 96.0
_LABEL_SIZE = 11.0
#: Patterns drawn at most: beyond that a picture tells less than the list.
_MOST_DRAWN = 40
#: Width of a letter of the small text, as a share of its size [-]; on the safe side.
_LETTER = 0.62
_MM = 1e3


def draw_slit_plan(plan: SlitPlan, theme: Theme = "system") -> str:
    """Draw the patterns of a plan one below the other.

    Parameters
    ----------
    plan
        The plan.
    theme
        As for ``meshcore.weave.drawing.svg.new_sheet``.

    Returns
    -------
    SVG text. The cloth runs to the right; all patterns have one scale along and one across, which
    differ. Each strip carries its item in ``data-item``, each pattern its repeats in
    ``data-repeats``; cloth without fill is left over.

    Examples
    --------
    >>> import numpy as np
    >>> from meshcore.supply.policy import default_supply_policy
    >>> from meshcore.supply.slitting.plan import StripOrder, slit_terms
    >>> from meshcore.supply.slitting.planning import slit
    >>> order = StripOrder(np.array([0.45]), np.array([30.0]), np.array([2]))
    >>> draw_slit_plan(slit(order, slit_terms(default_supply_policy()))).count("data-item")
    2
    """
    widest = max(plan.terms.stocks[run.stock].width_m for run in plan.runs)
    longest = max(run.length_m for run in plan.runs)
    scale_along, scale_across = _ALONG / longest, _ACROSS / widest
    drawn = plan.runs[:_MOST_DRAWN]
    heights = [plan.terms.stocks[run.stock].width_m * scale_across for run in drawn]
    height = _TOP + sum(heights) + _BETWEEN * len(heights) + _BELOW
    title = f"Slit plan: {sum(run.repeats for run in plan.runs)} runs in {len(plan.runs)} patterns"
    sheet = new_sheet(_WIDTH, height, title, ". ".join(report_lines(plan)), theme)
    sheet.text(_LEFT, 24.0, title, font_weight="600")
    sheet.text(
        _LEFT,
        44.0,
        f"{summary(plan)}. Not to one scale along and across.",
        font_size=f"{_LABEL_SIZE}",
    )
    top = _TOP
    for run, high in zip(drawn, heights, strict=True):
        _draw_run(sheet, plan, run, top, scale_along, scale_across)
        top += high + _BETWEEN
    if more := len(plan.runs) - len(drawn):
        sheet.text(_LEFT, top - _BETWEEN / 2, f"and {more} patterns more, not drawn")
    return sheet.write()


def _draw_run(
    sheet: Sheet, plan: SlitPlan, run: Run, top: float, scale_along: float, scale_across: float
) -> None:
    width = plan.terms.stocks[run.stock].width_m
    length, high = run.length_m * scale_along, width * scale_across
    group = sheet.group(data_repeats=str(run.repeats), data_stock=str(run.stock))
    group.text(_LEFT, top - 8.0, run_text(plan, run), font_size=f"{_LABEL_SIZE}")
    group.rect(
        _LEFT, top, length, high,
        fill="none", stroke="currentColor", stroke_width=f"{THIN}", stroke_dasharray="5 3",
    )  # fmt: skip
    across = top + (0.0 if run.as_woven else plan.terms.edge_trim_m * scale_across)
    for lane in run.lanes:
        lane_high = lane.width_m * scale_across
        along = _LEFT
        for item, count in lane.strips:
            size = float(plan.items.length_m[item]) * scale_along
            for _ in range(count):
                _draw_strip(group, plan, item, along, across, size, lane_high)
                along += size
        if lane_high >= _LABEL_SIZE:
            label = f"{lane.width_m * _MM:.5g} mm"
            group.text(
                _LEFT - 8.0, across + lane_high / 2 + _LABEL_SIZE * 0.35, label,
                font_size=f"{_LABEL_SIZE}", text_anchor="end",
            )  # fmt: skip
        across += lane_high + plan.terms.kerf_m * scale_across
    group.text(
        _LEFT + length + 10.0, top + high / 2 + TEXT * 0.35, f"× {run.repeats}", font_weight="600"
    )


def _draw_strip(
    group: Sheet, plan: SlitPlan, item: int, x: float, y: float, length: float, high: float
) -> None:
    group.rect(
        x, y, length, high, fill=STRIP_FILL, fill_opacity="0.45", stroke="currentColor",
        stroke_width=f"{min(OUTLINE, high / 8):.2f}", data_item=str(item),
    )  # fmt: skip
    words = f"{plan.items.width_m[item] * _MM:.5g} × {plan.items.length_m[item] * _MM:.6g}"
    if high >= _LABEL_HEIGHT and length >= max(_LABEL_LENGTH, len(words) * _LABEL_SIZE * _LETTER):
        group.text(
            x + length / 2, y + high / 2 + _LABEL_SIZE * 0.35, words,
            font_size=f"{_LABEL_SIZE}", text_anchor="middle",
        )  # fmt: skip
