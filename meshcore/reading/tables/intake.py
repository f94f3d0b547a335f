"""An enquiry table as columns: headings recognised, cells read, nothing lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore import enquiry
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.enquiry import PIECE, PLAIN, ROLL, STRIP
from meshcore.messages import Message, MessageLog
from meshcore.reading import refusals
from meshcore.reading.columns import (
    QuantityColumn,
    cell_texts,
    certain_text,
    different_texts,
    read_column,
)
from meshcore.reading.running_text.ordered import apply_amounts
from meshcore.reading.sizes.coatings import coating_masses
from meshcore.reading.sizes.rolls import roll_word
from meshcore.reading.tables.cells import Cells, row_name
from meshcore.reading.tables.filling import fill_cells
from meshcore.reading.tables.forms import implied_lengths, named_forms, read_weaves, settled_forms
from meshcore.reading.tables.headings import ORDER, Headings, headings_of, priced_from
from meshcore.reading.tables.list_remarks import note_list_remarks
from meshcore.reading.tables.remarks import note_unread
from meshcore.reading.tables.service_words import read_services, service_names
from meshcore.reading.tables.standing import note_standing
from meshcore.reading.tables.stated import (
    counted_in_shapes,
    say_what_stands_beside,
    with_stated,
    with_stated_texts,
)
from meshcore.reading.texts import NO_HINTS, is_blank, tidy
from meshcore.reading.vocabulary import fold, words
from meshcore.units import Kind

if TYPE_CHECKING:
    import pandas as pd

_SPECIFICATION: tuple[tuple[str, Kind], ...] = (
    ("mesh_count", "count"),
    ("pitch", "length"),
    ("aperture", "length"),
    ("wire_diameter", "length"),
    ("open_area", "share"),
)
#: What a cell of a field may state of others: "8/2 mm", "1.22 x 30 m", "2 rolls @ 30 m".
_STATES: Mapping[str, frozenset[str]] = {
    "mesh_count": frozenset({"wire_diameter"}),
    "aperture": frozenset({"wire_diameter"}),
    "width": frozenset({"length"}),
    "quantity": frozenset({"length", "width", "dimensions"}),
}
_NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class EnquiryColumns:
    """A whole enquiry list as columns, one row a line.

    Sizes are SI; codes index ``WEAVES``, ``FORMS`` and the alloys; -1 is unknown. The coating is
    that of the wire, by its surface; NaN where none is said. Each of the options, lines that are
    offered beside the others, is an order of its own.
    """

    headings: Headings
    readings: Mapping[str, QuantityColumn]
    weave: IntArray
    alloy: IntArray
    form: IntArray
    width: QuantityColumn
    length: QuantityColumn
    shape: ObjectArray
    dimensions: ObjectArray
    quantity: FloatArray
    services: Mapping[str, BoolArray]
    order: IntArray
    options: BoolArray
    coating_kg_m2: FloatArray


def read_enquiries(
    table: pd.DataFrame,
    resolve_alloy: Callable[[str], int | Message],
    services: Sequence[enquiry.Service],
    roll_lengths: Mapping[str, float],
    log: MessageLog,
    names_alloy: Callable[[str], bool] = lambda _text: False,
    beside_alloy: Callable[[str, int], Message | None] = lambda _text, _index: None,
) -> EnquiryColumns:
    """Read every cell of an enquiry list that the estimate needs.

    Parameters
    ----------
    table
        Enquiry list; any index, any further columns.
    resolve_alloy
        Alloy text to its index, or the refusal.
    services
        Services that may be asked for.
    roll_lengths
        Words that stand for a roll length (``"full roll"``) → length [m].
    log
        Receives what is wrong or worth saying, line by line.
    names_alloy
        Whether a few words of a longer text are the name of an alloy.
    beside_alloy
        What a text says beside the alloy that it was read as; None where it says no more.

    Returns
    -------
    The columns; lines that could not be read hold NaN or -1 there.
    """
    headings = headings_of(table)
    cells, amounts, _ = fill_cells(
        Cells(table, headings, log),
        names_alloy,
        lambda first, other: _name_one_alloy(first, other, resolve_alloy),
    )
    readings = {
        name: cells.quantity(name, kind, _STATES.get(name, _NOTHING))
        for name, kind in _SPECIFICATION
    }
    for name in ("mesh_count", "aperture"):
        readings["wire_diameter"] = with_stated(
            readings["wire_diameter"], readings[name].also, "wire_diameter", name, log
        )
    _note_bare_counts(readings["mesh_count"], headings, log)
    _note_repeats(table, headings, log)
    forms = named_forms(cells)
    width = cells.quantity("width", "length", _STATES["width"], forms)
    length = _read_lengths(cells, implied_lengths(cells), roll_lengths, forms)
    length = with_stated(length, width.also, "length", "width", log)
    ordered = cells.quantity("quantity", "number", _STATES["quantity"], forms)
    width = with_stated(width, ordered.also, "width", "quantity", log)
    length = with_stated(length, ordered.also, "length", "quantity", log)
    form = settled_forms(cells, forms, width.values, length.values)
    shape, dimensions = cells.texts("shape"), cells.texts("dimensions")
    counted = counted_in_shapes(shape, dimensions, form == PIECE)
    ordered = with_stated(ordered, counted, "quantity", "dimensions", log)
    quantity = _whole_quantity(ordered, log)
    if amounts is not None:
        quantity, length = apply_amounts(amounts, quantity, width, length, form, log)
    note_unread(cells, service_names(services), names_alloy)
    options = note_standing(cells)
    _check_sizes("width", width, form, log)
    _check_sizes("length", length, form, log)
    dimensions = with_stated_texts(dimensions, ordered.also, "dimensions")

    def alloy_of(text: str) -> int | Message:
        return _alloy_code(text, resolve_alloy)

    alloy = cells.codes("alloy", alloy_of, blank=None)
    say_what_stands_beside(cells, alloy, beside_alloy)
    note_list_remarks(table, alloy, alloy_of, names_alloy, log)
    return EnquiryColumns(
        headings=headings,
        readings=readings,
        weave=read_weaves(cells, blank=PLAIN),
        alloy=alloy,
        form=form,
        width=width,
        length=length,
        shape=shape,
        dimensions=dimensions,
        quantity=quantity,
        services=read_services(cells, services),
        order=_apart(cells.groups(ORDER), options),
        options=options,
        coating_kg_m2=_read_coatings(cells),
    )


def _apart(order: IntArray, options: BoolArray) -> IntArray:
    """Give each option an order of its own: the others must not change where it is not taken."""
    if not options.any():
        return order
    apart = order.copy()
    apart[options] = order.max() + 1 + np.arange(int(options.sum()))
    return apart


def _read_coatings(cells: Cells) -> FloatArray:
    """Read the coating that stands beside the alloy [kg/m²]; NaN where there is none."""
    series = cells.series("alloy")
    if series is None:
        return np.full(len(cells.table), np.nan)
    positions, unique = different_texts(series)
    return coating_masses(unique)[positions]


def _read_lengths(
    cells: Cells,
    implied: ObjectArray | None,
    roll_lengths: Mapping[str, float],
    forms: IntArray,
) -> QuantityColumn:
    """Read lengths; words such as "full roll" stand for one, in this column or in the form's."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    series = cells.series("length")
    numeric = series is not None and series.dtype.kind in "fi"
    if implied is None and (series is None or numeric):
        return cells.quantity("length", "length", forms=forms)
    texts = cells.texts("length")
    if implied is not None:
        texts = np.where(np.array([is_blank(t) for t in texts]), implied, texts)
    sizes = {word: f"{certain_text(metres)} m" for word, metres in roll_lengths.items()}
    known = {text: sizes.get(_roll_name(text, sizes), text) for text in set(texts.tolist())}
    worded = pd.Series([known[text] for text in texts.tolist()], dtype=object)
    unit = cells.headings.unit.get("length", "")
    hints = NO_HINTS if series is None else cells.hints(series)
    read = read_column(worded, "length", "length", cells.log, unit, hints, forms)
    if implied is not None:
        _hold_against_form(cells, implied, roll_lengths, read)
    return read


