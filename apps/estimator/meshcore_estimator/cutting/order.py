"""The order that is cut from one cloth: tables of strips and of pieces, every cell as typed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

import pandas as pd
import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from meshcore import plugins
from meshcore.enquiry import COLUMNS, Service
from meshcore.reading.texts import is_blank
from meshcore.supply.shapes.kinds import KINDS
from meshcore.supply.shapes.texts import shape_names
from meshcore_estimator.cutting import drawings as cutting_drawings
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared.parts import LABELS, table

#: One row of a table: column → text.
Row = Mapping[str, str]

STRIP, PIECE = "strip", "piece"
FORM_WORDS = {STRIP: "Strips", PIECE: "Pieces"}
_COLUMNS = {STRIP: ("width", "length", "quantity"), PIECE: ("shape", "dimensions", "quantity")}
_TABLES, _MOUNTED, _FORM = "cutting_tables", "cutting_mounted", "cutting_form"
_DEMO: dict[str, tuple[tuple[str, str, str], ...]] = {
    STRIP: (("410 mm", "20 m", "12"), ("260 mm", "10 m", "18"), ("650 mm", "20 m", "5")),
    PIECE: (
        ("disc", "diameter 820 mm", "10"),
        ("right triangle", "base 600 mm, height 450 mm", "30"),
        ("rectangle", "350 x 220 mm", "40"),
    ),
}
#: All lines of the page are one order.
_ORDER = "1"
_POLYGON = "polygon: points (0, 0) (300, 0) (300, 200) mm"


def start(is_demo: bool) -> bool:
    """Fill the tables when the page is first opened; return whether there is an order to plan."""
    if _TABLES in st.session_state:
        return False
    asked = {name: str(cell) for name, cell in enquiry_form.as_list().iloc[0].items()}
    tables = {}
    for form, columns in _COLUMNS.items():
        first = _DEMO[form] if is_demo else (tuple(asked[name] for name in columns),)
        own = is_demo or asked["form"] == form
        tables[form] = [dict(zip(columns, row, strict=True)) for row in first] if own else []
    st.session_state[_TABLES] = tables
    st.session_state[_MOUNTED] = {}
    if asked["form"] == PIECE and not is_demo:
        st.session_state[_FORM] = PIECE
    return is_demo


def to_text() -> str:
    """Return the order as it is typed, to be kept over a reload."""
    tables = st.session_state.get(_TABLES)
    return json.dumps(tables) if tables else ""


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    st.session_state[_TABLES] = json.loads(text)
    st.session_state[_MOUNTED] = {}


def draw() -> tuple[str, DeltaGenerator]:
    """Draw the order; return its form, and a place for what is said of its lines."""
    st.header("Order", anchor=False)
    form: str = st.segmented_control(
        "Cut into", list(FORM_WORDS), default=STRIP, required=True, width="stretch", key=_FORM,
        format_func=FORM_WORDS.__getitem__, persist_state="session", label_visibility="collapsed",
    )  # fmt: skip
    with st.container(key="cutting_order"):
        _editor(form)
    said = st.container(key="cutting_said")
    with st.container(key="cutting_hints"):
        _hints(form)
    offered = [s.name for _, s in plugins.installed().collect("meshcore_services", Service)]
    st.multiselect("Services, for every line", offered, key="cutting_services", select_all=False,
                   placeholder="None", persist_state="session")  # fmt: skip
    return form, said


def _hints(form: str) -> None:
    """Draw how sizes are written, and where pieces come from as drawings."""
    if form == PIECE:
        with st.expander("How shapes are written", icon=":material/help:"):
            st.html(_examples())
        cutting_drawings.draw()
    else:
        st.caption("Sizes with their units: 150 mm, 2-1/2 in, 50 ft. Rows can be pasted from a "
                   "spreadsheet.")  # fmt: skip


def _editor(form: str) -> None:
    """Draw a table, and keep what is typed in it; it begins anew when it comes on the screen."""
    key = f"cutting_table_{form}"
    tables, mounted = st.session_state[_TABLES], st.session_state[_MOUNTED]
    if key not in st.session_state or form not in mounted:
        mounted[form] = tables[form]
    edited = st.data_editor(
        _frame(mounted[form], _COLUMNS[form]), key=key, num_rows="dynamic", placeholder="",
        column_config=_config(form), width="stretch", on_change="ignore",
    )  # fmt: skip
    tables[form] = [
        {str(name): _text(cell) for name, cell in row.items()} for row in edited.to_dict("records")
    ]


def _text(cell: object) -> str:
    """Return a cell as typed; one of a row that was only begun holds no text at all."""
    return cell.strip() if isinstance(cell, str) and not is_blank(cell) else ""


def _frame(rows: Sequence[Row], columns: Sequence[str]) -> pd.DataFrame:
    return pd.DataFrame({c: pd.Series([row[c] for row in rows], dtype="str") for c in columns})


def _config(form: str) -> dict[str, Any]:
    column = st.column_config
    quantity = {"quantity": column.TextColumn("Qty", width=60)}
    if form == STRIP:
        return {
            "width": column.TextColumn("Width", help="Such as 150 mm or 2-1/2 in."),
            "length": column.TextColumn("Length", help="Such as 20 m or 50 ft."),
        } | quantity
    return {
        "shape": column.SelectboxColumn("Shape", options=shape_names(), width=100),
        "dimensions": column.TextColumn("Dimensions", width=165),
    } | quantity


def _examples() -> str:
    shown = [kind.example.split(": ", 1) for kind in KINDS] + [_POLYGON.split(": ", 1)]
    return table((LABELS["shape"], LABELS["dimensions"]), [(a.capitalize(), b) for a, b in shown])


def as_list(form: str, cloth: Mapping[str, str]) -> pd.DataFrame:
    """Return the order as an enquiry list; its lines numbered, empty rows left out.

    Parameters
    ----------
    form
        ``strip`` or ``piece``.
    cloth
        Cells that say what the cloth is, the same for every line.
    """
    rows = [row for row in st.session_state[_TABLES][form] if any(row.values())]
    if form == PIECE:
        rows += cutting_drawings.rows()
    services = ", ".join(st.session_state.get("cutting_services") or ())
    shared = dict.fromkeys(COLUMNS, "") | dict(cloth) | {"services": services}
    return pd.DataFrame(
        [
            shared | {"order": _ORDER, "line": str(number), "form": form} | dict(row)
            for number, row in enumerate(rows, start=1)
        ],
        columns=["order", *COLUMNS],
        dtype=object,
    )


def left_out(form: str) -> list[str]:
    """Names of the drawings that belong to the order, but cannot be read."""
    return cutting_drawings.unread() if form == PIECE else []
