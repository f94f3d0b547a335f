"""Texts and drawings of a cut sheet, and the whole of it as one SVG."""

from __future__ import annotations

import copy
import math
import textwrap
import xml.etree.ElementTree as ET
from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.supply.drawing.sheet_parts import WIDTH, Picture

#: Lines of words in the SVG, in drawing units.
_LINE, _WORDS, _MARGIN = 14.0, 10.0, 12.0


@dataclass(frozen=True, slots=True)
class Block:
    """A drawing with what is said of it and the table beneath it.

    Parameters
    ----------
    heading, notes
        What stands above it.
    picture, alt
        The picture, and what it shows in words.
    columns, rows
        The table; `beside` is how many columns of it stand side by side.
    """

    heading: str
    notes: tuple[str, ...]
    picture: Picture
    alt: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    beside: int = 1


@dataclass(frozen=True, slots=True)
class PlanSheet:
    """One plan's part of a cut sheet: its cloth, its drawings, and what to check off."""

    title: str
    facts: tuple[tuple[str, str], ...]
    blocks: tuple[Block, ...]
    check_columns: tuple[str, ...]
    check: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...]


def cut_sheet_svg(sheets: Sequence[PlanSheet]) -> str:
    """Return cut sheets as one SVG, drawings and tables one below the other."""
    root = ET.Element("svg", {"xmlns": "http://www.w3.org/2000/svg", "role": "img",
                              "font-family": "system-ui, sans-serif"})  # fmt: skip
    ET.SubElement(root, "title").text = "Cut sheet"
    back = ET.SubElement(root, "rect", {"fill": "#ffffff", "width": "100%"})
    top = _LINE * 2
    for sheet in sheets:
        top = _svg_words(root, [sheet.title], top, bold=True)
        top = _svg_words(root, [f"{name}: {value}" for name, value in sheet.facts], top)
        for block in sheet.blocks:
            top = _svg_words(root, [block.heading], top + _LINE, bold=True)
            top = _svg_words(root, block.notes, top)
            top = _svg_picture(root, block.picture, top)
            top = _svg_table(root, block.columns, block.rows, top)
        top = _svg_words(root, ["To check off"], top + _LINE, bold=True)
        top = _svg_table(root, sheet.check_columns, sheet.check, top)
        top = _svg_words(root, sheet.notes, top) + 2 * _LINE
    root.set("viewBox", f"0 0 {WIDTH:g} {math.ceil(top)}")
    back.set("height", f"{math.ceil(top)}")
    return ET.tostring(root, encoding="unicode")


def _svg_words(root: ET.Element, texts: Sequence[str], top: float, *, bold: bool = False) -> float:
    for text in texts:
        for line in textwrap.wrap(text, int((WIDTH - 2 * _MARGIN) / (_WORDS * 0.52))) or [""]:
            ink = {"x": f"{_MARGIN:g}", "y": f"{top:.2f}", "font-size": f"{_WORDS:g}"}
            ET.SubElement(root, "text", ink | ({"font-weight": "600"} if bold else {})).text = line
            top += _LINE
    return top


def _svg_picture(root: ET.Element, drawn: Picture, top: float) -> float:
    picture = copy.deepcopy(drawn.sheet.root)
    for name in ("style", "role", "aria-label"):
        picture.attrib.pop(name, None)
    picture.attrib |= {"x": "0", "y": f"{top:.2f}", "width": f"{WIDTH:g}",
                       "height": f"{drawn.height:.2f}"}  # fmt: skip
    root.append(picture)
    return top + drawn.height + _LINE


def _svg_table(
    root: ET.Element, columns: Sequence[str], rows: Sequence[Sequence[str]], top: float
) -> float:
    step = (WIDTH - 2 * _MARGIN) / max(len(columns), 1)
    for number, row in enumerate((columns, *rows) if rows else ()):
        for at, cell in enumerate(row):
            ink = {"x": f"{_MARGIN + at * step:.2f}", "y": f"{top:.2f}",
                   "font-size": f"{_WORDS * 0.9:g}"}  # fmt: skip
            ET.SubElement(
                root, "text", ink | ({} if number else {"font-weight": "600"})
            ).text = cell
        top += _LINE
    return top
