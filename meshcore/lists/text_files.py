"""Lists in text files: encoding, separator, and columns held apart by spaces."""

from __future__ import annotations

import codecs
import csv
import io
import itertools
import re
from collections import Counter
from typing import Literal

from meshcore.lists.grids import Grid, ListError, Row, says_something, within
from meshcore.reading.tables.headings import heading_meaning

#: A list may open with a title or an address; the headings are looked for in this many rows.
HEADING_ROWS = 20
_DELIMITERS = ",;\t|"
_DELIMITER_NAMES = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "bars"}
_GAP = re.compile(r"\S+(?: \S+)*")
#: Letters and signs of the lists' languages; the code page that shows most of them is meant.
_EXPECTED = frozenset("äöüßÄÖÜéèêëàâçñáíóúîïôœùûÉÈÀÑµØø°º½¼¾±×²³´“”–§£€")
#: Code pages of one byte a letter, the usual one first: it is taken where they say the same.
_CODE_PAGES = ("cp1252", "cp850", "mac_roman")
_RULED = re.compile(r"[\s\-=_*+|~·.]+")


def read_text_file(content: bytes, name: str) -> Grid:
    """Read a text file of rows; the separator is the one that finds most headings.

    Raises
    ------
    ListError
        If the file is no text, or no table of separated values.
    """
    text, encoding = decoded(content)
    if "\0" in text:
        raise ListError(f"{name}: is no text file. Save it as .csv or .xlsx, and read that.")
    _check_size(text, name)
    best = parting(text)
    text, declared = _without_declaration(text)
    offset = 1 if declared else 0
    if not best:
        spaced = _spaced_rows(text)
        return Grid("", _numbered(spaced, offset), about=(encoding, "columns held apart by spaces"))
    try:
        rows = _separated_rows(text, best)
    except csv.Error as error:
        raise ListError(f"{name}: not a table of comma-separated values ({error}).") from error
    about: tuple[str, ...] = (encoding, f"cells parted by {_DELIMITER_NAMES[best]}")
    if any("\n" in str(cell) for _, row in rows for cell in row):
        about = (*about, "a cell of several lines counted as one row")
    return Grid("", _numbered(rows, offset), about=about)


def parting(text: str) -> str:
    r"""Return what parts the cells of a text; empty where spaces hold its columns apart.

    Examples
    --------
    >>> parting("mesh count;alloy;quantity\n10 / in;304;3\n")
    ';'
    """
    text, declared = _without_declaration(text)
    best = max(declared or _DELIMITERS, key=lambda sign: _headings_then_width(text, sign))
    begins = "\n".join(text.split("\n", _LOOKED_AT)[:_LOOKED_AT])
    spaced = not declared and _headings(_spaced_rows(begins)) > _headings_then_width(text, best)[0]
    return "" if spaced else best


#: Lines of the beginning in which columns held apart by spaces are looked for; some are ruled.
_LOOKED_AT = 3 * HEADING_ROWS


def _check_size(text: str, name: str) -> None:
    """Refuse a text of more rows, cells or longer lines than a list has."""
    lines = max(text.count("\n"), text.count("\r"))
    cells = max(text.count(delimiter) for delimiter in _DELIMITERS)
    within("rows", lines, name)
    within("cells", cells + lines, name)
    within("line_length", max(map(len, re.split(r"[\r\n]", text))), name)


def decoded(content: bytes) -> tuple[str, str]:
    """Text of a file and the name of its encoding.

    A byte-order mark says it; else zero bytes tell UTF-16; else it is UTF-8 where it can be, and
    the code page of one byte a letter that shows most letters of the lists' languages.

    Examples
    --------
    >>> decoded("Größe 25 µm".encode("cp850"))
    ('Größe 25 µm', 'cp850')
    """
    for mark, encoding in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_LE, "utf-16"),
        (codecs.BOM_UTF16_BE, "utf-16"),
    ):
        if content.startswith(mark):
            return content.decode(encoding, "replace"), encoding.removesuffix("-sig")
    head = content[:4096]
    if head.count(0) > len(head) // 4:
        even = head[::2].count(0)
        encoding = "utf-16-be" if even > len(head) // 4 else "utf-16-le"
        return content.decode(encoding, "replace"), encoding
    try:
        return content.decode("utf-8"), "utf-8"
    except UnicodeDecodeError:
        pages = {page: content.decode(page, "replace") for page in _CODE_PAGES}
        best = max(
            pages, key=lambda page: sum(_worth(c) * n for c, n in Counter(pages[page]).items())
        )
        return pages[best], best


