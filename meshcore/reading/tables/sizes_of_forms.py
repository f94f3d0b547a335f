"""Sizes held against the form of their line: none that it does not take is dropped in silence."""

from __future__ import annotations

import math
from functools import lru_cache

from meshcore.arrays import IntArray
from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.messages import Message
from meshcore.reading.columns import QuantityColumn
from meshcore.reading.shape_texts import sizes_stated
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.filled import different
from meshcore.reading.texts import Reading, is_blank, read_text
from meshcore.reading.vocabulary import follows_words

#: A width that is one of a piece's sizes says nothing more than they, if it is as near as this [-].
_SAME = 0.01


def hold_shapes_against_forms(cells: Cells, forms: IntArray) -> None:
    """Put to review shapes and sizes of pieces on lines of rolls and strips, which take none."""
    rolled = (forms == ROLL) | (forms == STRIP)
    for name in ("shape", "dimensions"):
        if cells.series(name) is None or not rolled.any():
            continue
        texts = cells.texts(name)
        for rows, text in different(texts):
            found = [row for row in rows() if rolled[row]]
            said = "is a piece's, and the line is priced as rolls or strips. Correct one."
            message = Message(name, text, said, "review", code="shape.of_another_form")
            cells.log.add(found, message)


def hold_widths_against_pieces(
    cells: Cells, forms: IntArray, width: QuantityColumn, length: QuantityColumn
) -> None:
    """Put to review a width or length beside a piece's dimensions that is none of them."""
    if cells.series("dimensions") is None or not (forms == PIECE).any():
        return
    shapes, dimensions = cells.texts("shape"), cells.texts("dimensions")
    for name, column in (("width", width), ("length", length)):
        for row in ((forms == PIECE) & column.given).nonzero()[0].tolist():
            value = float(column.values[row])
            if is_blank(dimensions[row]) or math.isnan(value):
                continue
            stated = _metres(str(shapes[row]), str(dimensions[row]))
            if any(abs(size - value) <= _SAME * value for size in stated):
                continue
            said = (
                f'is not in the price: the piece is "{dimensions[row]}", which does not have it. '
                "Correct one."
            )
            text = str(column.texts[row])
            message = Message(name, text, said, "review", code="size.of_another_form")
            cells.log.add([row], message)


@lru_cache(maxsize=8192)
def _metres(shape: str, dimensions: str) -> tuple[float, ...]:
    texts = sizes_stated("" if is_blank(shape) else shape, dimensions)
    read = [read_text(text, "length", "dimensions") for text in texts]
    return tuple(one.value for one in read if isinstance(one, Reading))


follows_words(_metres.cache_clear)
