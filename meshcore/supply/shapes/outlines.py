"""Outlines of cut pieces: straight and circular edges, with exact area, length and bounds.

An outline is held as DXF holds it: corners, each with the bulge of the edge that follows,
tan(θ/4) for an arc that turns by θ (positive anticlockwise) and 0 for a straight edge. Areas and
lengths follow from the edges in closed form; no arc is ever replaced by a polygon to measure it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

#: x [m], y [m] and bulge [-] of a corner and the edge that follows it.
Corner: TypeAlias = "tuple[float, float, float]"
Point: TypeAlias = "tuple[float, float]"
#: Least x, least y, greatest x, greatest y [m].
Bounds: TypeAlias = "tuple[float, float, float, float]"

#: Below this turn [rad] θ − sin θ is taken from its series, whose next term is θ⁷/5040: above it
#: the subtraction keeps more than 12 digits.
_SMALL_TURN = 1e-2
_QUARTER = math.pi / 2


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular edge.

    Parameters
    ----------
    centre
        Centre [m].
    radius
        Radius [m].
    start, turn
        Direction of the first point from the centre, and the angle turned; anticlockwise is
        positive [rad].
    """

    centre: Point
    radius: float
    start: float
    turn: float

    def point(self, share: float) -> Point:
        """Return the point reached after `share` of the turn."""
        angle = self.start + share * self.turn
        return (
            self.centre[0] + self.radius * math.cos(angle),
            self.centre[1] + self.radius * math.sin(angle),
        )


def arc_of_edge(first: Corner, second: Corner) -> Arc:
    """Arc from `first` to `second` with the bulge of `first`, which must not be 0."""
    (x0, y0, bulge), (x1, y1, _) = first, second
    lift = (1.0 - bulge * bulge) / (4.0 * bulge)
    centre = ((x0 + x1) / 2 - lift * (y1 - y0), (y0 + y1) / 2 + lift * (x1 - x0))
    radius = math.hypot(x1 - x0, y1 - y0) * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    start = math.atan2(y0 - centre[1], x0 - centre[0])
    return Arc(centre, radius, start, 4.0 * math.atan(bulge))


def _cap_area(chord: float, bulge: float) -> float:
    """Area between an arc and its chord [m²]; negative where the bulge is."""
    turn = 4.0 * math.atan(abs(bulge))
    excess = turn - math.sin(turn)
    if turn < _SMALL_TURN:
        excess = turn**3 / 6.0 - turn**5 / 120.0
    radius = chord * (1.0 + bulge * bulge) / (4.0 * abs(bulge))
    return math.copysign(0.5 * radius * radius * excess, bulge)


@dataclass(frozen=True)
class Contour:
    """A closed line of straight and circular edges.

    Examples
    --------
    >>> square = Contour(((0, 0, 0), (2, 0, 0), (2, 2, 0), (0, 2, 0)))
    >>> square.area, square.length, square.bounds
    (4.0, 8.0, (0, 0, 2, 2))
    """

    corners: tuple[Corner, ...]

    def edges(self) -> Iterable[tuple[Corner, Corner]]:
        """Pairs of corners, the last one back to the first."""
        return zip(self.corners, (*self.corners[1:], self.corners[0]), strict=True)

    @cached_property
    def area(self) -> float:
        """Enclosed area by Green's theorem [m²]; negative for a clockwise contour."""
        x0, y0, _ = self.corners[0]
        total = 0.0
        for a, b in self.edges():
            total += 0.5 * ((a[0] - x0) * (b[1] - y0) - (b[0] - x0) * (a[1] - y0))
            if a[2]:
                total += _cap_area(math.hypot(b[0] - a[0], b[1] - a[1]), a[2])
        return total

    @cached_property
    def length(self) -> float:
        """Length of the contour [m]."""
        total = 0.0
        for a, b in self.edges():
            chord = math.hypot(b[0] - a[0], b[1] - a[1])
            bulge = abs(a[2])
            # atan(b)/b is the arc-to-chord factor without the division by zero of a straight edge.
            factor = math.atan(bulge) / bulge * (1.0 + bulge * bulge) if bulge else 1.0
            total += chord * factor
        return total

    @cached_property
    def bounds(self) -> Bounds:
        """Smallest upright box around the contour [m]."""
        points = [(x, y) for x, y, _ in self.corners]
        for a, b in self.edges():
            if a[2]:
                points.extend(_extremes(arc_of_edge(a, b)))
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        return min(xs), min(ys), max(xs), max(ys)

    def reversed(self) -> Contour:
        """Return the same line run the other way."""
        backwards = list(self.edges())[::-1]
        return Contour(tuple((b[0], b[1], -a[2]) for a, b in backwards))

    def placed(self, turn: float, shift: Point) -> Contour:
        """Return the contour turned about the origin [rad], then shifted [m]."""
        cos, sin = turn_matrix(turn)
        return Contour(
            tuple(
                (cos * x - sin * y + shift[0], sin * x + cos * y + shift[1], bulge)
                for x, y, bulge in self.corners
            )
        )

    def points(self, tolerance: float, side: Literal["on", "outside"] = "on") -> list[Point]:
        """Polygon that follows the contour.

        Parameters
        ----------
        tolerance
            Greatest distance between polygon and contour [m].
        side
            ``"on"`` puts its corners on the contour; ``"outside"`` makes a polygon that covers
            all that an anticlockwise contour encloses.
        """
        points: list[Point] = []
        for a, b in self.edges():
            points.append((a[0], a[1]))
            if a[2]:
                points.extend(_arc_points(arc_of_edge(a, b), tolerance, side))
        return points


