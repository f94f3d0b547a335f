"""Outlines of the shapes that pieces come in, built from their sizes."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from meshcore.rounding import SLACK
from meshcore.supply.shapes.fillets import filleted
from meshcore.supply.shapes.outlines import (
    Contour,
    Corner,
    Point,
    Shape,
    circle,
    make_shape,
    rectangle,
    straight,
)

#: Size name → value [m, rad or -]; only sizes that were given.
Sizes: TypeAlias = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Impossible:
    """Which size cannot stand beside the others, and why."""

    size: str
    why: str


def arc_corners(radius: float, start: float, turn: float) -> list[Corner]:
    """Corners of an arc about the origin, without its last point; no part beyond half a turn."""
    parts = math.ceil(abs(turn) / math.pi)
    bulge = math.tan(turn / parts / 4)
    angles = [start + turn * k / parts for k in range(parts)]
    return [(radius * math.cos(a), radius * math.sin(a), bulge) for a in angles]


def build_rectangle(s: Sizes) -> Shape:
    """Build a rectangle."""
    return rectangle(s["width"], s["height"])


def build_rounded_rectangle(s: Sizes) -> Shape | Impossible:
    """Build a rectangle with four equal fillets."""
    width, height = s["width"], s["height"]
    outline = filleted(_box(width, height), [s["corner radius"]] * 4)
    if isinstance(outline, int):
        most = min(width, height) / 2
        return Impossible("corner radius", f"more than half the shorter side, {_mm(most)}")
    return make_shape("rounded rectangle", outline)


def build_disc(s: Sizes) -> Shape:
    """Build a disc."""
    return make_shape("disc", circle(s["diameter"]))


def build_ring(s: Sizes) -> Shape | Impossible:
    """Build a ring: a disc with a round hole in its middle."""
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


def build_ring_segment(s: Sizes) -> Shape | Impossible:
    """Build the part of a ring between two radii, standing on its chord."""
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


def build_sector(s: Sizes) -> Shape | Impossible:
    """Build the part of a disc between two radii, its tip below."""
    if wrong := _open_angle(s, "disc"):
        return wrong
    start, end = math.pi / 2 - s["angle"] / 2, math.pi / 2 + s["angle"] / 2
    radius = s["diameter"] / 2
    last = (radius * math.cos(end), radius * math.sin(end), 0.0)
    corners = (*arc_corners(radius, start, s["angle"]), last, (0.0, 0.0, 0.0))
    return make_shape("sector", Contour(corners))


def build_triangle(s: Sizes) -> Shape | Impossible:
    """Build a triangle from three sides, or from two and the angle between them."""
    a, b = s["side a"], s["side b"]
    if "angle" in s:
        if not 0.0 < s["angle"] < math.pi:
            return Impossible("angle", "must lie between 0° and 180°")
        apex = (b * math.cos(s["angle"]), b * math.sin(s["angle"]))
        return _polygon("triangle", [(0.0, 0.0), (a, 0.0), apex])
    c = s["side c"]
    for name, long, rest in (("a", a, b + c), ("b", b, a + c), ("c", c, a + b)):
        if long >= rest * (1.0 - SLACK):
            return Impossible(
                f"side {name}",
                f"{_mm(long)} is not shorter than the other two together, {_mm(rest)}",
            )
    x = (a * a + b * b - c * c) / (2 * a)
    # Heron's product keeps the height exact where the triangle is nearly flat.
    half = (a + b + c) / 2
    height = 2 / a * math.sqrt(half * (half - a) * (half - b) * (half - c))
    return _polygon("triangle", [(0.0, 0.0), (a, 0.0), (x, height)])


def build_right_triangle(s: Sizes) -> Shape:
    """Build a triangle with a right angle between base and height."""
    return _polygon("right triangle", [(0.0, 0.0), (s["base"], 0.0), (0.0, s["height"])])


def build_isosceles_triangle(s: Sizes) -> Shape:
    """Build a triangle whose tip is above the middle of its base."""
    points = [(0.0, 0.0), (s["base"], 0.0), (s["base"] / 2, s["height"])]
    return _polygon("isosceles triangle", points)


def build_trapezoid(s: Sizes) -> Shape:
    """Build a trapezoid; without an offset of its top it is symmetric."""
    base, top, height = s["base"], s["top"], s["height"]
    offset = s.get("offset", (base - top) / 2)
    points = [(0.0, 0.0), (base, 0.0), (offset + top, height), (offset, height)]
    return _polygon("trapezoid", points)


def build_parallelogram(s: Sizes) -> Shape | Impossible:
    """Build a parallelogram from its side or height, and its angle or offset."""
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


def build_regular_polygon(s: Sizes) -> Shape | Impossible:
    """Build a regular polygon that stands on a side."""
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


def build_notched_rectangle(s: Sizes) -> Shape | Impossible:
    """Build a rectangle with notched corners, or with one notch in its upper edge."""
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
