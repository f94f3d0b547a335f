"""Outlines with round parts: ellipse, obround, half disc, and rectangles with round holes."""

from __future__ import annotations

import math

from meshcore.supply.shapes.builders import Impossible, Sizes
from meshcore.supply.shapes.outlines import Contour, Corner, Shape, circle, make_shape

#: Arcs that an ellipse is drawn with: its area is then right to a millionth for axes of 10 to 1.
_ELLIPSE_ARCS = 360
_MOST_HOLES = 4


def build_ellipse(s: Sizes) -> Shape:
    """Build an ellipse from its two axes, as arcs that turn as the ellipse does."""
    a, b = s["width"] / 2, s["height"] / 2
    turns = [2 * math.pi * k / _ELLIPSE_ARCS for k in range(_ELLIPSE_ARCS + 1)]
    points = [(a * math.cos(t), b * math.sin(t)) for t in turns]
    headings = [math.atan2(b * math.cos(t), -a * math.sin(t)) for t in turns]
    corners: list[Corner] = []
    for k in range(_ELLIPSE_ARCS):
        turn = math.remainder(headings[k + 1] - headings[k], 2 * math.pi)
        corners.append((*points[k], math.tan(turn / 4)))
    return make_shape("ellipse", Contour(tuple(corners)))


def build_obround(s: Sizes) -> Shape | Impossible:
    """Build a rectangle with half discs at its ends, by its whole length and its width."""
    length, width = s["length"], s["width"]
    if length <= width:
        return Impossible("length", "must be greater than the width; for equal ones ask for a disc")
    radius = width / 2
    corners: tuple[Corner, ...] = (
        (radius, 0.0, 0.0),
        (length - radius, 0.0, 1.0),
        (length - radius, width, 0.0),
        (radius, width, 1.0),
    )
    return make_shape("obround", Contour(corners))


def build_half_disc(s: Sizes) -> Shape:
    """Build half a disc, standing on its diameter."""
    return make_shape("half disc", Contour(((0.0, 0.0, 0.0), (s["diameter"], 0.0, 1.0))))


def build_rectangle_with_holes(s: Sizes) -> Shape | Impossible:
    """Build a rectangle with round holes at its corners, at one distance from both edges."""
    width, height, bore, edge = s["width"], s["height"], s["hole diameter"], s["edge distance"]
    holes = round(s["holes"])
    if holes != s["holes"] or not 1 <= holes <= _MOST_HOLES:
        return Impossible("holes", "must be 1, 2, 3 or 4: how many corners have one")
    if edge <= bore / 2:
        return Impossible("edge distance", "puts the holes over the edge")
    across, along = (2 if holes > 1 else 1), (2 if holes > 2 else 1)  # noqa: PLR2004 - the third is above
    for size, count, name in ((width, across, "width"), (height, along, "height")):
        if size <= (2 * edge if count > 1 else edge) + (bore if count > 1 else bore / 2):
            return Impossible("edge distance", f"leaves no room for the holes in the {name}")
    places = [(edge, edge), (width - edge, edge), (width - edge, height - edge),
              (edge, height - edge)]  # fmt: skip
    box = ((0.0, 0.0, 0.0), (width, 0.0, 0.0), (width, height, 0.0), (0.0, height, 0.0))
    bores = [circle(bore, place) for place in places[:holes]]
    return make_shape("rectangle with holes", Contour(box), bores)
