"""What a workbook hides is named where it says something, and its cells may not stand far apart."""

from __future__ import annotations

import io
from types import SimpleNamespace
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from meshcore import limits
from meshcore.lists.binary_workbooks import _grid
from meshcore.lists.reading import ListError, read_list

LIMIT = 100
#: A list in a sheet as xlrd gives it: rows 3 and 5 and columns B and D are hidden, of which row 3
#: and column B say something; row 9 is hidden too, and lies below the last row.
OLD = [
    ["mesh_count", "old", "alloy", ""],
    ["10 / in", "", "304", ""],
    ["12 / in", "x", "316", ""],
    ["16 / in", "y", "304"],
    ["", "", "", ""],
]
_TEXT = 1


def old_sheet(rows: list[list[str]], hidden_rows: set[int], hidden_columns: set[int]) -> Any:
    """A sheet of texts with the attributes that the reader asks for."""
    return SimpleNamespace(
        name="Old",
        nrows=len(rows),
        visibility=0,
        merged_cells=[],
        row_len=lambda r: len(rows[r]),
        cell_type=lambda _r, _c: _TEXT,
        cell_value=lambda r, c: rows[r][c],
        colinfo_map={c: SimpleNamespace(hidden=c in hidden_columns) for c in range(4)},
        rowinfo_map={r: SimpleNamespace(hidden=r in hidden_rows) for r in range(9)},
    )


def test_of_an_old_workbook_what_is_hidden_and_says_something_is_named() -> None:
    grid = _grid(old_sheet(OLD, {2, 4, 8}, {1, 3}), SimpleNamespace())  # type: ignore[arg-type]
    assert grid.hidden_rows == (3,)
    assert grid.hidden_columns == (2,)
    assert not grid.hidden
    assert [n for n, _ in grid.rows] == [1, 2, 4]
    assert all("x" not in row and "y" not in row for _, row in grid.rows)


def spread(columns: int) -> io.BytesIO:
    """Two rows, one short and one as wide as asked for."""
    book = openpyxl.Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    sheet["A1"], sheet["B1"] = "mesh_count", "alloy"
    sheet["A2"], sheet["B2"] = "10 / in", "304"
    sheet.cell(2, columns, "far")
    kept = io.BytesIO()
    book.save(kept)
    return io.BytesIO(kept.getvalue())


@pytest.mark.parametrize(("columns", "read"), [(LIMIT // 2, True), (LIMIT // 2 + 1, False)])
def test_cells_too_far_apart_are_refused(
    columns: int, read: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(limits._limits()["spread_cells"], "most", LIMIT)
    if read:
        assert len(read_list(spread(columns), ".xlsx")) == 1
    else:
        with pytest.raises(ListError, match="stands far from the rest"):
            read_list(spread(columns), ".xlsx")
