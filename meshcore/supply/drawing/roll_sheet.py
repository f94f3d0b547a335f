"""A roll to be slit, as the slitter sets it up: to scale across, knives from one edge."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.supply.drawing.knives import RollSheet, Section, cuts_along
from meshcore.supply.drawing.sheet_parts import (
    CLOTH_WIDTH,
    LEFT,
    SMALL,
    Picture,
    mm,
    paper,
    spread,
    warp_arrow,
    waste,
)
from meshcore.supply.offcuts import LEAST_OFFCUT_M
from meshcore.supply.slitting.plan import SlitPlan
from meshcore.weave.drawing.svg import Sheet

#: Length that the cloth of a roll is drawn at, and the least of each run, in drawing units.
_ALONG, _LEAST_RUN = 150.0, 34.0
#: Room above each run for its knives, and at the foot.
_KNIVES, _FOOT = 52.0, 22.0


def draw_roll(plan: SlitPlan, sheet: RollSheet, names: Sequence[str], title: str) -> Picture:
    """Draw a roll with its runs one below the other.

    Parameters
    ----------
    plan
        The plan that the roll is of.
    sheet
        The roll.
    names
        Name of each item, short.
    title
        Read out to those who cannot see the picture.

    Returns
    -------
    The picture, black on white. Across, all is to one scale; along, it is not. Knives carry
    where they stand in ``data-knife`` [mm], strips their name in ``data-strip``, and cloth that is
    left over is hatched and says its kind in ``data-waste``.
    """
    width = plan.terms.stocks[sheet.stock].width_m
    across = CLOTH_WIDTH / width
    along = _ALONG / max(sheet.roll.length_m, 1e-9)
    heights = [max((s.to_m - s.from_m) * along, _LEAST_RUN) for s in sheet.sections]
    rest = sheet.roll.length_m - sheet.used_m
    left_over = _LEAST_RUN / 2 if rest > LEAST_OFFCUT_M else 0.0
    height = sum(heights) + len(heights) * _KNIVES + left_over + 2 * _FOOT
    picture = paper(height, title, _in_words(sheet))
    top = _FOOT / 2
    for section, high in zip(sheet.sections, heights, strict=True):
        _draw_section(picture, plan, section, names, width, across, top + _KNIVES, high)
        top += _KNIVES + high
    if left_over:
        waste(picture, LEFT, top, CLOTH_WIDTH, left_over, data_waste="end of a roll")
        picture.text(LEFT + CLOTH_WIDTH / 2, top + left_over - 4.0, f"left over: {rest:.3f} m",
                     font_size=f"{SMALL:g}", text_anchor="middle")  # fmt: skip
    warp_arrow(picture, _FOOT / 2 + _KNIVES, heights[0])
    picture.text(LEFT, height - 6.0, "edge from which the knives are set: left",
                 font_size=f"{SMALL:g}")  # fmt: skip
    return Picture(picture, height)


def _in_words(sheet: RollSheet) -> str:
    return ". ".join(
        f"From {s.from_m:.3f} m to {s.to_m:.3f} m: knives at "
        f"{', '.join(mm(k) for k in s.knives_m) or 'none'} mm"
        for s in sheet.sections
    )


def _draw_section(
    picture: Sheet,
    plan: SlitPlan,
    section: Section,
    names: Sequence[str],
    width: float,
    across: float,
    top: float,
    high: float,
) -> None:
    group = picture.group(data_pattern=str(section.pattern), data_from=f"{section.from_m:.6f}")
    along = high / (section.to_m - section.from_m)
    _label(group, LEFT - 6.0, top + SMALL, f"{section.from_m:.3f} m", "end")
    _label(group, LEFT - 6.0, top + high, f"{section.to_m:.3f} m", "end")
    group.rect(LEFT, top, CLOTH_WIDTH, high, fill="none", stroke="#000000", stroke_width="1")
    _draw_trims(group, section, width, across, top, high)
    for lane in section.lanes:
        at = section.from_m
        lane_x, lane_wide = LEFT + lane.from_m * across, (lane.to_m - lane.from_m) * across
        for end, item in zip(
            cuts_along(lane, section.from_m, plan.items.length_m), _each(lane.strips), strict=True
        ):
            y0, y1 = top + (at - section.from_m) * along, top + (end - section.from_m) * along
            group.rect(lane_x, y0, lane_wide, y1 - y0, fill="none", stroke="#000000",
                       stroke_width="0.8", data_strip=names[item])  # fmt: skip
            if lane_wide >= SMALL * 0.7 * len(names[item]) and y1 - y0 >= SMALL:
                _label(group, lane_x + lane_wide / 2, (y0 + y1) / 2 + 3.0, names[item], "middle")
            at = end
        spare = top + high - (top + (at - section.from_m) * along)
        if section.to_m - at > LEAST_OFFCUT_M:
            waste(group, lane_x, top + high - spare, lane_wide, spare, data_waste="end of a lane")
    _draw_knives(group, section, across, top, high)


def _each(strips: tuple[tuple[int, int], ...]) -> list[int]:
    return [item for item, count in strips for _ in range(count)]


def _draw_trims(
    group: Sheet, section: Section, width: float, across: float, top: float, high: float
) -> None:
    """Hatch what is trimmed at the near edge, and what is left beside the lanes."""
    near, far = section.lanes[0].from_m, section.lanes[-1].to_m
    waste(group, LEFT, top, near * across, high, data_waste="trim")
    if width - far > LEAST_OFFCUT_M:
        waste(group, LEFT + far * across, top, (width - far) * across, high, data_waste="beside")


def _draw_knives(group: Sheet, section: Section, across: float, top: float, high: float) -> None:
    places = [LEFT + knife * across for knife in section.knives_m]
    for knife, x, label_x in zip(section.knives_m, places, spread(places), strict=True):
        group.line(x, top - 6.0, x, top + high, stroke_width="1.4", data_knife=f"{knife * 1e3:.4f}")
        group.line(label_x, top - 14.0, x, top - 6.0)
        at = label_x + SMALL * 0.35
        group.text(at, top - 16.0, mm(knife), font_size=f"{SMALL:g}",
                   transform=f"rotate(-90 {at:.2f} {top - 16.0:.2f})")  # fmt: skip


def _label(group: Sheet, x: float, y: float, words: str, anchor: str) -> None:
    group.text(x, y, words, font_size=f"{SMALL:g}", text_anchor=anchor)
