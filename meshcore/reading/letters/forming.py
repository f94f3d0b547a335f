"""Roll, strip or piece: which size of the form is which."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.finished import Finished, ask, cell_text, take
from meshcore.reading.letters.piecing import read_piece, unit_beside
from meshcore.reading.letters.resolve import Customs, Size, resolve
from meshcore.reading.letters.settling import OF_PIECES


def read_form(line: Draft, customs: Customs, done: Finished) -> None:  # noqa: PLR0912
    """Read the form of a line, and its sizes by what the form needs."""
    form = line.value("form")
    shape = line.value("shape")
    dims = line.of("dim")
    if form == "piece" and shape == "rectangle" and any(f.role == "radius" for f in dims):
        shape = "rounded rectangle"
        line.facts = [replace(f, value=shape) if f.name == "shape" else f for f in line.facts]
    roles = {f.role for f in dims if not f.group}
    form = _slit(line, form, dims, customs)
    if form == "piece" and shape == "rectangle" and len(dims) == 1 and roles == {"diameter"}:
        shape = "disc"
        line.facts = [replace(f, value=shape) if f.name == "shape" else f for f in line.facts]
    if form == "piece" and shape is None and _is_long(dims, customs):
        form = "roll"
        here = replace(dims[0], item=None, origin="its length")
        line.facts.append(replace(here, name="form", value=form))
    if form == "piece" and shape is None and dims:
        shape = (
            "ring"
            if {"od", "id"} <= roles
            else "disc"
            if any(f.role == "diameter" for f in dims)
            else "rectangle"
        )
        line.facts.append(replace(line.of("form")[-1], name="shape", value=shape))
    if (
        form is None
        and line.has("counted")
        and len(dims) == 2  # noqa: PLR2004
        and not any(f.role == "length" for f in dims)
    ):
        form, shape = "piece", "rectangle"
        counted = line.of("counted")[-1]
        line.facts += [
            replace(counted, name="form", value=form),
            replace(counted, name="shape", value=shape),
        ]
    edged = [f for f in line.of("services") if f.value in OF_PIECES]
    if form is None and edged and len(dims) == 2:  # noqa: PLR2004
        form, shape = "piece", "rectangle"
        line.facts += [
            replace(edged[0], name=n, value=v) for n, v in (("form", form), ("shape", shape))
        ]
    if form is None and any(f.role in ("diameter", "od") and not f.group for f in dims):
        form, shape = "piece", "ring" if any(f.role == "id" for f in dims) else "disc"
        line.facts += [
            replace(dims[0], name="form", value=form, item=None),
            replace(dims[0], name="shape", value=shape, item=None),
        ]
    if form is None and (shown := _by_sizes(dims, customs)):
        form, shape = shown
        here = replace(dims[0], item=None, origin="its two sizes")
        line.facts.append(replace(here, name="form", value=form))
        if shape is not None:
            line.facts.append(replace(here, name="shape", value=shape))
    for fact in line.of("form")[-1:]:
        done.values["form"] = form
        take(done, "form", fact, str(form))
    if form in ("roll", "strip"):
        _roll(line, str(form), dims, customs, done)
        return
    if form == "piece":
        for fact in line.of("shape")[-1:]:
            done.values["shape"] = shape
            take(done, "shape", fact, str(shape))
        if shape is not None:
            read_piece(str(shape), line, dims, customs, done)
        return
    if len({f.group for f in dims}) == 1 and len(dims) > 1 and dims[0].group:
        return
    for fact in dims:
        if fact.role in ("width", "length"):
            _one(fact.role, fact, "roll", customs, done, "")


#: Sheets are cut from cloth no longer than this [mm], and rolls are not woven shorter than the
#: other (common practice, no source); between the two, the form is asked.
_LONGEST_SHEET, _SHORTEST_ROLL = 3100.0, 5000.0
#: A sheet is at most so many times as long as wide, a roll at least (our choice).
_SHEET_RATIO, _ROLL_RATIO = 4.5, 4.0


def _by_sizes(dims: Sequence[Fact], customs: Customs) -> tuple[str, str | None] | None:
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
        return "roll", None
    return None


def _slit(
    line: Draft, form: str | float | None, dims: Sequence[Fact], customs: Customs
) -> str | float | None:
    """Form of a line; cloth that is slit to a narrow width is strip."""
    if form not in (None, "roll") or not line.has("slit") or not _is_narrow(dims, customs):
        return form
    line.facts = [f for f in line.facts if f.name != "form"]
    line.facts += [replace(f, name="form", origin=f.text) for f in line.of("slit")[-1:]]
    return "strip"


#: Strips that are slit from rolls are narrower than this [mm] (our choice); wider ones are rolls.
_WIDEST_STRIP = 300.0


def _is_narrow(dims: Sequence[Fact], customs: Customs) -> bool:
    """Whether the least of the sizes is a strip's width."""
    sizes = [
        resolve(f.item, "width", "strip", customs, unit_beside(f, dims)).mm
        for f in dims
        if f.item is not None and not f.why
    ]
    known = [mm for mm in sizes if mm is not None]
    return bool(known) and min(known) < _WIDEST_STRIP


