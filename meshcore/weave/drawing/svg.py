"""A small SVG builder: shapes, text and dimensions with an ink that fits the page."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from meshcore.arrays import FloatArray

Theme = Literal["system", "inherit", "light", "dark"]

#: Ink and paper of a light and a dark page; both pairs have a contrast above 12:1.
LIGHT_INK, LIGHT_PAPER = "#1b1f24", "#ffffff"
DARK_INK, DARK_PAPER = "#e8eaed", "#0e1117"
#: Length and half-width of an arrowhead, in drawing units.
ARROW_LENGTH, ARROW_HALF_WIDTH = 8.0, 2.6
#: A dimension shorter than this carries its arrows outside.
ROOM_FOR_ARROWS = 30.0
#: Reach of a dimension's line beyond arrows that stand outside.
OUTSIDE_REACH = 20.0
#: Widths of outlines and of dimension lines, and the size of text, in drawing units.
OUTLINE, THIN, TEXT = 1.2, 0.8, 13.0
_STYLE = (
    f".meshcore-drawing{{color:{LIGHT_INK}}}.meshcore-paper{{fill:{LIGHT_PAPER}}}"
    "@media (prefers-color-scheme:dark){"
    f".meshcore-drawing{{color:{DARK_INK}}}.meshcore-paper{{fill:{DARK_PAPER}}}}}"
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """An SVG being drawn on; coordinates are drawing units, y downwards.

    Parameters
    ----------
    root
        The ``svg`` element.
    here
        The element that shapes are added to: the root or a group of it.
    """

    root: ET.Element
    here: ET.Element

    def group(self, **attributes: str) -> Sheet:
        """Open a group; what is added to it carries its attributes."""
        return Sheet(self.root, _add(self.here, "g", attributes))

    def rect(self, x: float, y: float, width: float, height: float, **attributes: str) -> None:
        """Add a rectangle."""
        sizes = {"x": _n(x), "y": _n(y), "width": _n(width), "height": _n(height)}
        _add(self.here, "rect", sizes | attributes)

    def circle(self, x: float, y: float, radius: float, **attributes: str) -> None:
        """Add a circle."""
        _add(self.here, "circle", {"cx": _n(x), "cy": _n(y), "r": _n(radius)} | attributes)

    def line(self, x1: float, y1: float, x2: float, y2: float, **attributes: str) -> None:
        """Add a line in ink."""
        ends = {"x1": _n(x1), "y1": _n(y1), "x2": _n(x2), "y2": _n(y2)}
        ink = {"stroke": "currentColor", "stroke-width": _n(THIN)}
        _add(self.here, "line", ends | ink | attributes)

    def curve(self, x: FloatArray, y: FloatArray, closed: bool = False, **attributes: str) -> None:
        """Add a path through points that lie close together."""
        points = " ".join(f"{_n(a)},{_n(b)}" for a, b in zip(x.tolist(), y.tolist(), strict=True))
        _add(self.here, "path", {"d": f"M{points}{'Z' if closed else ''}"} | attributes)

    def text(self, x: float, y: float, words: str, **attributes: str) -> None:
        """Add text in ink."""
        place = {"x": _n(x), "y": _n(y), "fill": "currentColor", "font-size": _n(TEXT)}
        _add(self.here, "text", place | attributes).text = words

    def arrow(self, x: float, y: float, dx: float, dy: float) -> None:
        """Add an arrowhead whose tip is at (x, y), pointing along the unit vector (dx, dy)."""
        back_x, back_y = x - ARROW_LENGTH * dx, y - ARROW_LENGTH * dy
        side_x, side_y = -dy * ARROW_HALF_WIDTH, dx * ARROW_HALF_WIDTH
        corners = ((x, y), (back_x + side_x, back_y + side_y), (back_x - side_x, back_y - side_y))
        points = " ".join(f"{_n(a)},{_n(b)}" for a, b in corners)
        _add(self.here, "polygon", {"points": points, "fill": "currentColor"})

    def dimension_across(
        self, x1: float, x2: float, y: float, to_y: float, words: str, name: str
    ) -> None:
        """Dimension the distance from x1 to x2 at height y, with lines down to `to_y`."""
        group = self.group(**{"data-dimension": name, "data-size": _n(x2 - x1)})
        for x in (x1, x2):
            group.line(x, y - 4, x, to_y)
        inside = x2 - x1 >= ROOM_FOR_ARROWS
        reach = 0.0 if inside else OUTSIDE_REACH
        group.line(x1 - reach, y, x2 + reach, y)
        way = -1.0 if inside else 1.0
        group.arrow(x1, y, way, 0.0)
        group.arrow(x2, y, -way, 0.0)
        group.text((x1 + x2) / 2, y - 7, words, **{"text-anchor": "middle"})

    def dimension_up(
        self, y1: float, y2: float, x: float, to_x: float, words: Sequence[str], name: str
    ) -> None:
        """Dimension the distance from y1 down to y2 at x, with lines back to `to_x`."""
        group = self.group(**{"data-dimension": name, "data-size": _n(y2 - y1)})
        for y in (y1, y2):
            group.line(to_x, y, x + 4, y)
        inside = y2 - y1 >= ROOM_FOR_ARROWS
        reach = 0.0 if inside else OUTSIDE_REACH
        group.line(x, y1 - reach, x, y2 + reach)
        way = -1.0 if inside else 1.0
        group.arrow(x, y1, 0.0, way)
        group.arrow(x, y2, 0.0, -way)
        first = (y1 + y2) / 2 + TEXT * 0.35 - (len(words) - 1) * TEXT * 0.6
        for number, word in enumerate(words):
            group.text(x + 12, first + number * TEXT * 1.2, word)

    def write(self) -> str:
        """Return the drawing as SVG text."""
        return ET.tostring(self.root, encoding="unicode")


def new_sheet(width: float, height: float, title: str, description: str, theme: Theme) -> Sheet:
    """Start a drawing.

    Parameters
    ----------
    width, height
        Size in drawing units; the picture scales to whatever room it is given.
    title, description
        Read out to those who cannot see it.
    theme
        ``"system"`` follows the reader's light or dark setting and brings its own paper;
        ``"inherit"`` has no paper and takes the text colour of the page that it is put into;
        ``"light"`` and ``"dark"`` are fixed.

    Raises
    ------
    ValueError
        If there is no such theme.

    Examples
    --------
    >>> new_sheet(10, 10, "A", "B", "inherit").write()[:30]
    '<svg xmlns="http://www.w3.org/'
    """
    if theme not in ("system", "inherit", "light", "dark"):
        raise ValueError(f'theme must be "system", "inherit", "light" or "dark", got {theme!r}')
    root = ET.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "viewBox": f"0 0 {_n(width)} {_n(height)}",
            "role": "img",
            "aria-label": title,
            "class": "meshcore-drawing",
            "font-family": "system-ui, -apple-system, 'Segoe UI', Roboto, sans-serif",
            "style": f"max-width:{_n(width)}px;width:100%;height:auto",
        },
    )
    ET.SubElement(root, "title").text = title
    ET.SubElement(root, "desc").text = description
    if theme == "system":
        ET.SubElement(root, "style").text = _STYLE
    elif theme != "inherit":
        root.set("color", LIGHT_INK if theme == "light" else DARK_INK)
    sheet = Sheet(root, root)
    if theme != "inherit":
        paper = DARK_PAPER if theme == "dark" else LIGHT_PAPER
        sheet.rect(0, 0, width, height, fill=paper, **{"class": "meshcore-paper"})
    return sheet


def offset(x: FloatArray, y: FloatArray, distance: float) -> tuple[FloatArray, FloatArray]:
    """Return a curve moved sideways by `distance`, positive to the right of its course.

    Examples
    --------
    >>> offset(np.array([0.0, 1.0, 2.0]), np.zeros(3), 0.5)[1].tolist()
    [0.5, 0.5, 0.5]
    """
    along_x, along_y = np.gradient(x), np.gradient(y)
    length = np.hypot(along_x, along_y)
    return x - distance * along_y / length, y + distance * along_x / length


def _add(parent: ET.Element, tag: str, attributes: dict[str, str]) -> ET.Element:
    return ET.SubElement(parent, tag, {k.replace("_", "-"): v for k, v in attributes.items()})


def _n(value: float) -> str:
    """Two decimals: a fiftieth of a line's width, and files stay small."""
    return f"{value:.2f}".rstrip("0").rstrip(".")
