"""The shapes that pieces come in: the sizes each is known by, and its outline."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from meshcore.supply.shapes.builders import (
    Impossible,
    Sizes,
    build_disc,
    build_isosceles_triangle,
    build_notched_rectangle,
    build_parallelogram,
    build_rectangle,
    build_regular_polygon,
    build_right_triangle,
    build_ring,
    build_ring_segment,
    build_rounded_rectangle,
    build_sector,
    build_trapezoid,
    build_triangle,
)
from meshcore.supply.shapes.outlines import Shape, rectangle
from meshcore.supply.shapes.round_builders import (
    build_ellipse,
    build_half_disc,
    build_obround,
    build_rectangle_with_holes,
)
from meshcore.units import Kind


@dataclass(frozen=True, slots=True)
class ShapeKind:
    """A kind of shape.

    Parameters
    ----------
    name, aliases
        What it is called.
    sizes
        Size name → what it is; all but angles, numbers and `signed` must be above zero.
    enough
        Sets of sizes, each of which determines the shape; the usual one first.
    build
        Shape from the sizes of one of those sets and any of `extra`.
    example
        How to write it.
    extra
        Sizes that may be given or left out.
    size_aliases
        Other names of sizes → (size, factor), such as a radius for a diameter.
    bare
        What sizes without a name stand for, in order.
    signed
        Sizes that may be zero or negative.
    """

    name: str
    aliases: tuple[str, ...]
    sizes: Mapping[str, Kind]
    enough: tuple[tuple[str, ...], ...]
    build: Callable[[Sizes], Shape | Impossible]
    example: str
    extra: tuple[str, ...] = ()
    size_aliases: Mapping[str, tuple[str, float]] = field(default_factory=dict)
    bare: tuple[str, ...] = ()
    signed: tuple[str, ...] = ()


_WIDTH_HEIGHT: dict[str, tuple[str, float]] = {
    "w": ("width", 1), "wide": ("width", 1), "breadth": ("width", 1),
    "h": ("height", 1), "high": ("height", 1), "length": ("height", 1), "long": ("height", 1),
    "l": ("height", 1), "depth": ("height", 1),
}  # fmt: skip
_DIAMETER: dict[str, tuple[str, float]] = {
    "radius": ("diameter", 2), "r": ("diameter", 2), "dia": ("diameter", 1),
    "d": ("diameter", 1), "ø": ("diameter", 1), "⌀": ("diameter", 1), "od": ("diameter", 1),
}  # fmt: skip
_RING: dict[str, tuple[str, float]] = {
    "outer radius": ("outer diameter", 2), "inner radius": ("inner diameter", 2),
    "outer": ("outer diameter", 1), "inner": ("inner diameter", 1),
    "od": ("outer diameter", 1), "id": ("inner diameter", 1),
    "outside diameter": ("outer diameter", 1), "inside diameter": ("inner diameter", 1),
    "hole": ("inner diameter", 1), "hole diameter": ("inner diameter", 1),
}  # fmt: skip
_TRIANGLE: dict[str, tuple[str, float]] = {
    "a": ("side a", 1), "b": ("side b", 1), "c": ("side c", 1), "side 1": ("side a", 1),
    "included angle": ("angle", 1), "angle c": ("angle", 1), "sides": ("side a", 1),
}  # fmt: skip
_CORNER: dict[str, tuple[str, float]] = {
    "radius": ("corner radius", 1), "r": ("corner radius", 1), "corner": ("corner radius", 1),
    "corners": ("corner radius", 1),
}  # fmt: skip
_NOTCH: dict[str, tuple[str, float]] = {
    "notch depth": ("notch height", 1), "notch length": ("notch height", 1),
    "notches": ("corners", 1), "notch position": ("notch offset", 1),
}  # fmt: skip
_ACROSS: dict[str, tuple[str, float]] = {
    "across corners": ("diameter", 1), "dia": ("diameter", 1), "radius": ("diameter", 2),
    "flats": ("across flats", 1), "side length": ("side", 1), "number of sides": ("sides", 1),
}  # fmt: skip


def _fixed_sides(name: str, sides: int) -> ShapeKind:
    def build(s: Sizes) -> Shape | Impossible:
        return build_regular_polygon({**s, "sides": float(sides)})

    return ShapeKind(
        name, (f"regular {name}",),
        {"side": "length", "diameter": "length", "across flats": "length"},
        (("side",), ("diameter",), ("across flats",)),
        build, f"{name}: side 100 mm", size_aliases=_ACROSS,
    )  # fmt: skip


KINDS: tuple[ShapeKind, ...] = (
    ShapeKind(
        "rectangle", ("rect", "rectangular", "oblong", "panel", "sheet"),
        {"width": "length", "height": "length"}, (("width", "height"),),
        build_rectangle, "rectangle: width 300 mm, height 200 mm",
        size_aliases=_WIDTH_HEIGHT, bare=("width", "height"),
    ),
    ShapeKind(
        "square", (), {"side": "length"}, (("side",),),
        lambda s: rectangle(s["side"], s["side"]), "square: side 200 mm",
        size_aliases={"width": ("side", 1)}, bare=("side",),
    ),
    ShapeKind(
        "rounded rectangle", ("rectangle with rounded corners", "radiused rectangle"),
        {"width": "length", "height": "length", "corner radius": "length"},
        (("width", "height", "corner radius"),),
        build_rounded_rectangle,
        "rounded rectangle: width 300 mm, height 200 mm, corner radius 20 mm",
        size_aliases={**_WIDTH_HEIGHT, **_CORNER}, bare=("width", "height"),
    ),
    ShapeKind(
        "disc", ("disk", "circle", "round", "circular"), {"diameter": "length"},
        (("diameter",),), build_disc, "disc: diameter 200 mm",
        size_aliases=_DIAMETER, bare=("diameter",),
    ),
    ShapeKind(
        "ring", ("annulus", "washer"),
        {"outer diameter": "length", "inner diameter": "length"},
        (("outer diameter", "inner diameter"),),
        build_ring, "ring: outer diameter 300 mm, inner diameter 200 mm", size_aliases=_RING,
    ),
    ShapeKind(
        "ring segment", ("ring sector", "annular sector", "annulus sector"),
        {"outer diameter": "length", "inner diameter": "length", "angle": "angle"},
        (("outer diameter", "inner diameter", "angle"),),
        build_ring_segment, "ring segment: outer diameter 300 mm, inner diameter 200 mm, angle 60°",
        size_aliases=_RING,
    ),
    ShapeKind(
        "sector", ("disc sector", "circle sector", "pie"),
        {"diameter": "length", "angle": "angle"}, (("diameter", "angle"),),
        build_sector, "sector: radius 200 mm, angle 60°", size_aliases=_DIAMETER,
    ),
    ShapeKind(
        "triangle", ("triangular",),
        {"side a": "length", "side b": "length", "side c": "length", "angle": "angle"},
        (("side a", "side b", "side c"), ("side a", "side b", "angle")),
        build_triangle, "triangle: side a 300 mm, side b 400 mm, side c 500 mm, or: triangle: "
        "side a 300 mm, side b 400 mm, angle 60°",
        size_aliases=_TRIANGLE, bare=("side a", "side b", "side c"),
    ),
    ShapeKind(
        "right triangle", ("right-angled triangle", "right angled triangle"),
        {"base": "length", "height": "length"}, (("base", "height"),),
        build_right_triangle, "right triangle: base 300 mm, height 200 mm", bare=("base", "height"),
    ),
    ShapeKind(
        "isosceles triangle", (), {"base": "length", "height": "length"},
        (("base", "height"),), build_isosceles_triangle,
        "isosceles triangle: base 300 mm, height 200 mm", bare=("base", "height"),
    ),
    ShapeKind(
        "trapezoid", ("trapezium", "trapeze"),
        {"base": "length", "top": "length", "height": "length", "offset": "length"},
        (("base", "top", "height"),), build_trapezoid,
        "trapezoid: base 300 mm, top 180 mm, height 220 mm",
        extra=("offset",), size_aliases={"bottom": ("base", 1), "h": ("height", 1)},
        signed=("offset",),
    ),
    ShapeKind(
        "parallelogram", ("rhomboid",),
        {"base": "length", "side": "length", "height": "length", "angle": "angle",
         "offset": "length"},
        (("base", "side", "angle"), ("base", "height", "angle"), ("base", "height", "offset")),
        build_parallelogram, "parallelogram: base 300 mm, side 200 mm, angle 60°",
        size_aliases={"h": ("height", 1)}, signed=("offset",),
    ),
    ShapeKind(
        "regular polygon", (),
        {"sides": "number", "side": "length", "diameter": "length", "across flats": "length"},
        (("sides", "side"), ("sides", "diameter"), ("sides", "across flats")),
        build_regular_polygon, "regular polygon: sides 6, side 100 mm", size_aliases=_ACROSS,
    ),
    *(_fixed_sides(n, k) for n, k in (("pentagon", 5), ("hexagon", 6), ("octagon", 8))),
    ShapeKind(
        "notched rectangle", ("rectangle with notch", "notched"),
        {"width": "length", "height": "length", "notch width": "length",
         "notch height": "length", "corners": "number", "notch offset": "length"},
        (("width", "height", "notch width", "notch height"),), build_notched_rectangle,
        "notched rectangle: width 300 mm, height 200 mm, notch width 50 mm, notch height 40 mm, "
        "corners 4",
        extra=("corners", "notch offset"), size_aliases={**_WIDTH_HEIGHT, **_NOTCH},
        bare=("width", "height"),
    ),
    ShapeKind(
        "ellipse", ("elliptical",), {"width": "length", "height": "length"},
        (("width", "height"),), build_ellipse, "ellipse: width 400 mm, height 200 mm",
        size_aliases=_WIDTH_HEIGHT, bare=("width", "height"),
    ),
    ShapeKind(
        "obround", ("stadium", "round ended"), {"length": "length", "width": "length"},
        (("length", "width"),), build_obround, "obround: length 400 mm, width 200 mm",
        bare=("length", "width"),
    ),
    ShapeKind(
        "half disc", ("semicircle", "half circle", "half-disc"), {"diameter": "length"},
        (("diameter",),), build_half_disc, "half disc: diameter 200 mm",
        size_aliases=_DIAMETER,
    ),
    ShapeKind(
        "rectangle with holes", (),
        {"width": "length", "height": "length", "holes": "number", "hole diameter": "length",
         "edge distance": "length"},
        (("width", "height", "holes", "hole diameter", "edge distance"),),
        build_rectangle_with_holes,
        "rectangle with holes: width 500 mm, height 300 mm, holes 4, hole diameter 10 mm, edge "
        "distance 20 mm",
        size_aliases={"from edge": ("edge distance", 1), "hole": ("hole diameter", 1)},
        bare=("width", "height"),
    ),
)  # fmt: skip
