"""What each line of an enquiry list leaves open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, ObjectArray
from meshcore.enquiry import PIECE, ROLL, STRIP
from meshcore.estimates.question_texts import (
    ALLOY,
    CERTIFICATES,
    DELIVERY,
    FORM,
    MESH,
    PIECE_SIZES,
    QUANTITY,
    ROLL_LENGTH,
    ROLL_WIDTH,
    SERVICES,
    STRIP_LENGTH,
    STRIP_WIDTH,
    WEAVE,
    WIRE,
    Question,
    incomplete_piece,
)
from meshcore.messages import Message
from meshcore.reading.cells import Cells
from meshcore.reading.intake import EnquiryColumns
from meshcore.reading.texts import is_blank, tidy
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.texts import read_shape
from meshcore.units import METRES_PER_INCH
from meshcore.weave.judging.limits import length_text
from meshcore.weave.specification.series import customary

#: Words that answer a question with "nothing"; in other fields they are as good as blank.
_NOTHING_WANTED = frozenset({"none", "n/a", "na", "-", "--", "no"})
#: Words by which a line speaks of certificates.
_CERTIFICATE_WORDS = ("certif", "test report", "3.1", "traceab", "mill sheet")
#: Words by which a note, or the heading of a column of the buyer's own, speaks of delivery.
_DELIVERY_WORDS = ("deliver", "wanted", "required by", "due", "date", "ship", "lead time")
#: A customary wire or count is offered where the size given comes this near to the series [-].
_NEAR = 0.03
#: Sizes of which two, of different kinds, complete a specification; count and pitch are one kind.
_OPENINGS = ("mesh_count", "pitch", "aperture", "open_area")
_MICROINCH = 1e-6


@dataclass(frozen=True, slots=True)
class EnquiryTexts:
    """An enquiry list as it was typed, and as it was read.

    Parameters
    ----------
    read
        The list as read.
    texts
        Enquiry column → cells as text.
    delivery
        Lines that give a delivery in a column of the buyer's own.
    policy
        The mill's widths and lengths, for the usual answers.
    """

    read: EnquiryColumns
    texts: Mapping[str, ObjectArray]
    delivery: BoolArray
    policy: SupplyPolicy


def enquiry_texts(cells: Cells, read: EnquiryColumns, policy: SupplyPolicy) -> EnquiryTexts:
    """Gather what the questions look at."""
    names = ("line", "weave", "alloy", "form", "shape", "dimensions", "quantity", "services")
    texts = {name: cells.texts(name) for name in (*names, "note")}
    return EnquiryTexts(read, texts, _delivery_given(cells), policy)


def _delivery_given(cells: Cells) -> BoolArray:
    given = np.zeros(len(cells.table), dtype=np.bool_)
    for place, heading in enumerate(cells.table.columns):
        if any(word in str(heading).casefold() for word in _DELIVERY_WORDS):
            column = cells.table.iloc[:, place].astype(str)
            given |= np.array([not is_blank(text) for text in column], dtype=np.bool_)
    return given


def open_points(enquiry: EnquiryTexts, row: int) -> Iterator[Question]:
    """Yield what line `row` leaves open, in the order in which a mill asks."""
    yield from _sizes(enquiry.read, row)
    if is_blank(enquiry.texts["weave"][row]):
        yield WEAVE
    if is_blank(enquiry.texts["alloy"][row]):
        yield ALLOY
    yield from _form(enquiry, row)
    if is_blank(enquiry.texts["quantity"][row]):
        yield QUANTITY
    yield from _extras(enquiry, row)


def _sizes(read: EnquiryColumns, row: int) -> Iterator[Question]:
    given = {name: bool(read.readings[name].given[row]) for name in _OPENINGS}
    openings = (given["mesh_count"] or given["pitch"]) + given["aperture"] + given["open_area"]
    wire = bool(read.readings["wire_diameter"].given[row])
    if openings == 0:
        yield MESH.with_usual(_usual_mesh(read, row))
    if not wire and openings < 2:  # noqa: PLR2004 - two sizes complete a specification
        yield WIRE.with_usual(_usual_wire(read, row))


def _usual_mesh(read: EnquiryColumns, row: int) -> str:
    wires, pitches = customary()
    place = _nearest(wires, float(read.readings["wire_diameter"].values[row]))
    return "" if place is None else f"{METRES_PER_INCH / pitches[place]:.4g} / in with this wire"


def _usual_wire(read: EnquiryColumns, row: int) -> str:
    wires, pitches = customary()
    value = {name: float(read.readings[name].values[row]) for name in _OPENINGS}
    pitch = value["pitch"] if np.isnan(value["mesh_count"]) else 1.0 / value["mesh_count"]
    place = _nearest(pitches, pitch)
    if place is None:
        place = _nearest(pitches - wires, value["aperture"])
    if place is None:
        return ""
    wire = float(wires[place])
    count = METRES_PER_INCH / pitches[place]
    return f"{wire / METRES_PER_INCH:.4g} in ({length_text(wire)}) at {count:.4g} / in"


def _nearest(series: FloatArray, size: float) -> int | None:
    """Place in `series` of what is near enough to `size` to be meant; NaN is near nothing."""
    off = np.abs(series / size - 1.0) if size > 0 else np.full(len(series), np.inf)
    place = int(np.argmin(off))
    return place if off[place] <= _NEAR else None


def _form(enquiry: EnquiryTexts, row: int) -> Iterator[Question]:
    read, policy = enquiry.read, enquiry.policy
    form = int(read.form[row])
    width, length = bool(read.width.given[row]), bool(read.length.given[row])
    if form == ROLL:
        if not width:
            usual = ", ".join(_size_text(w) for w in policy.widths_m)
            yield ROLL_WIDTH.with_usual(f"one of the stock widths, {usual}")
        if not length:
            yield ROLL_LENGTH.with_usual(f"full rolls of {_size_text(policy.full_length_m)}")
    elif form == STRIP:
        if not width:
            yield STRIP_WIDTH
        if not length:
            yield STRIP_LENGTH.with_usual(f"up to {_size_text(policy.full_length_m)} in one length")
    elif form == PIECE:
        yield from _piece(enquiry, row, width and length)
    elif is_blank(enquiry.texts["form"][row]):
        yield FORM


def _piece(enquiry: EnquiryTexts, row: int, sized: bool) -> Iterator[Question]:
    shape, dimensions = (enquiry.texts[name][row] for name in ("shape", "dimensions"))
    if is_blank(dimensions) and ":" not in shape:
        if not sized:
            yield PIECE_SIZES
    elif isinstance(wrong := read_shape(shape, dimensions), Message):
        yield incomplete_piece(wrong)


def _size_text(metres: float) -> str:
    """Size in inches or feet where it is a whole number of them, else metric.

    Examples
    --------
    >>> _size_text(1.2192), _size_text(30.48), _size_text(1.2)
    ('48 in', '100 ft', '1200 mm')
    """
    inches = metres / METRES_PER_INCH
    if abs(inches - round(inches)) > _MICROINCH:
        return length_text(metres)
    feet, rest = divmod(round(inches), 12)
    return f"{feet} ft" if rest == 0 and feet >= _FEET_FROM else f"{round(inches)} in"


#: Lengths from here on are written in feet: common practice, no source.
_FEET_FROM = 10


def _extras(enquiry: EnquiryTexts, row: int) -> Iterator[Question]:
    services = tidy(enquiry.texts["services"][row]).casefold()
    if is_blank(services) and services not in _NOTHING_WANTED:
        yield SERVICES
    said = f"{services} {tidy(enquiry.texts['note'][row]).casefold()}"
    if not any(word in said for word in _CERTIFICATE_WORDS):
        yield CERTIFICATES
    if not enquiry.delivery[row] and not any(word in said for word in _DELIVERY_WORDS):
        yield DELIVERY
