"""The enquiry as it is typed: fields, what each holds, and what is said of it."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from functools import partial

import pandas as pd
import streamlit as st

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.enquiry import COLUMNS, FORMS, SET_PRICE, WEAVES, Service
from meshcore.messages import Message
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.kinds import KINDS
from meshcore.supply.shapes.texts import shape_names
from meshcore.weave.geometry.path import PathModel
from meshcore.weave.judging.limits import length_text
from meshcore_estimator.shared import fields
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import LABELS, field_notes

#: Every field of the form is kept in the session under its own name after this.
_KEY = "ask_"
_KEPT = "enquiry_kept"
#: Pause in typing after which a field is read.
_PAUSE = "500ms"
_EMPTY: dict[str, object] = {
    "weave": WEAVES[0], "form": FORMS[0], "alloy": None, "shape": "rectangle", "services": [],
    "path_model": "arc", "quantity": "1",
}  # fmt: skip
_EXAMPLES = {
    "mesh_count": "10 / in", "pitch": "2.54 mm", "aperture": "0.075 in", "open_area": "56 %",
    "wire_diameter": "0.025 in", "width": "48 in", "length": "100 ft", "quantity": "3",
    "note": "anything else", SET_PRICE: "2,400.00 or 12 %",
}  # fmt: skip
_SIZE_EXAMPLES = {"length": "300 mm", "angle": "60°", "number": "4"}
_SPECIFICATION = ("mesh_count", "wire_diameter", "aperture", "pitch", "open_area")
_SET_HINT = (
    "In place of the price book's: the price of the whole line before tax, or a margin with its %. "
    "It goes with the enquiry to the list, the file and the quotation, where no cost is shown."
)
_FIELDS = frozenset({*COLUMNS, SET_PRICE} - {"line"})
#: The rules of the wire's path, as the pages name them.
PATH_WORDS = {"arc": "arc of the weave", "flat": "flat 3 % rule"}


def restore() -> None:
    """Bring back what was typed before the user looked at another page."""
    kept = st.session_state.setdefault(_KEPT, {_KEY + k: v for k, v in _EMPTY.items()})
    fields.restore(_KEY, kept)


def keep() -> None:
    """Remember what is typed; the session forgets fields that are not on the screen."""
    st.session_state[_KEPT].update(fields.shown(_KEY))


def to_text() -> str:
    """Return what is typed as text, to be kept over a reload."""
    kept = st.session_state.get(_KEPT)
    return json.dumps(kept) if kept else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_KEPT] = json.loads(text)


def fill(line: Line) -> None:
    """Put a line of a list into the form, to be looked at or changed.

    To be called before the form is drawn, or in a callback.
    """
    asked = {name: line.asked(name) for name in COLUMNS}
    orders = line.estimates.orders
    form, weave = int(orders.form[line.number]), int(orders.cloth.weave[line.number])
    form_words = asked["form"].strip().casefold()
    if not asked["length"] and form_words.startswith(("full", "half")):
        asked["length"] = form_words.removesuffix("s")
    services = [name for name, mask in orders.services.items() if mask[line.number]]
    # What was not understood is kept as it was written, so that it is said again, not dropped.
    unread = {(m.field, m.read) for m in line.messages if m.severity != "note"}
    services += sorted(read for field, read in unread if field == "services" and read)
    cells: dict[str, object] = dict.fromkeys((*_SPECIFICATION, "width", "length"), "")
    cells |= _EMPTY | {name: text for name, text in asked.items() if text}
    cells |= {
        "form": FORMS[form] if form >= 0 else None,
        "weave": asked["weave"] if ("weave", asked["weave"]) in unread else WEAVES[weave],
        "alloy": asked["alloy"] or None,
        "services": list(dict.fromkeys(services)),
        "dimensions": asked["dimensions"],
        "quantity": asked["quantity"],
    }
    shape = asked["shape"].strip().casefold()
    cells["shape"] = shape if shape in shape_names() else "rectangle"
    if shape and shape not in shape_names():
        cells["dimensions"] = ": ".join(filter(None, (asked["shape"], asked["dimensions"])))
    cells.pop("line", None)
    cells["note"] = asked["note"]
    cells[SET_PRICE] = line.own(SET_PRICE)
    st.session_state[_KEPT] = {_KEY + name: value for name, value in cells.items()}
    fields.write(_KEY, st.session_state[_KEPT])


def use(cells: Mapping[str, str]) -> None:
    """Ask for something else in some fields.

    To be called before the form is drawn, or in a callback.

    Parameters
    ----------
    cells
        Enquiry column → what to write there.
    """
    asked = {_KEY + name: text for name, text in cells.items()}
    st.session_state[_KEPT].update(asked)
    fields.write(_KEY, asked)


def use_all(asked: Mapping[str, str]) -> None:
    """Ask for what `cells` returned; to be called before the form is drawn, or in a callback."""
    held: dict[str, object] = {n: text for n, text in asked.items() if n in _FIELDS}
    held["services"] = [one for one in asked["services"].split(", ") if one]
    held["alloy"] = asked["alloy"] or None
    held["shape"] = asked["shape"] or _EMPTY["shape"]
    written = {_KEY + name: value for name, value in held.items()}
    st.session_state[_KEPT].update(written)
    fields.write(_KEY, written)


def use_alloy(designation: str) -> None:
    """Ask for another alloy; to be called before the form is drawn, or in a callback."""
    use({"alloy": designation})


def is_empty() -> bool:
    """Whether nothing of the cloth has been typed yet."""
    return not any(_typed(name) for name in (*_SPECIFICATION, "alloy", "width", "length"))


def path_model() -> PathModel:
    """Path rule chosen: ``arc`` or ``flat``."""
    chosen: PathModel = st.session_state.get(_KEY + "path_model") or "arc"
    return chosen


def as_list() -> pd.DataFrame:
    """Return the enquiry as a list of one line, every cell as typed."""
    asked = cells()
    columns = [*COLUMNS, SET_PRICE] if asked[SET_PRICE] else list(COLUMNS)
    return pd.DataFrame([asked | {"line": "1"}], columns=columns, dtype=object)


def cells() -> dict[str, str]:
    """Return the enquiry as typed: enquiry column → text."""
    cells: dict[str, str] = {name: _typed(name) for name in COLUMNS}
    cells |= {"line": "", "services": ", ".join(_chosen_services())}
    cells[SET_PRICE] = _typed(SET_PRICE)
    if cells["form"] == "piece":
        cells |= {"width": "", "length": "", "dimensions": _dimensions()}
    else:
        cells |= {"shape": "", "dimensions": ""}
    return cells


def _typed(name: str) -> str:
    value = st.session_state.get(_KEY + name)
    return "" if value is None else str(value).strip()


def _chosen_services() -> list[str]:
    return [str(name) for name in st.session_state.get(_KEY + "services") or []]


def _is_written_out() -> bool:
    """Whether the sizes of a piece are one text, rather than a field for each."""
    return _typed("shape") == "polygon" or bool(_typed("dimensions"))


def _dimensions() -> str:
    if _is_written_out():
        return _typed("dimensions")
    shape = _typed("shape")
    sizes = {size: _typed(_size_name(shape, size)) for size in _sizes(shape)}
    return ", ".join(f"{size} {text}" for size, text in sizes.items() if text)


def _shown(name: str) -> str:
    return fields.show(_KEY, _KEY + name)


def _sizes(shape: str) -> Mapping[str, str]:
    return next((dict(kind.sizes) for kind in KINDS if kind.name == shape), {})


def _size_name(shape: str, size: str) -> str:
    return f"size_{shape}_{size}".replace(" ", "_")


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
    row({"open_area": text, "weave": _weave})
    if alloy:
        row({"alloy": _alloy})
    st.header("Supply", anchor=False)
    row({"form": _form})
    with st.container(key="sizes"):
        if _typed("form") == "piece":
            row({"shape": _shape})
            row({"dimensions": _piece_sizes})
        else:
            hints = _supply_hints(policy)
            row({n: partial(text, hint=hints[n]) for n in ("width", "length")})
    row({"quantity": text, "services": _services})
    if alloy:
        row({SET_PRICE: partial(text, hint=_SET_HINT)})
    if _typed("note"):  # it came with the line, and what it asks for is said again until it is gone
        row({"note": text})
    _path()
    return frozenset(drawn)


def _supply_hints(policy: SupplyPolicy) -> dict[str, str]:
    widths = ", ".join(length_text(w) for w in policy.widths_m)
    lengths = f"A full roll is {length_text(policy.full_length_m)}."
    if _typed("form") == "roll":
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
        key=_shown(name),
        persist_state="session",
        placeholder=completed.get(name) or f"e.g. {_EXAMPLES[name]}",
        help=hint or None,
        live=_PAUSE,
        autocomplete="off",
    )


def _weave(name: str) -> None:
    st.selectbox(
        LABELS[name], WEAVES, key=_shown(name), persist_state="session", accept_new_options=True
    )


def _alloy(name: str) -> None:
    numbers = {
        a.designation: " · ".join(filter(None, (a.designation, a.uns, a.en, a.family)))
        for a in installed_registry().alloys
    }
    st.selectbox(
        LABELS[name],
        list(numbers),
        key=_shown(name),
        persist_state="session",
        format_func=lambda alloy: numbers.get(alloy, str(alloy)),
        placeholder="Choose, or type a trade, UNS or EN number",
        accept_new_options=True,
    )


def _form(name: str) -> None:
    st.segmented_control(
        "Supplied as", FORMS, key=_shown(name), persist_state="session",
        required=True, width="stretch",
        format_func=str.capitalize,
    )  # fmt: skip


def _shape(name: str) -> None:
    st.selectbox(
        LABELS[name],
        shape_names(),
        key=_shown(name),
        persist_state="session",
        format_func=str.capitalize,
    )


def _piece_sizes(name: str) -> None:
    if not _is_written_out():
        _size_fields(_typed("shape"))
        return
    st.text_area(
        LABELS[name], key=_shown(name), persist_state="session", height="content",
        placeholder="e.g. points (0, 0) (300, 0) (300, 200) mm",
    )  # fmt: skip


def _size_fields(shape: str) -> None:
    sizes = list(_sizes(shape).items())
    for start in range(0, len(sizes), 2):
        for column, (size, kind) in zip(
            st.columns(2, wrap=False), sizes[start : start + 2], strict=False
        ):
            column.text_input(
                size.capitalize(),
                key=_shown(_size_name(shape, size)),
                persist_state="session",
                placeholder=f"e.g. {_SIZE_EXAMPLES[kind]}",
                live=_PAUSE,
                autocomplete="off",
            )


def _services(name: str) -> None:
    offered = [s.name for _, s in plugins.installed().collect("meshcore_services", Service)]
    st.multiselect(LABELS[name], offered, key=_shown(name), persist_state="session",
                   placeholder="None", select_all=False,
                   accept_new_options=True)  # fmt: skip


def _path() -> None:
    st.segmented_control(
        "Wire path", list(PATH_WORDS), key=_shown("path_model"), persist_state="session",
        required=True, width="stretch",
        format_func=lambda name: PATH_WORDS[name].capitalize(),
        help="How the length of wire in the cloth is reckoned. The other rule is shown beside it.",
    )  # fmt: skip
