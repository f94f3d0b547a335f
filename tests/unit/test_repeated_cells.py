"""OpenDocument writes cells and rows that are alike once, with their number: each is taken.

OASIS OpenDocument 1.3, part 3, attributes table:number-columns-repeated, -rows-repeated and
-rows-spanned (from memory).
"""

from __future__ import annotations

import io
import zipfile

from meshcore.lists.open_document import read_ods

_OASIS = "urn:oasis:names:tc:opendocument:xmlns"
_HEAD = (
    f'<office:document-content xmlns:office="{_OASIS}:office:1.0" '
    f'xmlns:table="{_OASIS}:table:1.0" xmlns:text="{_OASIS}:text:1.0">'
    '<office:body><office:spreadsheet><table:table table:name="Asked">'
)
_TAIL = "</table:table></office:spreadsheet></office:body></office:document-content>"


def cell(text: str, **attributes: int) -> str:
    told = "".join(f' table:number-{k.replace("_", "-")}="{n}"' for k, n in attributes.items())
    return f"<table:table-cell{told}><text:p>{text}</text:p></table:table-cell>"


def row(*cells: str, repeated: int = 1) -> str:
    return (
        f'<table:table-row table:number-rows-repeated="{repeated}">{"".join(cells)}'
        "</table:table-row>"
    )


def column(*, repeated: int = 1, hidden: bool = False) -> str:
    shown = ' table:visibility="collapse"' if hidden else ""
    return f'<table:table-column table:number-columns-repeated="{repeated}"{shown}/>'


def rows(*parts: str) -> tuple[tuple[int, list[object]], ...]:
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w") as book:
        book.writestr("content.xml", _HEAD + "".join(parts) + _TAIL)
    (grid,) = read_ods(kept.getvalue(), "list.ods")
    return tuple((n, list(held)) for n, held in grid.rows)


def test_a_repeated_cell_stands_in_each_of_its_columns() -> None:
    told = row(cell("a", columns_repeated=3), cell("", columns_repeated=2), cell("b"))
    assert rows(told) == ((1, ["a", "a", "a", None, None, "b"]),)


def test_a_repeated_row_is_as_many_lines() -> None:
    told = (row(cell("a")), row(cell(""), repeated=4), row(cell("b"), repeated=2), row(cell("c")))
    assert rows(*told) == ((1, ["a"]), (6, ["b"]), (7, ["b"]), (8, ["c"]))


def test_hidden_columns_are_counted_with_their_repeats() -> None:
    told = (
        column(repeated=2),
        column(repeated=2, hidden=True),
        column(),
        row(*(cell(letter) for letter in "abcde")),
    )
    assert rows(*told) == ((1, ["a", "b", None, None, "e"]),)


def test_a_cell_over_several_rows_stands_in_each_and_no_further() -> None:
    covered = "<table:covered-table-cell/>"
    told = (
        row(cell("x"), cell("all", rows_spanned=2)),
        row(cell("y"), covered),
        row(cell("z"), cell("")),
        row(cell("wide", columns_spanned=2), covered),
    )
    assert rows(*told) == ((1, ["x", "all"]), (2, ["y", "all"]), (3, ["z"]), (4, ["wide"]))


def test_a_cell_over_several_columns_is_one_cell() -> None:
    covered = "<table:covered-table-cell/>"
    told = (
        row(cell("wide", columns_spanned=2, rows_spanned=2), covered, cell("b")),
        row(covered, covered, cell("c")),
    )
    assert rows(*told) == ((1, ["wide", None, "b"]), (2, [None, None, "c"]))
