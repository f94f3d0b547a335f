"""Cells of an enquiry table by the column that they belong to."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, IntArray, ObjectArray
from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import (
    FEW,
    QuantityColumn,
    cell_text,
    cell_texts,
    different_texts,
    read_column,
)
from meshcore.reading.decimal_marks import (
    is_doubtful,
    settled_marks,
    shown_marks,
    with_decimal_mark,
)
from meshcore.reading.numbers.readings import Mark
from meshcore.reading.tables.headings import Headings
from meshcore.reading.texts import Hints, is_blank, tidy
from meshcore.units import Kind

if TYPE_CHECKING:
    import pandas as pd

#: A bare mesh count is per inch: that is what the word means in the trade (no source).
COUNT_UNIT = "/in"
#: Labels and remarks of a line: two of them need not say the same.
UNCOMPARED = frozenset({"line", "order", "note"})
#: Name of the index of a table whose index holds the rows of the file that it was read from.
FILE_ROW = "file row"


def order_name(text: str) -> str:
    """Return what a cell of the column of orders goes by, however it is written.

    Examples
    --------
    >>> order_name(" Weir  7 ") == order_name("weir 7"), order_name("01"), order_name("")
    (True, '1', '')
    """
    return _number_alike(_written(text))


def _written(text: str) -> str:
    # A number is its own name: most orders are numbered, and there may be a million of them.
    return text if text.isdecimal() else tidy(text).casefold()


def row_name(table: pd.DataFrame, line: int) -> str:
    """Return the number by which a line is found: its row in the file, else its place from 1.

    Examples
    --------
    >>> import pandas as pd
    >>> row_name(pd.DataFrame({"alloy": ["304"]}), 0)
    '1'
    >>> row_name(pd.DataFrame({"alloy": ["304"]}, index=pd.Index([7], name=FILE_ROW)), 0)
    '7'
    """
    return str(table.index[line]) if table.index.name == FILE_ROW else str(line + 1)


#: Columns of sizes: one list writes its decimals with one mark in all of them.
_SIZES: Mapping[str, Kind] = {
    "mesh_count": "count", "pitch": "length", "aperture": "length", "wire_diameter": "length",
    "open_area": "share", "width": "length", "length": "length",
}  # fmt: skip


def _dates(series: pd.Series) -> BoolArray | None:
    """Lines whose cell is a date; None where there is none."""
    if series.dtype.kind == "M":
        return np.asarray(series.notna(), dtype=np.bool_)
    if series.dtype.kind != "O":
        return None
    cells = series.tolist()
    if all(type(cell) is str for cell in cells):
        return None
    found = np.array([isinstance(cell, date | datetime) for cell in cells], dtype=np.bool_)
    found &= series.notna().to_numpy()
    return found if found.any() else None


def column_under(table: pd.DataFrame, heading: str) -> pd.Series:
    """Return the first column under a heading; a table may have two of one name.

    Examples
    --------
    >>> import pandas as pd
    >>> column_under(pd.DataFrame([[1, 2]], columns=["width", "width"]), "width").tolist()
    [1]
    """
    return table.iloc[:, [str(c) for c in table.columns].index(heading)]


def different_cells(series: pd.Series) -> tuple[IntArray, list[object]]:
    """Return for each cell the place of its like among the different cells, and those.

    Examples
    --------
    >>> import pandas as pd
    >>> positions, different = different_cells(pd.Series(["304", ["304"], "304"]))
    >>> positions.tolist(), different
    ([0, 1, 0], ['304', "['304']"])
    """
    if len(series) <= FEW:
        return _few_different(series)
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    try:
        positions, unique = pd.factorize(series, use_na_sentinel=False)
    except TypeError:  # a cell that cannot be hashed, such as a list: compare what it shows
        return different_cells(pd.Series(cell_texts(series), dtype=object))
    return np.asarray(positions, dtype=np.int64), list(unique.tolist())


def _few_different(series: pd.Series) -> tuple[IntArray, list[object]]:
    """Tell the cells of a short column apart; those that cannot be hashed by what they show."""
    cells: list[object] = series.tolist()
    try:
        keys = [_NO_NUMBER if cell is None or cell != cell else cell for cell in cells]  # noqa: PLR0124 - NaN
        seen: dict[object, int] = {}
        own = [seen.setdefault(key, len(seen)) for key in keys]
    except (TypeError, ValueError):
        cells = list(cell_texts(series))
        seen = {}
        own = [seen.setdefault(cell, len(seen)) for cell in cells]
    first = {place: n for n, place in reversed(list(enumerate(own)))}
    return np.array(own, dtype=np.int64), [cells[first[n]] for n in range(len(seen))]


#: Stands for whatever is no number, of which none equals another.
_NO_NUMBER = "\0nan"


@dataclass(frozen=True, slots=True)
class Cells:
    """The table's cells by enquiry column; a missing column is a column of blanks.

    Parameters
    ----------
    table, headings
        The list, and which of its columns holds what.
    log
        Receives what cannot be read.
    filled
        Enquiry column → its cells where other columns, such as a description, fill them.
    """

    table: pd.DataFrame
    headings: Headings
    log: MessageLog
    filled: Mapping[str, ObjectArray] = field(default_factory=dict)
    _series: dict[str, pd.Series | None] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _cells: dict[str, tuple[IntArray, list[object]]] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )
    _texts: dict[str, tuple[IntArray, list[str]]] = field(
        init=False, default_factory=dict, compare=False, repr=False
    )

    def series(self, name: str) -> pd.Series | None:
        """Return the column as it came, or as it was filled; None where there is none."""
        if name not in self._series:
            self._series[name] = self._fetched(name)
        return self._series[name]

    def _fetched(self, name: str) -> pd.Series | None:
        import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

        if name in self.filled:
            return pd.Series(self.filled[name], dtype=object)
        heading = self.headings.column.get(name)
        if heading is None:
            return None
        # Names of their own are found sooner than the first of several.
        if self.table.columns.is_unique and heading in self.table.columns:
            return self.table[heading]
        return column_under(self.table, heading)

    def different_cells(self, name: str) -> tuple[IntArray, list[object]] | None:
        """Return the column as `different_cells` does; None where there is none."""
        series = self.series(name)
        if series is None:
            return None
        if name not in self._cells:
            self._cells[name] = different_cells(series)
        return self._cells[name]

    def different_texts(self, name: str) -> tuple[IntArray, list[str]] | None:
        """Return the column as `different_texts` does; None where there is none."""
        series = self.series(name)
        return None if series is None else self._texts_of(name, series)

    def _texts_of(self, name: str, series: pd.Series) -> tuple[IntArray, list[str]]:
        if name not in self._texts:
            self._texts[name] = different_texts(series)
        return self._texts[name]

    def texts(self, name: str) -> ObjectArray:
        """Return the column as text, blank where nothing was typed."""
        series = self.series(name)
        if series is None:
            return np.full(len(self.table), "", dtype=object)
        if len(series) > FEW or not len(series):
            return cell_texts(series)
        positions, unique = self._texts_of(name, series)
        return np.array(unique, dtype=object)[positions]

    def with_filled(self, filled: Mapping[str, ObjectArray]) -> Cells:
        """Return the cells with columns that others fill; what is known of the rest is kept."""
        cells = replace(self, filled=filled)
        cells._series.update({n: v for n, v in self._series.items() if n not in filled})
        cells._cells.update({n: v for n, v in self._cells.items() if n not in filled})
        cells._texts.update({n: v for n, v in self._texts.items() if n not in filled})
        return cells

    def hints(self, series: pd.Series, takes: frozenset[str] = frozenset()) -> Hints:
        """Return what is known of a column: its decimal mark, or else that of the whole list."""
        if series.dtype.kind in "fi":
            return Hints(takes=takes)
        return self._hints_of(different_texts(series)[1], takes)

    def _hints_of(self, texts: list[str], takes: frozenset[str]) -> Hints:
        hints = Hints(takes=takes)
        own = with_decimal_mark(texts, hints)
        if own.decimal or not is_doubtful(texts):
            return own
        marks: set[Mark] = set()
        any_doubtful = False
        for name, kind in _SIZES.items():
            column = self.series(name)
            if column is None or column.dtype.kind in "fi":
                continue
            others = self._texts_of(name, column)[1]
            any_doubtful |= is_doubtful(others)
            marks |= shown_marks(others) | settled_marks(others, kind, name, self._unit(name, kind))
        # Marks of sizes that are in no doubt themselves say too little of how counts are written.
        known = any_doubtful and len(marks) == 1
        return replace(hints, decimal=marks.pop()) if known else hints

    def _unit(self, name: str, kind: Kind) -> str:
        return self.headings.unit.get(name, COUNT_UNIT if kind == "count" else "")

    def quantity(
        self,
        name: str,
        kind: Kind,
        takes: frozenset[str] = frozenset(),
        forms: IntArray | None = None,
    ) -> QuantityColumn:
        """Read a column of sizes, which may state those of `takes` too."""
        series = self.series(name)
        if series is None:
            nothing = np.full(len(self.table), np.nan)
            given = np.zeros(len(self.table), dtype=np.bool_)
            return QuantityColumn(nothing, nothing, given, np.full(len(self.table), ""))
        unit = "" if kind == "number" else self._unit(name, kind)
        if series.dtype.kind in "fi":
            return read_column(series, kind, name, self.log, unit, Hints(takes=takes), forms)
        dates = _dates(series)
        if dates is None:
            texts = self._texts_of(name, series)
            hints = self._hints_of(texts[1], takes)
            return read_column(series, kind, name, self.log, unit, hints, forms, texts)
        self._refuse_dates(series, dates, name)
        sizes = series.where(~dates, "")
        hints = self.hints(sizes, takes)
        column = read_column(sizes, kind, name, self.log, unit, hints, forms)
        return replace(column, given=column.given | dates, texts=cell_texts(series))

    def _refuse_dates(self, series: pd.Series, dates: BoolArray, name: str) -> None:
        """Refuse sizes that a spreadsheet turned into dates, with the fraction they may be."""
        rows = np.flatnonzero(dates)
        said = []
        for row in rows.tolist():
            day: date = series.iloc[row]
            text = _of_a_date(name, day)
            said.append(Message(name, f"{day:%Y-%m-%d}", text, code="reading.date"))
        self.log.add_each(rows, said)

    def codes(self, name: str, code: Callable[[str], int | Message], blank: int | None) -> IntArray:
        """Read a column of names as codes; each different text is looked up once."""
        different = self.different_cells(name)
        if different is None:
            if blank is None:
                self.log.add(np.ones(len(self.table), dtype=np.bool_), code_message(code, ""))
            return np.full(len(self.table), -1 if blank is None else blank, dtype=np.int64)
        positions, unique = different
        found = np.full(len(unique), -1, dtype=np.int64)
        for number, cell in enumerate(unique):
            text = cell_text(cell)
            if is_blank(text) and blank is not None:
                found[number] = blank
                continue
            answer = code("" if is_blank(text) else text)
            if isinstance(answer, Message):
                self.log.add(positions == number, answer)
            else:
                found[number] = answer
        return found[positions]

    def groups(self, name: str) -> IntArray:
        """Give cells of one name one number, whatever its blanks and capitals.

        Without the column, or with nothing in it, all lines are one group. A blank cell among
        others is a group of its own, which is said.
        """
        import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

        series = self.series(name)
        if series is None:
            return np.zeros(len(self.table), dtype=np.int64)
        if series.dtype.kind in "iu":
            return pd.factorize(series)[0].astype(np.int64)
        different, texts = pd.factorize(self.texts(name))
        written = [_written(text) for text in texts]
        each = np.array([_number_alike(text) for text in written], dtype=object)
        self._say_spelt(name, each, np.array(written, dtype=object), different)
        alone = np.array([not t.isdecimal() and is_blank(t) for t in texts], dtype=np.bool_)
        names, alone = each[different], alone[different]
        if alone.all():
            return np.zeros(len(self.table), dtype=np.int64)
        text = "names no order where other lines do, so it is priced as an order of its own."
        self.log.add(alone, Message(name, "", text, "note", code="line.without_order"))
        keys = np.where(alone, [f"\0{n}" for n in range(len(names))], names)
        return pd.factorize(keys)[0].astype(np.int64)

    def _say_spelt(
        self, name: str, each: ObjectArray, written: ObjectArray, different: IntArray
    ) -> None:
        """Put to review lines whose number is written otherwise on other lines: 1, 01 and 1.0."""
        spelt: dict[str, set[str]] = {}
        for alike, text in zip(each[each != written], written[each != written], strict=True):
            spelt.setdefault(alike, set()).add(text)
        for alike, others in spelt.items():
            ways = sorted({*others, *written[each == alike]})
            if len(ways) > 1:
                text = (
                    "are taken for one number, written in several ways. Write one alike on all its "
                    "lines, and others so that they differ."
                )
                read = ", ".join(f'"{way}"' for way in ways)
                lines = (each == alike)[different]
                said = Message(name, read, text, "review", code="line.order_in_several_ways")
                self.log.add(lines, said)


_WHOLE_NUMBER = re.compile(r"0*(\d+?)(?:\.0+)?")


def _number_alike(text: str) -> str:
    """Return a whole number as it is written without zeros before it and behind its point.

    Examples
    --------
    >>> [_number_alike(text) for text in ("1", "01", "1.0", "10", "000", "1.5", "a1")]
    ['1', '1', '1', '10', '0', '1.5', 'a1']
    """
    found = _WHOLE_NUMBER.fullmatch(text)
    return found.group(1) if found else text


def _of_a_date(name: str, day: date) -> str:
    """Say what a spreadsheet made a date of, and what would mend it."""
    parts = f"{day.month}/{day.day}"
    if name == "quantity":
        made = f"a date, as a spreadsheet makes of {parts} or {day.day}-{day.month}"
        return f"{made}. Write how many, as a whole number."
    if name == "mesh_count":
        made = f"a date, as a spreadsheet makes of {day.month}x{day.day} or {parts}"
        return f'{made}. Write the count as text, such as "{day.day} / in".'
    return (
        f"a date, as a spreadsheet makes of a fraction such as {parts}. "
        f'Write the size as text with its unit, such as "{parts} in".'
    )


def code_message(code: Callable[[str], int | Message], text: str) -> Message:
    """Return the refusal that `code` gives for `text`."""
    answer = code(text)
    if not isinstance(answer, Message):
        raise TypeError(f"{text!r} was expected to be refused, but is code {answer}")
    return answer
