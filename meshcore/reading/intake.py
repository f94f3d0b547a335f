"""An enquiry table as columns: headings recognised, cells read, nothing lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore import enquiry
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.enquiry import PIECE, PLAIN, ROLL, STRIP, WEAVES
from meshcore.messages import Message, MessageLog
from meshcore.reading.cells import Cells, column_under, different_cells, row_name
from meshcore.reading.columns import QuantityColumn, cell_texts, read_column
from meshcore.reading.headings import ORDER, Headings, headings_of
from meshcore.reading.texts import is_blank, tidy
from meshcore.units import Kind

if TYPE_CHECKING:
    import pandas as pd

_WEAVE_WORDS: dict[str, str] = {
    "plain weave": "plain", "square": "plain", "square weave": "plain", "twill": "twilled",
    "twilled weave": "twilled", "twill weave": "twilled", "2/2 twill": "twilled",
    "pre-crimped": "double crimp", "precrimped": "double crimp", "pre crimped": "double crimp",
    "double": "double crimp", "intercrimp": "intermediate crimp", "inter crimp":
    "intermediate crimp", "intermediate": "intermediate crimp", "lock": "lock crimp",
    "flat-top": "flat top", "smooth top": "flat top", "welded mesh": "welded",
}  # fmt: skip
_FORM_WORDS: dict[str, tuple[int, str]] = {
    "roll": (ROLL, ""), "rolls": (ROLL, ""), "full roll": (ROLL, "full roll"),
    "full rolls": (ROLL, "full roll"), "half roll": (ROLL, "half roll"),
    "half rolls": (ROLL, "half roll"), "part roll": (ROLL, ""), "cut length": (ROLL, ""),
    "strip": (STRIP, ""), "strips": (STRIP, ""), "slit": (STRIP, ""), "slit strip": (STRIP, ""),
    "slit strips": (STRIP, ""), "tape": (STRIP, ""), "piece": (PIECE, ""), "pieces": (PIECE, ""),
    "pcs": (PIECE, ""), "cut piece": (PIECE, ""), "cut pieces": (PIECE, ""), "panel": (PIECE, ""),
    "panels": (PIECE, ""), "sheet": (PIECE, ""), "sheets": (PIECE, ""),
}  # fmt: skip
_SPECIFICATION: tuple[tuple[str, Kind], ...] = (
    ("mesh_count", "count"),
    ("pitch", "length"),
    ("aperture", "length"),
    ("wire_diameter", "length"),
    ("open_area", "share"),
)


@dataclass(frozen=True, slots=True)
class EnquiryColumns:
    """A whole enquiry list as columns, one row a line.

    Sizes are SI; codes index ``WEAVES``, ``FORMS`` and the alloys; -1 is unknown.
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


