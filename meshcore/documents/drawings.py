"""Drawings that go with a document: the cloth of each line, and pieces cut from it."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from meshcore.documents.cloth_rows import cloth_heading, sizes_text
from meshcore.documents.facts import ClothLine
from meshcore.documents.wording import Words
from meshcore.enquiry import WEAVES
from meshcore.messages import Message

_SVG = "{http://www.w3.org/2000/svg}"
#: Letters are set so much larger than on a screen: a drawing is printed at a column's width.
_LETTERS = 1.35
#: Drawing units above the plan that hold its title, which the caption says already.
_TITLE_ROOM = 56.0
#: A number of a drawing, whose decimal sign is the language's.
_NUMBER = re.compile(r"(\d)\.(\d)")
#: Side of the square that a piece is drawn in, and the room around it, in drawing units.
_SIDE, _ROOM = 420.0, 110.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing as SVG, with what stands below it."""

    caption: str
    svg: str


def figures(say: Words, lines: Sequence[ClothLine]) -> Iterable[Figure]:
    """Draw each cloth once, and each piece, under the names of their lines."""
    cloths: dict[tuple[str, float, float], list[ClothLine]] = {}
    for line in lines:
        cloths.setdefault((line.weave, line.wire_m, line.pitch_m), []).append(line)
    for alike in cloths.values():
        labels = list(dict.fromkeys(line.label for line in alike))
        key = say.of_lines("open", labels)
        text = say.say("texts", key, line=", ".join(labels), text=cloth_heading(say, alike[0]))
        yield Figure(text, cloth_drawing(say, alike[0]))
    for line in lines:
        if line.form == "piece" and (drawn := piece_drawing(say, line)):
            text = say.say("texts", "open", line=line.label, text=sizes_text(say, line))
            yield Figure(text, drawn)


def cloth_drawing(say: Words, line: ClothLine) -> str:
    """Draw cloth in plan and section, in the words of the language."""
    from meshcore.weave.drawing.sheet import draw_cloth  # noqa: PLC0415 - only where it is drawn

    drawn = draw_cloth(WEAVES.index(line.weave), line.wire_m, line.pitch_m, theme="light")
    return _in_words(say, drawn)


def _in_words(say: Words, svg: str) -> str:
    """Put a drawing's texts into the language, larger, and leave out its title."""
    root = ET.fromstring(svg)
    left, top, width, height = (float(n) for n in root.attrib["viewBox"].split())
    for parent in list(root.iter()):
        for child in list(parent):
            if child.tag != f"{_SVG}text":
                continue
            if float(child.attrib["y"]) < _TITLE_ROOM:
                parent.remove(child)
                continue
            child.attrib["font-size"] = f"{float(child.attrib['font-size']) * _LETTERS:g}"
            child.text = _said(say, child.text or "")
    root.attrib["viewBox"] = f"{left:g} {top + _TITLE_ROOM:g} {width:g} {height - _TITLE_ROOM:g}"
    root.attrib["font-family"] = "Libertinus Serif"
    del root.attrib["style"]
    # Names without a prefix: what the parser knows of prefixes holds for the whole process.
    for element in root.iter():
        element.tag = element.tag.removeprefix(_SVG)
    root.attrib["xmlns"] = _SVG[1:-1]
    return ET.tostring(root, encoding="unicode")


def _said(say: Words, text: str) -> str:
    for word, own in say.held["drawings"].items():
        text = text.replace(word, str(own))
    return _NUMBER.sub(rf"\1{say.held['numbers']['decimal']}\2", text)


def piece_drawing(say: Words, line: ClothLine) -> str:
    """Draw the outline of a piece over all, to scale; empty where its shape cannot be told."""
    from meshcore.supply.drawing.outlines import View, path_of  # noqa: PLC0415 - only where it is drawn
    from meshcore.supply.shapes.outlines import rectangle  # noqa: PLC0415
    from meshcore.supply.shapes.texts import read_shape  # noqa: PLC0415
    from meshcore.weave.drawing.svg import OUTLINE, new_sheet  # noqa: PLC0415

    shape = read_shape(line.shape, line.dimensions)
    if isinstance(shape, Message):
        if line.shape or not (line.width_m > 0 and line.length_m > 0):
            return ""
        shape = rectangle(line.width_m, line.length_m)
    width, height = (float(size) for size in shape.size_m)
    scale = _SIDE / max(width, height)
    view = View(scale, 0.0, _ROOM, _ROOM, height)
    right, bottom = _ROOM + width * scale, _ROOM + height * scale
    sheet = new_sheet(
        right + 2 * _ROOM, bottom + _ROOM / 2, line.sizes_text, line.sizes_text, "light"
    )
    outline = " ".join(path_of(contour, view) for contour in shape.contours)
    ET.SubElement(
        sheet.root, "path",
        {"d": outline, "fill": "#eef1f4", "fill-rule": "evenodd", "stroke": "currentColor",
         "stroke-width": str(OUTLINE)},
    )  # fmt: skip
    sheet.dimension_across(
        _ROOM, right, _ROOM - 24, _ROOM - 4, say.width(width, line.inches_first), "width"
    )
    first, _, second = say.width(height, line.inches_first).partition(" (")
    words = [first, f"({second}"] if second else [first]
    sheet.dimension_up(_ROOM, bottom, right + 24, right + 4, words, "height")
    return _in_words(say, sheet.write())
