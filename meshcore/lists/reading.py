"""Enquiry lists in: csv, xlsx and parquet, every cell kept as it was typed."""

from __future__ import annotations

import codecs
import csv
import io
import itertools
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from meshcore.reading.headings import recognise_headings

if TYPE_CHECKING:
    import pandas as pd
    from openpyxl.worksheet.worksheet import Worksheet

#: Suffixes that can be read.
READABLE = (".csv", ".xlsx", ".parquet")
#: A list may open with a title or an address; the headings are looked for in this many rows.
HEADING_ROWS = 20
_DELIMITERS = ",;\t|"


class ListError(ValueError):
    """A list that cannot be read or written; the message says what to do."""


def read_list(source: str | Path | BinaryIO, suffix: str = "") -> pd.DataFrame:
    """Read an enquiry list.

    Parameters
    ----------
    source
        A path, or an open binary file.
    suffix
        Format of an open file (``".csv"``, ``".xlsx"``, ``".parquet"``); a path tells by itself.

    Returns
    -------
    The list, one enquiry a row, cells as typed; blank rows are left out.

    Raises
    ------
    ListError
        If the file cannot be opened or understood, or none of its headings is known.
    """
    name = str(source) if isinstance(source, str | Path) else f"the {suffix} list"
    kind = (suffix or Path(str(source)).suffix).casefold()
    if kind not in READABLE:
        raise ListError(f"{name}: cannot read {kind or 'a file without suffix'}; "
                        f"give one of {', '.join(READABLE)}.")  # fmt: skip
    try:
        content = Path(source).read_bytes() if isinstance(source, str | Path) else source.read()
    except OSError as error:
        raise ListError(f"{name}: cannot be opened ({error.strerror}).") from error
    if not content.strip():
        raise ListError(f"{name}: is empty. Give a list with headings, or start from a template.")
    table = {".csv": _read_csv, ".xlsx": _read_xlsx, ".parquet": _read_parquet}[kind](content, name)
    if not recognise_headings([str(c) for c in table.columns]).column:
        raise ListError(
            f"{name}: none of its headings is known ({', '.join(map(str, table.columns[:6]))} …). "
            "Name at least mesh_count or aperture, wire_diameter, alloy, form, quantity; "
            '"python -m meshcore template list.xlsx" writes a list to fill in.'
        )
    return table


def _read_csv(content: bytes, name: str) -> pd.DataFrame:
    text = _decoded(content)
    best = max(_DELIMITERS, key=lambda delimiter: _headings_then_width(text, delimiter))
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=best))
    except csv.Error as error:
        raise ListError(f"{name}: not a table of comma-separated values ({error}).") from error
    return _from_rows([list(row) for row in rows])


def _decoded(content: bytes) -> str:
    """Text of a file: UTF-16 where it says so, else UTF-8, else the usual Western code page."""
    utf_16 = content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        return content.decode("utf-16" if utf_16 else "utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _headings_then_width(text: str, delimiter: str) -> tuple[int, int]:
    """How many headings the best of the first rows knows, then how many cells it has."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        first = [list[object](row) for row in itertools.islice(reader, HEADING_ROWS)]
    except csv.Error:
        return (0, 0)
    return max(((_known(row), len(row)) for row in first), default=(0, 0))


def _read_xlsx(content: bytes, name: str) -> pd.DataFrame:
    import zipfile  # noqa: PLC0415 - only for workbooks
    import zlib  # noqa: PLC0415
    from xml.etree.ElementTree import ParseError  # noqa: PLC0415

    import openpyxl  # noqa: PLC0415 - heavy: loaded when a workbook is first read
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415

    try:
        book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        sheets = [_sheet_rows(sheet) for sheet in book.worksheets if hasattr(sheet, "iter_rows")]
    except (zipfile.BadZipFile, InvalidFileException, OSError) as error:
        raise ListError(f"{name}: not an xlsx workbook. Save it as .xlsx or .csv.") from error
    except (ParseError, zlib.error, LookupError, TypeError, ValueError, AttributeError) as error:
        # openpyxl lets whatever a damaged part leads to through.
        raise ListError(
            f"{name}: not an xlsx workbook that can be read ({error}). Open it, save it again as "
            ".xlsx or .csv, and read that."
        ) from error
    best = max(
        sheets, key=lambda rows: max(map(_known, rows[:HEADING_ROWS]), default=0), default=[]
    )
    if not any(_heading(cell) for row in best for cell in row):
        raise ListError(f"{name}: is empty. Give a list with headings, or start from a template.")
    return _from_rows(best)


def _sheet_rows(sheet: Worksheet) -> list[list[object]]:
    return [list(row) for row in sheet.iter_rows(values_only=True)]


def _read_parquet(content: bytes, name: str) -> pd.DataFrame:
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a list is first read
    import pyarrow as pa  # noqa: PLC0415 - heavy: loaded when a parquet file is first read

    try:
        return pd.read_parquet(io.BytesIO(content))
    except (pa.ArrowInvalid, OSError) as error:
        raise ListError(f"{name}: not a parquet file ({error}).") from error


def _known(row: list[object]) -> int:
    """How many cells of a row are known headings."""
    return len(recognise_headings([_heading(c) for c in row if _heading(c)]).column)


def _heading(cell: object) -> str:
    return "" if cell is None else str(cell).strip()


def _from_rows(rows: list[list[object]]) -> pd.DataFrame:
    """Table from rows of cells: the row that knows most headings is the heading row.

    Nothing is dropped: a cell beyond the headings gets a heading of its own.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a list is first read

    places = range(min(len(rows), HEADING_ROWS))
    start = max(places, key=lambda n: (_known(rows[n]), -n), default=0)
    if not rows:
        return pd.DataFrame()
    width = max((len(r) for r in rows[start:]), default=0)
    body = [r for r in rows[start + 1 :] if any(_heading(c) for c in r)]
    padded = [["" if c is None else c for c in [*r, *[None] * (width - len(r))]] for r in body]
    names = [_heading(c) for c in [*rows[start], *[None] * (width - len(rows[start]))]]
    used = [n for n in range(width) if names[n] or any(_heading(r[n]) for r in padded)]
    headings: list[str] = []
    for n in used:
        name = names[n] or f"column {n + 1}"
        headings.append(name if name not in headings else f"{name} ({n + 1})")
    return pd.DataFrame([[r[n] for n in used] for r in padded], columns=headings, dtype=object)
