"""The truths beside the list files, and how what was read is held against them.

The files and their truths were written by hand, apart from the reader: each says which lines a
list holds, in which rows of the file, what each line says, and what must be asked about it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

import meshcore as mc
from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.alloys.records.spotting import names_alloy
from meshcore.enquiry import FORMS, WEAVES, Service
from meshcore.lists.reading import read_list
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.intake import EnquiryColumns, read_enquiries
from meshcore.supply.shapes.columns import PieceColumns, read_pieces

FOLDER = Path(__file__).parent
#: Truth's field → column, and how many of its unit make one of SI.
SIZES = {
    "mesh_count_per_in": ("mesh_count", 0.0254),
    "pitch_mm": ("pitch", 1e3),
    "aperture_mm": ("aperture", 1e3),
    "wire_diameter_mm": ("wire_diameter", 1e3),
    "open_area_pct": ("open_area", 100.0),
}
FIELDS = {name: column for name, (column, _) in SIZES.items()} | {
    "width_mm": "width", "length_mm": "length", "sizes_mm": "dimensions",
}  # fmt: skip
#: What the truths call a service → the service that is offered.
SERVICES = {"hemmed": "edge finish", "degreased": "clean", "welded": "weld seam",
            "annealed": "anneal"}  # fmt: skip
#: Sizes agree within this: truths are rounded to four places of a millimetre or more.
TOLERANCE = 1e-3


@dataclass
class Read:
    """One file as it was read."""

    table: pd.DataFrame
    columns: EnquiryColumns
    pieces: PieceColumns
    messages: dict[int, list[Message]]


@dataclass
class Score:
    """How the fields of the truths came out."""

    right: int = 0
    asked: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def truths() -> list[dict[str, Any]]:
    """Truths of all files, in order."""
    return [json.loads(path.read_text("utf-8")) for path in sorted(FOLDER.glob("[0-9]*.json"))]


def read(name: str, **options: Any) -> Read:
    """Read a file up to where specifications are completed."""
    return read_table(read_list(FOLDER / name, **options))


def read_table(table: pd.DataFrame) -> Read:
    """Read a table up to where specifications are completed."""
    registry = installed_registry()
    log = MessageLog(len(table))
    services = [s for _, s in plugins.installed().collect("meshcore_services", Service)]
    columns = read_enquiries(
        table, lambda text: resolve(registry, text), services,
        {"full roll": 30.48, "half roll": 15.24}, log, lambda text: names_alloy(registry, text),
    )  # fmt: skip
    pieces = read_pieces(
        columns.form, columns.shape, columns.dimensions, columns.width, columns.length, log
    )
    messages = mc.estimate_list(table).messages
    return Read(table, columns, pieces, messages)


def line_of(found: Read, line: dict[str, Any]) -> int:
    """Place of a truth's line among those that were read; -1 if it is not there."""
    row, sheet, column = line["file_row"], line.get("sheet", ""), line.get("file_column", "")
    for label in (row, f"{row} of {sheet}", f"{row} from column {column}"):
        places = [n for n, own in enumerate(found.table.index) if own == label]
        if places:
            return places[0]
    return -1


def judge(found: Read, line: dict[str, Any], score: Score, where: str) -> None:
    """Hold one line against its truth."""
    at = line_of(found, line)
    said = found.messages.get(at, [])
    asked = {m.field for m in said if m.severity != "note"}
    for name, expected, right in _compared(found, line, at):
        text = f"{where} row {line['file_row']} {name}: {expected}"
        column = FIELDS.get(name, name)
        also = {"dimensions": {"shape", "width", "length"}, "length": {"quantity"},
                "form": {"quantity", "shape"}, "services": {"note", "Bemerkung"},
                "mesh_count": {"description"}, "aperture": {"description"}}  # fmt: skip
        named = asked & ({column} | also.get(column, set()))
        if right:
            score.right += 1
        elif named or (column == "alloy" and not asked.isdisjoint({"alloy"})):
            score.asked.append(text)
        else:
            score.wrong.append(text)
    for name in line["asked"]:
        column = FIELDS.get(name, name)
        if column not in asked and not _left_open(found, column, at, asked):
            score.wrong.append(f"{where} row {line['file_row']} {name}: not asked about")


def _left_open(found: Read, column: str, at: int, asked: set[str]) -> bool:
    """Whether a field that is to be asked about holds nothing, so that its want stops the line."""
    if column in ("shape", "dimensions"):
        return bool({"shape", "dimensions"} & asked)
    if column in found.columns.readings:
        return bool(np.isnan(found.columns.readings[column].values[at])) or "description" in asked
    if column in ("width", "length"):
        size = found.columns.width if column == "width" else found.columns.length
        return bool({"dimensions", "form"} & asked) and not size.given[at]
    return False


def _compared(found: Read, line: dict[str, Any], at: int) -> Iterator[tuple[str, Any, bool]]:
    """Each field that the truth states, and whether it was read so."""
    columns = found.columns
    for name, expected in line.items():
        if name in line.get("may_be_asked", ()) or name in line["asked"]:
            continue
        if name in SIZES:
            column, factor = SIZES[name]
            yield name, expected, _near(columns.readings[column].values[at] * factor, expected)
        elif name in ("width_mm", "length_mm"):
            size = columns.width if name == "width_mm" else columns.length
            side = found.pieces.width_m if name == "width_mm" else found.pieces.length_m
            value = size.values[at] if size.given[at] else side[at]
            yield name, expected, _near(value * 1e3, expected)
        elif name == "quantity":
            yield name, expected, _near(columns.quantity[at], expected)
        elif name == "alloy":
            meant = resolve(installed_registry(), expected)
            yield name, expected, columns.alloy[at] == meant
        elif name == "weave":
            yield name, expected, WEAVES[columns.weave[at]] == expected
        elif name == "form":
            form = FORMS[columns.form[at]] if columns.form[at] >= 0 else ""
            yield name, expected, form == ("roll" if "roll" in expected else expected)
        elif name == "services":
            own_services = {s for s, rows in columns.services.items() if rows[at]}
            yield name, expected, own_services == {SERVICES[s] for s in expected}
        elif name == "sizes_mm":
            yield name, expected, _fits(found.pieces, at, line["shape"], expected)


def _fits(pieces: PieceColumns, at: int, shape: str, sizes: list[float]) -> bool:
    """Whether a piece has the area that its shape and sizes make [mm]."""
    area = pieces.area_m2[at] * 1e6
    first, *rest = sizes
    match shape:
        case "rectangle":
            expected = first * rest[0]
        case "disc":
            expected = np.pi / 4 * first**2
        case "ring":
            expected = np.pi / 4 * (first**2 - rest[0] ** 2)
        case "rounded rectangle":
            expected = first * rest[0] - (4 - np.pi) * rest[1] ** 2
        case "L":
            expected = first * rest[0] - rest[1] * rest[2]
        case "sector":
            expected = np.pi * (first**2 - rest[0] ** 2) * rest[1] / 360
        case "hexagon":
            expected = np.sqrt(3) / 2 * first**2
        case "half disc":
            expected = np.pi / 8 * first**2
        case "ellipse":
            expected = np.pi / 4 * first * rest[0]
        case "obround":
            expected = (first - rest[0]) * rest[0] + np.pi / 4 * rest[0] ** 2
        case "triangle":
            half = sum(sizes) / 2
            expected = np.sqrt(half * np.prod([half - side for side in sizes]))
        case _:
            raise AssertionError(f"no area is known of a {shape}")
    return _near(area, float(expected))


def _near(value: float, expected: float) -> bool:
    return bool(abs(value - expected) <= TOLERANCE * abs(expected))
