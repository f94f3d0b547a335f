"""Roll, strip or piece: which size of the form is which."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.finished import Finished, ask, cell_text, take
from meshcore.reading.letters.form_by_size import by_sizes, is_long, is_narrow, slit
from meshcore.reading.letters.piecing import read_piece, unit_beside
from meshcore.reading.letters.resolve import Customs, Size, resolve
from meshcore.reading.letters.settling import OF_PIECES


def read_form(line: Draft, customs: Customs, done: Finished) -> None:  # noqa: PLR0912, PLR0915
    """Read the form of a line, and its sizes by what the form needs."""
    form = line.value("form")
    shape = line.value("shape")
    dims = line.of("dim")
    if form == "piece" and shape == "rectangle" and any(f.role == "radius" for f in dims):
        shape = "rounded rectangle"
        line.facts = [replace(f, value=shape) if f.name == "shape" else f for f in line.facts]
    roles = {f.role for f in dims if not f.group}
    form = slit(line, form, dims, customs)
    if form == "piece" and shape == "rectangle" and len(dims) == 1 and roles == {"diameter"}:
        shape = "disc"
        line.facts = [replace(f, value=shape) if f.name == "shape" else f for f in line.facts]
    if form == "piece" and shape is None and is_long(dims, customs):
        form = "strip" if is_narrow(dims, customs) else "roll"
        here = replace(dims[0], item=None, origin="its sizes" if form == "strip" else "its length")
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
    sides = [f for f in dims if f.role != "radius"]
    if (
        form is None
        and line.has("counted")
        and len(sides) == 2  # noqa: PLR2004
        and by_sizes(sides, customs) != ("roll", None)
        and not any(f.role == "length" for f in sides)
    ):
        form, shape = "piece", "rectangle" if sides == dims else "rounded rectangle"
        counted = line.of("counted")[-1]
        line.facts += [
            replace(counted, name="form", value=form),
            replace(counted, name="shape", value=shape),
        ]
    if form is None and (rounded := _rounded(line, sides, dims)):
        form, shape = rounded
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
    if form is None and (shown := by_sizes(dims, customs)):
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


def _rounded(line: Draft, sides: Sequence[Fact], dims: Sequence[Fact]) -> tuple[str, str] | None:
    """Return form and shape of what has two sides and a radius of its corners, and set them."""
    radii = [f for f in dims if f.role == "radius"]
    if not radii or len(sides) != 2 or line.has("roll_length"):  # noqa: PLR2004
        return None
    form, shape = "piece", "rounded rectangle"
    here = replace(radii[0], item=None, origin=radii[0].text)
    line.facts += [replace(here, name="form", value=form), replace(here, name="shape", value=shape)]
    return form, shape


def _roll(line: Draft, form: str, dims: Sequence[Fact], customs: Customs, done: Finished) -> None:
    places: dict[str, Fact] = {}
    left: list[Fact] = []
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
        else:
            left.append(fact)
    for fact in left:
        if all(line.start <= f.start < line.end for f in dims):
            _ask_left(fact, dims, places)
    for fact in line.of("roll_length")[-1:]:
        done.values["length_mm"] = None
        take(done, "length", fact, str(fact.value))
        places.pop("length", None)
    if _is_turned(form, places, customs):
        places = {"width": places["length"], "length": places["width"]}
    for place, fact in places.items():
        _one(place, fact, form, customs, done, unit_beside(fact, dims))


def _ask_left(fact: Fact, dims: Sequence[Fact], places: dict[str, Fact]) -> None:
    """Ask about the size that one without a place may stand for: "1 m x 30 m in 15 m lengths"."""
    place = "width" if dims[0] is fact else "length"
    old = places.get(place)
    if not fact.group or fact.origin or old is None or old.origin:
        return
    if fact.item and old.item and fact.item.values != old.item.values:
        places[place] = replace(old, why=f'"{fact.text}" and "{old.text}" are both stated')


#: No loom is wider than this [mm] (common practice, no source): the other size is the width.
_WIDEST_LOOM = 4000.0


def _is_turned(form: str, places: dict[str, Fact], customs: Customs) -> bool:
    """Whether the length stands first: "2.4 m x 150 mm" for a strip, "30 m x 1 m" for a roll."""
    pair = [places.get("width"), places.get("length")]
    sizes = []
    for fact in pair:
        if fact is None or fact.item is None or fact.role or fact.why:
            return False
        beside = next((f.item.unit for f in pair if f and f.item and f.item.unit), "")
        if not fact.item.unit and not (form == "strip" and beside):
            return False
        sizes.append(resolve(fact.item, "length", form, customs, beside).mm)
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
