"""Lists in workbooks: cells as they show, what is hidden left out and said."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from meshcore.lists.grids import Grid, ListError, Mark, says_something, within
from meshcore.lists.number_formats import changes_number, with_format
from meshcore.lists.unpacking import check_unpacked, sheet_sizes
from meshcore.reading.formulas import uncalculated
from meshcore.reading.texts import FORMULA

if TYPE_CHECKING:
    from openpyxl.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet

_TOO_LARGE = "too large to look for hidden rows and columns, merged cells and number formats"


def read_xlsx(content: bytes, name: str) -> list[Grid]:
    """Read the sheets of an .xlsx or .xlsm workbook.

    Raises
    ------
    ListError
        If it is no such workbook, or cannot be read.
    """
    from openpyxl.utils.exceptions import InvalidFileException  # noqa: PLC0415 - heavy

    try:
        check_unpacked(content, name)
        sizes = sheet_sizes(content)
        within("cells", sizes.cells, name)
        within("rows", sizes.rows, name)
        return _whole(content, name) if sizes.bears_formats else _streamed(content, name)
    except ListError:
        raise
    except (zipfile.BadZipFile, InvalidFileException, OSError) as error:
        raise ListError(f"{name}: not an xlsx workbook. Save it as .xlsx or .csv.") from error
    except Exception as error:
        raise ListError(
            f"{name}: not an xlsx workbook that can be read ({error}). Open it, save it again as "
            ".xlsx or .csv, and read that."
        ) from error


def _streamed(content: bytes, name: str) -> list[Grid]:
    import openpyxl  # noqa: PLC0415 - heavy: loaded when a workbook is first read

    book = openpyxl.load_workbook(io.BytesIO(content), read_only=True, data_only=True)
    grids = []
    for sheet in book.worksheets:
        if hasattr(sheet, "iter_rows"):
            sheet.reset_dimensions()
            kept = tuple(_rows(sheet, name))
            hidden = sheet.sheet_state != "visible"
            grids.append(Grid(sheet.title, kept, hidden, about=(_TOO_LARGE,)))
    return grids


def _rows(sheet: Worksheet, name: str) -> Iterator[tuple[int, list[object]]]:
    """Give the rows that say something; what stands too far out for a list ends it."""
    widest = count = passed = 0
    where = f"{name}, sheet {sheet.title}"
    for number, row in enumerate(sheet.iter_rows(values_only=True), start=1):
        passed += len(row)
        _check_spread(where, passed)
        if says_something(row):
            kept = list(_trimmed(row))
            widest, count = max(widest, len(kept)), count + 1
            _check_spread(where, widest * count)
            yield number, kept


def _check_spread(where: str, cells: int) -> None:
    within("spread_cells", cells, f"{where}: a cell stands far from the rest")


def _trimmed(row: tuple[object, ...]) -> tuple[object, ...]:
    last = max((n for n, cell in enumerate(row, start=1) if cell is not None), default=0)
    return row[:last]


def _whole(content: bytes, name: str) -> list[Grid]:
    import openpyxl  # noqa: PLC0415 - heavy: loaded when a workbook is first read

    book = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    formulas = uncalculated(content)
    return [
        _grid(sheet, name, formulas.get(sheet.title, {}))
        for sheet in book.worksheets
        if hasattr(sheet, "iter_rows")
    ]


def _grid(sheet: Worksheet, name: str, formulas: Mapping[tuple[int, int], str]) -> Grid:
    """Take the cells that are there, whatever the sheet says of its extent."""
    hidden_columns = _hidden_columns(sheet)
    down = {
        (row, area.min_col): (area.min_row, area.min_col)
        for area in sheet.merged_cells.ranges
        if area.min_col == area.max_col
        for row in range(area.min_row + 1, area.max_row + 1)
    }
    cells = sheet._cells  # what is there, without the empty cells between
    rows: dict[int, dict[int, object]] = {}
    struck: dict[int, set[int]] = {}
    marks: list[Mark] = []
    in_hidden_rows: set[int] = set()
    in_hidden_columns: set[int] = set()
    for row, column in sorted(cells):
        at = down.get((row, column), (row, column))
        value = as_shown(cells[at])
        if value is None and at in formulas:
            value = f"{FORMULA} {formulas[at]}"
        if value is None or value == "":
            continue
        if _is_hidden(sheet.row_dimensions[row].hidden, sheet.row_dimensions[row].height):
            in_hidden_rows.add(row)
        elif column in hidden_columns:
            in_hidden_columns.add(column)
        else:
            rows.setdefault(row, {})[column] = value
            marks += _marks(sheet.title, cells[(row, column)])
            if _is_struck_out(cells[(row, column)]):
                struck.setdefault(row, set()).add(column)
    width = max((max(found) for found in rows.values()), default=0)
    _check_spread(f"{name}, sheet {sheet.title}", width * len(rows))
    for row, columns in struck.items():
        if columns == set(rows[row]):
            rows[row][max(rows[row]) + 1] = STRUCK_OUT
        else:
            marks += [
                Mark(sheet.title, row, n - 1, "struck through in cell", str(rows[row][n]))
                for n in sorted(columns)
            ]
    dense = tuple(
        (n, _dense(found)) for n, found in rows.items() if says_something([*found.values()])
    )
    return Grid(
        sheet.title,
        dense,
        hidden=sheet.sheet_state != "visible",
        hidden_rows=tuple(sorted(in_hidden_rows)),
        hidden_columns=tuple(sorted(in_hidden_columns)),
        merged=tuple(
            (area.min_row, area.max_row, area.min_col - 1)
            for area in sheet.merged_cells.ranges
            if area.min_col == area.max_col
        ),
        marks=tuple(marks),
    )


def _marks(sheet: str, cell: Cell | MergedCell) -> list[Mark]:
    """Return what a reader sees at a cell beside its value: a comment, or other digits."""
    marks = []
    row, place = cell.row or 0, (cell.column or 1) - 1
    comment = getattr(cell, "comment", None)
    if comment is not None and str(comment.text).strip():
        text = " ".join(str(comment.text).split())
        marks.append(Mark(sheet, row, place, "in the comment at cell", text))
    value = cell.value
    if isinstance(value, int | float) and not isinstance(value, bool):
        number_format = str(cell.number_format)
        if changes_number(number_format):
            what = f"with the number format {number_format}, which shows another number, in cell"
            marks.append(Mark(sheet, row, place, what, f"{value:.15g}"))
    return marks


def _is_hidden(hidden: bool, extent: float | None) -> bool:
    """Whether a row or column is hidden, or of no height or width, which nobody sees either."""
    return bool(hidden) or (extent is not None and extent <= 0)


#: Stands in a cell of its own behind the cells of a row that are all struck out.
STRUCK_OUT = "struck out"


def _is_struck_out(cell: Cell | MergedCell) -> bool:
    return bool(cell.has_style and cell.font is not None and cell.font.strike)


def _dense(found: dict[int, object]) -> list[object]:
    return [found.get(column) for column in range(1, max(found) + 1)]


def _hidden_columns(sheet: Worksheet) -> set[int]:
    hidden: set[int] = set()
    for dimension in sheet.column_dimensions.values():
        if _is_hidden(dimension.hidden, dimension.width if dimension.customWidth else None):
            dimension.reindex()
            hidden.update(range(dimension.min or 0, (dimension.max or 0) + 1))
    return hidden


def as_shown(cell: Cell | MergedCell) -> object:
    """Value of a cell; with the unit or the percent sign that its number format shows."""
    value = cell.value
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    number_format = str(cell.number_format)
    return value if number_format in ("General", "@") else with_format(value, number_format)
