"""How much a packed workbook unpacks to, judged before any of it is read."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass

from meshcore.limits import most
from meshcore.lists.grids import within

#: Parts whose size grows with a list: sheets, and the texts that their cells share.
_OF_CELLS = ("worksheets/", "sharedStrings", "content.xml")
_CHUNK = 2**20
#: Beginnings of what costs time by the piece, with or without a prefix.
_CELL = re.compile(rb"<(?:\w+:)?(?:c|si)[ >/]")
_ROW = re.compile(rb"<(?:\w+:)?row[ >/]")
_COLUMNS = re.compile(rb"<(?:\w+:)?col ")
_AREA = re.compile(
    rb"<(?:\w+:)?(?:mergeCell|hyperlink)\b[^>]{0,400}?\bref=[\"\']([^\"\':]{2,10}:[^\"\':]{2,10})[\"\']"
)
#: As far back as a tag may begin that a piece breaks off [bytes].
_TAG = 512
#: Columns of a sheet, in the programs that people use; a sheet that describes more of them
#: describes some again.
SHEET_COLUMNS = 16_384


@dataclass(frozen=True, slots=True)
class SheetSizes:
    """What the sheets of a workbook hold together: cells, rows, cells in merged or linked areas."""

    cells: int
    rows: int
    columns: int
    in_areas: int

    @property
    def bears_formats(self) -> bool:
        """Whether it is small enough to be read with its formats."""
        return (
            self.cells <= most("formatted_cells")
            and self.rows <= most("formatted_rows")
            and self.columns <= SHEET_COLUMNS
            and self.in_areas <= most("merged_cells")
        )


def check_unpacked(content: bytes, name: str) -> None:
    """Refuse a packed workbook that unpacks to more than is read.

    Raises
    ------
    ListError
        If it does.
    zipfile.BadZipFile
        If it is not packed, or damaged.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        held = [one for one in parts.infolist() if one.filename.endswith((".xml", ".rels"))]
    of_cells = [one for one in held if any(part in one.filename for part in _OF_CELLS)]
    within("unpacked_bytes", sum(one.file_size for one in of_cells), name)
    within("part_bytes", max((o.file_size for o in held if o not in of_cells), default=0), name)


def sheet_sizes(content: bytes) -> SheetSizes:
    """Count what the sheets of a workbook hold, from their text alone.

    Raises
    ------
    zipfile.BadZipFile, zlib.error
        If a part is damaged.
    """
    cells = rows = columns = areas = 0
    with zipfile.ZipFile(io.BytesIO(content)) as parts:
        for one in parts.infolist():
            if one.filename.endswith(".xml") and any(n in one.filename for n in _OF_CELLS):
                for text, new in _pieces(parts, one):
                    cells += _count(_CELL, text, new)
                    rows += _count(_ROW, text, new)
                    columns += _count(_COLUMNS, text, new)
                    areas += sum(_area(m) for m in _AREA.finditer(text) if m.end() > new)
    return SheetSizes(cells, rows, columns, areas)


def _count(pattern: re.Pattern[bytes], text: bytes, new: int) -> int:
    return sum(1 for found in pattern.finditer(text) if found.end() > new)


def _pieces(parts: zipfile.ZipFile, one: zipfile.ZipInfo) -> Iterator[tuple[bytes, int]]:
    """Give a part piece by piece, each behind the end of the one before, and how long that is."""
    kept = b""
    with parts.open(one) as part:
        while piece := part.read(_CHUNK):
            yield kept + piece, len(kept)
            kept = piece[-_TAG:]


def _area(found: re.Match[bytes]) -> int:
    """Cells of an area; of one that is named wrongly none, since nothing can be made of it."""
    from openpyxl.utils.cell import range_boundaries  # noqa: PLC0415 - heavy

    try:
        left, top, right, bottom = range_boundaries(found[1].decode("ascii", "replace"))
    except ValueError:
        return 0
    if left is None or top is None or right is None or bottom is None:
        # Whole columns or rows.
        return most("merged_cells") + 1
    return (right - left + 1) * (bottom - top + 1)
