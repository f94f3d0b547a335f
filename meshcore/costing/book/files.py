"""Price books in files: TOML and xlsx, read and written."""

from __future__ import annotations

import io
import tomllib
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from meshcore.costing.book.cells import Row
from meshcore.costing.book.checking import (
    EXCHANGE_COLUMNS,
    RATE_COLUMNS,
    SETTING_NAMES,
    build_book,
)
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.workbooks import read_xlsx, to_workbook, unreadable
from meshcore.limits import parse_toml
from meshcore.whole_files import save


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
    readers = {".toml": _read_toml, ".xlsx": read_xlsx}
    reader = readers.get(file.suffix.lower())
    if reader is None:
        raise unreadable(file, "a price book is .toml or .xlsx. Save it as one of these.")
    if not file.is_file():
        raise unreadable(file, "there is no such file. Check the path.")
    return build_book(file.name, *reader(file))


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
        raise unreadable(file, f"not TOML: {error}.") from error
    except OSError as error:
        raise unreadable(file, f"cannot be opened: {error.strerror}.") from error
    return _toml_rows(text, file)


def _toml_rows(text: str, file: Path) -> tuple[Row, list[Row], list[Row]]:
    try:
        data = parse_toml(text)
    except tomllib.TOMLDecodeError as error:
        raise unreadable(file, f"not TOML: {error}.") from error
    if unknown := sorted(data.keys() - {"book", "exchange", "rates"}):
        raise unreadable(file, f"{', '.join(unknown)}: only book, exchange and rates are known.")
    settings = data.get("book", {})
    exchange = _tables(file, data, "exchange")
    groups = _tables(file, data, "rates")
    if not isinstance(settings, dict):
        raise unreadable(file, "book is to be a table, [book].")
    return (
        Row(settings, lambda column: f"book.{column}"),
        [_toml_row(row, f"exchange[{i}]") for i, row in enumerate(exchange, 1)],
        [row for i, group in enumerate(groups, 1) for row in _expand(file, group, f"rates[{i}]")],
    )


def _tables(file: Path, data: Mapping[str, Any], name: str) -> list[dict[str, Any]]:
    tables = data.get(name, [])
    if not isinstance(tables, list) or not all(isinstance(t, dict) for t in tables):
        raise unreadable(file, f"{name} is to be a list of tables, [[{name}]].")
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


def write_price_book(book: PriceBook, path: str | Path) -> None:
    """Write a price book as ``.toml`` or ``.xlsx``; it reads back equal.

    Raises
    ------
    PriceBookError
        If the suffix is neither, or the file cannot be written.
    """
    file = Path(path)
    if file.suffix.lower() not in (".toml", ".xlsx"):
        raise unreadable(file, "a price book is .toml or .xlsx. Name it so.")
    content = written_book(book, file.suffix)
    try:
        save(file, content)
    except OSError as error:
        raise unreadable(file, f"cannot be written: {error.strerror}.") from error


def written_book(book: PriceBook, suffix: str) -> bytes:
    """Return a price book as the content of a file of a suffix, ``.toml`` or ``.xlsx``.

    Raises
    ------
    PriceBookError
        If a text has a character that no workbook can hold.
    """
    if suffix.lower() == ".toml":
        return to_toml(book).encode()
    kept = io.BytesIO()
    texts = [remark.text for remark in book.remarks]
    to_workbook(book_cells(book), Path(f"{book.name}{suffix}"), texts).save(kept)
    return kept.getvalue()


def book_cells(book: PriceBook) -> dict[str, list[dict[str, Any]]]:
    """Cells of a book by table: ``book`` (one row), ``exchange`` and ``rates``; blanks left out."""

    def cells(record: object, columns: Iterable[str]) -> dict[str, Any]:
        cells = {name: getattr(record, name) for name in columns}
        return {name: cell for name, cell in cells.items() if cell not in ("", (), None)}

    return {
        "book": [cells(book, SETTING_NAMES)],
        "exchange": [cells(entry, EXCHANGE_COLUMNS) for entry in book.exchange],
        "rates": [cells(rate, RATE_COLUMNS) for rate in book.rates],
    }


def to_toml(book: PriceBook) -> str:
    """Return a book as TOML text, one table a rate; remarks stand as comments at its end."""
    parts: list[str] = []
    for table, rows in book_cells(book).items():
        heading = f"[{table}]" if table == "book" else f"[[{table}]]"
        for row in rows:
            parts += [heading, *(f"{name} = {_toml_value(v)}" for name, v in row.items()), ""]
    parts += [f"# {row}" for remark in book.remarks for row in remark.text.splitlines()]
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
