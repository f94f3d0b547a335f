"""The enquiry as it is typed: what each field holds, is filled with and becomes."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pandas as pd
import streamlit as st

from meshcore.enquiry import COLUMNS, FORMS, MUST_STAND, SET_PRICE, WEAVES
from meshcore.supply.shapes.kinds import KINDS
from meshcore.supply.shapes.texts import shape_names
from meshcore.weave.geometry.path import PathModel
from meshcore_estimator.shared import fields
from meshcore_estimator.shared.line import Line

#: Every field of the form is kept in the session under its own name after this.
_KEY = "ask_"
_KEPT = "enquiry_kept"
_EMPTY: dict[str, object] = {
    "weave": None, "form": FORMS[0], "alloy": None, "shape": "rectangle", "services": [],
    "path_model": "arc", "quantity": "1",
}  # fmt: skip
_SPECIFICATION = ("mesh_count", "wire_diameter", "aperture", "pitch", "open_area")
#: Columns of a list that are there only where something stands in them.
_WHERE_FILLED = (SET_PRICE, MUST_STAND)
_FIELDS = frozenset({*COLUMNS, *_WHERE_FILLED} - {"line"})
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
        "weave": (
            asked["weave"]
            if ("weave", asked["weave"]) in unread or not asked["weave"]
            else WEAVES[weave]
        )
        or None,
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
    cells |= {name: line.own(name) for name in _WHERE_FILLED}
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
    held["alloy"], held["weave"] = asked["alloy"] or None, asked["weave"] or None
    held["shape"] = asked["shape"] or _EMPTY["shape"]
    written = {_KEY + name: value for name, value in held.items()}
    st.session_state[_KEPT].update(written)
    fields.write(_KEY, written)


def use_alloy(designation: str, must_stand: str) -> None:
    """Ask for another alloy, and say what it was chosen for.

    To be called before the form is drawn, or in a callback.
    """
    use({"alloy": designation, MUST_STAND: must_stand})


def is_empty() -> bool:
    """Whether nothing of the cloth has been typed yet."""
    return not any(typed(name) for name in (*_SPECIFICATION, "alloy", "width", "length"))


def path_model() -> PathModel:
    """Path rule chosen: ``arc`` or ``flat``."""
    chosen: PathModel = st.session_state.get(_KEY + "path_model") or "arc"
    return chosen


def as_list() -> pd.DataFrame:
    """Return the enquiry as a list of one line, every cell as typed."""
    asked = cells()
    columns = [*COLUMNS, *(name for name in _WHERE_FILLED if asked[name])]
    return pd.DataFrame([asked | {"line": "1"}], columns=columns, dtype=object)


def cells() -> dict[str, str]:
    """Return the enquiry as typed: enquiry column → text."""
    cells: dict[str, str] = {name: typed(name) for name in COLUMNS}
    cells |= {"line": "", "services": ", ".join(_chosen_services())}
    cells |= {name: typed(name) for name in _WHERE_FILLED}
    if cells["form"] == "piece":
        cells |= {"width": "", "length": "", "dimensions": _dimensions()}
    else:
        cells |= {"shape": "", "dimensions": ""}
    return cells


def typed(name: str) -> str:
    """Text of a field; of a choice, its name."""
    value = st.session_state.get(_KEY + name)
    return "" if value is None else str(value).strip()


def _chosen_services() -> list[str]:
    return [str(name) for name in st.session_state.get(_KEY + "services") or []]


def is_written_out() -> bool:
    """Whether the sizes of a piece are one text, rather than a field for each."""
    return typed("shape") == "polygon" or bool(typed("dimensions"))


def _dimensions() -> str:
    if is_written_out():
        return typed("dimensions")
    shape = typed("shape")
    sizes = {size: typed(size_name(shape, size)) for size in sizes_of(shape)}
    return ", ".join(f"{size} {text}" for size, text in sizes.items() if text)


def shown_key(name: str) -> str:
    """Return the key of a field that is about to be drawn."""
    return fields.show(_KEY, _KEY + name)


def sizes_of(shape: str) -> Mapping[str, str]:
    """Sizes that a shape is given by → their kind."""
    return next((dict(kind.sizes) for kind in KINDS if kind.name == shape), {})


def size_name(shape: str, size: str) -> str:
    """Return the name of the field of one size of a shape."""
    return f"size_{shape}_{size}".replace(" ", "_")
