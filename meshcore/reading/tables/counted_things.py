"""Things that a quantity counts, held against the form and the shape of its line."""

from __future__ import annotations

from meshcore.arrays import ObjectArray
from meshcore.messages import Message
from meshcore.reading.running_text.counted_words import (
    counts_another,
    counts_another_shape,
    counts_rolls,
    shape_counted,
)
from meshcore.reading.tables.filled import PARTED, Filling, different
from meshcore.reading.tables.forms import form_name


def hold_counts(filling: Filling) -> None:
    """Put to review quantities that count things of another form: "3 sheets" on a line of rolls."""
    texts = filling.texts.get("quantity")
    own = filling.cells.series("quantity")
    if texts is None and (own is None or own.dtype.kind in "fi"):
        return
    texts = filling.cells.texts("quantity") if texts is None else texts
    named = filling.texts["form"] if "form" in filling.texts else filling.cells.texts("form")
    _hold_counts_against_shapes(filling, texts)
    for rows, both in different(texts, named):
        cell, _, form = both.partition(PARTED)
        basic = form_name(form)
        word = counts_another(cell, basic.rpartition(" ")[2])
        if word:
            said = f'counts "{word}", and the form of the line is "{form}". Correct one.'
            message = Message("quantity", cell, said, "review", code="quantity.other_form")
            filling.cells.log.add(rows(), message)
        elif basic == "strip" and counts_rolls(cell):
            said = "rolls on a line of strips: each is taken as one strip of the length stated."
            message = Message("quantity", cell, said, "note", code="quantity.rolls_of_strip")
            filling.cells.log.add(rows(), message)


def _hold_counts_against_shapes(filling: Filling, texts: ObjectArray) -> None:
    """Put to review quantities that count things of another shape: "12 discs" of a rectangle."""
    if not any(shape_counted(text) for _, text in different(texts)):
        return
    columns = [texts] + [
        filling.texts[n] if n in filling.texts else filling.cells.texts(n)
        for n in ("shape", "dimensions")
    ]
    rows_of: dict[tuple[str, ...], list[int]] = {}
    for row, cells in enumerate(zip(*columns, strict=True)):
        rows_of.setdefault(tuple(map(str, cells)), []).append(row)
    for (cell, shape, dimensions), rows in rows_of.items():
        word, own = counts_another_shape(cell, shape, dimensions)
        if word:
            said = f'counts "{word}", and the shape of the line is "{own}". Correct one.'
            message = Message("quantity", cell, said, "review", code="quantity.other_shape")
            filling.cells.log.add(rows, message)