#: A roll named in the form and a length beside it are one roll if they are as near as this [-]: a
#: full roll is 30 m as well as 100 ft (common practice, no source).
_ONE_ROLL = 0.1


def _hold_against_form(
    cells: Cells, implied: ObjectArray, roll_lengths: Mapping[str, float], read: QuantityColumn
) -> None:
    """Put to review a form that names a roll of another length than the one stated."""
    for word in set(implied.tolist()) & set(roll_lengths):
        due = roll_lengths[word]
        with np.errstate(invalid="ignore"):
            apart = (implied == word) & (np.abs(read.values - due) > _ONE_ROLL * due)
        for row in np.flatnonzero(apart).tolist():
            said = (
                f"a {word} is {due:.6g} m here, but the length is {read.values[row]:.6g} m, "
                "which is taken. Write the one that is meant."
            )
            message = Message("form", word, said, "review", code="form.length_conflict")
            cells.log.add([row], message)


def _roll_name(text: str, sizes: Mapping[str, str]) -> str:
    """Return the name of a roll length in a text: as the policy has it, or as the trade says it."""
    word = tidy(text).casefold()
    return word if word in sizes else roll_word(text)


#: Longer lists are not searched for repeated lines: they come from programs, not from people.
_SEARCHED_FOR_REPEATS = 20_000
#: Columns in which repeated lines may differ.
_LABELS = ("line", ORDER)


