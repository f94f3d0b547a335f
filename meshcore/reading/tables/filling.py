"""Cells that other columns fill: a description, sizes of whatever form, a unit of measure."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

import numpy as np

from meshcore.arrays import ObjectArray
from meshcore.messages import Message
from meshcore.reading.columns import cell_texts
from meshcore.reading.running_text.descriptions import Described, describe, is_pair, read_size_cell
from meshcore.reading.running_text.ordered import (
    Amounts,
    Ordered,
    read_ordered,
)
from meshcore.reading.tables.cells import Cells, column_under
from meshcore.reading.tables.counted_things import hold_counts
from meshcore.reading.tables.doubled import SameAlloy, fill_doubled
from meshcore.reading.tables.field_names import DESCRIPTION, INNER, OUTER, SIZE, UNIT_OF, UOM
from meshcore.reading.tables.filled import PARTED, Filling, different
from meshcore.reading.tables.forms import form_name
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold, words

#: Stands in a quantity that a file has in one cell for several lines, before their rows.
IN_ONE_CELL = " in one cell for rows "
#: Columns that a description or a size may fill.
_FILLED = ("mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "weave", "alloy",
           "form", "width", "length", "shape", "dimensions", "quantity", "services")  # fmt: skip
#: What numbers an article in a catalogue, and says nothing of what it is.
_CODE = re.compile(r"[A-Za-z]{1,4}[-./ ]?\d[\w\-./]*")
#: Fields as a message names them.
_NAMES = {"mesh_count": "mesh count", "wire_diameter": "wire", "open_area": "open area"}


def fill_cells(
    cells: Cells, names_alloy: Callable[[str], bool], same_alloy: SameAlloy | None = None
) -> tuple[Cells, Amounts | None, ObjectArray]:
    """Fill blank cells from what other columns say of the same thing.

    Parameters
    ----------
    cells
        The list's cells.
    names_alloy
        Whether a few words are the name of an alloy.
    same_alloy
        Whether two texts name one alloy, where that is known.

    Returns
    -------
    The cells with those filled, the lines that are ordered by length, area or mass, and the form
    that the quantity of each line names.
    """
    filling = Filling(cells)
    _fill_units(filling)
    fill_doubled(cells, filling.column, same_alloy)
    described = _fill_descriptions(filling, names_alloy)
    _fill_rings(filling)
    _fill_shapes_of_forms(filling)
    amounts, forms = _fill_quantities(filling)
    _fill_sizes(filling, forms)
    if described or forms.any():
        for row in np.flatnonzero(forms != "").tolist():
            filling.fill("form", row, str(forms[row]))
    hold_counts(filling)
    kept = {name: texts for name, texts in filling.texts.items() if _changed(cells, name, texts)}
    return cells.with_filled(kept), amounts, forms


def _changed(cells: Cells, name: str, texts: ObjectArray) -> bool:
    return bool((texts != cells.texts(name)).any())


def _headings(cells: Cells, name: str) -> Sequence[str]:
    first = cells.headings.column.get(name)
    return [] if first is None else [first, *cells.headings.more.get(name, ())]


def _fill_descriptions(filling: Filling, names_alloy: Callable[[str], bool]) -> bool:
    """Fill cells from descriptions, and show what each was read as; tell whether there are any."""
    headings = _headings(filling.cells, DESCRIPTION)
    for heading in headings:
        texts = cell_texts(column_under(filling.cells.table, heading))
        known: dict[str, Described] = {}
        for row, text in enumerate(texts.tolist()):
            if is_blank(text):
                continue
            if text not in known:
                known[text] = describe(text, names_alloy)
            _take(filling, row, text, known[text])
    return bool(headings)


def _take(filling: Filling, row: int, text: str, described: Described) -> None:
    """Fill one line from its description; what disagrees with a column is put to review."""
    taken = []
    for name in _FILLED:
        said = described.fields.get(name)
        if not said:
            continue
        if filling.fill(name, row, said):
            taken.append(f'{_NAMES.get(name, name)} "{said}"')
        else:
            own = filling.column(name)[row]
            why = f'the description says "{said}"; the column "{own}" is taken. Correct one.'
            message = Message(name, said, why, "review", code="description.differs")
            filling.cells.log.add([row], message)
    if taken:
        read = f"read as {', '.join(taken)}."
        filling.cells.log.add(
            [row], Message("description", text, read, "note", code="description.read")
        )
    if described.unread and not described.fields and _CODE.fullmatch(text.strip()):
        said = "a code and nothing else: nothing is read from it."
        filling.cells.log.add(
            [row], Message("description", text, said, "note", code="description.code")
        )
    elif described.unread:
        words_left = ", ".join(f'"{part}"' for part in described.unread)
        said = f"{words_left}: not read, and not in the price. Write it in its own column."
        filling.cells.log.add(
            [row], Message("description", text, said, "review", code="description.unread")
        )


def _fill_units(filling: Filling) -> None:
    """Put the unit that stands in a column behind a size to its bare numbers."""
    for name, size in UNIT_OF.items():
        heading = filling.cells.headings.column.get(name)
        if heading is None:
            continue
        units = cell_texts(column_under(filling.cells.table, heading))
        sizes = filling.column(size)
        for row, unit in enumerate(units.tolist()):
            if not is_blank(unit) and str(sizes[row])[-1:].isdigit():
                sizes[row] = f"{sizes[row]} {tidy(unit)}"


def _fill_rings(filling: Filling) -> None:
    """Fill shape and dimensions from columns of an outer and an inner diameter."""
    cells = filling.cells
    outer, inner = (_with_units_of(cells, name) for name in (OUTER, INNER))
    if outer is None:
        return
    for row, size in enumerate(outer):
        if is_blank(size):
            continue
        bore = "" if inner is None or is_blank(inner[row]) else inner[row]
        shape = "ring" if bore else "disc"
        sizes = f"outer diameter {size}, inner diameter {bore}" if bore else f"diameter {size}"
        for name, said in (("form", "piece"), ("shape", shape), ("dimensions", sizes)):
            if not filling.fill(name, row, said) and name == "dimensions":
                own = filling.column(name)[row]
                why = f'the columns of diameters say "{said}"; "{own}" is taken. Correct one.'
                message = Message(name, said, why, "review", code="size.diameters_differ")
                cells.log.add([row], message)


def _with_units_of(cells: Cells, name: str) -> list[str] | None:
    """Return the texts of a column of sizes, bare numbers with the unit of the heading."""
    heading = cells.headings.column.get(name)
    if heading is None:
        return None
    unit = cells.headings.unit.get(name, "")
    texts = [tidy(str(text)) for text in cell_texts(column_under(cells.table, heading)).tolist()]
    return [f"{text} {unit}" if unit and text[-1:].isdigit() else text for text in texts]


def _fill_shapes_of_forms(filling: Filling) -> None:
    """Fill the shape from a form that names one ("Ronde", "ring")."""
    if filling.cells.series("form") is None:
        return
    shapes = words("shape")
    for rows, text in different(filling.cells.texts("form")):
        shape = shapes.get(fold(text), "")
        if shape and shape != "rectangle":
            for row in rows():
                filling.fill("shape", row, shape)


def _fill_quantities(filling: Filling) -> tuple[Amounts | None, ObjectArray]:
    """Read counts, their forms and lengths; amounts by length, area or mass are told apart."""
    cells = filling.cells
    lines = len(cells.table)
    forms: ObjectArray = np.full(lines, "", dtype=object)
    heading_unit = cells.headings.unit.get("quantity", "")
    uom = cells.headings.column.get(UOM)
    own = cells.series("quantity")
    plain = "quantity" not in filling.texts and (own is None or own.dtype.kind in "fi")
    if plain and uom is None and not heading_unit:
        return None, forms
    if plain and uom is None and heading_unit in ("roll", "strip", "piece"):
        return None, np.full(lines, heading_unit, dtype=object)
    units: ObjectArray = np.full(lines, heading_unit, dtype=object)
    if uom is not None:
        said = cell_texts(column_under(cells.table, uom))
        units = np.array([heading_unit if is_blank(text) else text for text in said], dtype=object)
    texts = filling.texts["quantity"] if "quantity" in filling.texts else cells.texts("quantity")
    found: list[tuple[int, Ordered, str]] = []
    for rows, both in different(texts, units):
        cell, _, unit = both.partition(PARTED)
        cell, of_rows, span = cell.partition(IN_ONE_CELL)
        if of_rows:
            why = (
                f"one cell for the rows {span.strip()} together: so many of each line, or of all "
                "of them? Write the number of each in its own cell."
            )
            cells.log.add(rows(), Message("quantity", cell, why, code="quantity.one_cell"))
            for row in rows():
                filling.column("quantity")[row] = cell
            continue
        ordered = read_ordered("1" if is_blank(cell) else cell, unit)
        if ordered.trouble and not is_blank(cell):
            said_of = f"its unit of measure: {ordered.trouble}"
            message = Message("quantity", cell, said_of, code="quantity.unit")
            cells.log.add(rows(), message)
            continue
        form = ordered.form or ("roll" if ordered.measures else "")
        if not (form or ordered.length or ordered.measures):
            continue
        for row in rows():
            forms[row] = form
            if ordered.length:
                filling.fill("length", row, ordered.length)
            if ordered.measures and not is_blank(cell):
                found.append((row, ordered, f"{cell} {unit}".strip()))
                filling.column("quantity")[row] = ordered.count
    if not found:
        return None, forms
    found.sort(key=lambda one: one[0])
    return Amounts(
        np.array([row for row, _, _ in found]),
        tuple(ordered.measures for _, ordered, _ in found),
        np.array([ordered.amount for _, ordered, _ in found]),
        tuple(text for _, _, text in found),
    ), forms


def _fill_sizes(filling: Filling, forms: ObjectArray) -> None:
    """Fill width and length, or shape and dimensions, from a column of sizes of any form."""
    cells = filling.cells
    sources = [(h, cell_texts(column_under(cells.table, h))) for h in _headings(cells, SIZE)]
    width = cells.series("width")
    if width is not None and width.dtype.kind not in "fi":
        sources.append(("width", cells.texts("width")))
    unit = cells.headings.unit.get(SIZE, "")
    for heading, texts in sources:
        for rows, text in different(texts):
            if heading == "width" and not is_pair(text):
                continue
            for row in rows():
                if heading == "width":
                    filling.column("width")[row] = ""
                elif form_name(text):  # no size, but what the cloth is to come as
                    _take_sizes(filling, row, heading, {"form": text})
                    continue
                form = form_name(str(filling.column("form")[row])) or str(forms[row])
                _take_sizes(filling, row, heading, read_size_cell(text, form, unit))


def _take_sizes(filling: Filling, row: int, heading: str, given: dict[str, str]) -> None:
    for name, said in given.items():
        if not filling.fill(name, row, said):
            own = filling.column(name)[row]
            why = f'{heading} says "{said}"; "{own}" is taken. Correct one.'
            message = Message(name, said, why, "review", code="size.differs")
            filling.cells.log.add([row], message)