def turn_matrix(turn: float) -> tuple[float, float]:
    """Cosine and sine of `turn` [rad], exact at quarter turns.

    Examples
    --------
    >>> turn_matrix(math.pi / 2)
    (0.0, 1.0)
    """
    quarters = turn / _QUARTER
    if quarters == round(quarters):
        return ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]
    return math.cos(turn), math.sin(turn)


def _extremes(arc: Arc) -> list[Point]:
    """Points of an arc where it runs level or upright."""
    low, high = sorted((arc.start, arc.start + arc.turn))
    quarters = range(math.ceil(low / _QUARTER), math.floor(high / _QUARTER) + 1)
    (x, y), r = arc.centre, arc.radius
    steps = [turn_matrix(q * _QUARTER) for q in quarters]
    return [(x + r * cos, y + r * sin) for cos, sin in steps]


def _arc_points(arc: Arc, tolerance: float, side: Literal["on", "outside"]) -> list[Point]:
    """Points strictly between the ends of an arc, for a polygon within `tolerance` of it."""
    least_cos = max(1.0 - tolerance / arc.radius, 0.0)
    steps = max(2, math.ceil(abs(arc.turn) / (2.0 * math.acos(least_cos) or math.inf)))
    if side == "outside" and arc.turn > 0:
        # Chords of an arc that bulges outward would cut into the piece; tangents do not.
        steps += 1
        reach = Arc(arc.centre, arc.radius / math.cos(arc.turn / steps / 2), arc.start, arc.turn)
        return [reach.point((k + 0.5) / steps) for k in range(steps)]
    return [arc.point(k / steps) for k in range(1, steps)]


@dataclass(frozen=True)
class Shape:
    """A piece to be cut: one outline and any holes, its box starting at the origin.

    Parameters
    ----------
    kind
        Name of the shape, such as ``"trapezoid"``.
    outline
        Outer edge, anticlockwise.
    holes
        Inner edges, clockwise.

    Examples
    --------
    >>> piece = rectangle(0.3, 0.2)
    >>> piece.area_m2, piece.perimeter_m, piece.size_m
    (0.06, 1.0, (0.3, 0.2))
    """

    kind: str
    outline: Contour
    holes: tuple[Contour, ...] = ()

    @cached_property
    def area_m2(self) -> float:
        """Net area, arcs as arcs [m²]."""
        return self.outline.area + sum(hole.area for hole in self.holes)

    @cached_property
    def perimeter_m(self) -> float:
        """Length of the outer edge [m]."""
        return self.outline.length

    @cached_property
    def cut_length_m(self) -> float:
        """Length of all edges, holes included [m]."""
        return self.outline.length + sum(hole.length for hole in self.holes)

    @cached_property
    def size_m(self) -> tuple[float, float]:
        """Width and height of the smallest upright box [m]."""
        x0, y0, x1, y1 = self.outline.bounds
        return x1 - x0, y1 - y0

    @property
    def width_m(self) -> float:
        """Width of that box [m]."""
        return self.size_m[0]

    @property
    def height_m(self) -> float:
        """Height of that box [m]."""
        return self.size_m[1]

    @property
    def contours(self) -> tuple[Contour, ...]:
        """The outline, then the holes."""
        return (self.outline, *self.holes)


def make_shape(kind: str, outline: Contour, holes: Sequence[Contour] = ()) -> Shape:
    """Shape with its outline anticlockwise, its holes clockwise and its box at the origin."""
    shift = (-outline.bounds[0], -outline.bounds[1])
    outer = outline if outline.area > 0 else outline.reversed()
    inner = (hole.reversed() if hole.area > 0 else hole for hole in holes)
    return Shape(kind, outer.placed(0.0, shift), tuple(h.placed(0.0, shift) for h in inner))


def rectangle(width: float, height: float) -> Shape:
    """Rectangle with its sides along and across the cloth [m]."""
    corners = ((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, height, 0.0), (0.0, height, 0.0))
    return Shape("rectangle", Contour(corners))


def circle(diameter: float, centre: Point = (0.0, 0.0)) -> Contour:
    """Circle as two half turns [m]."""
    radius = diameter / 2
    return Contour(((centre[0] - radius, centre[1], 1.0), (centre[0] + radius, centre[1], 1.0)))


def straight(points: Iterable[Point]) -> Contour:
    """Polygon through `points` [m]."""
    return Contour(tuple((x, y, 0.0) for x, y in points))
