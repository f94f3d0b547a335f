"""What a heading stands for where those beside it tell: an L beside a W, a Ø beside shapes."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from meshcore.reading.tables.field_names import INNER, OUTER, UNIT_OF, UOM
from meshcore.reading.tables.heading_units import LENGTHS, split_unit
from meshcore.reading.tables.heading_words import folded, folded_words

#: A heading's column, empty where it has none, and its unit.
Meaning = tuple[str, str]
#: From these a cloth is known but for its wire.
_CLOTH = frozenset({"mesh_count", "aperture", "pitch"})
#: Units of a length, or none.
_LENGTH_UNITS = frozenset({"", *LENGTHS})
#: Units of a length that cloth is ordered by.
_RUNNING_UNITS = frozenset({"", "m", "ft", "yd"})


def settled_beside(meanings: Sequence[Meaning], headings: Sequence[str]) -> list[Meaning]:
    """Return the meaning of each heading, as those beside it tell.

    Parameters
    ----------
    meanings
        What each heading stands for by itself.
    headings
        As they stand in the list.
    """
    split = [split_unit(heading)[:2] for heading in headings]
    settled = _with_diameters(list(meanings), split)
    settled = _with_widths(settled, split)
    settled = _with_pitches(settled, split)
    settled = _with_thicknesses(settled, split)
    settled = _with_running_lengths(settled, headings, split)
    return _with_units_behind(settled)


def _with_diameters(meanings: list[Meaning], split: Sequence[Meaning]) -> list[Meaning]:
    """Settle a bare diameter: the wire's where no other is, a disc's beside shapes and wire."""
    known = {field for field, _ in meanings}
    wire, cloth = "wire_diameter" in known, known & _CLOTH
    shaped = known & {"shape", "form", INNER}
    meant = "wire_diameter" if cloth and not wire else OUTER if wire and shaped else ""
    return _given(meanings, split, meant, folded_words("heading_diameter")) if meant else meanings


def _given(
    meanings: list[Meaning], split: Sequence[Meaning], field: str, names: Collection[str]
) -> list[Meaning]:
    """Give a column to headings of some names that stand for none, and have a unit of length."""
    return [
        (field, unit) if not meaning[0] and name in names and unit in _LENGTH_UNITS else meaning
        for meaning, (name, unit) in zip(meanings, split, strict=True)
    ]


def _with_widths(meanings: list[Meaning], split: Sequence[Meaning]) -> list[Meaning]:
    """Take W or B for the width beside an L."""
    names = [name for name, _ in split]
    if "l" not in names or not {"w", "b"} & {*names}:
        return meanings
    fields = {"w": "width", "b": "width", "l": "length"}
    return [
        (fields[name], unit) if name in fields and unit in _LENGTH_UNITS else meaning
        for meaning, (name, unit) in zip(meanings, split, strict=True)
    ]


def _with_pitches(meanings: list[Meaning], split: Sequence[Meaning]) -> list[Meaning]:
    """Take t for the pitch beside w, as German lists write it: t = w + d."""
    known = {field for field, _ in meanings}
    if "pitch" in known or "mesh_count" in known or ("aperture", "w") not in {
        (field, name) for (field, _), (name, _) in zip(meanings, split, strict=True)
    }:  # fmt: skip
        return meanings
    return _given(meanings, split, "pitch", {"t"})


def _with_thicknesses(meanings: list[Meaning], split: Sequence[Meaning]) -> list[Meaning]:
    """Take a thickness for the wire's, to be asked, where nothing else tells the wire."""
    known = {field for field, _ in meanings}
    if "wire_diameter" in known or len(known & {*_CLOTH, "open_area"}) != 1:
        return meanings
    return _given(meanings, split, "wire_diameter", folded_words("heading_thickness"))


def _with_running_lengths(
    meanings: list[Meaning], headings: Sequence[str], split: Sequence[Meaning]
) -> list[Meaning]:
    """Settle running metres and total lengths: what is ordered where nothing else says how many."""
    known = {field for field, _ in meanings}
    if "quantity" in known:
        return meanings if "length" in known else _as_lengths(meanings, headings)
    running, total = folded_words("heading_running"), folded_words("heading_total")
    settled = list(meanings)
    for place, (heading, (name, unit)) in enumerate(zip(headings, split, strict=True)):
        whole = folded(heading)
        measured = running.get(whole, "") or (unit if {whole, name} & total.keys() else None)
        if settled[place][0] in ("", "length") and measured in _RUNNING_UNITS:
            settled[place] = ("quantity", str(measured))
            break
    return settled


def _as_lengths(meanings: list[Meaning], headings: Sequence[str]) -> list[Meaning]:
    """Take a column of running metres for the length beside a number of things."""
    running = folded_words("heading_running")
    return [
        ("length", running[folded(heading)]) if not field and folded(heading) in running else one
        for one, (field, _), heading in zip(meanings, meanings, headings, strict=True)
    ]


def _with_units_behind(meanings: list[Meaning]) -> list[Meaning]:
    """Give each of several columns of units to the size before it."""
    if sum(field == UOM for field, _ in meanings) < 2:  # noqa: PLR2004 - several
        return meanings
    sizes = set(UNIT_OF.values())
    settled = list(meanings)
    for place in range(1, len(meanings)):
        (before, unit), (field, _) = meanings[place - 1], meanings[place]
        if field == UOM and before in sizes and not unit:
            settled[place] = (f"{before}_unit", "")
    return settled