def read_enquiries(
    table: pd.DataFrame,
    resolve_alloy: Callable[[str], int | Message],
    services: Sequence[enquiry.Service],
    roll_lengths: Mapping[str, float],
    log: MessageLog,
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

    Returns
    -------
    The columns; lines that could not be read hold NaN or -1 there.
    """
    headings = headings_of(table)
    cells = Cells(table, headings, log)
    readings = {name: cells.quantity(name, kind) for name, kind in _SPECIFICATION}
    _note_bare_counts(readings["mesh_count"], headings, log)
    _note_repeats(table, headings, log)
    form, implied_length = _read_forms(cells, log)
    width = cells.quantity("width", "length")
    length = _read_lengths(cells, implied_length, roll_lengths)
    _check_sizes("width", width, form, log)
    _check_sizes("length", length, form, log)
    shape, dimensions = cells.texts("shape"), cells.texts("dimensions")
    return EnquiryColumns(
        headings=headings,
        readings=readings,
        weave=cells.codes("weave", _weave_code, blank=PLAIN),
        alloy=cells.codes("alloy", lambda text: _alloy_code(text, resolve_alloy), blank=None),
        form=form,
        width=width,
        length=length,
        shape=shape,
        dimensions=dimensions,
        quantity=_read_quantity(cells, log),
        services=_read_services(cells, services, log),
        order=cells.groups(ORDER),
    )


def _read_lengths(
    cells: Cells, implied: ObjectArray | None, roll_lengths: Mapping[str, float]
) -> QuantityColumn:
    """Read lengths; words such as "full roll" stand for one, in this column or in the form's."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    series = cells.series("length")
    numeric = series is not None and series.dtype.kind in "fi"
    if implied is None and (series is None or numeric):
        return cells.quantity("length", "length")
    texts = cells.texts("length")
    if implied is not None:
        texts = np.where(np.array([is_blank(t) for t in texts]), implied, texts)
    sizes = {word: f"{metres!r} m" for word, metres in roll_lengths.items()}
    worded = pd.Series([sizes.get(tidy(t).casefold(), t) for t in texts], dtype=object)
    return read_column(worded, "length", "length", cells.log, cells.headings.unit.get("length", ""))


#: Longer lists are not searched for repeated lines: they come from programs, not from people.
_SEARCHED_FOR_REPEATS = 20_000
#: Columns in which repeated lines may differ.
_LABELS = ("line", "note", ORDER)


def _note_repeats(table: pd.DataFrame, headings: Headings, log: MessageLog) -> None:
    """Say of a line that asks for just what an earlier line asks for that it does."""
    asked = [h for name, h in headings.column.items() if name not in _LABELS]
    if len(table) > _SEARCHED_FOR_REPEATS or not asked:
        return
    first: dict[tuple[str, ...], int] = {}
    columns = [cell_texts(column_under(table, heading)) for heading in asked]
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
    mend = f"a {name} is above zero. Write it, such as {_SIZE_EXAMPLES[name]}."
    log.add_each(
        rows,
        [Message(name, _shown(column.texts[r]), mend, code="size.not_above_zero") for r in rows],
    )


def _note_bare_counts(count: QuantityColumn, headings: Headings, log: MessageLog) -> None:
    if "mesh_count" in headings.unit or count.texts.dtype.kind == "f":
        return
    bare = [n for n, t in enumerate(count.texts) if re.fullmatch(r"[\d.,\s]+", str(t))]
    text = 'a bare count, taken as per inch. Write "/ in" or "/ cm" to be sure.'
    log.add_each(
        bare,
        [
            Message("mesh_count", str(count.texts[n]), text, "note", code="mesh.count_without_unit")
            for n in bare
        ],
    )


def _weave_code(text: str) -> int | Message:
    word = tidy(text).casefold()
    name = _WEAVE_WORDS.get(word, word)
    if name in WEAVES:
        return WEAVES.index(name)
    return Message(
        "weave",
        text,
        f"no weave known here. Write one of: {', '.join(WEAVES)}.",
        code="weave.unknown",
    )


def _alloy_code(text: str, resolve: Callable[[str], int | Message]) -> int | Message:
    if text:
        return resolve(text)
    return Message(
        "alloy",
        "",
        'no alloy, so no density and no price. Write one, such as "304" or "316L".',
        code="alloy.missing",
    )


def _read_forms(cells: Cells, log: MessageLog) -> tuple[IntArray, ObjectArray | None]:
    """Form codes, and roll lengths that the form's own words imply."""
    if cells.series("form") is None and cells.series("shape") is None:
        missing = Message("form", "", _FORM_MEND, code="form.missing")
        log.add(np.ones(len(cells.table), dtype=np.bool_), missing)
        return np.full(len(cells.table), -1, dtype=np.int64), None
    if cells.series("shape") is None:
        return cells.codes("form", _form_code, blank=None), _implied_lengths(cells)
    shaped = np.array([not is_blank(t) for t in cells.texts("shape")])
    if not shaped.any():
        codes = cells.codes("form", _form_code, blank=None)
        return codes, _implied_lengths(cells)
    codes = cells.codes("form", _form_code, blank=PIECE)
    blank = np.array([is_blank(t) for t in cells.texts("form")])
    log.add(blank & ~shaped, Message("form", "", _FORM_MEND, code="form.missing"))
    return np.where(blank & ~shaped, -1, codes), _implied_lengths(cells)


_FORM_MEND = "how is it to be supplied? Write roll, strip or piece."


def _form_code(text: str) -> int | Message:
    if is_blank(text):
        return Message("form", "", _FORM_MEND, code="form.missing")
    known = _FORM_WORDS.get(tidy(text).casefold())
    return Message("form", text, _FORM_MEND, code="form.unknown") if known is None else known[0]


def _implied_lengths(cells: Cells) -> ObjectArray | None:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    series = cells.series("form")
    if series is None:
        return None
    positions, unique = different_cells(series)
    texts = cell_texts(pd.Series(unique, dtype=object))
    words = [_FORM_WORDS.get(tidy(t).casefold(), (0, ""))[1] for t in texts]
    return np.array(words, dtype=object)[positions] if any(words) else None


def _read_quantity(cells: Cells, log: MessageLog) -> FloatArray:
    column = cells.quantity("quantity", "number")
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


def _read_services(
    cells: Cells, services: Sequence[enquiry.Service], log: MessageLog
) -> dict[str, BoolArray]:
    """Service name → lines that ask for it; a service nobody offers is said, not dropped."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    if cells.series("services") is None:
        return {}
    texts = cells.texts("services")
    names = {word.casefold(): s.name for s in services for word in (s.name, *s.aliases)}
    asked: dict[str, BoolArray] = {}
    positions, unique = pd.factorize(texts)
    for number, text in enumerate(unique):
        if is_blank(str(text)):
            continue
        rows = positions == number
        for word in re.split(r"[,;/+&]|\band\b", tidy(str(text)).casefold()):
            name = names.get(word.strip())
            if name is not None:
                asked.setdefault(name, np.zeros(len(texts), dtype=np.bool_))[rows] = True
            elif word.strip():
                offered = ", ".join(s.name for s in services)
                mend = f"no such service here, so it is not in the price. Offered: {offered}."
                log.add(
                    rows, Message("services", word.strip(), mend, "review", code="services.unknown")
                )
    return asked
