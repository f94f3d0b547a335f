"""Lines of the list in hand that a person changed: opened, marked, taken out and put back."""

from __future__ import annotations

import streamlit as st

from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import origin
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import Source
from meshcore_estimator.shared import navigation
from meshcore_estimator.shared.line import Line


def marks(source: Source) -> dict[str, str]:
    """Return what was done to each line: index, as text → a word for it."""
    said = {row: "changed" for row, cells in source.changes.cells.items() if cells}
    return said | {str(label): "added" for label in source.whole.index[len(source.read) :]}


def told(source: Source) -> str:
    """Say how the list differs from its file; empty where it does not."""
    changes = source.changes
    cells = sum(map(len, changes.cells.values()))
    counts = ((cells, "cell", "mended"), (len(changes.added), "line", "added"),
              (len(changes.out), "line", "taken out"))  # fmt: skip
    said = [f"{n} {what}{'' if n == 1 else 's'} {done}" for n, what, done in counts if n]
    return f", with {', '.join(said)}" if said else ""


def buttons(source: Source, line: Line) -> None:
    """Draw what can be done with a line."""
    st.button("Open as an enquiry", icon=":material/edit_note:", key="open_enquiry",
              on_click=_open, args=(line,))  # fmt: skip
    row = lists.rows_of(source.enquiries)[line.number]
    st.button("Take out", icon=":material/remove:", key="take_out_line",
              on_click=lists.take_out, args=(row,))  # fmt: skip


def taken_out(source: Source) -> None:
    """Say which lines are out of the list, and offer to put them back."""
    if not source.changes.out:
        return
    with st.container(horizontal=True, vertical_alignment="center"):
        rows = ", ".join(source.changes.out)
        st.caption(f"Taken out, and not priced: {rows}.", width="stretch")
        st.button("Put back", key="put_lines_back", on_click=lists.put_all_back,
                  icon=":material/undo:")  # fmt: skip


def _open(line: Line) -> None:
    enquiry_form.fill(line)
    source, _ = lists.current()
    if source is not None:
        origin.remember(lists.rows_of(source.enquiries)[line.number], line.name)
    navigation.go_to("enquiry")
