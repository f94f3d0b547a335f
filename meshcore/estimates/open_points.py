"""What each line of an enquiry list leaves open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.records.customary import LIKELY_ALLOYS, MOST_NAMED
from meshcore.arrays import BoolArray, ObjectArray
from meshcore.enquiry import PIECE, ROLL, STRIP, WEAVES
from meshcore.estimates.open_sizes import trial_meshes, trial_wires, usual_meshes, usual_wires
from meshcore.estimates.question_texts import (
    ALLOY,
    ALLOY_CAUTION,
    ANY_LENGTH,
    ANY_WIDTH,
    CERTIFICATES,
    DELIVERY,
    FORM,
    MESH,
    PIECE_SIZES,
    QUANTITY,
    ROLL_LENGTH,
    ROLL_WIDTH,
    SERVICE_WORDS,
    SERVICES,
    STRIP_LENGTH,
    STRIP_WIDTH,
    WEAVE,
    WIRE,
    Question,
    incomplete_piece,
    with_note,
)
from meshcore.estimates.weaves import PURPOSE_OF_USE
from meshcore.messages import Message
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.uses import use_named
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.texts import read_shape
from meshcore.units import METRES_PER_INCH
from meshcore.weave.judging.limits import length_text
from meshcore.weave.judging.purpose import GENERAL, PREFERENCES

#: Words that answer a question with "nothing"; in other fields they are as good as blank.
_NOTHING_WANTED = frozenset({"none", "n/a", "na", "-", "--", "no"})
#: Words by which a line speaks of certificates.
_CERTIFICATE_WORDS = ("certif", "test report", "3.1", "traceab", "mill sheet")
#: Words by which a note, or the heading of a column of the buyer's own, speaks of delivery.
_DELIVERY_WORDS = ("deliver", "wanted", "required by", "due", "date", "ship", "lead time")
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


@dataclass(frozen=True, slots=True)
class Usual:
    """One answer that might be usual: as the cell would hold it, and as the letter says it."""

    answer: str
    text: str


@dataclass(frozen=True, slots=True)
class OpenPoint:
    """One thing that a line leaves open.

    Parameters
    ----------
    question
        What to ask.
    usual
        Answers that might be usual, the likeliest first; the first that the estimate accepts is
        offered.
    trials
        Answers of three kinds of cloth or order, by which what else the line says is tried.
    """

    question: Question
    usual: tuple[Usual, ...] = ()
    trials: tuple[str, str, str] | None = None


def open_points(enquiry: EnquiryTexts, row: int) -> Iterator[OpenPoint]:
    """Yield what line `row` leaves open, in the order in which a mill asks."""
    yield from _sizes(enquiry.read, row)
    note = tidy(enquiry.texts["note"][row])
    if is_blank(enquiry.texts["weave"][row]):
        yield OpenPoint(WEAVE, usual_weaves(note))
    if is_blank(enquiry.texts["alloy"][row]):
        yield _alloy(note)
    yield from _form(enquiry, row)
    if is_blank(enquiry.texts["quantity"][row]):
        yield OpenPoint(QUANTITY, trials=("1", "10", "100"))
    yield from _extras(enquiry, row)


def _alloy(note: str) -> OpenPoint:
    trials = ("304", "carbon steel", "316L")
    if any(word in note.casefold() for word in SERVICE_WORDS):
        return OpenPoint(with_note(ALLOY, note), trials=trials)
    usual = tuple(Usual(name, f"{name} {ALLOY_CAUTION}") for name in LIKELY_ALLOYS[:MOST_NAMED])
    return OpenPoint(ALLOY, usual, trials)


def usual_weaves(note: str) -> tuple[Usual, ...]:
    """Weaves for what a note says that the cloth is to do, the usual one first."""
    word, use = use_named(note)
    purpose = PURPOSE_OF_USE.get(use, GENERAL)
    why = f", since the note speaks of {word}" if word else ""
    return tuple(
        Usual(WEAVES[code], f"{WEAVES[code]}{why}: {reason}")
        for code, reason in PREFERENCES[purpose]
    )


def _sizes(read: EnquiryColumns, row: int) -> Iterator[OpenPoint]:
    given = {name: bool(read.readings[name].given[row]) for name in _OPENINGS}
    openings = (given["mesh_count"] or given["pitch"]) + given["aperture"] + given["open_area"]
    wire = bool(read.readings["wire_diameter"].given[row])
    value = {name: float(read.readings[name].values[row]) for name in read.readings}
    if openings == 0:
        usual = usual_meshes(value["wire_diameter"])
        offered = tuple(Usual(*values) for values in usual)
        yield OpenPoint(MESH, offered, trial_meshes(value["wire_diameter"]))
    if not wire and openings < 2:  # noqa: PLR2004 - two sizes complete a specification
        offered = tuple(Usual(*values) for values in usual_wires(value))
        yield OpenPoint(WIRE, offered, trial_wires(value))


def _form(enquiry: EnquiryTexts, row: int) -> Iterator[OpenPoint]:
    read, policy = enquiry.read, enquiry.policy
    form = int(read.form[row])
    width, length = bool(read.width.given[row]), bool(read.length.given[row])
    full = _size_text(policy.full_length_m)
    if form == ROLL:
        if not width:
            yield OpenPoint(ROLL_WIDTH, _stock_widths(policy), _trial_widths(policy))
        if not length:
            rolls = (Usual("full roll", f"full rolls of {full}"),)
            yield OpenPoint(ROLL_LENGTH, rolls, ("full roll", "10 m", "5 m"))
    elif form == STRIP:
        if not width:
            yield OpenPoint(STRIP_WIDTH, trials=("100 mm", "300 mm", "600 mm"))
        if not length:
            one = (Usual(full, f"up to {full} in one length"),)
            yield OpenPoint(STRIP_LENGTH, one, ("10 m", "5 m", "20 m"))
    elif form == PIECE:
        yield from _piece(enquiry, row, width and length)
    elif is_blank(enquiry.texts["form"][row]):
        usual = _likely_forms(float(read.width.values[row]), float(read.length.values[row]))
        yield OpenPoint(FORM, usual, ("roll", "strip", "piece"))
        if not width:
            yield OpenPoint(ANY_WIDTH, trials=("48 in", "100 mm", "300 mm"))
        if not length:
            yield OpenPoint(ANY_LENGTH, trials=("full roll", "10 m", "300 mm"))


_TRIAL_PIECES = ("300 x 300 mm", "1000 x 500 mm", "150 x 150 mm")
_FORMS = {"roll": "rolls", "strip": "slit strips", "piece": "cut pieces"}
#: Longest side of what is a piece, and narrowest of what is a roll [m] (common practice).
_LONGEST_PIECE_M, _NARROWEST_ROLL_M = 3.0, 0.3


def _likely_forms(width: float, length: float) -> tuple[Usual, ...]:
    """Forms, the one that such sizes are supplied in first; NaN where a size is not known."""
    order = ["roll", "strip", "piece"]
    if width <= _LONGEST_PIECE_M and length <= _LONGEST_PIECE_M:
        order = ["piece", "roll", "strip"]
    elif width < _NARROWEST_ROLL_M:
        order = ["strip", "roll", "piece"]
    return tuple(Usual(form, _FORMS[form]) for form in order)


def _stock_widths(policy: SupplyPolicy) -> tuple[Usual, ...]:
    texts = [_size_text(width) for width in policy.widths_m]
    return tuple(Usual(text, text) for text in texts)


def _trial_widths(policy: SupplyPolicy) -> tuple[str, str, str]:
    first, last = (_size_text(width) for width in (policy.widths_m[0], policy.widths_m[-1]))
    return first, last, first


def _piece(enquiry: EnquiryTexts, row: int, sized: bool) -> Iterator[OpenPoint]:
    shape, dimensions = (enquiry.texts[name][row] for name in ("shape", "dimensions"))
    if is_blank(dimensions) and ":" not in shape:
        if sized:
            return
        if is_blank(shape):
            yield OpenPoint(PIECE_SIZES, trials=_TRIAL_PIECES)
        elif isinstance(wrong := read_shape(shape, dimensions), Message):
            yield OpenPoint(incomplete_piece(wrong))
    elif isinstance(wrong := read_shape(shape, dimensions), Message):
        yield OpenPoint(incomplete_piece(wrong))


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


def _extras(enquiry: EnquiryTexts, row: int) -> Iterator[OpenPoint]:
    services = tidy(enquiry.texts["services"][row]).casefold()
    if is_blank(services) and services not in _NOTHING_WANTED:
        yield OpenPoint(SERVICES)
    said = f"{services} {tidy(enquiry.texts['note'][row]).casefold()}"
    if not any(word in said for word in _CERTIFICATE_WORDS):
        yield OpenPoint(CERTIFICATES)
    if not enquiry.delivery[row] and not any(word in said for word in _DELIVERY_WORDS):
        yield OpenPoint(DELIVERY)
