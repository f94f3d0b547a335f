"""What drawings of a cut sheet share: black on white, ticks, the warp, places for numbers."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.rounding import SLACK
from meshcore.weave.drawing.svg import Sheet, new_sheet

#: Width of a drawing in its own units, and of the cloth in it: numbers of 9 units are read on paper
#: and on a screen 390 pixels wide.
WIDTH, LEFT, CLOTH_WIDTH = 420.0, 46.0, 340.0
#: Size of numbers, and the least distance between two of them.
SMALL, APART = 9.0, 9.5
#: Steps of ticks along the cloth [m], the first that leaves them far enough apart.
_STEPS_M = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0)
_TICKS_APART, _TICK, _LONG_TICK, _EVERY = 14.0, 4.0, 8.0, 5
HATCH = "meshcore-waste"
_HATCH_STEP = 6.0
_MM = 1e3


@dataclass(frozen=True, slots=True)
class Picture:
    """A drawing, and its height in its own units; all are `WIDTH` wide."""

    sheet: Sheet
    height: float

    @property
    def svg(self) -> str:
        """The drawing as SVG."""
        return self.sheet.write()


def paper(height: float, title: str, description: str) -> Sheet:
    """Begin a drawing in black on white, with a hatch for cloth that is left over."""
    sheet = new_sheet(WIDTH, height, title, description, "light")
    step = f"{_HATCH_STEP:g}"
    pattern = ET.SubElement(
        ET.SubElement(sheet.root, "defs"), "pattern",
        {"id": HATCH, "width": step, "height": step, "patternUnits": "userSpaceOnUse",
         "patternTransform": "rotate(45)"},
    )  # fmt: skip
    ET.SubElement(pattern, "line", {"x1": "0", "y1": "0", "x2": "0", "y2": step,
                                    "stroke": "#777777", "stroke-width": "0.6"})  # fmt: skip
    return sheet


def waste(sheet: Sheet, x: float, y: float, width: float, height: float, **data: str) -> None:
    """Hatch a rectangle of cloth that is left over."""
    if width > 0 and height > 0:
        sheet.rect(x, y, width, height, fill=f"url(#{HATCH})", stroke="#777777",
                   stroke_width="0.4", **data)  # fmt: skip


def ticks(sheet: Sheet, top: float, from_m: float, to_m: float, scale: float) -> None:
    """Draw ticks along the cloth, at its left, every fifth with its metres."""
    step = next((s for s in _STEPS_M if s * scale >= _TICKS_APART / _EVERY), _STEPS_M[-1])
    number = int(from_m / step - SLACK) + (from_m > 0)
    while number * step <= to_m + SLACK:
        at = number * step
        y, labelled = top + (at - from_m) * scale, number % _EVERY == 0
        sheet.line(LEFT - (_LONG_TICK if labelled else _TICK), y, LEFT, y, data_tick=f"{at:g}")
        if labelled:
            sheet.text(LEFT - _LONG_TICK - 2.0, y + SMALL * 0.35, f"{at:g} m",
                       font_size=f"{SMALL:g}", text_anchor="end")  # fmt: skip
        number += 1


def warp_arrow(sheet: Sheet, top: float, length: float) -> None:
    """Draw the direction of the warp, along the cloth."""
    x = LEFT + CLOTH_WIDTH + 14.0
    sheet.line(x, top, x, top + length)
    sheet.arrow(x, top + length, 0.0, 1.0)
    sheet.text(x + 6.0, top + length / 2, "warp", font_size=f"{SMALL:g}",
               transform=f"rotate(90 {x + 6.0:.1f} {top + length / 2:.1f})",
               text_anchor="middle")  # fmt: skip


def spread(wanted: Sequence[float], apart: float = APART) -> list[float]:
    """Places for numbers as near to where they belong as room allows, in their order.

    Examples
    --------
    >>> spread([0.0, 1.0, 30.0], 10.0)
    [-4.5, 5.5, 30.0]
    """
    groups: list[tuple[float, int]] = []
    for place in wanted:
        groups.append((place, 1))
        while len(groups) > 1:
            (left, few), (right, more) = groups[-2:]
            if right - left >= apart * (few + more) / 2:
                break
            middle = (few * left + more * right) / (few + more)
            groups[-2:] = [(middle, few + more)]
    return [
        middle + apart * (n - (count - 1) / 2) for middle, count in groups for n in range(count)
    ]


def mm(metres: float) -> str:
    """Millimetres to a tenth, as a knife is set.

    Examples
    --------
    >>> mm(0.4101), mm(0.41)
    ('410.1', '410')
    """
    return f"{metres * _MM:.1f}".removesuffix(".0")
