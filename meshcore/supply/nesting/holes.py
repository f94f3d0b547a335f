"""Pieces laid in the holes of others: discs and rings in rings, panels in frames."""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from meshcore.arrays import IntArray
from meshcore.rounding import SLACK
from meshcore.supply.nesting.parts import Cloth, FreePart, Placements
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.postures import Posture, postures_of
from meshcore.supply.shapes.outlines import Shape

if TYPE_CHECKING:
    from shapely import Polygon

#: Distance between arcs and the polygons that stand in for them [m]: of holes they are smaller, of
#: pieces larger, so that what fits by them fits in truth.
_ARC_M = 1e-5
#: What a piece in a hole may be off [m]: half of what the check of a nest allows.
_OFF_M = 5e-7


@dataclass(frozen=True, slots=True)
class InHoles:
    """Pieces that go into holes, and what is left to be nested.

    Parameters
    ----------
    order
        Pieces that lie on the cloth itself; shapes of which none do are left out.
    numbers
        Number in the whole order of each shape of it.
    inside
        (Shape, number of its hole) → the shapes that go into such holes, one hole each.
    """

    order: NestOrder
    numbers: IntArray
    inside: dict[tuple[int, int], tuple[int, ...]]


def taken_in_holes(order: NestOrder, terms: NestTerms) -> InHoles | None:
    """Choose the pieces that go into the holes of others; None where none fits.

    Notes
    -----
    A hole takes one piece, at its middle: of those that fit, the one of the greatest area. The
    largest pieces are filled first, and what lies in a hole has holes to be filled itself.
    """
    area = np.array([shape.outline.area for shape in order.shapes])
    largest_first = np.argsort(-area, kind="stable").tolist()
    loose = order.quantity.copy()
    inside: dict[tuple[int, int], tuple[int, ...]] = {}
    for host in largest_first:
        for hole in range(len(order.shapes[host].holes)):
            open_holes = int(order.quantity[host])
            taken: list[int] = []
            for piece in largest_first:
                candidate = area[piece] < area[host] and loose[piece] and open_holes
                if candidate and _fits(order.shapes[host], hole, order.shapes[piece], terms):
                    count = min(open_holes, int(loose[piece]))
                    taken += [piece] * count
                    loose[piece] -= count
                    open_holes -= count
            if taken:
                inside[host, hole] = tuple(taken)
    if not inside:
        return None
    numbers = np.flatnonzero(loose)
    shapes = tuple(order.shapes[n] for n in numbers)
    return InHoles(NestOrder(shapes, loose[numbers]), numbers, inside)


def with_pieces_in_holes(plan: NestPlan, order: NestOrder, holes: InHoles) -> NestPlan:
    """Return the plan of the pieces on the cloth with the others laid in their holes."""
    waiting = {key: deque(pieces) for key, pieces in holes.inside.items()}
    cloths: list[Cloth] = []
    for cloth in plan.cloths:
        p = cloth.placements
        own = Placements(holes.numbers[p.shape], p.x_m, p.y_m, p.turn_rad)
        alike: Counter[tuple[_Laid, ...]] = Counter(
            tuple(_inside(own, order, plan.terms, waiting)) for _ in range(cloth.repeats)
        )
        cloths += [
            Cloth(cloth.length_m, _parts(own, laid, cloth.length_m), count)
            for laid, count in alike.items()
        ]
    return replace(plan, order=order, cloths=tuple(cloths))


def _parts(own: Placements, laid: Sequence[_Laid], length_m: float) -> tuple[FreePart, ...]:
    parts = [FreePart(own, length_m)]
    if laid:
        shape, x, y, turn = (np.array(column) for column in zip(*laid, strict=True))
        parts.append(FreePart(Placements(shape, x, y, turn), length_m))
    return tuple(parts)


#: Shape, shift along and across [m], and turn [rad] of a piece.
_Laid: TypeAlias = tuple[int, float, float, float]


