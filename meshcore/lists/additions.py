"""Lines and cells that a person puts into a list after it was read; the rest stays as it came."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import pandas as pd

from meshcore.enquiry import READ_LATER
from meshcore.lists.enquiry_table import EnquiryTable
from meshcore.reading.tables.headings import FIELDS

#: Name of a line's place in the table where it stands in no file.
ADDED = "added"
#: One line, or some cells of one: enquiry column, or heading of the list → text.
Cells = Mapping[str, str]


def heading_for(table: EnquiryTable, name: str) -> str:
    """Return the heading under which a list has an enquiry column; the column's name if none."""
    return table.headings.column.get(name, name)


def with_lines(table: EnquiryTable, added: Sequence[Cells]) -> EnquiryTable:
    r"""Return a list with lines below its own.

    Parameters
    ----------
    table
        A list as read; its lines keep their order, their cells and their index.
    added
        Enquiry column → text, a mapping for each line. A column that the list lacks is made where
        a line has something in it, and is blank on the other lines.

    Returns
    -------
    The list; the index of an added line is ``added 1``, ``added 2`` and so on.

    Examples
    --------
    >>> import io
    >>> from meshcore.lists.reading import read_list
    >>> short = read_list(io.BytesIO(b"Mesh,Wire\n10 / in,0.025 in\n"), ".csv")
    >>> longer = with_lines(short, [{"mesh_count": "8 / in", "alloy": "304"}])
    >>> longer.index.tolist(), longer["Mesh"].tolist(), longer["alloy"].tolist()
    ([2, 'added 1'], ['10 / in', '8 / in'], ['', '304'])
    """
    if not added:
        return table
    names = dict.fromkeys(name for line in added for name, text in line.items() if text)
    wide = with_columns(table, [heading_for(table, name) for name in names])
    index = [*wide.index, *(f"{ADDED} {n}" for n in range(1, len(added) + 1))]
    long = wide.astype(object).reindex(pd.Index(index, dtype=object, name=wide.index.name))
    for label, line in zip(index[len(wide) :], added, strict=True):
        long.loc[label] = ""
        for name, text in line.items():
            if text:
                long.loc[label, heading_for(table, name)] = text
    return as_read(long, wide)


def with_columns(table: EnquiryTable, headings: Sequence[str]) -> EnquiryTable:
    """Return a list with a blank column for each of some enquiry columns that it lacks."""
    new = [h for h in dict.fromkeys(headings) if h not in table.columns]
    if not new:
        return table
    wide = table.copy()
    for heading in new:
        wide[heading] = ""
    known = {name: name for name in new if name in FIELDS}
    unknown = tuple(name for name in new if name not in known)
    held = table.headings
    read = replace(
        held, column={**held.column, **known}, unknown=(*held.unknown, *unknown)
    )  # what the reader was not shown it would pass over
    wide = as_read(wide, table)
    wide.headings = read
    return wide


def with_cells(table: EnquiryTable, cells: Mapping[str, Cells]) -> EnquiryTable:
    """Return a list in which some cells hold something else.

    Parameters
    ----------
    table
        A list as read, or with lines added.
    cells
        Text of a line's index → heading → what stands there instead. Lines that the list does
        not have are passed over; an enquiry column that it lacks is made.
    """
    labels = {str(label): label for label in table.index}
    own = {labels[row]: line for row, line in cells.items() if row in labels}
    if not own:
        return table
    wanted = [n for line in own.values() for n in line if n in FIELDS or n in READ_LATER]
    wide = with_columns(table, wanted)
    changed = wide.copy()
    for label, line in own.items():
        for heading, text in line.items():
            if heading not in changed.columns:
                continue
            if changed[heading].dtype != object:
                changed[heading] = changed[heading].astype(object)
            changed.loc[label, heading] = text
    return as_read(changed, wide)


def as_read(made: pd.DataFrame, table: EnquiryTable) -> EnquiryTable:
    """Have a table say how it was read, as the one that it was made from says it."""
    kept = EnquiryTable(made)
    kept.report, kept.headings, kept.remarks = table.report, table.headings, table.remarks
    return kept
