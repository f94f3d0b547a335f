"""Headings of an enquiry list: the contract's own, and others that people use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

from meshcore import enquiry
from meshcore.reading.tables.field_names import (
    DESCRIPTION,
    INNER,
    ORDER,
    OUTER,
    SIZE,
    UNIT_OF,
    UOM,
)
from meshcore.reading.tables.heading_neighbours import settled_beside
from meshcore.reading.tables.heading_units import (
    AMOUNTS,
    LENGTHS,
    counts_along,
    is_gauge,
    split_unit,
    unit_word,
)
from meshcore.reading.tables.heading_words import (
    beside_words,
    counted_words,
    folded,
    folded_words,
    heading_words,
    loose,
    loose_words,
)

if TYPE_CHECKING:
    import pandas as pd

#: Every column that a heading may stand for.
FIELDS = (*enquiry.COLUMNS, ORDER, UOM, SIZE, DESCRIPTION, OUTER, INNER, *UNIT_OF)
#: Columns of which a list may have several, all of them read.
SEVERAL = frozenset({DESCRIPTION, SIZE})
_GAUGE_SYSTEMS = frozenset({"SWG", "AWG", "BWG"})
_PER = frozenset({"/ in", "/ cm", "/ mm", "/ m"})
_COUNTED = frozenset({"roll", "strip", "piece"})
#: Units that may stand in the heading of each column; others have none.
_UNITS: dict[str, frozenset[str]] = {
    "mesh_count": _PER,
    "pitch": LENGTHS,
    "aperture": LENGTHS,
    "wire_diameter": LENGTHS | _GAUGE_SYSTEMS | {"gauge"},
    "open_area": frozenset({"%"}),
    "width": LENGTHS,
    "length": LENGTHS,
    "dimensions": LENGTHS,
    SIZE: LENGTHS,
    OUTER: LENGTHS,
    INNER: LENGTHS,
    "quantity": _COUNTED | AMOUNTS,
}


def heading_units(field: str) -> tuple[str, ...]:
    """Return the units that may stand in the heading of an enquiry column, in order.

    Examples
    --------
    >>> heading_units("open_area"), heading_units("alloy")
    (('%',), ())
    """
    return tuple(sorted(_UNITS.get(field, ()), key=str.casefold))


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
        Place of each heading whose enquiry column an earlier or better one has → that column. It
        fills what the first leaves blank, and is held against it.
    doubled_unit
        Place of such a heading → unit given in it.
    more
        Enquiry column → further headings of it that are read too, where it may have several.
    """

    column: Mapping[str, str]
    unit: Mapping[str, str]
    renamed: Mapping[str, str]
    unknown: tuple[str, ...]
    doubled: Mapping[int, str] = field(default_factory=dict)
    more: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    doubled_unit: Mapping[int, str] = field(default_factory=dict)


def recognise_headings(headings: Sequence[str]) -> Headings:
    """Match headings to enquiry columns; an exact heading wins over a customary one.

    Examples
    --------
    >>> found = recognise_headings(["Mesh", "wire_diameter [mm]", "Buyer"])
    >>> found.column["mesh_count"], found.unit["wire_diameter"], found.unknown
    ('Mesh', 'mm', ('Buyer',))
    >>> recognise_headings(["Draht in Zoll", "Rollen"]).unit
    {'wire_diameter': 'in', 'quantity': 'roll'}
    """
    names = [str(h) for h in headings]
    return headings_as(list(zip(names, *zip(*meanings_beside(names), strict=True), strict=True)))


def meanings_beside(headings: Sequence[str]) -> list[tuple[str, str]]:
    """Return the meaning of each heading, as those beside it tell: W is the width beside an L.

    Examples
    --------
    >>> meanings_beside(["W", "L (m)"]), meanings_beside(["W", "Length"])
    ([('width', ''), ('length', 'm')], [('aperture', ''), ('length', '')])
    """
    return settled_beside([heading_meaning(heading) for heading in headings], headings)


def priced_from(headings: Sequence[str]) -> int:
    """Return the place from which a list's columns are those that pricing added; else its length.

    Examples
    --------
    >>> priced_from(["alloy", "note", "status", "messages", "pitch_mm"]), priced_from(["alloy"])
    (2, 1)
    """
    for place in range(len(headings) - 1):
        if (headings[place], headings[place + 1]) == ("status", "messages"):
            return place
    return len(headings)


def headings_as(meanings: Sequence[tuple[str, str, str]]) -> Headings:
    """Headings from (heading, column or empty, unit or empty), in the order of the table."""
    column: dict[str, str] = {}
    unit: dict[str, str] = {}
    renamed: dict[str, str] = {}
    doubled: dict[int, str] = {}
    doubled_unit: dict[int, str] = {}
    more: dict[str, tuple[str, ...]] = {}
    read: set[int] = set()
    own = meanings[: priced_from([heading for heading, _, _ in meanings])]
    for exact in (True, False):
        for place, (heading, target, heading_unit) in enumerate(own):
            if not target or exact != _is_own_name(heading, target):
                continue
            if target in column and target in SEVERAL:
                more[target] = (*more.get(target, ()), heading)
            elif target in column:
                doubled[place] = target
                if heading_unit:
                    doubled_unit[place] = heading_unit
                continue
            else:
                column[target] = heading
                if heading_unit:
                    unit[target] = heading_unit
            read.add(place)
            if not exact:
                renamed[heading] = target
    used = {*column.values(), *(h for several in more.values() for h in several)}
    unknown = tuple(
        heading for place, (heading, _, _) in enumerate(meanings)
        if heading not in used and place not in doubled
    )  # fmt: skip
    return Headings(column, unit, renamed, unknown, doubled, more, doubled_unit)


