"""Pieces from DXF drawings: each closed outline becomes a line of the order."""

from __future__ import annotations

import hashlib
import json
import os
import re
import tempfile
from base64 import b64decode, b64encode
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

import pandas as pd
import streamlit as st

from meshcore.messages import Message
from meshcore.supply.shapes.drawing_files import DRAWINGS_VARIABLE
from meshcore.supply.shapes.outlines import Shape
from meshcore.weave.drawing.svg import Theme
from meshcore_estimator.shared import charts
from meshcore_estimator.shared.numbers import converted, size
from meshcore_estimator.shared.parts import lines, message_list, soft

if TYPE_CHECKING:
    from meshcore.supply.shapes.dxf import DrawingRead

#: What the ``shape`` of a piece from a drawing is called in a list.
SHAPE = "dxf"
_DRAWINGS, _QUANTITIES, _FOLDER = "cutting_drawings", "cutting_drawn", "cutting_folder"
_UPLOADS = "cutting_uploads"
#: Units that a drawing may be said to be in; blank for the one that it states itself.
_UNITS = ("", "mm", "cm", "m", "in", "ft")
_NOT_IN_A_NAME = re.compile(r"[^\w -]+")
#: Letters of a drawing's fingerprint: enough to tell those of one order apart.
_FINGERPRINT = 12


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing as it was uploaded, and the unit that the user says it is in, if any."""

    name: str
    content: bytes
    unit: str = ""
    layers: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Outline:
    """A piece of a drawing: name, shape, where it lies as a file, and how often it is drawn."""

    name: str
    shape: Shape
    file: Path
    drawn: int


def add(drawing: Drawing) -> None:
    """Add a drawing to the order, unless it is there already."""
    if all(drawing.content != other.content for other in _drawings()):
        _drawings().append(drawing)


def to_text() -> str:
    """Return the drawings and how many of each piece are wanted, to be kept over a reload."""
    if not st.session_state.get(_DRAWINGS):
        return ""
    drawings = [
        {
            "name": d.name,
            "content": b64encode(d.content).decode(),
            "unit": d.unit,
            "layers": d.layers,
        }
        for d in _drawings()
    ]
    quantities = {
        file.relative_to(_folder()).as_posix(): text
        for file, text in st.session_state.get(_QUANTITIES, {}).items()
    }
    return json.dumps({"drawings": drawings, "quantities": quantities})


def from_text(text: str) -> None:
    """Put back what `to_text` returned, into a session that has nothing yet."""
    kept = json.loads(text)
    st.session_state[_DRAWINGS] = [
        Drawing(d["name"], b64decode(d["content"]), d["unit"], tuple(d.get("layers", ())))
        for d in kept["drawings"]
    ]
    st.session_state[_QUANTITIES] = {
        _folder() / name: quantity for name, quantity in kept["quantities"].items()
    }


def draw() -> None:
    """Draw the way to give drawings, what is wrong with them, and their pieces."""
    upload = st.session_state.setdefault(_UPLOADS, 0)
    st.file_uploader(
        "Pieces from DXF drawings", ["dxf"], accept_multiple_files=True,
        key=f"cutting_upload_{upload}", on_change=_take, args=(upload,),
        help="Each closed outline, with its holes, becomes a piece. Arcs stay arcs.",
    )  # fmt: skip
    for drawing in _drawings():
        _draw_one(drawing)
    outlines = list(_outlines())
    if outlines:
        _table(outlines)


def _take(upload: int) -> None:
    """Keep what was uploaded, and offer an empty place again."""
    for given in st.session_state.get(f"cutting_upload_{upload}") or ():
        add(Drawing(given.name, given.getvalue()))
    st.session_state[_UPLOADS] = upload + 1


def _draw_one(drawing: Drawing) -> None:
    read = _read(drawing.content, drawing.unit, drawing.layers)
    count = 0 if isinstance(read, Message) else len(read.pieces)
    outlines = f"{count} outline{'' if count == 1 else 's'}" if count else "not read"
    fingerprint = _fingerprint(drawing)
    with st.container(
        horizontal=True, vertical_alignment="center", key=f"cutting_drawing_{fingerprint}"
    ):
        with st.container(width="stretch"):
            st.html(f"<div>{lines(drawing.name).html} {soft(outlines).html}</div>")
        key = f"cutting_unit_{fingerprint}"
        st.session_state.setdefault(key, drawing.unit)
        st.selectbox(
            f"Unit of {drawing.name}", _UNITS, key=key, label_visibility="collapsed", width=130,
            format_func=lambda unit: unit or "unit as drawn", on_change=_say_unit,
            args=(fingerprint, key),
        )  # fmt: skip
        st.button(
            "", icon=":material/delete:", key=f"cutting_remove_{fingerprint}", type="tertiary",
            on_click=_remove, args=(fingerprint,), help=f"Leave {drawing.name} out",
        )  # fmt: skip
    if isinstance(read, Message):
        st.html(message_list([read]))
        return
    if read.said:
        st.html(message_list(read.said))
    with st.expander(f"What was read of {drawing.name}", icon=":material/visibility:"):
        _layers(drawing, fingerprint)
        st.image(
            _picture(drawing.content, drawing.unit, drawing.layers, charts.theme()),
            width="stretch",
            alt=f"{outlines} of {drawing.name}, numbered; broken lines are not read",
        )  # fmt: skip


def _layers(drawing: Drawing, fingerprint: str) -> None:
    """Draw which layers are to be cut."""
    every = _read(drawing.content, drawing.unit, ())
    names = [] if isinstance(every, Message) else [one.name for one in every.layers]
    names = list(dict.fromkeys((*names, *drawing.layers)))
    key = f"cutting_layers_{fingerprint}"
    st.session_state.setdefault(key, list(drawing.layers))
    st.multiselect(
        f"Layers of {drawing.name}", names, key=key, on_change=_say_layers,
        args=(fingerprint, key), placeholder="all that are not set aside",
    )  # fmt: skip


def _say_layers(fingerprint: str, key: str) -> None:
    chosen = tuple(st.session_state[key])
    st.session_state[_DRAWINGS] = [
        replace(held, layers=chosen) if _fingerprint(held) == fingerprint else held
        for held in _drawings()
    ]


def _say_unit(fingerprint: str, key: str) -> None:
    st.session_state[_DRAWINGS] = [
        replace(held, unit=st.session_state[key]) if _fingerprint(held) == fingerprint else held
        for held in _drawings()
    ]


def _remove(fingerprint: str) -> None:
    st.session_state[_DRAWINGS] = [d for d in _drawings() if _fingerprint(d) != fingerprint]


def _drawings() -> list[Drawing]:
    held: list[Drawing] = st.session_state.setdefault(_DRAWINGS, [])
    return held


def unread() -> list[str]:
    """Names of the drawings that cannot be read, and so are not in the order."""
    return [
        drawing.name
        for drawing in _drawings()
        if isinstance(_read(drawing.content, drawing.unit, drawing.layers), Message)
    ]


def _fingerprint(drawing: Drawing) -> str:
    return hashlib.sha256(drawing.content).hexdigest()[:_FINGERPRINT]


@lru_cache(maxsize=64)
def _read(content: bytes, unit: str, layers: tuple[str, ...]) -> DrawingRead | Message:
    from meshcore.supply.shapes.dxf import read_drawing  # noqa: PLC0415 - heavy, and few orders need it

    return read_drawing(content, unit, layers, field="drawing")


@lru_cache(maxsize=64)
def _picture(content: bytes, unit: str, layers: tuple[str, ...], theme: Theme) -> str:
    from meshcore.supply.drawing.drawing_picture import draw_reading  # noqa: PLC0415 - as above

    read = _read(content, unit, layers)
    return "" if isinstance(read, Message) else draw_reading(read, theme)


def _outlines() -> Iterator[Outline]:
    """Every outline of every drawing that can be read."""
    for drawing in _drawings():
        read = _read(drawing.content, drawing.unit, drawing.layers)
        if isinstance(read, Message):
            continue
        stem = _NOT_IN_A_NAME.sub("_", Path(drawing.name).stem)
        for number, piece in enumerate(read.pieces, start=1):
            name = f"{stem} {number}" if len(read.pieces) > 1 else stem
            layers = hashlib.sha256("|".join(drawing.layers).encode()).hexdigest()[:_FINGERPRINT]
            folder = f"{_fingerprint(drawing)}{drawing.unit}{layers if drawing.layers else ''}"
            yield Outline(name, piece.shape, _folder() / folder / f"{name}.dxf", piece.count)


def _folder() -> Path:
    """Folder of the browser session, which goes when that does."""
    if _FOLDER not in st.session_state:
        st.session_state[_FOLDER] = tempfile.TemporaryDirectory(
            prefix="meshcore-", dir=os.environ.get(DRAWINGS_VARIABLE)
        )
    return Path(st.session_state[_FOLDER].name)


def _table(outlines: list[Outline]) -> None:
    """Draw size and area of each piece, and ask how many of it are wanted."""
    quantities = st.session_state.setdefault(_QUANTITIES, {})
    key = "cutting_outlines_" + str(abs(hash(tuple(outline.file for outline in outlines))))
    mounted = st.session_state.setdefault("cutting_outlines_mounted", {})
    if key not in st.session_state or key not in mounted:
        mounted[key] = [quantities.get(outline.file, str(outline.drawn)) for outline in outlines]
    edited = st.data_editor(
        pd.DataFrame(
            {
                "piece": [outline.name for outline in outlines],
                "size": [_size(outline.shape) for outline in outlines],
                "area": [_area(outline.shape) for outline in outlines],
                "quantity": pd.Series(mounted[key], dtype="str"),
            }
        ),
        key=key,
        on_change="ignore",
        hide_index=True,
        disabled=["piece", "size", "area"],
        column_config={
            "piece": st.column_config.TextColumn("Piece"),
            "size": st.column_config.TextColumn("Size", help="Smallest upright box."),
            "area": st.column_config.TextColumn("Net area", help="Holes taken off, arcs as arcs."),
            "quantity": st.column_config.TextColumn("Qty", width=60, help="0 leaves a piece out."),
        },
    )
    typed = ["" if pd.isna(cell) else str(cell).strip() for cell in edited["quantity"]]
    quantities |= {outline.file: text for outline, text in zip(outlines, typed, strict=True)}


def _size(shape: Shape) -> str:
    width, height = (converted(side, "m", "mm") for side in shape.size_m)
    return f"{size(width, 'mm').removesuffix(' mm')} × {size(height, 'mm')}"


def _area(shape: Shape) -> str:
    return size(converted(shape.area_m2, "m**2", "cm**2"), "cm²", 5)


def rows() -> list[dict[str, str]]:
    """Return a row of an enquiry list for each piece that is wanted, its drawing written to disk.

    The cells name the files in full; `without_folder` shortens them for people.
    """
    quantities = st.session_state.get(_QUANTITIES, {})
    rows = []
    for outline in _outlines():
        quantity = quantities.get(outline.file, str(outline.drawn))
        if quantity == "0":
            continue
        _write(outline)
        cell = f"file {outline.file}, unit mm"
        rows.append({"shape": SHAPE, "dimensions": cell, "quantity": quantity})
    return rows


def _write(outline: Outline) -> None:
    from meshcore.supply.drawing.nest_dxf import shapes_dxf  # noqa: PLC0415 - heavy, and few orders need it

    if not outline.file.exists():
        outline.file.parent.mkdir(parents=True, exist_ok=True)
        outline.file.write_bytes(shapes_dxf([outline.shape]))


def without_folder(text: str) -> str:
    """Shorten the path of a drawing in a cell or message to the file's name."""
    if _FOLDER not in st.session_state:
        return text
    return re.sub(re.escape(str(_folder())) + r"/[^/]+/", "", text)


def piece_name(cell: str) -> str:
    """Name of the piece that a cell of `rows` stands for."""
    return Path(cell.partition(".dxf")[0]).name
