"""From drafts to the cells and numbers of the lines, with what is to be asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.resolve import MM_OF, Customs, Size, resolve
from meshcore.reading.texts import read_text
from meshcore.messages import Message

#: Sizes of each shape in the customary order: role → its name in the dimensions of an enquiry.
SHAPES: dict[str, tuple[tuple[str, str], ...]] = {
    "rectangle": (("width", "width"), ("height", "height")),
    "rounded rectangle": (("width", "width"), ("height", "height"), ("radius", "radius")),
    "disc": (("diameter", "diameter"),),
    "ring": (("od", "outer diameter"), ("id", "inner diameter")),
    "triangle": (("side", "a"), ("side", "b"), ("side", "c")),
    "trapezoid": (("base", "base"), ("top", "top"), ("height", "height")),
    "ellipse": (("width", "width"), ("height", "height")),
}
_MM_PER_INCH = 25.4
_TRUST_SIZE = ("aperture", "pitch")


@dataclass(slots=True)
class Finished:
    """One line finished: cells of an enquiry list, numbers, evidence and questions."""

    cells: dict[str, str] = field(default_factory=dict)
    values: dict[str, object] = field(default_factory=dict)
    asked: list[tuple[str, str]] = field(default_factory=list)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    evidence: list[tuple[str, Fact]] = field(default_factory=list)


def finish(line: Draft, customs: Customs) -> Finished:
    """Finish one line."""
    done = Finished()
    _cloth(line, customs, done)
    _words(line, done)
    _form(line, customs, done)
    _quantity(line, done)
    for fact in line.of("papers")[:1]:
        for column in ("mesh_count", "aperture", "wire_diameter", "alloy"):
            if column not in done.cells:
                _ask(done, column, fact, f'"{fact.text}": which cloth was that?')
    done.cells["note"] = "; ".join(dict.fromkeys(line.notes))
    return done


def _take(done: Finished, column: str, fact: Fact, cell: str) -> None:
    done.cells[column] = cell
    done.evidence.append((column, fact))


def _ask(done: Finished, column: str, fact: Fact, why: str) -> None:
    done.asked.append((column, why))
    done.evidence.append((column, fact))


def _cloth(line: Draft, customs: Customs, done: Finished) -> None:
    for fact in line.of("pair")[:1]:
        shown = " x ".join(f.text for f in line.of("pair"))
        for column in ("mesh_count", "aperture", "wire_diameter"):
            if not line.has(column):
                _ask(done, column, fact, f'"{shown}": count, opening or wire?')
    for fact in line.of("hole_or_pitch")[:1]:
        for column in ("aperture", "pitch"):
            if not line.has(column):
                _ask(done, column, fact, f'"{fact.text} mesh": the opening or the pitch?')
    for fact in line.of("mesh_count")[-1:]:
        _count(fact, customs, done)
    for column in _TRUST_SIZE:
        for fact in line.of(column)[-1:]:
            _size(column, fact, customs, done, None)
    for fact in line.of("open_area")[-1:]:
        if fact.item is not None and not fact.why:
            done.values["open_area_pct"] = fact.item.values[0]
            _take(done, "open_area", fact, f"{fact.item.values[0]:g} %")
    pitch = _pitch(done, line)
    for fact in line.of("wire_diameter")[-1:]:
        if line.has("pair") and any(f.group == fact.group and fact.group for f in line.of("pair")):
            if fact.why:
                _ask(done, "wire_diameter", fact, fact.why)
            continue
        _size("wire_diameter", fact, customs, done, pitch)


def _pitch(done: Finished, line: Draft) -> float | None:
    count = done.values.get("mesh_count_per_in")
    if isinstance(count, float) and count:
        return _MM_PER_INCH / count
    for name in ("pitch_mm", "aperture_mm"):
        found = done.values.get(name)
        if isinstance(found, float):
            return found
    return None


def _count(fact: Fact, customs: Customs, done: Finished) -> None:
    item = fact.item
    if item is None:
        return
    if fact.why:
        _ask(done, "mesh_count", fact, fact.why)
        return
    per = 2.54 if item.unit == "/cm" else 1.0
    done.values["mesh_count_per_in"] = min(item.values) * per
    unit = "/ cm" if item.unit == "/cm" else "/ in"
    _take(done, "mesh_count", fact, f"{min(item.values):g} {unit}")


def _size(column: str, fact: Fact, customs: Customs, done: Finished, pitch: float | None) -> None:
    if fact.item is None:
        return
    size = Size(None, why=fact.why) if fact.why else resolve(fact.item, column, "", customs, "", pitch)
    if size.mm is None:
        _ask(done, column, fact, size.why)
        return
    done.values[f"{column}_mm"] = size.mm
    _take(done, column, fact, cell_text(fact, size, column))


def cell_text(fact: Fact, size: Size, column: str) -> str:
    """Words of a size as they stood, where the list reader reads just this from them."""
    written = fact.text if fact.item is not None and fact.item.unit else f"{fact.text} {size.unit}"
    read = read_text(written, "length", column)
    if not isinstance(read, Message) and size.mm is not None and abs(read.value * 1000.0 - size.mm) <= 1e-6 * size.mm:
        return written
    if size.unit in MM_OF or size.unit in ("SWG", "BWG", "AWG"):
        written = f"{size.number:.10g} {size.unit}"
        read = read_text(written, "length", column)
        if not isinstance(read, Message) and size.mm is not None and abs(read.value * 1000.0 - size.mm) <= 1e-6 * size.mm:
            return written
    return f"{size.mm:.10g} mm"


def _words(line: Draft, done: Finished) -> None:
    for fact in line.of("weave")[-1:]:
        done.values["weave"] = fact.value
        _take(done, "weave", fact, str(fact.value))
    for fact in line.of("alloy")[-1:]:
        if fact.why:
            _ask(done, "alloy", fact, fact.why)
            done.choices["alloy"] = tuple(str(fact.value).split("|"))
            continue
        done.values["alloy"] = fact.value
        _take(done, "alloy", fact, str(fact.value))
        if fact.value in ("stainless steel", "bronze"):
            done.asked.append(("alloy", f'"{fact.text}": which grade?'))
    services = list(dict.fromkeys(str(f.value) for f in line.of("services")))
    done.values["services"] = services
    if services:
        done.cells["services"] = ", ".join(services)
        done.evidence += [("services", f) for f in line.of("services")]


def _quantity(line: Draft, done: Finished) -> None:
    for fact in line.of("quantity")[-1:]:
        if fact.why:
            _ask(done, "quantity", fact, fact.why)
            continue
        done.values["quantity"] = int(float(fact.value))
        _take(done, "quantity", fact, f"{float(fact.value):g}")


def _form(line: Draft, customs: Customs, done: Finished) -> None:
    form = line.value("form")
    shape = line.value("shape")
    dims = line.of("dim")
    if form == "piece" and shape == "rectangle" and any(f.role == "radius" for f in dims):
        shape = "rounded rectangle"
        line.facts = [replace(f, value=shape) if f.name == "shape" else f for f in line.facts]
    if form == "piece" and shape is None and dims:
        shape = "ring" if any(f.role == "od" for f in dims) else "disc" if any(f.role == "diameter" for f in dims) else "rectangle"
        line.facts.append(replace(line.of("form")[-1], name="shape", value=shape))
    if form is None and line.has("counted") and len(dims) == 2 and not any(f.role == "length" for f in dims):  # noqa: PLR2004
        form, shape = "piece", "rectangle"
        counted = line.of("counted")[-1]
        line.facts += [replace(counted, name="form", value=form), replace(counted, name="shape", value=shape)]
    if form is None and any(f.role in ("diameter", "od") for f in dims):
        form, shape = "piece", "ring" if any(f.role == "id" for f in dims) else "disc"
        line.facts += [replace(dims[0], name="form", value=form, item=None), replace(dims[0], name="shape", value=shape, item=None)]
    for fact in line.of("form")[-1:]:
        done.values["form"] = form
        _take(done, "form", fact, str(form))
    if form in ("roll", "strip"):
        _roll(line, str(form), dims, customs, done)
        return
    if form == "piece":
        for fact in line.of("shape")[-1:]:
            done.values["shape"] = shape
            _take(done, "shape", fact, str(shape))
        if shape is not None:
            _piece(str(shape), line, dims, customs, done)
        return
    for fact in dims:
        if fact.role in ("width", "length"):
            _one(fact.role, fact, "roll", customs, done, "")


def _beside(fact: Fact, dims: Sequence[Fact]) -> str:
    """Unit of the other sizes of the pair that a bare size stands in."""
    units = [f.item.unit for f in dims if f.group == fact.group and fact.group and f.item and f.item.unit in MM_OF]
    return units[-1] if units else ""


def _roll(line: Draft, form: str, dims: Sequence[Fact], customs: Customs, done: Finished) -> None:
    places: dict[str, Fact] = {}
    for fact in dims:
        role = fact.role if fact.role in ("width", "length") else "width" if fact.role == "height" else ""
        free = [p for p in ("width", "length") if p not in places and not any(f.role == p for f in dims if f is not fact)]
        place = role or (free[0] if free else "")
        if role and role in places:
            old = places[role]
            if fact.item and old.item and fact.item.values != old.item.values:
                places[role] = replace(old, why=f'"{old.text}" and "{fact.text}" are both stated')
        elif place:
            places[place] = fact
    for fact in line.of("roll_length")[-1:]:
        done.values["length_mm"] = None
        _take(done, "length", fact, str(fact.value))
        places.pop("length", None)
    for place, fact in places.items():
        _one(place, fact, form, customs, done, _beside(fact, dims))


def _one(place: str, fact: Fact, form: str, customs: Customs, done: Finished, beside: str) -> None:
    if fact.item is None:
        return
    size = Size(None, why=fact.why) if fact.why else resolve(fact.item, place, form, customs, beside)
    if size.mm is None:
        _ask(done, place, fact, size.why)
        return
    done.values[f"{place}_mm"] = size.mm
    _take(done, place, fact, cell_text(fact, size, place))


def _piece(shape: str, line: Draft, dims: Sequence[Fact], customs: Customs, done: Finished) -> None:
    wanted = SHAPES.get(shape)
    if wanted is None or not dims:
        return
    chosen = _ordered(shape, wanted, line, dims)
    if len(chosen) != len(wanted):
        _ask(done, "dimensions", dims[0], f'{", ".join(f.text for f in dims)}: which size of the {shape} is which?')
        return
    sizes = [resolve(f.item, "dimensions", "piece", customs, _beside(f, dims)) if f.item and not f.why
             else Size(None, why=f.why) for f in chosen]  # fmt: skip
    open_ones = [s.why for s in sizes if s.mm is None]
    if open_ones:
        _ask(done, "dimensions", chosen[0], open_ones[0])
        return
    done.values["sizes_mm"] = [s.mm for s in sizes]
    done.cells["dimensions"] = ", ".join(
        f"{name} {cell_text(f, s, 'dimensions')}" for (_, name), f, s in zip(wanted, chosen, sizes, strict=True))  # fmt: skip
    done.evidence += [("dimensions", f) for f in chosen]


def _ordered(shape: str, wanted: Sequence[tuple[str, str]], line: Draft, dims: Sequence[Fact]) -> list[Fact]:
    """Sizes in the customary order of the shape; shorter where some are missing or too many."""
    radius = [f for f in dims if f.role == "radius"]
    rest = [f for f in dims if f.role != "radius"]
    if shape == "rectangle":
        square = any(f.role == "square" for f in line.of("shape")) or len(rest) == 1 and rest[0].role == "side"
        rest = rest * 2 if square and len(rest) == 1 else rest
        return rest if not radius else []
    if shape == "rounded rectangle":
        return [*rest, *radius] if len(rest) == 2 and len(radius) == 1 else []  # noqa: PLR2004
    if shape == "ring":
        outer = [f for f in rest if f.role == "od"] or [f for f in rest if f.role != "id"]
        inner = [f for f in rest if f.role == "id"] or [f for f in rest if f not in outer[:1]]
        found = [*outer[:1], *inner[:1]] if len(rest) == 2 else []  # noqa: PLR2004
        if len(found) == 2 and found[0].item and found[1].item and not any(f.role in ("od", "id") for f in found) \
                and found[0].item.unit == found[1].item.unit and found[0].item.values < found[1].item.values:  # fmt: skip  # noqa: PLR2004
            found.reverse()
        return found
    if shape == "disc" and len(rest) == 2 and rest[0].text == rest[1].text:  # noqa: PLR2004
        return list(rest[:1])
    if shape == "trapezoid":
        order = {"base": 0, "top": 1, "height": 2}
        return sorted(rest, key=lambda f: order.get(f.role, 3))
    return list(rest)
