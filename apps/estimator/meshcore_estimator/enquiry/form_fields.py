"""The fields of the enquiry as they are drawn, and below each what is said of it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

import streamlit as st

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.enquiry import FORMS, MUST_STAND, SET_PRICE, WEAVES, Service
from meshcore.messages import Message
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.texts import shape_names
from meshcore.weave.judging.limits import length_text
from meshcore_estimator.enquiry.form import (
    PATH_WORDS,
    is_written_out,
    shown_key,
    size_name,
    sizes_of,
    typed,
)
from meshcore_estimator.shared import settling
from meshcore_estimator.shared.parts import LABELS, field_notes
from meshcore_estimator.shared.roles import Deed, may

#: Pause in typing after which a field is read.
_PAUSE = "500ms"
_EXAMPLES = {
    "mesh_count": "10 / in", "pitch": "2.54 mm", "aperture": "0.075 in", "open_area": "56 %",
    "wire_diameter": "0.025 in", "width": "48 in", "length": "100 ft", "quantity": "3",
    "note": "anything else", MUST_STAND: "sea water; temperature: 25 °C",
    SET_PRICE: "2,400.00 or 12 %",
}  # fmt: skip
_SIZE_EXAMPLES = {"length": "300 mm", "angle": "60°", "number": "4"}
_SET_HINT = (
    "In place of the price book's: the price of the whole line before tax, or a margin with its %. "
    "It goes with the enquiry to the list, the file and the quotation, where no cost is shown."
)
_STANDS_HINT = (
    "What the cloth must stand, from the page Alloys. It is printed on the quotation with what was "
    "taken where nothing was stated. Clear it to leave it out."
)
Notes = Mapping[str, Sequence[Message]]


def draw(
    notes: Notes, completed: Mapping[str, str], policy: SupplyPolicy, alloy: bool = True
) -> frozenset[str]:
    """Draw the form.

    Parameters
    ----------
    notes
        Enquiry column → what is said of it, shown below its field.
    completed
        Enquiry column → value worked out, shown in a field that was left blank.
    policy
        Its widths and lengths are offered as hints.
    alloy
        Whether to ask for the alloy; a page that compares alloys does not.

    Returns
    -------
    The fields drawn, below which all that is said of them stands.
    """
    text = partial(_text, completed)
    drawn: list[str] = []

    def row(cells: Mapping[str, Draw]) -> None:
        _row(notes, cells)
        drawn.extend(cells)

    st.header("Cloth", anchor=False)
    row({"mesh_count": text, "wire_diameter": text})
    row({"aperture": text, "pitch": text})
    row({"open_area": text, "weave": partial(_weave, completed)})
    if alloy:
        row({"alloy": _alloy})
    st.header("Supply", anchor=False)
    row({"form": _form})
    with st.container(key="sizes"):
        if typed("form") == "piece":
            row({"shape": _shape})
            row({"dimensions": _piece_sizes})
        else:
            hints = _supply_hints(policy)
            row({n: partial(text, hint=hints[n]) for n in ("width", "length")})
    row({"quantity": text, "services": _services})
    if alloy and may(Deed.COSTS):
        row({SET_PRICE: partial(text, hint=_SET_HINT)})
    if typed("note"):  # it came with the line, and what it asks for is said again until it is gone
        row({"note": text})
    if alloy and typed(MUST_STAND):  # chosen on the page of alloys, or come with the line
        row({MUST_STAND: partial(text, hint=_STANDS_HINT)})
    _path()
    return frozenset(drawn)


def _supply_hints(policy: SupplyPolicy) -> dict[str, str]:
    widths = ", ".join(length_text(w) for w in policy.widths_m)
    lengths = f"A full roll is {length_text(policy.full_length_m)}."
    if typed("form") == "roll":
        lengths += ' "full roll" and "half roll" are understood.'
    return {"width": f"Widths in stock: {widths}.", "length": lengths}


#: Draws one field, given its name.
Draw = Callable[[str], None]


def _row(notes: Notes, fields: Mapping[str, Draw]) -> None:
    """Draw fields side by side, and below them what is said of them."""
    for column, (name, draw_field) in zip(
        st.columns(len(fields), wrap=False), fields.items(), strict=True
    ):
        with column, st.container(key=f"field_{name}"):
            draw_field(name)
    said = [m for name in fields for m in notes.get(name, ()) if m.severity != "note"]
    with st.container(key=f"said_{'_'.join(fields)}"):
        st.html(field_notes(said))


def _text(completed: Mapping[str, str], name: str, hint: str = "") -> None:
    st.text_input(
        LABELS[name],
        key=shown_key(name),
        persist_state="session",
        placeholder=completed.get(name) or f"e.g. {_EXAMPLES[name]}",
        help=hint or None,
        live=_PAUSE,
        autocomplete="off",
    )


def _weave(completed: Mapping[str, str], name: str) -> None:
    st.selectbox(
        LABELS[name], WEAVES, key=settling.takes_new(shown_key(name)), persist_state="session",
        accept_new_options=True, placeholder=completed.get(name) or "By the sizes",
        help="Blank: the weave that is usual in these sizes.",
    )  # fmt: skip


def _alloy(name: str) -> None:
    numbers = {
        a.designation: " · ".join(filter(None, (a.designation, a.uns, a.en, a.family)))
        for a in installed_registry().alloys
    }
    st.selectbox(
        LABELS[name],
        list(numbers),
        key=settling.takes_new(shown_key(name)),
        persist_state="session",
        format_func=lambda alloy: numbers.get(alloy, str(alloy)),
        placeholder="Choose, or type a trade, UNS or EN number",
        accept_new_options=True,
    )


def _form(name: str) -> None:
    st.segmented_control(
        "Supplied as", FORMS, key=shown_key(name), persist_state="session",
        required=True, width="stretch",
        format_func=str.capitalize,
    )  # fmt: skip


def _shape(name: str) -> None:
    st.selectbox(
        LABELS[name],
        shape_names(),
        key=shown_key(name),
        persist_state="session",
        format_func=str.capitalize,
    )


def _piece_sizes(name: str) -> None:
    if not is_written_out():
        _size_fields(typed("shape"))
        return
    st.text_area(
        LABELS[name], key=shown_key(name), persist_state="session", height="content",
        placeholder="e.g. points (0, 0) (300, 0) (300, 200) mm",
    )  # fmt: skip


def _size_fields(shape: str) -> None:
    sizes = list(sizes_of(shape).items())
    for start in range(0, len(sizes), 2):
        for column, (size, kind) in zip(
            st.columns(2, wrap=False), sizes[start : start + 2], strict=False
        ):
            column.text_input(
                size.capitalize(),
                key=shown_key(size_name(shape, size)),
                persist_state="session",
                placeholder=f"e.g. {_SIZE_EXAMPLES[kind]}",
                live=_PAUSE,
                autocomplete="off",
            )


def _services(name: str) -> None:
    offered = [s.name for _, s in plugins.installed().collect("meshcore_services", Service)]
    st.multiselect(LABELS[name], offered, key=shown_key(name), persist_state="session",
                   placeholder="None", select_all=False,
                   accept_new_options=True)  # fmt: skip


def _path() -> None:
    st.segmented_control(
        "Wire path", list(PATH_WORDS), key=shown_key("path_model"), persist_state="session",
        required=True, width="stretch",
        format_func=lambda name: PATH_WORDS[name].capitalize(),
        help="How the length of wire in the cloth is reckoned. The other rule is shown beside it.",
    )  # fmt: skip
