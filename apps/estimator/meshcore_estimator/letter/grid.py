"""The lines of a letter in a grid, where each cell can be mended and lines added or left out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pandas as pd
import streamlit as st

from meshcore.enquiry import COLUMNS
from meshcore.reading.letters.letter import Letter
from meshcore_estimator.letter import source
from meshcore_estimator.letter.source import Changes, Mended, Row
from meshcore_estimator.shared.mounting import Mounted, mounted, unmount
from meshcore_estimator.shared.parts import LABELS

_GRID = "letter_cells"
#: Columns that stand in the grid also where no line has them: no price is had without.
_ALWAYS = ("mesh_count", "wire_diameter", "alloy", "form", "width", "length", "quantity")


def draw(letter: Letter) -> None:
    """Draw the grid, and change the lines by what is typed in it."""
    grid = mounted(_GRID, (letter,), lambda: _cells(letter))
    st.data_editor(
        grid.frame, key=grid.key, on_change="ignore", placeholder="", num_rows="dynamic",
        column_config=_columns(grid.frame),
    )  # fmt: skip
    made = _typed(grid, letter)
    if made != source.changes():
        source.change(made)
    if made != Changes():
        with st.container(horizontal=True, vertical_alignment="center"):
            st.caption(_count(made), width="stretch")
            st.button("As in the letter", key="letter_unmend", on_click=_unmend,
                      icon=":material/undo:")  # fmt: skip
    else:
        st.caption("A cell that is changed here is priced as changed; a row can be added below.")


def _cells(letter: Letter) -> tuple[pd.DataFrame, Changes]:
    """Return the lines as they are now, and what was changed in them."""
    before = source.holding(letter, source.changes())
    lines = source.current(letter, before).lines
    shown = [c for c in COLUMNS if c in _ALWAYS or lines[c].astype(bool).any()]
    frame = lines[[c for c in shown if c != "line"]].astype("str")
    frame.index = pd.Index([str(n) for n in lines["line"]], name="line")
    return frame, before


def _columns(frame: pd.DataFrame) -> Mapping[str, Any]:
    config = st.column_config
    return {"_index": config.TextColumn("Line", disabled=True, width=56, pinned=True)} | {
        name: config.TextColumn(LABELS[name]) for name in frame.columns
    }


def _typed(grid: Mounted[Changes], letter: Letter) -> Changes:
    """Return all that was changed, now or before; a cell put back to what it was is no change."""
    state: Mapping[str, Any] = st.session_state[grid.key]
    read = source.rows(letter)
    labels = list(grid.frame.index)
    before = grid.before
    lines = {n: dict(one.cells) for n, one in before.lines.items()}
    added: dict[str, dict[str, str]] = {row["line"]: dict(row) for row in before.added}
    for place, cells in state["edited_rows"].items():
        label = labels[int(place)]
        texts = {str(name): text or "" for name, text in cells.items()}
        (added if label in added else lines).setdefault(label, {}).update(texts)
    gone = {labels[int(place)] for place in state["deleted_rows"]}
    next_ = max((int(n) for n in (*read, *added)), default=0) + 1
    new = [
        {str(name): text or "" for name, text in row.items() if name != "_index"}
        for row in state["added_rows"]
    ]
    numbered = [row | {"line": str(next_ + n)} for n, row in enumerate(new) if any(row.values())]
    return Changes(
        {n: Mended(read[n], own) for n, own in _different(lines, read).items() if n not in gone},
        (*(row for n, row in added.items() if n not in gone), *numbered),
        {n: read[n] for n in (*before.left_out, *(g for g in gone if g in read))},
    )


def _different(lines: Mapping[str, Row], read: Mapping[str, Row]) -> dict[str, Row]:
    changed = {
        n: {name: text for name, text in own.items() if text != read[n].get(name, "")}
        for n, own in lines.items()
    }
    return {n: own for n, own in changed.items() if own}


def _count(made: Changes) -> str:
    cells = sum(len(one.cells) for one in made.lines.values())
    parts = [
        f"{n} {word if n == 1 else word + 's'} {done}"
        for n, word, done in (
            (cells, "cell", "mended"),
            (len(made.added), "line", "added"),
            (len(made.left_out), "line", "left out"),
        )
        if n
    ]
    return f"{', '.join(parts)}; the letter stays as it is."


def _unmend() -> None:
    source.change(Changes())
    unmount(_GRID)
