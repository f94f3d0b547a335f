"""Outlines of pieces in a picture: arcs as arcs, and where a label has room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from meshcore.supply.shapes.outlines import Contour, Point, Shape, arc_of_edge

#: How closely the place for a label is looked for, as a share of the piece's size [-].
_LABEL_SHARE = 0.01


@dataclass(frozen=True, slots=True)
class View:
    """Where a point of a cloth is drawn: the picture has y downwards, the cloth upwards.

    Parameters
    ----------
    scale
        Drawing units of a metre [1/m].
    start_m
        Where the drawn part of the cloth begins [m].
    left, top
        Its corner in the picture, in drawing units.
    width_m
        Width of the cloth [m].
    """

    scale: float
    start_m: float
    left: float
    top: float
    width_m: float

    def x(self, along_m: float) -> float:
        """Return where a place along the cloth is drawn."""
        return self.left + (along_m - self.start_m) * self.scale

    def y(self, across_m: float) -> float:
        """Return where a place across the cloth is drawn."""
        return self.top + (self.width_m - across_m) * self.scale


def path_of(contour: Contour, view: View) -> str:
    """Path of a contour, arcs as arcs; the picture's y runs the other way."""
    return " ".join(_steps(contour, view))


def _steps(contour: Contour, view: View) -> Iterator[str]:
    x, y, _ = contour.corners[0]
    yield f"M{view.x(x):.2f},{view.y(y):.2f}"
    for a, b in contour.edges():
        end = f"{view.x(b[0]):.2f},{view.y(b[1]):.2f}"
        if not a[2]:
            yield f"L{end}"
            continue
        radius = arc_of_edge(a, b).radius * view.scale
        # A bulge above 1 is more than half a turn; anticlockwise stays so to the eye.
        yield f"A{radius:.2f},{radius:.2f} 0 {int(abs(a[2]) > 1)} {int(a[2] < 0)} {end}"
    yield "Z"


@lru_cache(maxsize=512)
def roomiest(shape: Shape) -> tuple[Point, float]:
    """Where in a piece a label has most room, and the distance to the nearest edge [m]."""
    from shapely import Polygon, maximum_inscribed_circle  # noqa: PLC0415 - heavy

    tolerance = _LABEL_SHARE * max(shape.size_m)
    outline, *holes = (contour.points(tolerance) for contour in shape.contours)
    radius = maximum_inscribed_circle(Polygon(outline, holes), tolerance)
    return (radius.coords[0][0], radius.coords[0][1]), float(radius.length)
