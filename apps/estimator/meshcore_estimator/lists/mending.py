"""The lines of a list as they came, in a grid where each cell can be mended."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import pandas as pd
import streamlit as st

from meshcore.reading.tables.headings import FIELDS
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import Cells, Source
from meshcore_estimator.shared.parts import LABELS, Markup, soft, table

_MOUNTED = "list_mounted"
#: Most lines that the grid holds: a browser takes more slowly.
_MOST_LINES = 5_000
#: Mended cells that are spelled out.
_MOST_SPELLED = 20
_MOST_HEIGHT, _ROW_HEIGHT = 420, 35


@dataclass(frozen=True, slots=True)
class Mounted:
    """The grid as it came on the screen, before anything was typed in it."""

    by: tuple[object, ...]
    version: int
    frame: pd.DataFrame
    cells: Cells

    @property
    def key(self) -> str:
        """Under which the grid is kept."""
        return f"list_cells_{self.version}"


def draw(source: Source) -> None:
    """Draw the grid, and change the list by what is typed in it."""
    mounted = _mounted(source)
    st.data_editor(
        mounted.frame, key=mounted.key, on_change="ignore", placeholder="",
        height=min(_MOST_HEIGHT, _ROW_HEIGHT * (len(mounted.frame) + 1) + 3),
        column_config=_columns(source),
    )  # fmt: skip
    if len(source.enquiries) > _MOST_LINES:
        st.caption(f"The first {_MOST_LINES:,} of {len(source.enquiries):,} lines. Begin with a "
                   "later row to mend the others.")  # fmt: skip
    cells = _typed(mounted, source.whole)
    if cells != source.changes.cells:
        lists.change(replace(source.changes, cells=cells))
    _mended(cells, source.whole)


def _mounted(source: Source) -> Mounted:
    """Return the grid to draw: anew where the list is read otherwise, or was off the screen."""
    by = (source.whole, source.changes.first, source.changes.last, source.changes.out)
    last: Mounted | None = st.session_state.get(_MOUNTED)
    if last is not None and last.key in st.session_state and _is_same(last.by, by):
        return last
    lines = source.enquiries.head(_MOST_LINES)
    frame = pd.DataFrame(
        {str(c): [lists.cell_text(cell) for cell in lines[c]] for c in lines.columns},
        index=pd.Index(lists.rows_of(lines), name="row"), dtype="str",
    )  # fmt: skip
    version = 0 if last is None else last.version + 1
    mounted = Mounted(by, version, frame, source.changes.cells)
    st.session_state[_MOUNTED] = mounted
    return mounted


def _is_same(one: tuple[object, ...], other: tuple[object, ...]) -> bool:
    return len(one) == len(other) and one[0] is other[0] and one[1:] == other[1:]


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


def _typed(mounted: Mounted, read: pd.DataFrame) -> Cells:
    """Return all cells that were mended, now or before; one put back to what it was is none."""
    cells = {row: dict(own) for row, own in mounted.cells.items()}
    typed: Mapping[int, Mapping[str, str | None]]
    typed = st.session_state[mounted.key]["edited_rows"]
    for place, own in typed.items():
        row = str(mounted.frame.index[int(place)])
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
    mounted: Mounted | None = st.session_state.get(_MOUNTED)
    if mounted is not None:
        st.session_state[_MOUNTED] = replace(mounted, by=())
