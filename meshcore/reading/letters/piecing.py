"""The sizes of a piece in the customary order of its shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.finished import Finished, ask, cell_text
from meshcore.reading.letters.resolve import MM_OF, Customs, Size, resolve

#: Sizes of each shape in the customary order: role → its name in the dimensions of an enquiry.
SHAPES: dict[str, tuple[tuple[str, str], ...]] = {
    "rectangle": (("width", "width"), ("height", "height")),
    "rounded rectangle": (("width", "width"), ("height", "height"), ("radius", "radius")),
    "disc": (("diameter", "diameter"),),
    "half disc": (("diameter", "diameter"),),
    "ring": (("od", "outer diameter"), ("id", "inner diameter")),
    "triangle": (("side", "a"), ("side", "b"), ("side", "c")),
    "trapezoid": (("base", "base"), ("top", "top"), ("height", "height")),
    "ellipse": (("width", "width"), ("height", "height")),
}


def unit_beside(fact: Fact, dims: Sequence[Fact]) -> str:
    """Return unit of the other sizes of the pair that a bare size stands in."""
    units = [
        f.item.unit
        for f in dims
        if f.group == fact.group and fact.group and f.item and f.item.unit in MM_OF
    ]
    return units[-1] if units else ""


def read_piece(
    shape: str, line: Draft, dims: Sequence[Fact], customs: Customs, done: Finished
) -> None:
    """Put the sizes of a piece in the order of its shape, or ask which is which."""
    wanted = SHAPES.get(shape)
    if wanted is None or not dims:
        return
    chosen = _ordered(shape, line, dims)
    if len(chosen) != len(wanted):
        ask(
            done,
            "dimensions",
            dims[0],
            f"{', '.join(f.text for f in dims)}: which size of the {shape} is which?",
        )
        return
    opening = done.values.get("aperture_mm")
    sizes = [
        resolve(
            f.item,
            "dimensions",
            "piece",
            customs,
            unit_beside(f, dims),
            opening if isinstance(opening, float) else None,
        )
        if f.item and not f.why
        else Size(None, why=f.why)
        for f in chosen
    ]
    sizes = [_like_the_others(f, s, sizes, customs) for f, s in zip(chosen, sizes, strict=True)]
    open_ones = [s.why for s in sizes if s.mm is None]
    if open_ones:
        ask(done, "dimensions", chosen[0], open_ones[0])
        return
    done.values["sizes_mm"] = [s.mm for s in sizes]
    done.cells["dimensions"] = ", ".join(
        f"{name} {cell_text(f, s, 'dimensions')}"
        for (_, name), f, s in zip(wanted, chosen, sizes, strict=True)
    )
    done.evidence += [("dimensions", f) for f in chosen]


#: One side of a piece is at most so many times another where digits can be read in two ways.
_MOST_TIMES = 60.0


def _like_the_others(fact: Fact, size: Size, sizes: Sequence[Size], customs: Customs) -> Size:
    """Read "1,200" beside "800 mm" as what a side of that piece can be."""
    known = [s.mm for s in sizes if s.mm is not None]
    if size.mm is not None or fact.item is None or fact.why or not known:
        return size
    each = [
        resolve(
            replace(fact.item, values=(v,), unit=fact.item.unit or "mm"),
            "dimensions",
            "piece",
            customs,
        )
        for v in fact.item.values
    ]
    near = [
        s
        for s in each
        if s.mm is not None and all(1 / _MOST_TIMES <= s.mm / mm <= _MOST_TIMES for mm in known)
    ]
    return near[0] if len(near) == 1 and len(each) > 1 else size


def _ordered(shape: str, line: Draft, dims: Sequence[Fact]) -> list[Fact]:
    """Sizes in the customary order of the shape; shorter where some are missing or too many."""
    radius = [f for f in dims if f.role == "radius"]
    rest = [f for f in dims if f.role != "radius"]
    if shape == "rectangle":
        square = any(f.role == "square" for f in line.of("shape")) or (
            len(rest) == 1 and rest[0].role == "side"
        )
        rest = rest * 2 if square and len(rest) == 1 else rest
        return rest if not radius else []
    if shape == "rounded rectangle":
        return [*rest, *radius] if len(rest) == 2 and len(radius) == 1 else []  # noqa: PLR2004
    if shape == "ring":
        outer = [f for f in rest if f.role == "od"] or [f for f in rest if f.role != "id"]
        inner = [f for f in rest if f.role == "id"] or [f for f in rest if f not in outer[:1]]
        found = [*outer[:1], *inner[:1]] if len(rest) == 2 else []  # noqa: PLR2004
        if (
            len(found) == 2  # noqa: PLR2004
            and found[0].item
            and found[1].item
            and not any(f.role in ("od", "id") for f in found)
            and found[0].item.unit == found[1].item.unit
            and found[0].item.values < found[1].item.values
        ):
            found.reverse()
        return found
    if shape == "disc" and len(rest) == 2 and rest[0].text == rest[1].text:  # noqa: PLR2004
        return list(rest[:1])
    if shape == "trapezoid":
        order = {"base": 0, "top": 1, "height": 2}
        return sorted(rest, key=lambda f: order.get(f.role, 3))
    return list(rest)
