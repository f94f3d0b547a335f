"""Price books in files: TOML and xlsx, read and written."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from meshcore.costing.book.cells import Row
from meshcore.costing.book.checking import (
    EXCHANGE_COLUMNS,
    RATE_COLUMNS,
    SETTING_NAMES,
    build_book,
)
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.messages import Message

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.worksheet.worksheet import Worksheet

_SHEETS = {"Book": SETTING_NAMES, "Exchange": EXCHANGE_COLUMNS, "Rates": RATE_COLUMNS}


def read_price_book(path: str | Path) -> PriceBook:
    """Read a price book from ``.toml`` or ``.xlsx``.

    Raises
    ------
    PriceBookError
        If the file cannot be read, or any cell cannot stand; carries a message for each, which
        names the key or the cell.

    Examples
    --------
    >>> read_price_book("no such book.toml")
    Traceback (most recent call last):
    ...
    meshcore.costing.book.price_book.PriceBookError: price book no such book.toml: file: read "no \
such book.toml" — there is no such file. Check the path.
    """
    file = Path(path)
    readers = {".toml": _read_toml, ".xlsx": _read_xlsx}
    reader = readers.get(file.suffix.lower())
    if reader is None:
        raise _unreadable(file, "a price book is .toml or .xlsx. Save it as one of these.")
    if not file.is_file():
        raise _unreadable(file, "there is no such file. Check the path.")
    return build_book(file.name, *reader(file))


def _unreadable(file: Path, text: str) -> PriceBookError:
    return PriceBookError(
        file.name, [Message("file", str(file), text, code="book.file_unreadable")]
    )


def from_toml(text: str, source: str) -> PriceBook:
    """Read a price book from TOML text; `source` is what errors name.

    Raises
    ------
    PriceBookError
        As for `read_price_book`.
    """
    return build_book(source, *_toml_rows(text, Path(source)))


def _read_toml(file: Path) -> tuple[Row, list[Row], list[Row]]:
    try:
        text = file.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise _unreadable(file, f"not TOML: {error}.") from error
    except OSError as error:
        raise _unreadable(file, f"cannot be opened: {error.strerror}.") from error
    return _toml_rows(text, file)


def _toml_rows(text: str, file: Path) -> tuple[Row, list[Row], list[Row]]:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise _unreadable(file, f"not TOML: {error}.") from error
    if unknown := sorted(data.keys() - {"book", "exchange", "rates"}):
        raise _unreadable(file, f"{', '.join(unknown)}: only book, exchange and rates are known.")
    settings = data.get("book", {})
    exchange = _tables(file, data, "exchange")
    groups = _tables(file, data, "rates")
    if not isinstance(settings, dict):
        raise _unreadable(file, "book is to be a table, [book].")
    return (
        Row(settings, lambda column: f"book.{column}"),
        [_toml_row(row, f"exchange[{i}]") for i, row in enumerate(exchange, 1)],
        [row for i, group in enumerate(groups, 1) for row in _expand(file, group, f"rates[{i}]")],
    )


def _tables(file: Path, data: Mapping[str, Any], name: str) -> list[dict[str, Any]]:
    tables = data.get(name, [])
    if not isinstance(tables, list) or not all(isinstance(t, dict) for t in tables):
        raise _unreadable(file, f"{name} is to be a list of tables, [[{name}]].")
    return tables


def _toml_row(cells: Mapping[str, Any], place: str) -> Row:
    return Row(cells, lambda column: f"{place}.{column}")


def _expand(file: Path, group: Mapping[str, Any], place: str) -> Iterable[Row]:
    """Rows of one group; what stands beside ``amounts`` holds for each of them."""
    if "amounts" not in group:
        yield _toml_row(group, f"{place} {group.get('key', '')}".rstrip())
        return
    shared = {name: cell for name, cell in group.items() if name != "amounts"}
    named = f"{place} {group.get('key', '')}".rstrip()
    for number, cells in enumerate(_tables(file, group, "amounts"), 1):
        yield _toml_row(shared | cells, f"{named}, amounts[{number}]")


def _read_xlsx(file: Path) -> tuple[Row, list[Row], list[Row]]:
    import zlib  # noqa: PLC0415 - only for xlsx
    from xml.etree.ElementTree import ParseError  # noqa: PLC0415
    from zipfile import BadZipFile  # noqa: PLC0415

    from openpyxl import load_workbook  # noqa: PLC0415 - heavy
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - heavy

    try:
        workbook = load_workbook(file, data_only=True)
    except (BadZipFile, InvalidFileException, OSError, ParseError, zlib.error) as error:
        raise _unreadable(file, f"not a workbook that can be opened: {error}.") from error
    except (LookupError, TypeError, ValueError, AttributeError) as error:
        # openpyxl lets whatever a damaged part leads to through.
        raise _unreadable(file, f"a workbook with a damaged part: {error}.") from error
    sheets = {sheet.title for sheet in workbook.worksheets}
    missing = [name for name in _SHEETS if name not in sheets]
    if missing:
        raise _unreadable(file, f"sheet {', '.join(missing)} is missing. Write a book to see all.")
    return (
        _settings_row(workbook["Book"]),
        list(_sheet_rows(workbook["Exchange"])),
        list(_sheet_rows(workbook["Rates"])),
    )


def _settings_row(sheet: Worksheet) -> Row:
    cells: dict[str, Any] = {}
    places: dict[str, str] = {}
    for number, (name, value, *_) in enumerate(sheet.iter_rows(max_col=2, values_only=True), 1):
        if name is not None and str(name) != "setting":
            places[str(name).strip()] = f"Book!B{number}"
            if value is not None:
                cells[str(name).strip()] = value
    return Row(cells, lambda column: places.get(column, f"Book, setting {column}"))


def _sheet_rows(sheet: Worksheet) -> Iterable[Row]:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415 - heavy

    rows = sheet.iter_rows(values_only=True)
    headings = [str(h).strip() if h is not None else "" for h in next(rows, ())]
    letters = {h: get_column_letter(i) for i, h in enumerate(headings, 1) if h}
    title = sheet.title
    for number, values in enumerate(rows, 2):
        pairs = zip(headings, values, strict=False)
        cells = {name: value for name, value in pairs if name and value is not None}
        if cells:
            yield Row(cells, _cell_namer(title, letters, number))


def _cell_namer(title: str, letters: Mapping[str, str], number: int) -> Callable[[str], str]:
    return lambda column: f"{title}!{letters.get(column, '')}{number}"


def write_price_book(book: PriceBook, path: str | Path) -> None:
    """Write a price book as ``.toml`` or ``.xlsx``; it reads back equal.

    Raises
    ------
    PriceBookError
        If the suffix is neither, or the file cannot be written.
    """
    file = Path(path)
    if file.suffix.lower() not in (".toml", ".xlsx"):
        raise _unreadable(file, "a price book is .toml or .xlsx. Name it so.")
    try:
        if file.suffix.lower() == ".toml":
            file.write_text(to_toml(book), encoding="utf-8")
        else:
            _to_workbook(book, file).save(file)
    except OSError as error:
        raise _unreadable(file, f"cannot be written: {error.strerror}.") from error


def book_cells(book: PriceBook) -> dict[str, list[dict[str, Any]]]:
    """Cells of a book by table: ``book`` (one row), ``exchange`` and ``rates``; blanks left out."""

    def cells(record: object, columns: Iterable[str]) -> dict[str, Any]:
        cells = {name: getattr(record, name) for name in columns}
        return {name: cell for name, cell in cells.items() if cell not in ("", ())}

    return {
        "book": [cells(book, SETTING_NAMES)],
        "exchange": [cells(entry, EXCHANGE_COLUMNS) for entry in book.exchange],
        "rates": [cells(rate, RATE_COLUMNS) for rate in book.rates],
    }


def to_toml(book: PriceBook) -> str:
    """Return a book as TOML text, one table a rate."""
    parts: list[str] = []
    for table, rows in book_cells(book).items():
        heading = f"[{table}]" if table == "book" else f"[[{table}]]"
        for row in rows:
            parts += [heading, *(f"{name} = {_toml_value(v)}" for name, v in row.items()), ""]
    return "\n".join(parts)


def _toml_value(value: object) -> str:
    if isinstance(value, str):
        return '"' + "".join(_TOML_ESCAPES.get(c, c) for c in value) + '"'
    if isinstance(value, tuple):
        return "[" + ", ".join(_toml_value(item) for item in value) + "]"
    return repr(value) if isinstance(value, int | float) else str(value)


#: Characters that a basic TOML string must escape (TOML 1.0, "String").
_TOML_ESCAPES: dict[str, str] = {chr(n): f"\\u{n:04x}" for n in (*range(32), 127)} | {
    '"': '\\"',
    "\\": "\\\\",
}


def _to_workbook(book: PriceBook, file: Path) -> Workbook:
    from openpyxl import Workbook  # noqa: PLC0415 - heavy
    from openpyxl.utils.exceptions import IllegalCharacterError  # noqa: PLC0415 - heavy

    try:
        return _filled(Workbook(), book)
    except IllegalCharacterError as error:
        raise _unreadable(
            file, f"a text has a character that no workbook can hold: {error}"
        ) from error


def _filled(workbook: Workbook, book: PriceBook) -> Workbook:
    cells = book_cells(book)
    workbook.remove(workbook.worksheets[0])
    settings = workbook.create_sheet("Book")
    _append(settings, ["setting", "value"])
    for name, value in cells["book"][0].items():
        _append(settings, [name, ", ".join(value) if isinstance(value, tuple) else value])
    for title, columns in (("Exchange", EXCHANGE_COLUMNS), ("Rates", RATE_COLUMNS)):
        sheet = workbook.create_sheet(title)
        _append(sheet, columns)
        for row in cells[title.lower()]:
            _append(sheet, [row.get(column) for column in columns])
        sheet.freeze_panes = "A2"
    return workbook


def _append(sheet: Worksheet, cells: Iterable[Any]) -> None:
    """Append a row in which text stays text, whatever it begins with."""
    sheet.append(list(cells))
    for cell in sheet[sheet.max_row]:
        if cell.data_type == "f":
            cell.data_type = "s"
