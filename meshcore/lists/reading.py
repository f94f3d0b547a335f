"""Enquiry lists in: text files and workbooks, every cell kept as it was typed."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

from meshcore.lists.grids import Grid, ListError, no_heading_known
from meshcore.lists.mapping import ListMapping, as_mapping
from meshcore.lists.own_sheets import reckonings
from meshcore.lists.table import Found, Meaning, SetAside, Table
from meshcore.lists.tables import find_tables
from meshcore.lists.without_headings import descriptions_alone, refuse_turned
from meshcore.reading.tables.headings import heading_meaning

if TYPE_CHECKING:
    from meshcore.lists.enquiry_table import EnquiryTable
    from meshcore.lists.report import LeftSheet

__all__ = ["READABLE", "ListError", "read_grids", "read_list"]

_TEXTS = (".csv", ".txt", ".tsv")
_WHOLE_BOOKS = (".xlsx", ".xlsm")
#: Suffixes that can be read.
READABLE = (*_TEXTS, *_WHOLE_BOOKS, ".xls", ".xlsb", ".ods", ".parquet")


def read_list(
    source: str | Path | BinaryIO,
    suffix: str = "",
    mapping: ListMapping | Mapping[str, object] | str | Path | None = None,
) -> EnquiryTable:
    """Read an enquiry list.

    Parameters
    ----------
    source
        A path, or an open binary file.
    suffix
        Format of an open file (``".csv"``, ``".xlsx"``, …); a path tells by itself.
    mapping
        What the headings stand for, where it is settled: a mapping, its data, the file that it
        was saved in, or heading → ``"wire_diameter [mm]"``. Nothing that it settles is guessed.

    Returns
    -------
    The list, one enquiry a row, cells as typed; a DataFrame whose index holds the rows of the
    file. Its ``report`` says how it was read, and has the mapping that reads it so again.

    Raises
    ------
    ListError
        If the file cannot be opened or understood, or none of its headings is known.
    """
    from meshcore.lists.assembling import assemble, repeat_above  # noqa: PLC0415 - loads pandas
    from meshcore.lists.report import Hidden, ReadingReport, settled_mapping  # noqa: PLC0415

    settled = None if mapping is None else as_mapping(mapping)
    name = str(source) if isinstance(source, str | Path) else f"the {suffix} list"
    content, kind = _content(source, suffix, name)
    if kind == ".parquet":
        from meshcore.lists.parquet import read_parquet  # noqa: PLC0415 - heavy

        return read_parquet(content, name, settled)
    grids = _grids(content, kind, name)
    tables, aside, left, read = _tables(grids, settled, name)
    filled = [repeat_above(table) for table in tables]
    report = ReadingReport(
        source=name,
        about=tuple(dict.fromkeys(text for grid in read for text in grid.about)),
        tables=tuple(Table(t.sheet, t.heading_rows, t.columns) for t in tables),
        line_counts=tuple(len(t.lines) for t in tables),
        set_aside=tuple(aside),
        left_sheets=tuple(left),
        hidden=tuple(
            Hidden(g.name, g.hidden_rows, g.hidden_columns)
            for g in read if g.hidden_rows or g.hidden_columns
        ),
        repeated=sum(count for _, count in filled),
        mapping=settled_mapping(tables),
    )  # fmt: skip
    marks = [mark for grid in read for mark in grid.marks]
    return assemble([table for table, _ in filled], report, marks)


def read_grids(source: str | Path | BinaryIO, suffix: str = "") -> list[Grid]:
    """Return the sheets of a file as they stand, for a table that is no enquiry list.

    Parameters
    ----------
    source, suffix
        As in `read_list`.

    Raises
    ------
    ListError
        If the file cannot be opened or understood.
    """
    name = str(source) if isinstance(source, str | Path) else f"the {suffix} file"
    content, kind = _content(source, suffix, name)
    if kind == ".parquet":
        raise ListError(f"{name}: is no table of cells as typed. Save it as .csv or .xlsx.")
    return _grids(content, kind, name)


def _content(source: str | Path | BinaryIO, suffix: str, name: str) -> tuple[bytes, str]:
    """Bytes of a file, and its format."""
    kind = (suffix or Path(str(source)).suffix).casefold()
    if kind not in READABLE:
        raise ListError(f"{name}: cannot read {kind or 'a file without suffix'}; "
                        f"give one of {', '.join(READABLE)}.")  # fmt: skip
    try:
        content = Path(source).read_bytes() if isinstance(source, str | Path) else source.read()
    except OSError as error:
        raise ListError(f"{name}: cannot be opened ({error.strerror}).") from error
    if not content.strip():
        raise _empty(name)
    return content, kind


def _grids(content: bytes, kind: str, name: str) -> list[Grid]:
    if kind in _TEXTS:
        from meshcore.lists.text_files import read_text_file  # noqa: PLC0415 - only for text

        return [read_text_file(content, name)]
    if kind == ".ods":
        from meshcore.lists.open_document import read_ods  # noqa: PLC0415 - only for these

        return read_ods(content, name)
    if kind in _WHOLE_BOOKS:
        from meshcore.lists.workbooks import read_xlsx  # noqa: PLC0415 - only for workbooks

        return read_xlsx(content, name)
    from meshcore.lists.binary_workbooks import read_xls, read_xlsb  # noqa: PLC0415 - only for these

    return (read_xls if kind == ".xls" else read_xlsb)(content, name)


def _tables(
    grids: list[Grid], mapping: ListMapping | None, name: str
) -> tuple[list[Table], list[SetAside], list[LeftSheet], list[Grid]]:
    """Tables of the sheets that hold a list; what was set aside, and what was left."""
    from meshcore.lists.report import LeftSheet  # noqa: PLC0415

    meaning: Meaning = heading_meaning if mapping is None else mapping.meaning
    headless = mapping is not None and mapping.headless
    wanted = mapping.sheets if mapping else ()
    left = [LeftSheet(g.name, "hidden sheet") for g in grids if g.hidden and g.name not in wanted]
    seen = [g for g in grids if not g.hidden or g.name in wanted]
    ours = reckonings(g.name for g in grids) - set(wanted)
    left += [LeftSheet(g.name, "reckoning of prices") for g in seen if g.name in ours]
    seen = [g for g in seen if g.name not in ours]
    left += [LeftSheet(g.name, "sheet") for g in seen if wanted and g.name not in wanted]
    seen = [g for g in seen if not wanted or g.name in wanted or not g.name]
    if not any(g.rows for g in seen):
        raise _empty(name, left)
    found = [(grid, find_tables(grid, meaning, headless)) for grid in seen]
    kept = _kept(found)
    if not any(table.is_certain for table in kept) and mapping is None:
        refuse_turned(seen, meaning, name)
        kept = kept or descriptions_alone(seen)
    if not kept:
        raise _unknown(seen, name, left)
    sheets = {table.sheet for table in kept}
    aside = [one for grid, f in found if grid.name in sheets for one in f.aside]
    for grid, _ in found:
        if grid.name not in sheets and grid.rows:
            texts = tuple(" · ".join(str(c) for c in cells if c) for _, cells in grid.rows)
            left.append(LeftSheet(grid.name, "sheet", texts))
    return kept, aside, left, [g for g in seen if g.name in sheets]


def _kept(found: list[tuple[Grid, Found]]) -> list[Table]:
    """Tables that are surely lists of cloth; else the one that comes nearest."""
    tables = [table for _, f in found for table in f.tables]
    certain = [table for table in tables if table.is_certain]
    if certain:
        with_lines = [table for table in certain if table.lines]
        return with_lines or certain[:1]
    best = max(tables, key=lambda table: len(table.known), default=None)
    return [best] if best is not None and best.known else []


def _empty(name: str, left: list[LeftSheet] | None = None) -> ListError:
    hidden = ", ".join(one.name for one in left or () if one.why == "hidden sheet")
    if hidden:
        return ListError(f"{name}: only hidden sheets hold anything ({hidden}). Unhide the list.")
    return ListError(f"{name}: is empty. Give a list with headings, or start from a template.")


def _unknown(seen: list[Grid], name: str, left: list[LeftSheet]) -> ListError:
    first = next(grid.rows[0][1] for grid in seen if grid.rows)
    return no_heading_known(name, first, [one.name for one in left if one.why == "hidden sheet"])
