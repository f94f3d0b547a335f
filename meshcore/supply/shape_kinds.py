"""The shapes that pieces come in: the sizes each is known by, and its outline."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from meshcore.quantities import Kind
from meshcore.supply.outlines import (
    Contour,
    Corner,
    Point,
    Shape,
    circle,
    filleted,
    make_shape,
    rectangle,
    straight,
)

#: Size name → value [m, rad or -]; only sizes that were given.
Sizes: TypeAlias = Mapping[str, float]

#: A triangle whose longest side comes this near, as a share, to the other two together [-] is
#: taken as flat: sizes in millimetres are not exact in binary.
_FLAT = 1e-9


@dataclass(frozen=True, slots=True)
class Impossible:
    """Which size cannot stand beside the others, and why."""

    size: str
    why: str


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


def arc_corners(radius: float, start: float, turn: float) -> list[Corner]:
    """Corners of an arc about the origin, without its last point; no part beyond half a turn."""
    parts = math.ceil(abs(turn) / math.pi)
    bulge = math.tan(turn / parts / 4)
    angles = [start + turn * k / parts for k in range(parts)]
    return [(radius * math.cos(a), radius * math.sin(a), bulge) for a in angles]


def _rectangle(s: Sizes) -> Shape:
    return rectangle(s["width"], s["height"])


def _rounded_rectangle(s: Sizes) -> Shape | Impossible:
    width, height = s["width"], s["height"]
    outline = filleted(_box(width, height), [s["corner radius"]] * 4)
    if isinstance(outline, int):
        most = min(width, height) / 2
        return Impossible("corner radius", f"more than half the shorter side, {_mm(most)}")
    return make_shape("rounded rectangle", outline)


def _disc(s: Sizes) -> Shape:
    return make_shape("disc", circle(s["diameter"]))


def _ring(s: Sizes) -> Shape | Impossible:
    if wrong := _hollow(s):
        return wrong
    return make_shape("ring", circle(s["outer diameter"]), [circle(s["inner diameter"])])


def _hollow(s: Sizes) -> Impossible | None:
    if s["inner diameter"] < s["outer diameter"]:
        return None
    return Impossible(
        "inner diameter",
        f"{_mm(s['inner diameter'])} is not smaller than the outer diameter, "
        f"{_mm(s['outer diameter'])}",
    )


def _open_angle(s: Sizes, whole: str) -> Impossible | None:
    if 0.0 < s["angle"] < 2 * math.pi:
        return None
    return Impossible("angle", f"must lie between 0° and 360°; for a full turn ask for a {whole}")


def _ring_segment(s: Sizes) -> Shape | Impossible:
    if wrong := _hollow(s) or _open_angle(s, "ring"):
        return wrong
    # Centred on the upright, so that the box is that of the segment standing on its chord.
    start, turn = math.pi / 2 - s["angle"] / 2, s["angle"]
    corners: list[Corner] = []
    for radius, begin, sweep in (
        (s["outer diameter"] / 2, start, turn),
        (s["inner diameter"] / 2, start + turn, -turn),
    ):
        corners += arc_corners(radius, begin, sweep)
        end = begin + sweep
        corners.append((radius * math.cos(end), radius * math.sin(end), 0.0))
    return make_shape("ring segment", Contour(tuple(corners)))


def _sector(s: Sizes) -> Shape | Impossible:
    if wrong := _open_angle(s, "disc"):
        return wrong
    start, end = math.pi / 2 - s["angle"] / 2, math.pi / 2 + s["angle"] / 2
    radius = s["diameter"] / 2
    last = (radius * math.cos(end), radius * math.sin(end), 0.0)
    corners = (*arc_corners(radius, start, s["angle"]), last, (0.0, 0.0, 0.0))
    return make_shape("sector", Contour(corners))


def _triangle(s: Sizes) -> Shape | Impossible:
    a, b = s["side a"], s["side b"]
    if "angle" in s:
        if not 0.0 < s["angle"] < math.pi:
            return Impossible("angle", "must lie between 0° and 180°")
        apex = (b * math.cos(s["angle"]), b * math.sin(s["angle"]))
        return _polygon("triangle", [(0.0, 0.0), (a, 0.0), apex])
    c = s["side c"]
    for name, long, rest in (("a", a, b + c), ("b", b, a + c), ("c", c, a + b)):
        if long >= rest * (1.0 - _FLAT):
            return Impossible(
                f"side {name}",
                f"{_mm(long)} is not shorter than the other two together, {_mm(rest)}",
            )
    x = (a * a + b * b - c * c) / (2 * a)
    # Heron's product keeps the height exact where the triangle is nearly flat.
    half = (a + b + c) / 2
    height = 2 / a * math.sqrt(half * (half - a) * (half - b) * (half - c))
    return _polygon("triangle", [(0.0, 0.0), (a, 0.0), (x, height)])


def _right_triangle(s: Sizes) -> Shape:
    return _polygon("right triangle", [(0.0, 0.0), (s["base"], 0.0), (0.0, s["height"])])


def _isosceles_triangle(s: Sizes) -> Shape:
    points = [(0.0, 0.0), (s["base"], 0.0), (s["base"] / 2, s["height"])]
    return _polygon("isosceles triangle", points)


def _trapezoid(s: Sizes) -> Shape:
    base, top, height = s["base"], s["top"], s["height"]
    offset = s.get("offset", (base - top) / 2)
    points = [(0.0, 0.0), (base, 0.0), (offset + top, height), (offset, height)]
    return _polygon("trapezoid", points)


def _parallelogram(s: Sizes) -> Shape | Impossible:
    base = s["base"]
    if "offset" in s:
        offset, height = s["offset"], s["height"]
    elif not 0.0 < s["angle"] < math.pi:
        return Impossible("angle", "must lie between 0° and 180°")
    elif "height" in s:
        height = s["height"]
        offset = height / math.tan(s["angle"])
    else:
        offset = s["side"] * math.cos(s["angle"])
        height = s["side"] * math.sin(s["angle"])
    points = [(0.0, 0.0), (base, 0.0), (base + offset, height), (offset, height)]
    return _polygon("parallelogram", points)


def _regular_polygon(s: Sizes) -> Shape | Impossible:
    sides = round(s["sides"])
    if sides != s["sides"] or not 3 <= sides <= 360:  # noqa: PLR2004 - a triangle is the least
        return Impossible("sides", "must be a whole number from 3 to 360")
    half = math.pi / sides
    if "diameter" in s:
        radius = s["diameter"] / 2
    elif "side" in s:
        radius = s["side"] / 2 / math.sin(half)
    elif sides % 2:
        return Impossible(
            "across flats", "no two flats of an odd polygon face each other; give side or diameter"
        )
    else:
        radius = s["across flats"] / 2 / math.cos(half)
    angles = [-math.pi / 2 - half + 2 * half * k for k in range(1, sides + 1)]
    return _polygon(
        "regular polygon", [(radius * math.cos(a), radius * math.sin(a)) for a in angles]
    )


def _notched_rectangle(s: Sizes) -> Shape | Impossible:
    corners = round(s.get("corners", 1))
    if corners != s.get("corners", 1) or not 1 <= corners <= 4:  # noqa: PLR2004 - of a rectangle
        return Impossible("corners", "must be 1, 2, 3 or 4: how many corners are notched")
    if "notch offset" in s:
        if "corners" in s:
            return Impossible(
                "corners", "a notch at an offset is in an edge; leave one of them out"
            )
        return _edge_notch(s)
    width, height, cut, deep = s["width"], s["height"], s["notch width"], s["notch height"]
    across = cut * (1 if corners == 1 else 2)
    if across >= width:
        return Impossible("notch width", f"leaves nothing of the width, {_mm(width)}")
    if deep * (1 if corners <= 2 else 2) >= height:  # noqa: PLR2004 - third is below the others
        return Impossible("notch height", f"leaves nothing of the height, {_mm(height)}")
    points: list[Point] = []
    # Corners are notched in the order top right, top left, bottom left, bottom right.
    for x, y, inward, downward, rank, level_first in (
        (0.0, 0.0, cut, deep, 3, False),
        (width, 0.0, -cut, deep, 4, True),
        (width, height, -cut, -deep, 1, False),
        (0.0, height, cut, -deep, 2, True),
    ):
        level, upright = (x + inward, y), (x, y + downward)
        inner = (x + inward, y + downward)
        if corners < rank:
            points.append((x, y))
        else:
            points += [level, inner, upright] if level_first else [upright, inner, level]
    return _polygon("notched rectangle", points)


def _edge_notch(s: Sizes) -> Shape | Impossible:
    width, height, offset = s["width"], s["height"], s["notch offset"]
    cut, deep = s["notch width"], s["notch height"]
    if offset + cut >= width:
        return Impossible("notch offset", f"puts the notch past the width, {_mm(width)}")
    if deep >= height:
        return Impossible("notch height", f"leaves nothing of the height, {_mm(height)}")
    notch = [(offset + cut, height), (offset + cut, height - deep)]
    notch += [(offset, height - deep), (offset, height)]
    points = [(0.0, 0.0), (width, 0.0), (width, height), *notch, (0.0, height)]
    return _polygon("notched rectangle", points)


def _box(width: float, height: float) -> list[Point]:
    return [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]


def _polygon(kind: str, points: Sequence[Point]) -> Shape:
    return make_shape(kind, straight(points))


def _mm(length: float) -> str:
    return f"{length * 1e3:.6g} mm"


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
        return _regular_polygon({**s, "sides": float(sides)})

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
        _rectangle, "rectangle: width 300 mm, height 200 mm",
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
        _rounded_rectangle, "rounded rectangle: width 300 mm, height 200 mm, corner radius 20 mm",
        size_aliases={**_WIDTH_HEIGHT, **_CORNER}, bare=("width", "height"),
    ),
    ShapeKind(
        "disc", ("disk", "circle", "round", "circular"), {"diameter": "length"},
        (("diameter",),), _disc, "disc: diameter 200 mm",
        size_aliases=_DIAMETER, bare=("diameter",),
    ),
    ShapeKind(
        "ring", ("annulus", "washer"),
        {"outer diameter": "length", "inner diameter": "length"},
        (("outer diameter", "inner diameter"),),
        _ring, "ring: outer diameter 300 mm, inner diameter 200 mm", size_aliases=_RING,
    ),
    ShapeKind(
        "ring segment", ("ring sector", "annular sector", "annulus sector"),
        {"outer diameter": "length", "inner diameter": "length", "angle": "angle"},
        (("outer diameter", "inner diameter", "angle"),),
        _ring_segment, "ring segment: outer diameter 300 mm, inner diameter 200 mm, angle 60°",
        size_aliases=_RING,
    ),
    ShapeKind(
        "sector", ("disc sector", "circle sector", "pie"),
        {"diameter": "length", "angle": "angle"}, (("diameter", "angle"),),
        _sector, "sector: radius 200 mm, angle 60°", size_aliases=_DIAMETER,
    ),
    ShapeKind(
        "triangle", ("triangular",),
        {"side a": "length", "side b": "length", "side c": "length", "angle": "angle"},
        (("side a", "side b", "side c"), ("side a", "side b", "angle")),
        _triangle, "triangle: side a 300 mm, side b 400 mm, side c 500 mm, or: triangle: "
        "side a 300 mm, side b 400 mm, angle 60°",
        size_aliases=_TRIANGLE, bare=("side a", "side b", "side c"),
    ),
    ShapeKind(
        "right triangle", ("right-angled triangle", "right angled triangle"),
        {"base": "length", "height": "length"}, (("base", "height"),),
        _right_triangle, "right triangle: base 300 mm, height 200 mm", bare=("base", "height"),
    ),
    ShapeKind(
        "isosceles triangle", (), {"base": "length", "height": "length"},
        (("base", "height"),), _isosceles_triangle,
        "isosceles triangle: base 300 mm, height 200 mm", bare=("base", "height"),
    ),
    ShapeKind(
        "trapezoid", ("trapezium", "trapeze"),
        {"base": "length", "top": "length", "height": "length", "offset": "length"},
        (("base", "top", "height"),), _trapezoid,
        "trapezoid: base 300 mm, top 180 mm, height 220 mm",
        extra=("offset",), size_aliases={"bottom": ("base", 1), "h": ("height", 1)},
        signed=("offset",),
    ),
    ShapeKind(
        "parallelogram", ("rhomboid",),
        {"base": "length", "side": "length", "height": "length", "angle": "angle",
         "offset": "length"},
        (("base", "side", "angle"), ("base", "height", "angle"), ("base", "height", "offset")),
        _parallelogram, "parallelogram: base 300 mm, side 200 mm, angle 60°",
        size_aliases={"h": ("height", 1)}, signed=("offset",),
    ),
    ShapeKind(
        "regular polygon", (),
        {"sides": "number", "side": "length", "diameter": "length", "across flats": "length"},
        (("sides", "side"), ("sides", "diameter"), ("sides", "across flats")),
        _regular_polygon, "regular polygon: sides 6, side 100 mm", size_aliases=_ACROSS,
    ),
    *(_fixed_sides(n, k) for n, k in (("pentagon", 5), ("hexagon", 6), ("octagon", 8))),
    ShapeKind(
        "notched rectangle", ("rectangle with notch", "notched"),
        {"width": "length", "height": "length", "notch width": "length",
         "notch height": "length", "corners": "number", "notch offset": "length"},
        (("width", "height", "notch width", "notch height"),), _notched_rectangle,
        "notched rectangle: width 300 mm, height 200 mm, notch width 50 mm, notch height 40 mm, "
        "corners 4",
        extra=("corners", "notch offset"), size_aliases={**_WIDTH_HEIGHT, **_NOTCH},
        bare=("width", "height"),
    ),
)  # fmt: skip
