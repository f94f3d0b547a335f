"""The cloth that an order is cut from: the enquiry's own, in a compact form."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import streamlit as st

from meshcore.alloys.records.registry import installed_registry
from meshcore.enquiry import WEAVES
from meshcore.messages import Message
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared import fields, result, settling
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import LABELS, field_notes, lines, soft

#: Every field is kept in the session under its own name after this while it is on the screen.
_KEY = "cutting_cloth_"
#: Pause in typing after which a field is read.
_PAUSE = "500ms"
#: Columns of an enquiry that say what the cloth is.
FIELDS = ("mesh_count", "wire_diameter", "aperture", "pitch", "open_area", "weave", "alloy")
_EXAMPLES = {
    "mesh_count": "10 / in", "wire_diameter": "0.025 in", "aperture": "0.075 in",
    "pitch": "2.54 mm", "open_area": "56 %",
}  # fmt: skip
_ROWS = (("mesh_count", "wire_diameter"), ("aperture", "pitch"), ("open_area", "weave"), ("alloy",))


def cells() -> dict[str, str]:
    """Return the cells of the current enquiry that say what the cloth is."""
    asked = enquiry_form.as_list().iloc[0]
    return {name: str(asked[name]) for name in FIELDS}


def take() -> None:
    """Take what is typed of the cloth here into the enquiry, on whichever page that is looked at.

    To be called before the enquiry is priced.
    """
    asked = {_KEY + name: text or None for name, text in cells().items()}
    fields.restore(_KEY, asked)
    typed = {key: st.session_state.get(key) or None for key in asked}
    enquiry_form.use({
        key.removeprefix(_KEY): str(text or "").strip()
        for key, text in typed.items() if text != asked[key]
    })  # fmt: skip


def draw(line: Line | None) -> None:
    """Draw which cloth it is, and a form in which the enquiry's cloth is changed.

    Parameters
    ----------
    line
        The current enquiry; None while nothing has been typed.
    """
    said = [m for m in line.messages if m.field in FIELDS] if line else []
    st.header("Cloth", anchor=False)
    with st.container(key="cutting_cloth"):
        st.html(_named(line))
    is_open = line is None or any(m.severity == "refused" for m in said)
    with st.expander("Edit the cloth", expanded=is_open, key="cutting_cloth_form"):
        completed = result.completed(line) if line else {}
        for names in _ROWS:
            _row(names, completed, said)
    fields.shown(_KEY)


def _named(line: Line | None) -> str:
    if line is None:
        return soft("None yet. Give any two of mesh count, wire diameter, aperture, pitch and open "
                    "area, and an alloy.").html  # fmt: skip
    return lines(result.cloth(line), line.alloy or soft("no alloy yet")).html


def _row(
    names: Sequence[str],
    completed: Mapping[str, str],
    said: Sequence[Message],
) -> None:
    for column, name in zip(st.columns(len(names), wrap=False), names, strict=True):
        with column, st.container(key=f"field_{name}"):
            _DRAW.get(name, _text)(name, completed.get(name, ""))
    here = [m for m in said if m.field in names and m.severity != "note"]
    with st.container(key=f"said_{'_'.join(names)}"):
        st.html(field_notes(here))


def _text(name: str, worked_out: str) -> None:
    st.text_input(
        LABELS[name], key=fields.show(_KEY, _KEY + name), persist_state="session",
        placeholder=worked_out or f"e.g. {_EXAMPLES[name]}", live=_PAUSE, autocomplete="off",
    )  # fmt: skip


def _weave(name: str, _worked_out: str) -> None:
    st.selectbox(LABELS[name], WEAVES, key=fields.show(_KEY, _KEY + name), persist_state="session")


def _alloy(name: str, _worked_out: str) -> None:
    st.selectbox(
        LABELS[name],
        [alloy.designation for alloy in installed_registry().alloys],
        key=settling.takes_new(fields.show(_KEY, _KEY + name)),
        persist_state="session",
        placeholder="Choose, or type a trade, UNS or EN number",
        accept_new_options=True,
    )


_DRAW: Mapping[str, Callable[[str, str], None]] = {"weave": _weave, "alloy": _alloy}
