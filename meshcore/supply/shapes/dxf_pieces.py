"""Closed loops to pieces with their holes; doubles and frames told apart, crossings asked about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.supply.shapes.outlines import Contour, Point, Shape, make_shape

if TYPE_CHECKING:
    from shapely import Polygon

#: Distance between an outline's arcs and the polygon by which holes are told from outlines, as a
#: share of its size [-].
_LOOK_SHARE = 1e-4
#: Outlines whose areas differ by less than this share are one that was drawn twice [-].
_SAME_SHARE = 1e-3
#: Outlines that overlap by less than this share of the smaller only touch [-].
_TOUCH_SHARE = 1e-3
#: Proportions of sheets of paper: ISO 216, and those of 11 by 8.5, 17 by 11 and 34 by 22 in [-].
_PAPER = (2.0**0.5, 11 / 8.5, 17 / 11, 34 / 22)
_PAPER_NEAR = 0.01
#: Widest border between the two lines of a frame, as a share of its shorter side [-]: 20 mm of the
#: 210 mm of A4 and some more (ISO 5457; from memory).
_BORDER = 0.12
#: Corners that tell equal shapes are rounded to so many decimals of a metre.
_PLACES = 7
_MM = 1e3


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece as it lies in the drawing: its number there, outline and holes [m]."""

    number: int
    outline: Contour
    holes: tuple[Contour, ...]

    def shape(self, kind: str) -> Shape:
        """Return the piece as a shape."""
        return make_shape(kind, self.outline, self.holes)

    @property
    def key(self) -> tuple[tuple[float, ...], ...]:
        """What equal pieces agree in, wherever they lie."""
        shape = make_shape("", self.outline, self.holes)
        return tuple(sorted(_corners(contour) for contour in shape.contours))


def _corners(contour: Contour) -> tuple[float, ...]:
    rounded = [tuple(round(part, _PLACES) + 0.0 for part in corner) for corner in contour.corners]
    first = rounded.index(min(rounded))
    return tuple(part for corner in rounded[first:] + rounded[:first] for part in corner)


@dataclass(frozen=True, slots=True)
class Sorted:
    """Pieces in the order of the drawing, loops set aside, and what is said or asked."""

    pieces: tuple[Piece, ...]
    aside: tuple[Contour, ...]
    said: tuple[Message, ...]


def sort_loops(
    loops: Sequence[Contour],
    texts: Sequence[Point],
    name: str,
    field: str,
    *,
    frames: bool = True,
) -> Sorted:
    """Tell pieces, holes, doubles and frames among loops.

    Parameters
    ----------
    loops
        Closed loops [m].
    texts
        Where lettering stands [m].
    name, field
        Drawing and field, for what is said.
    frames
        Whether a rectangle about all else may be a frame; not where its layer was chosen.

    Notes
    -----
    Outlines and holes take turns from the outside inwards. What is asked about is no piece.
    """
    said: list[Message] = []
    aside: list[Contour] = []
    kept: list[Contour] = []
    polygons: list[Polygon] = []
    for loop in loops:
        polygon = _polygon(loop)
        if polygon is None:
            aside.append(loop)
            said.append(Message(
                field, name, f"the outline that begins at {_at(loop.corners[0])} crosses itself or "
                "encloses nothing. Redraw it as one simple closed line.",
                code="drawing.outline_crosses",
            ))  # fmt: skip
        else:
            kept.append(loop)
            polygons.append(polygon)
    single, doubled = _without_doubles(polygons)
    if doubled:
        where = _at(kept[doubled[0]].corners[0])
        text = (f"{len(doubled)} outline{'s are' if len(doubled) > 1 else ' is'} drawn twice, the "
                f"first at {where}; each is read once.")  # fmt: skip
        said.append(Message(field, name, text, "note", code="drawing.drawn_twice"))
        aside += [kept[n] for n in doubled]
    crossing = _crossing(polygons, single)
    if crossing:
        one, _ = crossing[0]
        wrong = sorted({n for pair in crossing for n in pair})
        said.append(Message(
            field, name, f"{len(wrong)} outlines lie over each other, the first at "
            f"{_at(kept[one].corners[0])}. Draw what is cut as one outline, or each piece apart.",
            code="drawing.outlines_overlap",
        ))  # fmt: skip
        # What lies inside an outline that is asked about is asked about with it.
        wrong += [n for n in single if n not in wrong
                  and any(polygons[w].contains(polygons[n]) for w in wrong)]  # fmt: skip
        wrong += [n for n in single if n not in wrong
                  and any(polygons[n].contains(polygons[w]) for w in wrong)]  # fmt: skip
        aside += [kept[n] for n in wrong]
        single = [n for n in single if n not in set(wrong)]
    framed, asked = _frames(kept, polygons, single, texts) if frames else ([], [])
    for n in framed:
        text = (f"a rectangle of {_size(kept[n])} about all else, with the proportions of paper, "
                "is set aside as the frame of the sheet.")  # fmt: skip
        said.append(Message(field, name, text, "note", code="drawing.frame"))
    said += [
        Message(
            field, name, f"a rectangle of {_size(kept[n])} lies about all else: a frame, or a "
            "plate with holes? Choose the layers to be cut, or take the frame out.",
            code="drawing.frame_asked",
        )
        for n in asked
    ]  # fmt: skip
    gone = {*framed, *asked}
    aside += [kept[n] for n in sorted(gone)]
    single = [n for n in single if n not in gone] if not asked else []
    return Sorted(tuple(_pieces(kept, polygons, single)), tuple(aside), tuple(said))