def _is_long(dims: Sequence[Fact], customs: Customs) -> bool:
    """Whether a width and a length say that a "piece" is one off the roll: "40 in wide, 25 ft"."""
    by_role = {f.role: f for f in dims if f.item is not None and not f.why}
    if set(by_role) != {"width", "length"}:
        return False
    length = by_role["length"].item
    mm = None if length is None else resolve(length, "length", "roll", customs).mm
    return mm is not None and mm >= _SHORTEST_ROLL


def _roll(line: Draft, form: str, dims: Sequence[Fact], customs: Customs, done: Finished) -> None:
    places: dict[str, Fact] = {}
    for fact in dims:
        role = (
            fact.role
            if fact.role in ("width", "length")
            else "width"
            if fact.role == "height"
            else ""
        )
        free = [
            p
            for p in ("width", "length")
            if p not in places and not any(f.role == p for f in dims if f is not fact)
        ]
        place = role or (free[0] if free else "")
        if role and role in places:
            old = places[role]
            if fact.item and old.item and fact.item.values != old.item.values:
                places[role] = replace(old, why=f'"{old.text}" and "{fact.text}" are both stated')
        elif place:
            places[place] = fact
    for fact in line.of("roll_length")[-1:]:
        done.values["length_mm"] = None
        take(done, "length", fact, str(fact.value))
        places.pop("length", None)
    if _is_turned(form, places, customs):
        places = {"width": places["length"], "length": places["width"]}
    for place, fact in places.items():
        _one(place, fact, form, customs, done, unit_beside(fact, dims))


#: No loom is wider than this [mm] (common practice, no source): the other size is the width.
_WIDEST_LOOM = 4000.0


def _is_turned(form: str, places: dict[str, Fact], customs: Customs) -> bool:
    """Whether the length stands first: "2.4 m x 150 mm" for a strip, "30 m x 1 m" for a roll."""
    pair = [places.get("width"), places.get("length")]
    sizes = []
    for fact in pair:
        if fact is None or fact.item is None or fact.role or fact.why or not fact.item.unit:
            return False
        sizes.append(resolve(fact.item, "length", form, customs).mm)
    first, second = sizes
    if first is None or second is None or first <= second:
        return False
    return form == "strip" or (first > _WIDEST_LOOM and second <= _WIDEST_LOOM)


def _one(place: str, fact: Fact, form: str, customs: Customs, done: Finished, beside: str) -> None:
    if fact.item is None:
        return
    size = (
        Size(None, why=fact.why) if fact.why else resolve(fact.item, place, form, customs, beside)
    )
    if size.mm is None:
        ask(done, place, fact, size.why)
        return
    done.values[f"{place}_mm"] = size.mm
    take(done, place, fact, cell_text(fact, size, place))
