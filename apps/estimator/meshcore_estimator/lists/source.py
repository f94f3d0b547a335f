"""The list in hand: the file as it came, what a person changed in its reading, and both together.

Only the first two are kept; the third follows from them.
"""

from __future__ import annotations

import hashlib
import io
import json
from base64 import b64decode, b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import pandas as pd
import streamlit as st

from meshcore.enquiry import COLUMNS, MUST_STAND, SET_PRICE
from meshcore.lists.additions import Cells as Line
from meshcore.lists.additions import as_read, heading_for, with_cells, with_lines
from meshcore.lists.enquiry_table import EnquiryTable
from meshcore.lists.grids import shown
from meshcore.lists.mapping import ColumnMapping, ListMapping, as_mapping
from meshcore.lists.reading import ListError, read_list

#: Largest file [MB], and most lines, that are priced while somebody waits at the screen.
MOST_MB, MOST_LINES = 50, 100_000
_MB = 1_000_000
#: What a list is called that begins with an enquiry.
OWN_LIST = "List begun here"
_UPLOAD, _CHANGES, _SOURCE, _PROBLEM = "list_file", "list_changes", "list_source", "list_problem"
#: Row of the file → heading → what is written there instead.
Cells = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True, slots=True)
class Upload:
    """A file as it came, with the text that it is kept as."""

    name: str
    suffix: str
    content: bytes
    kept: str


@dataclass(frozen=True, slots=True)
class Changes:
    """What a person changed in how a file is read.

    Parameters
    ----------
    mapping
        What the headings stand for, and the sheets; None where that is left to the reader.
    first, last
        Rows of the file that the list begins and ends with; empty for all that was found.
    cells
        Cells that were mended.
    added
        Lines that stand in no file: enquiry column → text.
    out
        Lines that were taken out, and can be put back.
    """

    mapping: ListMapping | None = None
    first: str = ""
    last: str = ""
    cells: Cells = field(default_factory=dict)
    added: tuple[Line, ...] = ()
    out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Source:
    """A list: as it was read, with the lines added to it, and as it is to be priced."""

    upload: Upload
    changes: Changes
    read: EnquiryTable
    whole: EnquiryTable
    enquiries: EnquiryTable

    @property
    def name(self) -> str:
        """What the user knows it by."""
        return self.upload.name

    @property
    def file_rows(self) -> list[str]:
        """Rows of the file that are priced."""
        out = {*map(str, self.whole.index[len(self.read) :])}
        return [row for row in rows_of(self.enquiries) if row not in out]


def give(name: str, suffix: str, content: bytes) -> None:
    """Take a file in hand, in place of the last."""
    kept = {"name": name, "suffix": suffix, "content": b64encode(content).decode()}
    st.session_state[_UPLOAD] = Upload(name, suffix, content, json.dumps(kept))
    st.session_state[_CHANGES] = Changes()
    st.session_state[_PROBLEM] = ""


def take_away() -> None:
    """Lay the list aside."""
    for name in (_UPLOAD, _CHANGES, _SOURCE):
        st.session_state.pop(name, None)
    st.session_state[_PROBLEM] = ""


def current() -> tuple[Source | None, str]:
    """Return the list in hand, if it can be read, and what is wrong if something is."""
    upload: Upload | None = st.session_state.get(_UPLOAD)
    if upload is None:
        return None, ""
    changes = changes_now()
    problem: str = st.session_state.get(_PROBLEM, "")
    try:
        source = st.session_state[_SOURCE] = _source(upload, changes)
    except ListError as error:
        return None, f"{upload.name}: {error}"
    return source, problem


def changes_now() -> Changes:
    """Return what is changed of the list in hand."""
    changes: Changes = st.session_state.setdefault(_CHANGES, Changes())
    return changes


def change(changes: Changes) -> None:
    """Read the list with other changes; what cannot be read so is said, and none is made."""
    upload: Upload = st.session_state[_UPLOAD]
    st.session_state[_PROBLEM] = ""
    try:
        st.session_state[_SOURCE] = _source(upload, changes)
    except ListError as error:
        st.session_state[_PROBLEM] = f"Left as it was, since the list cannot be read so: {error}"
    else:
        st.session_state[_CHANGES] = changes


def read_without_headings() -> None:
    """Read the file as one without headings, whose columns a person is to name."""
    # A list is only read where one column stands for something; a line's name changes no price.
    column = ColumnMapping("column 1", "line")
    changes = changes_now()
    sheets = changes.mapping.sheets if changes.mapping else ()
    mapping = ListMapping((column,), sheets, headless=True)
    change(replace(changes, mapping=mapping, first="", last=""))


def _source(upload: Upload, changes: Changes) -> Source:
    """Read a list as it is to be read; what has not changed is not read again."""
    last: Source | None = st.session_state.get(_SOURCE)
    same = last is not None and last.upload is upload
    if last is not None and same and last.changes is changes:
        return last
    if last is not None and same and last.changes.mapping is changes.mapping:
        read = last.read
    else:
        read = _read(upload, changes.mapping)
    if same and last is not None and last.read is read and last.changes.added is changes.added:
        whole = last.whole
    else:
        whole = with_lines(read, changes.added)
    return Source(upload, changes, read, whole, _as_mended(read, whole, changes))


