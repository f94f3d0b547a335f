"""The form that sizes show where no word does, or where a word may mean two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.piecing import unit_beside
from meshcore.reading.letters.resolve import Customs, resolve

#: Sheets are cut from cloth no longer than this [mm], and rolls are not woven shorter than the
#: other (common practice, no source); between the two, the form is asked.
_LONGEST_SHEET, _SHORTEST_ROLL = 3100.0, 5000.0
#: A sheet is at most so many times as long as wide, a roll at least (our choice).
_SHEET_RATIO, _ROLL_RATIO = 4.5, 4.0


def by_sizes(dims: Sequence[Fact], customs: Customs) -> tuple[str, str | None] | None:
    """Form that two sizes side by side show where no word does: 1200 x 2400 mm is a sheet."""
    if len(dims) != 2 or any(f.item is None or f.why for f in dims):  # noqa: PLR2004
        return None
    if any(f.role not in ("", "width", "height", "length", "side") for f in dims):
        return None
    sizes = [
        resolve(f.item, "dimensions", "piece", customs, unit_beside(f, dims)).mm
        for f in dims
        if f.item is not None
    ]
    if any(mm is None for mm in sizes):
        return None
    low, high = sorted(mm for mm in sizes if mm is not None)
    crossed = dims[0].group and dims[0].group == dims[1].group
    if crossed and high <= _LONGEST_SHEET and high <= _SHEET_RATIO * low:
        return "piece", "rectangle"
    if high >= _SHORTEST_ROLL and high >= _ROLL_RATIO * low:
        return "strip" if is_narrow(dims, customs) else "roll", None
    return None


def slit(
    line: Draft, form: str | float | None, dims: Sequence[Fact], customs: Customs
) -> str | float | None:
    """Form of a line; cloth that is slit to a narrow width is strip."""
    if form not in (None, "roll") or not line.has("slit") or not is_narrow(dims, customs):
        return form
    line.facts = [f for f in line.facts if f.name != "form"]
    line.facts += [replace(f, name="form", origin=f.text) for f in line.of("slit")[-1:]]
    return "strip"


#: Strips that are slit from rolls are narrower than this [mm] (our choice); wider ones are rolls.
_WIDEST_STRIP = 300.0


def is_narrow(dims: Sequence[Fact], customs: Customs) -> bool:
    """Whether the least of the sizes is a strip's width."""
    sizes = [
        resolve(f.item, "width", "strip", customs, unit_beside(f, dims)).mm
        for f in dims
        if f.item is not None and not f.why
    ]
    known = [mm for mm in sizes if mm is not None]
    return bool(known) and min(known) < _WIDEST_STRIP


def is_long(dims: Sequence[Fact], customs: Customs) -> bool:
    """Whether a width and a length say that a "piece" is one off the roll: "40 in wide, 25 ft"."""
    by_role = {f.role: f for f in dims if f.item is not None and not f.why}
    if set(by_role) != {"width", "length"}:
        return False
    length = by_role["length"].item
    mm = None if length is None else resolve(length, "length", "roll", customs).mm
    return mm is not None and mm >= _SHORTEST_ROLL
