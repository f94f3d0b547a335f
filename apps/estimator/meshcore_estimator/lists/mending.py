"""The lines of a list as they came, in a grid where each cell can be mended."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pandas as pd
import streamlit as st

from meshcore.lists.enquiry_table import EnquiryTable
from meshcore.reading.tables.headings import FIELDS
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import Cells, Source
from meshcore_estimator.shared.mounting import Mounted, mounted, unmount
from meshcore_estimator.shared.parts import LABELS, Markup, soft, table

_GRID, _CAME = "list_cells", "list_cells_came"
#: Most lines that the grid holds: a browser takes more slowly.
_MOST_LINES = 5_000
#: Mended cells that are spelled out.
_MOST_SPELLED = 20
_MOST_HEIGHT, _ROW_HEIGHT = 420, 35


def draw(source: Source) -> None:
    """Draw the grid, and change the list by what is typed in it."""
    changes = source.changes
    by = (_as_came(source.whole), changes.first, changes.last, changes.out)
    grid = mounted(_GRID, by, lambda: (_cells(source), changes.cells))
    st.data_editor(
        grid.frame, key=grid.key, on_change="ignore", placeholder="",
        height=min(_MOST_HEIGHT, _ROW_HEIGHT * (len(grid.frame) + 1) + 3),
        column_config=_columns(source),
    )  # fmt: skip
    if len(source.enquiries) > _MOST_LINES:
        st.caption(f"The first {_MOST_LINES:,} of {len(source.enquiries):,} lines. Begin with a "
                   "later row to mend the others.")  # fmt: skip
    cells = _typed(grid, source.whole)
    if cells != changes.cells:
        lists.change(replace(changes, cells=cells))
    _mended(cells, source.whole)


def _as_came(whole: EnquiryTable) -> EnquiryTable:
    """Return the very same lines as before where no cell differs.

    Another reading of a heading changes none: a grid that was drawn anew for it would drop what is
    being typed there.
    """
    last: EnquiryTable | None = st.session_state.get(_CAME)
    if last is None or not (last is whole or last.equals(whole)):
        last = st.session_state[_CAME] = whole
    return last


def _cells(source: Source) -> pd.DataFrame:
    """Return the lines as they are now, every cell as text."""
    lines = source.enquiries.head(_MOST_LINES)
    return pd.DataFrame(
        {str(c): [lists.cell_text(cell) for cell in lines[c]] for c in lines.columns},
        index=pd.Index(lists.rows_of(lines), name="row"), dtype="str",
    )  # fmt: skip


def _columns(source: Source) -> Mapping[str, Any]:
    known = {heading: name for name, heading in source.whole.headings.column.items()}
    config = st.column_config
    row = {"_index": config.TextColumn("row", disabled=True, pinned=True, width=64)}
    return row | {
        heading: config.TextColumn(
            heading,
            help=f"Read as {LABELS.get(known[heading], known[heading]).lower()}"
            if heading in known else "Not read",
        )
        for heading in map(str, source.whole.columns)
    }  # fmt: skip


def _typed(grid: Mounted[Cells], read: pd.DataFrame) -> Cells:
    """Return all cells that were mended, now or before; one put back to what it was is none."""
    cells = {row: dict(own) for row, own in grid.before.items()}
    typed: Mapping[int, Mapping[str, str | None]]
    typed = st.session_state[grid.key]["edited_rows"]
    for place, own in typed.items():
        row = str(grid.frame.index[int(place)])
        cells.setdefault(row, {}).update({name: text or "" for name, text in own.items()})
    rows = {row: place for place, row in enumerate(lists.rows_of(read))}
    changed = {
        row: {name: text for name, text in own.items() if text != _as_read(read, rows, row, name)}
        for row, own in cells.items()
    }
    return {row: own for row, own in changed.items() if own}


def _as_read(read: pd.DataFrame, rows: Mapping[str, int], row: str, name: str) -> str | None:
    if row not in rows:
        return None
    if name not in read.columns:
        # A column that the list lacks is made for what is put into it.
        return "" if name in FIELDS else None
    return lists.cell_text(read[name].iloc[rows[row]])


def _mended(cells: Cells, read: pd.DataFrame) -> None:
    """Draw what was mended, so that nothing differs from the file unsaid."""
    rows = {row: place for place, row in enumerate(lists.rows_of(read))}
    every = [(row, name, text) for row, own in cells.items() for name, text in own.items()]
    if not every:
        st.caption("A cell that is changed here is priced as changed; the file stays as it is.")
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        count = f"{len(every)} {'cell' if len(every) == 1 else 'cells'} mended"
        st.caption(f"{count}; the file stays as it is.", width="stretch")
        st.button("As in the file", key="list_unmend", on_click=_unmend, icon=":material/undo:")
    spelled = []
    for row, name, text in every[:_MOST_SPELLED]:
        was = _as_read(read, rows, row, name)
        gone = soft("not in the list as it is read now")
        spelled.append((row, name, gone if was is None else was or _BLANK, text or _BLANK))
    st.html(table(("Row", "Heading", "In the file", "Mended to"), spelled))


_BLANK: Markup = soft("blank")


def _unmend() -> None:
    lists.change(replace(lists.changes_now(), cells={}))
    unmount(_GRID)
