"""How the buyer writes: which units, which numbers of their own, and by when."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources

from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message, writable
from meshcore.reading.columns import cell_texts
from meshcore.reading.tables.cells import column_under
from meshcore.reading.texts import is_blank, read_text
from meshcore.reading.vocabulary import fold
from meshcore.units import Kind

#: Units that whoever writes them thinks in inches.
_INCH_UNITS = frozenset({"in", "ft", "yd", "mil", "thou"})
#: Columns that tell in which units the buyer thinks, and what each holds.
_TELLING: tuple[tuple[str, Kind], ...] = (
    ("width", "length"), ("length", "length"), ("wire_diameter", "length"),
    ("aperture", "length"), ("pitch", "length"),
)  # fmt: skip


def cells_of(estimates: EstimateSet, name: str) -> Sequence[str]:
    """Return the texts of an enquiry column, as they were typed; blank where there is none."""
    heading = estimates.headings.column.get(name)
    if heading is None:
        return [""] * len(estimates)
    return [writable(str(text)) for text in cell_texts(column_under(estimates.enquiries, heading))]


def own_text(estimates: EstimateSet, what: str) -> list[str]:
    """Return the buyer's own numbers (``reference``) or dates (``wanted_by``) of each line.

    They stand in columns that no price is made from, under a heading of ``buyers_columns.toml``.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    names = buyers_headings()[what]
    found = [""] * len(estimates)
    # A part number beside a column of items is read as a second name of the line: theirs too.
    seconds = {
        str(estimates.enquiries.columns[place]): estimates.enquiries.iloc[:, place]
        for place, name in estimates.headings.doubled.items()
        if name == "line"
    }
    for heading, cells in (*estimates.orders.own.items(), *seconds.items()):
        if fold(str(heading).strip(" :.?#*")) in names:
            texts = [writable(text).strip() for text in cell_texts(pd.Series(cells))]
            found = [old or ("" if is_blank(text) else text)
                     for old, text in zip(found, texts, strict=True)]  # fmt: skip
    return found


@cache
def buyers_headings() -> Mapping[str, frozenset[str]]:
    """Return the headings under which buyers write numbers and dates of their own, folded."""
    file = resources.files("meshcore.documents").joinpath("buyers_columns.toml")
    held = tomllib.loads(file.read_text("utf-8"))
    return {
        what: frozenset(fold(name) for names in by_language.values() for name in names)
        for what, by_language in held.items()
    }


def thinks_in_inches(estimates: EstimateSet, own: Mapping[str, str]) -> bool:
    """Whether the buyer writes the sizes of a line in inches: the first size that tells decides.

    A line that gives no size with its unit but a mesh count by the inch is of one who does.
    """
    for name, kind in _TELLING:
        if is_blank(own[name]):
            continue
        read = read_text(own[name], kind, name, estimates.headings.unit.get(name, ""))
        if not isinstance(read, Message) and read.unit:
            return read.unit in _INCH_UNITS
    count = read_text(own["mesh_count"], "count", "mesh_count")
    return not isinstance(count, Message) and "in" in count.unit


def counted_by(own: Mapping[str, str]) -> str:
    """Return ``in`` or ``cm``, by which the buyer counts meshes; empty where no count is given.

    A bare count is by the inch, as it is read.
    """
    if is_blank(own["mesh_count"]):
        return ""
    count = read_text(own["mesh_count"], "count", "mesh_count")
    if isinstance(count, Message):
        return ""
    return "cm" if {"cm", "m", "mm"} & set(count.unit.replace("/", " ").split()) else "in"