def _at(corner: Sequence[float]) -> str:
    return f"x {corner[0] * _MM:g} mm, y {corner[1] * _MM:g} mm"


def _size(loop: Contour) -> str:
    x0, y0, x1, y1 = loop.bounds
    return f"{(x1 - x0) * _MM:g} mm by {(y1 - y0) * _MM:g} mm"


def _polygon(loop: Contour) -> Polygon | None:
    from shapely import Polygon  # noqa: PLC0415 - heavy

    x0, y0, x1, y1 = loop.bounds
    if abs(loop.area) <= SLACK * (x1 - x0) * (y1 - y0):
        # A line drawn there and back, not a piece.
        return None
    points = loop.points(_LOOK_SHARE * max(x1 - x0, y1 - y0))
    if len(points) < 3:  # noqa: PLR2004 - corners of a polygon
        return None
    polygon = Polygon(points)
    return polygon if polygon.is_valid else None


def _near_pairs(polygons: Sequence[Polygon], chosen: Sequence[int]) -> list[tuple[int, int]]:
    import shapely  # noqa: PLC0415 - heavy

    boxes = np.array([polygons[n] for n in chosen], dtype=object)
    if not len(boxes):
        return []
    one, two = shapely.STRtree(boxes).query(boxes)
    return [
        (chosen[a], chosen[b]) for a, b in zip(one.tolist(), two.tolist(), strict=True) if a < b
    ]


def _without_doubles(polygons: Sequence[Polygon]) -> tuple[list[int], list[int]]:
    doubled: set[int] = set()
    for a, b in sorted(_near_pairs(polygons, range(len(polygons)))):
        one, two = polygons[a], polygons[b]
        if a in doubled or abs(one.area - two.area) > _SAME_SHARE * one.area:
            continue
        if one.symmetric_difference(two).area <= _SAME_SHARE * one.area:
            doubled.add(b)
    return [n for n in range(len(polygons)) if n not in doubled], sorted(doubled)


def _crossing(polygons: Sequence[Polygon], chosen: Sequence[int]) -> list[tuple[int, int]]:
    found = []
    for a, b in _near_pairs(polygons, chosen):
        shared = polygons[a].intersection(polygons[b]).area
        least = min(polygons[a].area, polygons[b].area)
        if _TOUCH_SHARE * least < shared < least * (1.0 - _TOUCH_SHARE):
            found.append((a, b))
    return found


def _frames(
    loops: Sequence[Contour], polygons: Sequence[Polygon], chosen: Sequence[int],
    texts: Sequence[Point],
) -> tuple[list[int], list[int]]:  # fmt: skip
    """Rectangles about all else that are frames, and those that may be."""
    left = list(chosen)
    framed: list[int] = []
    while len(left) > 1:
        outer = max(left, key=lambda n: polygons[n].area)
        rest = [n for n in left if n != outer]
        if not _is_upright(loops[outer]) or not all(
            polygons[outer].contains(polygons[n]) for n in rest
        ):
            break
        x0, y0, x1, y1 = loops[outer].bounds
        of_paper = _of_paper(x1 - x0, y1 - y0)
        lettered = any(x0 <= x <= x1 and y0 <= y <= y1 for x, y in texts)
        deep = any(
            polygons[a].contains(polygons[b]) or polygons[b].contains(polygons[a])
            for a, b in _near_pairs(polygons, rest)
        )
        if framed and not _near_inside(loops[outer], loops[framed[-1]]):
            break
        if framed or (of_paper and (lettered or deep)):
            framed.append(outer)
            left = rest
        elif of_paper or (deep and len(rest) > 1):
            return framed, [outer]
        else:
            break
    return framed, []


def _near_inside(inner: Contour, outer: Contour) -> bool:
    """Tell whether a rectangle is the inner line of a frame, a narrow border within it."""
    a, b = inner.bounds, outer.bounds
    border = _BORDER * min(b[2] - b[0], b[3] - b[1])
    return max(abs(p - q) for p, q in zip(a, b, strict=True)) <= border


def _of_paper(width: float, height: float) -> bool:
    ratio = max(width, height) / min(width, height)
    return any(abs(ratio / paper - 1.0) < _PAPER_NEAR for paper in _PAPER)


def _is_upright(loop: Contour) -> bool:
    """Tell whether a loop is a rectangle along x and y."""
    x0, y0, x1, y1 = loop.bounds
    return abs(loop.area) >= (x1 - x0) * (y1 - y0) * (1.0 - SLACK)


def _pieces(
    loops: Sequence[Contour], polygons: Sequence[Polygon], chosen: Sequence[int]
) -> list[Piece]:
    """Outlines and holes take turns from the outside inwards."""
    order = sorted(chosen, key=lambda n: -abs(loops[n].area))
    around: dict[int, list[int]] = {n: [] for n in order}
    for a, b in _near_pairs(polygons, list(chosen)):
        outer, inner = (a, b) if order.index(a) < order.index(b) else (b, a)
        if polygons[outer].contains(polygons[inner].representative_point()):
            around[inner].append(outer)
    depth = {n: sorted(around[n], key=order.index) for n in order}
    holes: dict[int, list[Contour]] = {n: [] for n in order if len(depth[n]) % 2 == 0}
    for inner in order:
        if len(depth[inner]) % 2:
            holes[depth[inner][-1]].append(loops[inner])
    return [Piece(n, loops[n], tuple(holes[n])) for n in sorted(holes)]
