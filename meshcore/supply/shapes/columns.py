"""Pieces of a list as columns: each different shape is read once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from meshcore.arrays import FloatArray, IntArray, ObjectArray
from meshcore.enquiry import PIECE
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import QuantityColumn
from meshcore.reading.texts import is_blank
from meshcore.supply.shapes.outlines import Shape, rectangle
from meshcore.supply.shapes.texts import read_as, read_shape


@dataclass(frozen=True, slots=True)
class PieceColumns:
    """Bounding rectangle [m], net area [m²] and cut length [m] of each piece; NaN for the rest.

    ``shapes`` holds the shape of each row that could be read.
    """

    width_m: FloatArray
    length_m: FloatArray
    area_m2: FloatArray
    cut_m: FloatArray
    shapes: Mapping[int, Shape]


def read_pieces(
    form: IntArray,
    shape: ObjectArray,
    dimensions: ObjectArray,
    width: QuantityColumn,
    length: QuantityColumn,
    log: MessageLog,
) -> PieceColumns:
    """Read the shapes of a list's pieces.

    Parameters
    ----------
    form
        Form codes; only pieces are read.
    shape, dimensions
        Texts such as ``"disc"`` and ``"diameter 200 mm"``.
    width, length
        A rectangle may give its sides here instead.
    log
        Receives a refusal for each shape that is missing or impossible.
    """
    nothing = np.full(len(form), np.nan)
    rows = np.flatnonzero(form == PIECE)
    if not len(rows):
        return PieceColumns(nothing, nothing, nothing, nothing, {})
    shapes: dict[int, Shape] = {}
    columns = PieceColumns(nothing.copy(), nothing.copy(), nothing.copy(), nothing.copy(), shapes)
    texts: dict[tuple[str, str], list[int]] = {}
    for row in rows.tolist():
        texts.setdefault((str(shape[row]), str(dimensions[row])), []).append(row)
    for (name, sizes), lines in texts.items():
        at = np.array(lines)
        if is_blank(sizes) and name.strip().casefold() in _BY_SIDES:
            _by_sides(columns, shapes, at, width, length, log)
            continue
        if _is_drawing(name):
            read, notes = _read_drawing(sizes)
            for note in notes:
                log.add(at, note)
        else:
            read = read_shape(name, sizes, "dimensions")
        if isinstance(read, Message):
            log.add(at, read)
            continue
        if named := "" if _is_drawing(name) else read_as(name, sizes):
            said = f"read as {named}{_over_all(read, named)}."
            shown = f"{name} {sizes}".strip()
            log.add(at, Message("dimensions", shown, said, "note", code="shape.read_as"))
        shapes |= dict.fromkeys(lines, read)
        columns.width_m[at], columns.length_m[at] = read.width_m, read.height_m
        columns.area_m2[at], columns.cut_m[at] = read.area_m2, read.cut_length_m
    return columns


def _over_all(shape: Shape, named: str) -> str:
    """Tell a piece's size over all, where its millimetres are written so that two can be read."""
    sizes = [f"{size * 1e3:,.6g}" for size in (shape.width_m, shape.height_m)]
    doubted = any(
        size.replace(",", ".") in named.replace(",", ".") for size in sizes if "," in size
    )
    return f": {' by '.join(dict.fromkeys(sizes))} mm over all" if doubted else ""


_DRAWING = "dxf"
_DRAWING_CELL = re.compile(
    r"^(?:file\s+)?(?P<file>.+?\.dxf)(?:\s*[,;]\s*unit\s+(?P<unit>[^\s,;]+))?"
    r"(?:\s*[,;]\s*layers?\s+(?P<layers>.+))?$",
    re.IGNORECASE,
)


def _is_drawing(name: str) -> bool:
    return name.strip().casefold() == _DRAWING


def _read_drawing(sizes: str) -> tuple[Shape | Message, tuple[Message, ...]]:
    """Read a piece from a drawing, named as ``file bracket.dxf, unit mm``; and what is said."""
    from meshcore.supply.shapes.dxf import read_drawing  # noqa: PLC0415 - only when a drawing is named

    named = _DRAWING_CELL.match(sizes.strip())
    if named is None:
        mend = 'no drawing is named. Write "file bracket.dxf" or "file bracket.dxf, unit mm".'
        return Message("dimensions", sizes, mend, code="drawing.not_named"), ()
    layers = [part.strip() for part in (named["layers"] or "").split("+") if part.strip()]
    drawing = read_drawing(Path(named["file"]), named["unit"] or "", layers)
    if isinstance(drawing, Message):
        return replace(drawing, field="dimensions", read=sizes), ()
    if drawing.asked:
        return replace(drawing.asked[0], field="dimensions", read=sizes), ()
    drawn = sum(piece.count for piece in drawing.pieces)
    if drawn != 1:
        mend = f"the drawing holds {drawn} outlines. Put each piece into a drawing of its own."
        return Message("dimensions", sizes, mend, code="drawing.many_outlines"), ()
    notes = tuple(replace(note, field="dimensions", read=sizes) for note in drawing.said)
    return drawing.pieces[0].shape, notes


#: Shape names that need no dimensions of their own where width and length are given.
_BY_SIDES = frozenset({"", "rectangle", "square", "rect", "panel", "sheet"})


def _by_sides(
    columns: PieceColumns,
    shapes: dict[int, Shape],
    rows: IntArray,
    width: QuantityColumn,
    length: QuantityColumn,
    log: MessageLog,
) -> None:
    wide, long = width.values[rows], length.values[rows]
    for name, column in (("width", width), ("length", length)):
        bad = rows[~column.given[rows]]
        mend = 'a rectangular piece needs it. Write it with its unit, such as "300 mm".'
        log.add(bad, Message(name, "", mend, code="piece.side_missing"))
    with np.errstate(invalid="ignore"):
        columns.width_m[rows] = np.where(wide > 0, wide, np.nan)
        columns.length_m[rows] = np.where(long > 0, long, np.nan)
    sides = zip(columns.width_m[rows].tolist(), columns.length_m[rows].tolist(), strict=True)
    for row, (a, b) in zip(rows.tolist(), sides, strict=True):
        if a > 0 and b > 0:
            shapes[row] = rectangle(a, b)
    columns.area_m2[rows] = columns.width_m[rows] * columns.length_m[rows]
    columns.cut_m[rows] = 2.0 * (columns.width_m[rows] + columns.length_m[rows])
