"""The lines of a letter in a grid, where each cell can be mended and lines added or left out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import pandas as pd
import streamlit as st

from meshcore.enquiry import COLUMNS
from meshcore.reading.letters.letter import Letter
from meshcore_estimator.letter import source
from meshcore_estimator.letter.source import Changes, Mended, Row
from meshcore_estimator.shared.parts import LABELS

_MOUNTED = "letter_mounted"
#: Columns that stand in the grid also where no line has them: no price is had without.
_ALWAYS = ("mesh_count", "wire_diameter", "alloy", "form", "width", "length", "quantity")


@dataclass(frozen=True, slots=True)
class Mounted:
    """The grid as it came on the screen, before anything was typed in it."""

    letter: Letter
    version: int
    frame: pd.DataFrame
    before: Changes

    @property
    def key(self) -> str:
        """Under which the grid is kept."""
        return f"letter_cells_{self.version}"


def draw(letter: Letter) -> None:
    """Draw the grid, and change the lines by what is typed in it."""
    mounted = _mounted(letter)
    st.data_editor(
        mounted.frame, key=mounted.key, on_change="ignore", placeholder="", num_rows="dynamic",
        column_config=_columns(mounted.frame),
    )  # fmt: skip
    made = _typed(mounted)
    if made != source.changes():
        source.change(made)
    if made != Changes():
        with st.container(horizontal=True, vertical_alignment="center"):
            st.caption(_count(made), width="stretch")
            st.button("As in the letter", key="letter_unmend", on_click=_unmend,
                      icon=":material/undo:")  # fmt: skip
    else:
        st.caption("A cell that is changed here is priced as changed; a row can be added below.")


def _mounted(letter: Letter) -> Mounted:
    """Return the grid to draw: anew where another letter is read, or it was off the screen."""
    last: Mounted | None = st.session_state.get(_MOUNTED)
    if last is not None and last.key in st.session_state and last.letter is letter:
        return last
    before = source.holding(letter, source.changes())
    lines = source.current(letter, before).lines
    shown = [c for c in COLUMNS if c in _ALWAYS or lines[c].astype(bool).any()]
    frame = lines[[c for c in shown if c != "line"]].astype("str")
    frame.index = pd.Index([str(n) for n in lines["line"]], name="line")
    version = 0 if last is None else last.version + 1
    mounted = st.session_state[_MOUNTED] = Mounted(letter, version, frame, before)
    return mounted


def _columns(frame: pd.DataFrame) -> Mapping[str, Any]:
    config = st.column_config
    return {"_index": config.TextColumn("Line", disabled=True, width=56, pinned=True)} | {
        name: config.TextColumn(LABELS[name]) for name in frame.columns
    }


def _typed(mounted: Mounted) -> Changes:
    """Return all that was changed, now or before; a cell put back to what it was is no change."""
    state: Mapping[str, Any] = st.session_state[mounted.key]
    read = source.rows(mounted.letter)
    labels = list(mounted.frame.index)
    before = mounted.before
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
    st.session_state.pop(_MOUNTED, None)
