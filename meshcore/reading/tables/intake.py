"""An enquiry table as columns: headings recognised, cells read, nothing lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore import enquiry
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.enquiry import PIECE, ROLL, STRIP, WEAVE_UNASKED
from meshcore.messages import Message, MessageLog
from meshcore.reading import refusals
from meshcore.reading.columns import QuantityColumn, different_texts
from meshcore.reading.running_text.ordered import apply_amounts
from meshcore.reading.sizes.coatings import coating_masses
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.doubtful_headings import (
    hold_pitches,
    hold_running_lengths,
    hold_thicknesses,
)
from meshcore.reading.tables.field_names import ORDER
from meshcore.reading.tables.filling import fill_cells
from meshcore.reading.tables.forms import implied_lengths, named_forms, read_weaves, settled_forms
from meshcore.reading.tables.headings import Headings, headings_of
from meshcore.reading.tables.list_remarks import note_list_remarks
from meshcore.reading.tables.remarks import note_unread
from meshcore.reading.tables.repeats import note_repeats
from meshcore.reading.tables.roll_lengths import read_lengths
from meshcore.reading.tables.service_words import hold_against_forms, read_services, service_names
from meshcore.reading.tables.sizes_of_forms import (
    hold_shapes_against_forms,
    hold_widths_against_pieces,
)
from meshcore.reading.tables.standing import note_choices, note_standing
from meshcore.reading.tables.stated import (
    counted_in_shapes,
    say_what_stands_beside,
    with_stated,
    with_stated_texts,
)
from meshcore.reading.tables.totals_beside import hold_totals
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
    "mesh_count": frozenset({"wire_diameter", "aperture", "weave"}),
    "aperture": frozenset({"wire_diameter"}),
    "width": frozenset({"length"}),
    "open_area": frozenset({"wire_diameter"}),
    "quantity": frozenset({"length", "width", "dimensions"}),
}
_NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class EnquiryColumns:
    """A whole enquiry list as columns, one row a line.

    Sizes are SI; codes index ``WEAVES``, ``FORMS`` and the alloys; -1 is unknown, a weave that is
    not named ``WEAVE_UNASKED``. The coating is
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
    note: ObjectArray
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
    for name in ("mesh_count", "aperture", "open_area"):
        readings["wire_diameter"] = with_stated(
            readings["wire_diameter"], readings[name].also, "wire_diameter", name, log
        )
    readings["aperture"] = with_stated(
        readings["aperture"], readings["mesh_count"].also, "aperture", "mesh_count", log
    )
    hold_thicknesses(cells, readings["wire_diameter"])
    hold_pitches(cells, readings["pitch"])
    _note_bare_counts(readings["mesh_count"], headings, log)
    note_repeats(table, headings, log)
    forms = named_forms(cells)
    width = cells.quantity("width", "length", _STATES["width"], forms)
    length = read_lengths(cells, implied_lengths(cells), roll_lengths, forms)
    width = with_stated(width, length.also, "width", "length", log)
    length = with_stated(length, width.also, "length", "width", log)
    ordered = cells.quantity("quantity", "number", _STATES["quantity"], forms)
    width = with_stated(width, ordered.also, "width", "quantity", log)
    length = with_stated(length, ordered.also, "length", "quantity", log)
    form = settled_forms(cells, forms, width.values, length.values)
    shape, dimensions = cells.texts("shape"), cells.texts("dimensions")
    hold_shapes_against_forms(cells, form)
    hold_widths_against_pieces(cells, form, width, length)
    counted = counted_in_shapes(shape, dimensions, form == PIECE)
    ordered = with_stated(ordered, counted, "quantity", "dimensions", log)
    quantity = _whole_quantity(ordered, log)
    if amounts is not None:
        quantity, length = apply_amounts(amounts, quantity, width, length, form, log)
    hold_totals(cells, quantity, length, form)
    hold_running_lengths(cells, length, quantity)
    note_unread(cells, service_names(services), names_alloy)
    options, chosen = note_standing(cells), note_choices(cells)
    _check_sizes("width", width, form, log)
    _check_sizes("length", length, form, log)
    dimensions = with_stated_texts(dimensions, ordered.also, "dimensions")

    def alloy_of(text: str) -> int | Message:
        return _alloy_code(text, resolve_alloy)

    alloy = cells.codes("alloy", alloy_of, blank=None)
    say_what_stands_beside(cells, alloy, beside_alloy)
    note_list_remarks(table, alloy, alloy_of, names_alloy, log)
    asked = read_services(cells, services)
    hold_against_forms(cells, asked, form)
    return EnquiryColumns(
        headings=headings,
        readings=readings,
        weave=read_weaves(cells, WEAVE_UNASKED, readings["mesh_count"].also),
        alloy=alloy,
        form=form,
        width=width,
        length=length,
        shape=shape,
        dimensions=dimensions,
        quantity=quantity,
        services=asked,
        note=cells.texts("note"),
        order=_apart(cells.groups(ORDER), options),
        options=options | chosen,
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
    different = cells.different_texts("alloy")
    if different is None:
        return np.full(len(cells.table), np.nan)
    positions, unique = different
    return coating_masses(unique)[positions]


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
    """Undo what a column of numbers does to names: 1.4310 comes as 1.431, and 304 as 304.0."""
    if re.fullmatch(r"\d{3}\.0", text.strip()):
        return text.strip()[:-2]
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