def _read(upload: Upload, mapping: ListMapping | None) -> EnquiryTable:
    if len(upload.content) > MOST_MB * _MB:
        raise ListError(
            f"larger than {MOST_MB} MB, which is more than is read here. Split it, or price it "
            'with "python -m meshcore price".'
        )
    read = read_list(io.BytesIO(upload.content), upload.suffix, mapping)
    if len(read) > MOST_LINES:
        raise ListError(
            f"has {len(read):,} lines, and at most {MOST_LINES:,} are priced here. Split it, or "
            'price it with "python -m meshcore price".'
        )
    return read


def rows_of(table: pd.DataFrame) -> list[str]:
    """Rows of the file that the lines of a list stand in."""
    return [str(row) for row in table.index]


def _as_mended(read: EnquiryTable, whole: EnquiryTable, changes: Changes) -> EnquiryTable:
    """Return the lines from the first row of the file to the last, and those added, as mended."""
    rows = rows_of(read)
    first = rows.index(changes.first) if changes.first in rows else 0
    last = rows.index(changes.last) + 1 if changes.last in rows else len(rows)
    cut = first > 0 or last < len(rows) or bool(changes.out)
    if not cut:
        return with_cells(whole, changes.cells)
    named = rows_of(whole)
    places = [n for n in (*range(first, last), *range(len(rows), len(whole)))
              if named[n] not in changes.out]  # fmt: skip
    kept = whole.iloc[places]
    return with_cells(as_read(kept, whole), changes.cells)


def put_in(cells: Line) -> str:
    """Put a line below the others; where there is no list, one begins. Return where it stands."""
    line = {name: text for name, text in cells.items() if text}
    source, _ = current()
    if source is None:
        stands = [MUST_STAND] if MUST_STAND in line else []
        columns = (*COLUMNS, SET_PRICE, *stands)
        table = pd.DataFrame([{name: line.get(name, "") for name in columns}])
        give(OWN_LIST, ".csv", table.to_csv(index=False).encode())
        return f"line 1 of {OWN_LIST}"
    line["line"] = str(len(source.whole) + 1)
    change(replace(source.changes, added=(*source.changes.added, line)))
    return f"line {line['line']} of {source.name}"


def put_back(row: str, cells: Line) -> bool:
    """Write some cells of a line otherwise: enquiry column → text; tell whether it is there."""
    source, _ = current()
    if source is None or row not in rows_of(source.enquiries):
        return False
    own = {heading_for(source.whole, name): text for name, text in cells.items()}
    every = {r: dict(line) for r, line in source.changes.cells.items()}
    every.setdefault(row, {}).update(own)
    change(replace(source.changes, cells={r: line for r, line in every.items() if line}))
    return True


def take_out(row: str) -> None:
    """Leave a line out, until it is put back."""
    changes = changes_now()
    change(replace(changes, out=(*changes.out, row)))


def put_all_back() -> None:
    """Price again the lines that were taken out."""
    change(replace(changes_now(), out=()))


def mark() -> str:
    """Return what tells the list in hand from any other; empty where there is none."""
    upload: Upload | None = st.session_state.get(_UPLOAD)
    return "" if upload is None else hashlib.sha256(upload.kept.encode()).hexdigest()


def cell_text(cell: object) -> str:
    """Text of a cell as a person would write it."""
    return "" if cell is None or cell != cell else shown(cell)  # noqa: PLR0124 - not a number


def file_text() -> str:
    """Return the file in hand as text, to be kept over a reload."""
    upload: Upload | None = st.session_state.get(_UPLOAD)
    return upload.kept if upload is not None else ""


def restore_file(text: str) -> None:
    """Put back what `file_text` returned, into a session that has nothing yet."""
    kept = json.loads(text)
    content = b64decode(kept["content"])
    st.session_state[_UPLOAD] = Upload(kept["name"], kept["suffix"], content, text)


def changes_text() -> str:
    """Return what was changed as text, to be kept over a reload."""
    changes: Changes | None = st.session_state.get(_CHANGES)
    if changes is None or changes == Changes():
        return ""
    mapping = None if changes.mapping is None else changes.mapping.to_dict()
    return json.dumps({"mapping": mapping, "first": changes.first, "last": changes.last,
                       "cells": changes.cells, "added": changes.added,
                       "out": changes.out})  # fmt: skip


def restore_changes(text: str) -> None:
    """Put back what `changes_text` returned, into a session that has nothing yet."""
    kept = json.loads(text)
    try:
        mapping = None if kept["mapping"] is None else as_mapping(kept["mapping"])
    except ListError as error:
        mapping = None
        st.session_state[_PROBLEM] = f"What the headings stand for is not kept: {error}"
    added = tuple(kept.get("added", ()))
    st.session_state[_CHANGES] = Changes(
        mapping, kept["first"], kept["last"], kept["cells"], added, tuple(kept.get("out", ()))
    )
