"""A sheet as rows of cells with the numbers that the file gives them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from meshcore.limits import beyond

#: One row: its number in the file, and its cells from the sheet's first column on.
Row = tuple[int, Sequence[object]]


class ListError(ValueError):
    """A list that cannot be read or written; the message says what to do."""


def within(limit: str, value: int, name: str) -> None:
    """Refuse what is beyond a limit of ``meshcore.limits``.

    Raises
    ------
    ListError
        If it is; the message names the limit, and what would mend it.
    """
    if wrong := beyond(limit, value):
        raise ListError(f"{name}: {wrong}")


@dataclass(frozen=True, slots=True)
class Mark:
    """What is marked at one cell: its sheet, row and place from 0, what it is, and the text."""

    sheet: str
    row: int
    place: int
    what: str
    text: str


@dataclass(frozen=True, slots=True)
class Grid:
    """One sheet of a file; blank rows are left out, all others keep their number.

    Parameters
    ----------
    name
        The sheet's name; empty for a file that has no sheets.
    rows
        Rows that say something, in order.
    hidden
        Whether the sheet is hidden.
    hidden_rows, hidden_columns
        Numbers of rows and columns, from 1, that are hidden and hold something; left out of
        `rows`, and blank there.
    about
        What a reader should know of how the cells were taken from the file.
    merged
        First row, last row and place from 0 of cells that are merged down a column; the value
        stands in each of their rows.
    marks
        What is marked at single cells.
    """

    name: str
    rows: tuple[Row, ...]
    hidden: bool = False
    hidden_rows: tuple[int, ...] = ()
    hidden_columns: tuple[int, ...] = ()
    about: tuple[str, ...] = ()
    merged: tuple[tuple[int, int, int], ...] = ()
    marks: tuple[Mark, ...] = ()


def shown(cell: object) -> str:
    """Text of a cell as a message shows it.

    Examples
    --------
    >>> shown(None), shown(" Wire "), shown(2.0), shown(0.63)
    ('', 'Wire', '2', '0.63')
    """
    if isinstance(cell, str):
        return cell.strip()
    if cell is None:
        return ""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell).strip()


def says_something(row: Sequence[object]) -> bool:
    """Whether any cell of a row holds more than space."""
    return any(cell is not None and cell != "" and shown(cell) for cell in row)


def numbered(rows: Sequence[Sequence[object]], first: int = 1) -> tuple[Row, ...]:
    """Return rows with their numbers from `first` on, without the blank ones."""
    return tuple((n, row) for n, row in enumerate(rows, start=first) if says_something(row))


def column_letters(number: int) -> str:
    """Letters of a column, from 1.

    Examples
    --------
    >>> column_letters(1), column_letters(27)
    ('A', 'AA')
    """
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


#: As many cells of the first row as a refusal shows.
_SHOWN = 6


def no_heading_known(name: str, first: Sequence[object], hidden: Sequence[str] = ()) -> ListError:
    """Return the refusal of a list of whose headings none is known; `first` is its first row."""
    cells = ", ".join([shown(cell) for cell in first if shown(cell)][:_SHOWN])
    also = f"; hidden sheet {', '.join(hidden)} is not read" if hidden else ""
    return ListError(
        f"{name}: none of its headings is known ({cells} …{also}). "
        "Name at least mesh_count or aperture, wire_diameter, alloy, form, quantity, or say with "
        'a mapping what each stands for; "python -m meshcore template list.xlsx" writes a list '
        "to fill in."
    )