def _worth(letter: str) -> int:
    return 0 if letter < "\x80" else 1 if letter in _EXPECTED else -1


def _without_declaration(text: str) -> tuple[str, str]:
    """Text without a first line ``sep=;``, and the separator that it names."""
    first, _, rest = text.partition("\n")
    declared = re.fullmatch(r'"?sep=(.)"?', first.strip("\r\ufeff"))
    if declared and declared[1] in _DELIMITER_NAMES:
        return rest, declared[1]
    return text, ""


def _separated_rows(text: str, delimiter: str) -> list[Row]:
    """Rows of a table, numbered as a spreadsheet numbers them.

    A lone inch or ditto mark that opens a cell is no quotation mark: where quoting would swallow
    line ends that plain parting does not miss, cells are parted plainly.
    """
    quoted = _parsed(text, delimiter, csv.QUOTE_MINIMAL)
    if '"' not in text or not any("\n" in c for _, r in quoted for c in map(str, r)):
        return quoted
    plain = _parsed(text, delimiter, csv.QUOTE_NONE)
    widths = [len(row) for _, row in plain if says_something(row)]
    usual = max(set(widths), key=widths.count, default=0)
    even = all(width == usual for width in widths[1:]) and usual > 1
    return plain if even else quoted


def _parsed(text: str, delimiter: str, quoting: Literal[0, 3]) -> list[Row]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, quoting=quoting)
    return list(enumerate(reader, start=1))


def _numbered(rows: list[Row], offset: int) -> tuple[Row, ...]:
    return tuple((n + offset, row) for n, row in rows if says_something(row))


def _headings_then_width(text: str, delimiter: str) -> tuple[int, int]:
    """How many headings the best of the first rows knows, then how many cells it has."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        first = list(itertools.islice(reader, HEADING_ROWS))
    except csv.Error:
        return (0, 0)
    return max(((_known(row), len(row)) for row in first), default=(0, 0))


def _known(row: list[str]) -> int:
    return len({heading_meaning(cell)[0] for cell in row if cell.strip()} - {""})


def _headings(rows: list[Row]) -> int:
    return max((_known([str(c) for c in row]) for _, row in rows[:HEADING_ROWS]), default=0)


def _spaced_rows(text: str) -> list[Row]:
    """Rows of a table whose columns are held apart by two spaces or more.

    The headings say where the columns stand; a cell belongs to the one that it overlaps, or else
    to the nearest.
    """
    lines = text.expandtabs().splitlines()
    parted = [[(m.start(), m.end(), m[0]) for m in _GAP.finditer(line)] for line in lines]
    heads = [[cell for _, _, cell in cells] for cells in parted[:HEADING_ROWS]]
    best = max(range(len(heads)), key=lambda n: (_known(heads[n]), -n), default=0)
    if not heads or _known(heads[best]) < 2:  # noqa: PLR2004 - one word alone is no table
        return []
    spans = [(start, end) for start, end, _ in parted[best]]
    rows: list[Row] = []
    for number, cells in enumerate(parted, start=1):
        if _RULED.fullmatch(lines[number - 1] or " "):
            continue
        row = [""] * len(spans)
        for start, end, cell in cells:
            place = max(range(len(spans)), key=lambda n: _overlap(spans[n], (start, end)))
            row[place] = f"{row[place]} {cell}".strip()
        rows.append((number, row))
    return rows


def _overlap(column: tuple[int, int], cell: tuple[int, int]) -> int:
    """Characters that two spans share; below zero, how far they are apart."""
    return min(column[1], cell[1]) - max(column[0], cell[0])