def headings_of(table: pd.DataFrame) -> Headings:
    """Headings of a table: as they were settled when it was read, else recognised now."""
    names = [str(c) for c in table.columns]
    settled = getattr(table, "headings", None)
    if isinstance(settled, Headings) and {*settled.column.values()} <= {*names}:
        return _with_added(settled, names)
    return recognise_headings(names)


def _with_added(settled: Headings, names: Sequence[str]) -> Headings:
    """Return settled headings with those of columns that were put beside them since."""
    several = (heading for headings in settled.more.values() for heading in headings)
    known = {*settled.column.values(), *settled.unknown, *several}
    added = [
        name for place, name in enumerate(names)
        if name not in known and place not in settled.doubled
    ]  # fmt: skip
    column, unit, unknown = {**settled.column}, {**settled.unit}, [*settled.unknown]
    for name in added:
        target, its_unit = heading_meaning(name)
        if not target or target in column:
            unknown.append(name)
            continue
        column[target] = name
        if its_unit:
            unit[target] = its_unit
    return replace(settled, column=column, unit=unit, unknown=tuple(unknown)) if added else settled


def with_fields(table: pd.DataFrame, names: Iterable[str]) -> pd.DataFrame:
    """Return a table with a blank column for each of some enquiry columns that it lacks.

    They are read too: what a list's own headings were settled to be would pass over them.
    """
    settled = headings_of(table)
    new = [name for name in dict.fromkeys(names) if name not in settled.column]
    if not new:
        return table
    wide = table.copy()
    for name in new:
        wide[name] = ""
    if isinstance(getattr(table, "headings", None), Headings):
        own = {name: name for name in new}
        # Told to the table as the reader of lists does; no column of pandas' own.
        object.__setattr__(wide, "headings", replace(settled, column={**settled.column, **own}))
    return wide


def _is_own_name(heading: str, target: str) -> bool:
    return split_unit(heading)[0].replace(" ", "_") == target


def heading_meaning(heading: str) -> tuple[str, str]:
    """Return the column that a heading stands for, and its unit; both empty if unknown.

    Examples
    --------
    >>> heading_meaning("Breite mm"), heading_meaning("SWG"), heading_meaning("No. of rolls")
    (('width', 'mm'), ('wire_diameter', 'SWG'), ('quantity', 'roll'))
    >>> heading_meaning("Buyer"), heading_meaning("Open area %"), heading_meaning("Ø mm")
    (('', ''), ('open_area', '%'), ('', ''))
    """
    return _meanings(id(heading_words()), heading)


#: A gauge whose system no heading says.
GAUGE = "gauge"
#: A letter and the units with which it is a size of a roll: no opening is headed in metres.
_LETTERS: Mapping[str, tuple[str, frozenset[str]]] = {
    "l": ("length", LENGTHS), "w": ("width", frozenset({"m", "ft", "yd"})), "b": ("width", LENGTHS),
}  # fmt: skip


@lru_cache(maxsize=16384)
def _meanings(_vocabulary: int, heading: str) -> tuple[str, str]:  # noqa: PLR0911 - one return for each sort of heading
    """Meaning of a heading; kept apart by vocabulary, to which a mill may add words."""
    whole = folded(heading)
    if said := folded_words("heading_with_unit").get(whole):
        target, _, unit = said.partition(" in ")
        return target, unit
    name, unit, inside = split_unit(heading)
    if counts_along(whole, name, unit):
        return "mesh_count", unit
    if name in _LETTERS and unit in _LETTERS[name][1]:
        return _LETTERS[name][0], unit
    if unit_word(heading) in _GAUGE_SYSTEMS:
        return "wire_diameter", unit_word(heading)
    if counted := counted_words().get(whole) or loose_words("heading_counted").get(loose(whole)):
        return "quantity", counted
    target = _target(whole) or _target(name)
    if not target and inside and name in counted_words():
        target, unit = "quantity", counted_words()[name]
    if not target:
        target = _target(f"{name} {folded(inside)}") if inside else ""
    if not target:
        return "", ""
    if target == "wire_diameter" and not unit and any(is_gauge(word) for word in name.split()):
        return target, GAUGE
    if unit.startswith("/ ") and unit[2:] in _UNITS.get(target, ()):
        unit = unit[2:]  # "Width / mm"
    if unit and unit not in _UNITS.get(target, ()):
        return _measured(name, unit) or ((target, "") if _target(whole) else ("", ""))
    if inside and not _changes_nothing(inside):
        return target, inside if target in _UNITS else ""
    return target, unit


def _measured(name: str, unit: str) -> tuple[str, str] | None:
    """Meaning of a name that its unit decides: a "mesh" in mm is an opening; else None."""
    target = _target(folded(f"{name} {unit}"))
    return (target, unit) if target and unit in _UNITS.get(target, ()) else None


def _target(name: str) -> str:
    own = name.replace(" ", "_")
    if own in FIELDS:
        return own
    words = heading_words()
    if name in words:
        return words[name]
    bare = " ".join(w for w in name.split() if w not in beside_words())
    if (
        found := (words.get(bare, "") or loose_words("heading").get(loose(bare), ""))
        if bare
        else ""
    ):
        return found
    parts = [part.strip() for part in name.split("/")]
    each = {words.get(part) or ("quantity" if part in counted_words() else "") for part in parts}
    return each.pop() if len(parts) > 1 and len(each) == 1 else ""


def _changes_nothing(inside: str) -> bool:
    return all(word in beside_words() for word in folded(inside).split())
