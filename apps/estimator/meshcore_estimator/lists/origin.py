"""Where the enquiry in the form comes from, and its way into the list."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass

import streamlit as st

from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.lists import source as lists
from meshcore_estimator.shared import navigation

_ORIGIN, _SAID = "enquiry_origin", "enquiry_listed"


@dataclass(frozen=True, slots=True)
class Origin:
    """The line of a list that was opened.

    Parameters
    ----------
    of_list
        Mark of the list.
    row, name
        Its row there, and what it is called.
    cells
        What the form held when it was opened: enquiry column → text.
    """

    of_list: str
    row: str
    name: str
    cells: dict[str, str]


def remember(row: str, name: str) -> None:
    """Note that the form now holds a line of the list in hand."""
    st.session_state[_ORIGIN] = Origin(lists.mark(), row, name, enquiry_form.cells())
    st.session_state[_SAID] = ""


def forget() -> None:
    """Note that the form holds something of its own."""
    st.session_state.pop(_ORIGIN, None)


def current() -> Origin | None:
    """Return the line that was opened, where it stands in the list in hand."""
    held: Origin | None = st.session_state.get(_ORIGIN)
    if held is None or held.of_list != lists.mark():
        return None
    source, _ = lists.current()
    if source is None or held.row not in lists.rows_of(source.enquiries):
        return None
    return held


def button() -> None:
    """Draw the button that adds the enquiry to the list."""
    st.button("Add to the list", icon=":material/playlist_add:", key="add_to_list",
              on_click=_add)  # fmt: skip


def draw() -> None:
    """Say which line of the list the enquiry is, with its way back, and what came of adding it."""
    held = current()
    with st.container(horizontal=True, vertical_alignment="center", key="to_list"):
        with st.container(key="to_list_said", width="stretch"):
            st.caption(_say(held))
        with st.container(key="to_list_back", width="content"):
            if held is not None:
                st.button(f"Put back into line {held.name}", icon=":material/keyboard_return:",
                          key="put_back", on_click=_put_back)  # fmt: skip


def _say(held: Origin | None) -> str:
    if said := st.session_state.get(_SAID):
        return str(said)
    if held is None:
        return ""
    source, _ = lists.current()
    name = source.name if source is not None else ""
    changed = _changed(held)
    what = f"{len(changed)} changed here" if changed else "as it stands there"
    return f"Line {held.name} of {name}, {what}."


def _changed(held: Origin) -> dict[str, str]:
    now = enquiry_form.cells()
    return {name: text for name, text in now.items() if text != held.cells.get(name, "")}


def _put_back() -> None:
    held = current()
    if held is None:
        return
    changed = _changed(held)
    if changed and lists.put_back(held.row, changed):
        remember(held.row, held.name)
        st.session_state[_SAID] = ""
    navigation.go_to("list")


def _add() -> None:
    where = lists.put_in(enquiry_form.cells())
    st.session_state[_SAID] = f"Added as {where}."


def to_text() -> str:
    """Return where the enquiry comes from as text, to be kept over a reload."""
    held: Origin | None = st.session_state.get(_ORIGIN)
    return json.dumps(asdict(held)) if held is not None else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_ORIGIN] = Origin(**json.loads(text))
