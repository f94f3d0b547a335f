"""What a sheet was found to hold: tables, their columns, and rows set aside."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from meshcore.lists.grids import column_letters
from meshcore.reading.tables.field_names import DESCRIPTION, SIZE

#: Heading → the enquiry column that it stands for and its unit, empty where unknown.
Meaning = Callable[[str], tuple[str, str]]
#: A table further on is told from a stray word by as many known headings as this [-].
CERTAIN = 3
#: A table of cloth names at least one of these.
CLOTH = frozenset(
    {"mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "alloy", "shape",
     "dimensions", SIZE, DESCRIPTION}
)  # fmt: skip


#: Columns that hold numbers in most lines.
NUMBERED = frozenset(
    {"mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "width", "length",
     "quantity", "dimensions", SIZE}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Parameters
    ----------
    place
        Its number in the sheet, from 0.
    heading
        What stands over it; ``column 8`` where nothing does.
    field, unit
        The enquiry column that it stands for, and the unit in its heading; empty if none.
    """

    place: int
    heading: str
    field: str
    unit: str


@dataclass(frozen=True, slots=True)
class SetAside:
    """A row of the file that is no line of the list, with what it says and why."""

    sheet: str
    row: int
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Table:
    """One table of a sheet.

    Parameters
    ----------
    sheet
        Name of the sheet.
    heading_rows
        Rows of the file that its headings stand in; empty where it has none.
    columns
        Its columns, in order.
    lines
        Its lines: row of the file, and the cells of `columns`.
    """

    sheet: str
    heading_rows: tuple[int, ...]
    columns: tuple[Column, ...]
    lines: tuple[tuple[int, tuple[object, ...]], ...] = ()

    @property
    def known(self) -> frozenset[str]:
        """Enquiry columns that its headings stand for."""
        return frozenset(c.field for c in self.columns if c.field)

    @property
    def is_certain(self) -> bool:
        """Whether so many headings are known that it can only be a list of cloth."""
        return len(self.known) >= CERTAIN and bool(self.known & CLOTH)

    @property
    def first_letters(self) -> str:
        """Letters of its first column."""
        return column_letters(self.columns[0].place + 1)


@dataclass(slots=True)
class Found:
    """What a sheet holds: its tables, and rows that belong to none."""

    tables: list[Table] = field(default_factory=list)
    aside: list[SetAside] = field(default_factory=list)


def numbered(heading: str, place: int) -> str:
    """Return the name of a heading that stood before: with the number of its column.

    Examples
    --------
    >>> numbered("Unit", 6)
    'Unit (7)'
    """
    return f"{heading} ({place + 1})"
