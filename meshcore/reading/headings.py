"""Headings of an enquiry list: the contract's own, and others that people use."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from meshcore import enquiry
from meshcore.reading.texts import tidy

#: Column that groups lines into orders; without it each line is an order of its own.
ORDER = "order"
#: Other headings that people use for the same column.
OTHER_HEADINGS: dict[str, str] = {
    "item": "line", "line no": "line", "pos": "line", "no": "line",
    "mesh": "mesh_count", "count": "mesh_count", "mesh count": "mesh_count",
    "opening": "aperture", "aperture size": "aperture", "hole": "aperture", "hole size": "aperture",
    "clear opening": "aperture", "wire": "wire_diameter", "wire dia": "wire_diameter",
    "wire diameter": "wire_diameter", "wire size": "wire_diameter", "dia": "wire_diameter",
    "gauge": "wire_diameter", "open area": "open_area", "oa": "open_area", "% open": "open_area",
    "weave type": "weave", "crimp": "weave", "material": "alloy", "grade": "alloy",
    "metal": "alloy", "type": "form", "supplied as": "form", "width": "width", "length": "length",
    "roll length": "length", "roll width": "width", "size": "dimensions", "qty": "quantity",
    "quantity required": "quantity", "pcs": "quantity", "number off": "quantity",
    "extras": "services", "operations": "services", "service": "services",
    "remarks": "note", "notes": "note", "comment": "note", "comments": "note",
    "order no": "order", "po": "order", "enquiry": "order",
}  # fmt: skip
_HEADING_UNIT = re.compile(r"^(?P<name>.*?)\s*[\[(](?P<unit>[^\])]*)[\])]\s*$")


@dataclass(frozen=True, slots=True)
class Headings:
    """Which column of a table holds what.

    Parameters
    ----------
    column
        Enquiry column → the table's own heading.
    unit
        Enquiry column → unit given in the heading.
    renamed
        Headings recognised under another name, for the report.
    unknown
        Headings that pass through untouched.
    doubled
        Place of each heading that is not read, as an earlier or better one has its column → that
        enquiry column.
    """

    column: Mapping[str, str]
    unit: Mapping[str, str]
    renamed: Mapping[str, str]
    unknown: tuple[str, ...]
    doubled: Mapping[int, str] = field(default_factory=dict)


def recognise_headings(headings: Sequence[str]) -> Headings:
    """Match headings to enquiry columns; an exact heading wins over a customary one.

    Examples
    --------
    >>> found = recognise_headings(["Mesh", "wire_diameter [mm]", "Buyer"])
    >>> found.column["mesh_count"], found.unit["wire_diameter"], found.unknown
    ('Mesh', 'mm', ('Buyer',))
    """
    column: dict[str, str] = {}
    unit: dict[str, str] = {}
    renamed: dict[str, str] = {}
    doubled: dict[int, str] = {}
    read: set[int] = set()
    known = {*enquiry.COLUMNS, ORDER}
    split = [(heading, *_split_heading(str(heading))) for heading in headings]
    for exact in (True, False):
        for place, (heading, name, heading_unit) in enumerate(split):
            target = name.replace(" ", "_") if exact else OTHER_HEADINGS.get(name, "")
            if target not in known or place in read or place in doubled:
                continue
            if target in column:
                doubled[place] = target
                continue
            column[target] = heading
            read.add(place)
            if heading_unit:
                unit[target] = heading_unit
            if target != name.replace(" ", "_"):
                renamed[str(heading)] = target
    unknown = tuple(h for h in headings if h not in column.values())
    return Headings(column, unit, renamed, unknown, doubled)


def _split_heading(heading: str) -> tuple[str, str]:
    matched = _HEADING_UNIT.match(tidy(heading))
    name, unit = (matched["name"], matched["unit"]) if matched else (tidy(heading), "")
    return name.casefold().strip(" .:").replace("_", " "), unit