def _inside(
    own: Placements,
    order: NestOrder,
    terms: NestTerms,
    waiting: dict[tuple[int, int], deque[int]],
) -> Iterator[_Laid]:
    """Lay what is waiting into the holes of pieces on a cloth, and of what lies in these."""
    columns = (own.shape, own.x_m, own.y_m, own.turn_rad)
    hosts: deque[_Laid] = deque(zip(*(column.tolist() for column in columns), strict=True))
    while hosts:
        host, x, y, turn = hosts.popleft()
        shape = order.shapes[host]
        for hole in range(len(shape.holes)):
            pieces = waiting.get((host, hole))
            if not pieces:
                continue
            piece = pieces.popleft()
            found = _way_into(shape, hole, turn, order.shapes[piece], terms)
            if found is None:
                raise RuntimeError(f"shape {piece + 1} was chosen for a hole that it does not fit")
            across, along = found.bounds[1] + found.bounds[3], found.bounds[0] + found.bounds[2]
            mid_x, mid_y = _middle(shape, hole, turn)
            laid = (piece, x + mid_x - along / 2, y + mid_y - across / 2, found.turn_rad)
            yield laid
            hosts.append(laid)


def _fits(host: Shape, hole: int, piece: Shape, terms: NestTerms) -> bool:
    """Whether a piece fits the middle of a hole, however the host lies."""
    return all(
        _way_into(host, hole, way.turn_rad, piece, terms) is not None for way in _ways(host, terms)
    )


def _ways(shape: Shape, terms: NestTerms) -> tuple[Posture, ...]:
    return postures_of(shape, terms.turns, terms.bias_45, terms.warp_along_long_side)


@lru_cache(maxsize=4096)
def _way_into(
    host: Shape, hole: int, turn_rad: float, piece: Shape, terms: NestTerms
) -> Posture | None:
    """How a piece may lie at the middle of a hole of a host that lies in a turn."""
    import shapely  # noqa: PLC0415 - heavy

    room = _room(host, hole, turn_rad, terms.spacing_m)
    if room.is_empty or piece.outline.area > room.area:
        return None
    x, y = _middle(host, hole, turn_rad)
    wide, high = room.bounds[2] - room.bounds[0], room.bounds[3] - room.bounds[1]
    for way in _ways(piece, terms):
        if way.along_m > wide or way.across_m > high:
            continue
        low_x, low_y, high_x, high_y = way.bounds
        shift = (x - (low_x + high_x) / 2, y - (low_y + high_y) / 2)
        outline = piece.outline.placed(way.turn_rad, shift)
        if room.covers(shapely.Polygon(outline.points(_ARC_M, side="outside"))):
            return way
    return None


@lru_cache(maxsize=4096)
def _room(host: Shape, hole: int, turn_rad: float, spacing_m: float) -> Polygon:
    """Return what of a hole is the spacing from its edge, the host lying in a turn."""
    import shapely  # noqa: PLC0415 - heavy

    placed = host.holes[hole].placed(turn_rad, (0.0, 0.0))
    room = shapely.Polygon(placed.points(_ARC_M)).buffer(_OFF_M - spacing_m)
    # A hole that narrows falls into parts; then nothing is laid in it.
    return room if isinstance(room, shapely.Polygon) else shapely.Polygon()


def _middle(host: Shape, hole: int, turn_rad: float) -> tuple[float, float]:
    """Middle of the box of a hole of a piece that lies in a turn, unshifted [m]."""
    low_x, low_y, high_x, high_y = host.holes[hole].placed(turn_rad, (0.0, 0.0)).bounds
    return (low_x + high_x) / 2, (low_y + high_y) / 2


def may_lie_in_holes(shapes: Sequence[Shape]) -> bool:
    """Whether a piece might lie in a hole of another at all: it is no larger than the hole."""
    holes = [abs(hole.area) for shape in shapes for hole in shape.holes]
    return bool(holes) and min(s.outline.area for s in shapes) <= max(holes) * (1.0 + SLACK)