def _note_repeats(table: pd.DataFrame, headings: Headings, log: MessageLog) -> None:
    """Say of a line that says just what an earlier line says, in every column, that it does."""
    labels = {place for place, name in headings.doubled.items() if name in _LABELS}
    apart = {headings.column.get(name, "") for name in _LABELS}
    names = [str(c) for c in table.columns]
    own = [n for n, h in enumerate(names[: priced_from(names)]) if h not in apart]
    own = [n for n in own if n not in labels]
    if len(table) > _SEARCHED_FOR_REPEATS or not headings.column.keys() - {*_LABELS, "note"}:
        return
    first: dict[tuple[str, ...], int] = {}
    columns = [cell_texts(table.iloc[:, place]) for place in own]
    for row, cells in enumerate(zip(*columns, strict=True)):
        key = tuple(tidy(cell).casefold() for cell in cells)
        earlier = first.setdefault(key, row)
        if earlier != row and any(key):
            first_row, own_row = row_name(table, earlier), row_name(table, row)
            text = f"asks for the same as row {first_row}. Leave one out if it came twice."
            said = Message("line", own_row, text, "note", code="line.repeated")
            log.add([row], said)


_SIZE_EXAMPLES = {"width": '"48 in"', "length": '"100 ft" or "full roll"'}


def _check_sizes(name: str, column: QuantityColumn, form: IntArray, log: MessageLog) -> None:
    """Refuse rolls and strips without the size, and any size that is not above zero."""
    for code, noun in ((ROLL, "roll"), (STRIP, "strip")):
        missing = (form == code) & ~column.given
        mend = f"a {noun} needs its {name}. Write it, such as {_SIZE_EXAMPLES[name]}."
        log.add(missing, Message(name, "", mend, code="size.missing"))
    with np.errstate(invalid="ignore"):
        rows = np.flatnonzero(column.values <= 0)
    said = refusals.not_above_zero(name, _SIZE_EXAMPLES[name])
    log.add_each(rows, [refusals.about(said, name, _shown(column.texts[r])) for r in rows])


def _note_bare_counts(count: QuantityColumn, headings: Headings, log: MessageLog) -> None:
    if "mesh_count" in headings.unit or count.texts.dtype.kind == "f":
        return
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    positions, unique = different_texts(pd.Series(count.texts, dtype=object))
    is_bare = [re.fullmatch(r"[\d.,\s]+", text) is not None for text in unique]
    text = 'a bare count, taken as per inch. Write "/ in" or "/ cm" to be sure.'
    for number in np.flatnonzero(is_bare).tolist():
        said = Message("mesh_count", unique[number], text, "note", code="mesh.count_without_unit")
        log.add(positions == number, said)


def _alloy_code(text: str, resolve: Callable[[str], int | Message]) -> int | Message:
    if text:
        return resolve(_werkstoff_number(words("alloy").get(fold(text), text)))
    return Message(
        "alloy",
        "",
        'no alloy, so no density and no price. Write one, such as "304" or "316L".',
        code="alloy.missing",
    )


def _name_one_alloy(first: str, other: str, resolve: Callable[[str], int | Message]) -> bool:
    meant = _alloy_code(first, resolve)
    return not isinstance(meant, Message) and meant == _alloy_code(other, resolve)


def _werkstoff_number(text: str) -> str:
    """Give a material number kept as a number back its last zero: 1.4310 comes as 1.431."""
    return f"{text}0" if re.fullmatch(r"1\.[4-9]\d\d", text.strip()) else text


def _whole_quantity(column: QuantityColumn, log: MessageLog) -> FloatArray:
    values = column.values
    with np.errstate(invalid="ignore"):
        bad = column.given & ((values <= 0) | (values != np.floor(values)))
    bad &= ~np.isnan(values)
    rows = np.flatnonzero(bad)
    mend = "a quantity is a whole number of 1 or more. Write how many rolls, strips or pieces."
    log.add_each(
        rows,
        [
            Message("quantity", _shown(column.texts[r]), mend, code="quantity.not_whole")
            for r in rows
        ],
    )
    log.add(
        ~column.given,
        Message(
            "quantity", "", "how many? Write a whole number of 1 or more.", code="quantity.missing"
        ),
    )
    return np.where(bad, np.nan, values) if len(rows) else values


def _shown(cell: object) -> str:
    return f"{cell:g}" if isinstance(cell, float) else str(cell)
