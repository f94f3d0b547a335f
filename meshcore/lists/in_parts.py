"""Files of any length, read part by part: each part has whole orders, in the rows of the file."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, TextIO

from meshcore.limits import most
from meshcore.lists.grids import ListError
from meshcore.lists.mapping import ListMapping
from meshcore.lists.table import Column, SetAside, Table
from meshcore.reading.tables.cells import order_name
from meshcore.reading.tables.field_names import ORDER

if TYPE_CHECKING:
    import pyarrow as pa

    from meshcore.lists.enquiry_table import EnquiryTable

#: Suffixes that are read in parts.
PARTED = (".csv", ".txt", ".tsv", ".parquet")
#: Bytes of the beginning that tell the encoding, the headings and what stands above them.
_BEGINNING = 2**18


@dataclass(frozen=True, slots=True)
class TextPart:
    """Rows of a text file: its beginning down to the headings, and the rows of this part.

    Parameters
    ----------
    head, body
        As they stand in the file.
    headings, before, orders
        Row of the last headings; rows of the file between the two, and orders that begin there.
    """

    headings: int
    head: str
    body: str
    before: int
    orders: int
    name: str
    mapping: ListMapping

    def read(self) -> EnquiryTable:
        """Return its lines, as `read_list` returns those of a file."""
        from meshcore.lists.reading import read_list  # noqa: PLC0415 - it reads the beginning too

        content = io.BytesIO((self.head + self.body).encode("utf-8"))
        table = read_list(content, ".csv", mapping=self.mapping)
        table.index = table.index + self.before
        return table

    def in_file(self, one: SetAside) -> SetAside:
        """Return a row that is no line by its place in the file."""
        return one if one.row <= self.headings else replace(one, row=one.row + self.before)


@dataclass(frozen=True, slots=True)
class ParquetPart:
    """Rows of a parquet file, and how many rows and orders of the file come before them."""

    rows: pa.Table
    before: int
    orders: int
    name: str
    mapping: ListMapping

    def read(self) -> EnquiryTable:
        """Return its lines, as `read_list` returns those of a file."""
        from meshcore.lists.parquet import as_list  # noqa: PLC0415 - heavy

        table = as_list(self.rows.to_pandas(), self.name, self.mapping)
        table.index = table.index + self.before
        return table

    def in_file(self, one: SetAside) -> SetAside:
        """Return a row that is no line by its place in the file; here every row is a line."""
        return one


Part = TextPart | ParquetPart


@dataclass(slots=True)
class _Orders:
    """Orders as they come: one that has ended must not come again."""

    name: str
    current: str | None = None
    ended: set[str] = field(default_factory=set)

    def begins(self, text: object, row: int) -> bool:
        """Whether a row is the first of another order."""
        order = "" if text is None else order_name(str(text))
        if order == self.current:
            return False
        if order in self.ended:
            raise ListError(
                f"{self.name}: row {row} is of order {text!s}, whose other lines stand further up. "
                "A list that is priced in parts has the lines of an order one after another: sort "
                "it by the column of orders."
            )
        if self.current is not None:
            self.ended.add(self.current)
        self.current = order
        return True


def has_many_rows(path: Path) -> bool:
    """Whether a file has more rows than are read at once."""
    kind = path.suffix.casefold()
    if kind == ".parquet":
        held = _parquet(path).metadata
        return bool(held.num_rows * held.num_columns > most("parquet_cells"))
    if kind not in PARTED:
        return False
    rows = 0
    try:
        with path.open("rb") as file:
            while piece := file.read(2**20):
                rows += piece.count(b"\n")
    except OSError as error:
        raise ListError(f"{path}: cannot be opened ({error.strerror}).") from error
    return rows > most("rows")


def parts(path: Path, rows: int, mapping: ListMapping | None = None) -> Iterator[Part]:
    """Cut a file into parts of whole orders.

    Parameters
    ----------
    path
        A list in one of the formats ``PARTED``.
    rows
        A part ends with the order that comes to so many rows.
    mapping
        What its headings stand for, where that is settled.

    Yields
    ------
    The parts, in the order of the file.

    Raises
    ------
    ListError
        If the file cannot be read in parts, has no column of orders, or an order comes again
        after another.
    """
    kind = path.suffix.casefold()
    if kind not in PARTED:
        raise ListError(f"{path}: a list is priced in parts from one of {', '.join(PARTED)}; "
                        "save it so.")  # fmt: skip
    yield from (_parquet_parts if kind == ".parquet" else _text_parts)(path, rows, mapping)


def _order_column(columns: tuple[Column, ...], path: Path) -> Column:
    for column in columns:
        if column.field == ORDER:
            return column
    raise ListError(
        f'{path}: has no column "{ORDER}", so that it is one order, whose lines share what it '
        f'bears. Give each line its order in a column "{ORDER}" to have it priced in parts.'
    )


def _text_parts(path: Path, rows: int, mapping: ListMapping | None) -> Iterator[TextPart]:
    from meshcore.lists.text_files import parting  # noqa: PLC0415 - only for text

    try:
        with path.open("rb") as raw:
            beginning, encoding = _beginning(raw)
        table, settled = _head(beginning, path, mapping)
        delimiter = parting(beginning.decode(encoding, "replace"))
        if not delimiter:
            raise ListError(f"{path}: spaces hold its columns apart; save it as .csv.")
        place = _order_column(table.columns, path).place
        with path.open(encoding=encoding, errors="replace", newline="") as file:
            said = _Said(file)
            reader = csv.reader(said, delimiter=delimiter)
            cut = _Cut(max(table.heading_rows), place, rows, delimiter, str(path), settled)
            yield from _cut(reader, said, cut)
    except csv.Error as error:
        raise ListError(f"{path}: not a table of separated values ({error}).") from error
    except OSError as error:
        raise ListError(f"{path}: cannot be opened ({error.strerror}).") from error


def _beginning(raw: BinaryIO) -> tuple[bytes, str]:
    """Return whole lines of the beginning, and the encoding of all of the file."""
    from meshcore.lists.text_files import decoded  # noqa: PLC0415 - only for text

    piece = raw.read(_BEGINNING)
    beginning = piece[: piece.rfind(b"\n") + 1] or piece
    encoding = decoded(beginning)[1]
    if encoding == "utf-8":
        check = codecs.getincrementaldecoder("utf-8")()
        while piece:
            try:
                check.decode(piece)
            except UnicodeDecodeError:
                return beginning, decoded(piece)[1]
            piece = raw.read(_BEGINNING)
    return beginning, encoding


def _head(beginning: bytes, path: Path, mapping: ListMapping | None) -> tuple[Table, ListMapping]:
    """Return the table that the file begins, and what its headings stand for."""
    from meshcore.lists.reading import read_list  # noqa: PLC0415 - it is what the parts are read by

    report = read_list(io.BytesIO(beginning), ".csv", mapping=mapping).report
    if len(report.tables) != 1 or not report.tables[0].heading_rows:
        raise ListError(f"{path}: a list that is priced in parts is one table with headings.")
    return report.tables[0], report.mapping


class _Said:
    """Lines of a file that are kept as they stand until they are taken."""

    def __init__(self, file: TextIO) -> None:
        self.file, self.lines = file, list[str]()

    def __iter__(self) -> Iterator[str]:
        for line in self.file:
            self.lines.append(line)
            yield line

    def take(self) -> list[str]:
        lines, self.lines = self.lines, []
        return lines


@dataclass(frozen=True, slots=True)
class _Cut:
    """Where to cut: the last row of headings, the place of the orders, rows of a part."""

    headings: int
    order: int
    rows: int
    delimiter: str
    name: str
    mapping: ListMapping

    def part(self, head: str, body: list[str], before: int, orders: int) -> TextPart:
        """Return a part of these lines."""
        text = "".join(body)
        return TextPart(self.headings, head, text, before, orders, self.name, self.mapping)

    def rows_of(self, cells: list[str], lines: list[str], width: int) -> list[list[str]]:
        """Return the rows of some lines: several where an inch mark opened a cell as a quote."""
        if len(lines) > 1:
            plain = list(csv.reader(lines, delimiter=self.delimiter, quoting=csv.QUOTE_NONE))
            if width > 1 and all(len(row) == width for row in plain):
                return plain
        return [cells]


def _cut(reader: Iterator[list[str]], said: _Said, cut: _Cut) -> Iterator[TextPart]:
    orders, head, body = _Orders(cut.name), "", list[str]()
    before = number = width = orders_before = 0
    for cells in reader:
        lines = said.take()
        if number < cut.headings:
            head, number, width = head + "".join(lines), number + 1, len(cells)
            continue
        rows = cut.rows_of(cells, lines, width)
        for row in rows:
            number += 1
            order = row[cut.order] if cut.order < len(row) else ""
            if any(row) and orders.begins(order, number) and len(body) >= cut.rows:
                yield cut.part(head, body, before, orders_before)
                body, before, orders_before = [], number - 1 - cut.headings, len(orders.ended)
            body += lines if len(rows) == 1 else [lines.pop(0)]
    if body:
        yield cut.part(head, body, before, orders_before)


def _parquet_parts(path: Path, rows: int, mapping: ListMapping | None) -> Iterator[ParquetPart]:
    import pyarrow as pa  # noqa: PLC0415 - heavy: loaded when a parquet file is first read

    from meshcore.lists.parquet import as_list  # noqa: PLC0415

    file, name = _parquet(path), str(path)
    first = as_list(file.schema_arrow.empty_table().to_pandas(), name, mapping)
    settled = first.report.mapping
    column = _order_column(first.report.tables[0].columns, path)
    orders, kept = _Orders(name), list[pa.Table]()
    seen = before = orders_before = 0
    for batch in file.iter_batches(batch_size=rows):
        table = pa.Table.from_batches([batch])
        texts = table.column(column.place).to_pylist()
        starts = [n for n, text in enumerate(texts) if orders.begins(text, seen + n + 2)]
        cut = starts[-1] if starts else 0
        if starts and (kept or cut):
            whole = pa.concat_tables([*kept, table.slice(0, cut)])
            yield ParquetPart(whole, before, orders_before, name, settled)
            kept, before, orders_before = [], seen + cut, len(orders.ended)
            table = table.slice(cut)
        kept.append(table)
        seen += len(texts)
    if kept:
        yield ParquetPart(pa.concat_tables(kept), before, orders_before, name, settled)


def _parquet(path: Path):  # type: ignore[no-untyped-def] # noqa: ANN202 - pyarrow has no types
    import pyarrow.parquet as pq  # noqa: PLC0415 - heavy: loaded when a parquet file is first read

    try:
        return pq.ParquetFile(path)
    except Exception as error:
        raise ListError(f"{path}: not a parquet file ({error}).") from error
