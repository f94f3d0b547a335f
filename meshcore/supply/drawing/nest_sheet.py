"""A nest as the cutter lays it out: in bands, each piece with its name, and where it lies."""

from __future__ import annotations

import math
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from meshcore.supply.drawing.bands import Band, bands_of
from meshcore.supply.drawing.outlines import View, roomiest
from meshcore.supply.drawing.sheet_parts import (
    CLOTH_WIDTH,
    LEFT,
    SMALL,
    Picture,
    mm,
    paper,
    ticks,
    warp_arrow,
    waste,
)
from meshcore.supply.nesting.parts import Cloth
from meshcore.supply.nesting.plan import NestPlan
from meshcore.supply.shapes.outlines import Contour, arc_of_edge, turn_matrix
from meshcore.weave.drawing.svg import Sheet

#: Length of a band at most, in drawing units: it leaves room on a page for its table's heading.
_MOST_ALONG = 430.0
_TOP, _FOOT = 20.0, 22.0
_RAD = 180.0 / math.pi


@dataclass(frozen=True, slots=True)
class PiecePlace:
    """A piece on its cloth.

    Parameters
    ----------
    name
        Its shape's name, and its number on this cloth.
    shape
        Number of the shape.
    x_m, y_m
        Where the upright box about it begins: along the cloth from its start, across from the
        edge [m].
    turn_deg
        Turn, anticlockwise [°].
    """

    name: str
    shape: int
    x_m: float
    y_m: float
    turn_deg: float


def piece_places(plan: NestPlan, cloth: Cloth, names: Sequence[str]) -> list[PiecePlace]:
    """Return where each piece of a cloth lies, in the order in which they begin along it."""
    placed, box = cloth.placements, plan.boxes(cloth)
    order = sorted(range(len(placed.shape)), key=lambda n: (round(box[n, 0], 6), box[n, 1]))
    numbered = {piece: number for number, piece in enumerate(order, 1)}
    return [
        PiecePlace(
            f"{names[int(placed.shape[n])]}-{numbered[n]}", int(placed.shape[n]),
            float(box[n, 0]), float(box[n, 1]), float(placed.turn_rad[n]) * _RAD % 360.0,
        )
        for n in range(len(placed.shape))
    ]  # fmt: skip


def draw_cloth(
    plan: NestPlan, cloth: Cloth, places: Sequence[PiecePlace], title: str
) -> Iterator[tuple[Band, Picture]]:
    """Draw a length of cloth, band by band.

    Parameters
    ----------
    plan, cloth
        The plan and one of its cloths.
    places
        Its pieces, as `piece_places` returns them.
    title
        Read out to those who cannot see the picture.

    Yields
    ------
    Each band, and its picture, black on white and to one scale. The cloth runs downwards.
    Pieces carry name, place and turn in ``data-piece``, ``data-x``, ``data-y`` [mm] and
    ``data-turn`` [°].
    """
    scale = CLOTH_WIDTH / plan.width_m
    for band in bands_of(plan.boxes(cloth), cloth.length_m, _MOST_ALONG / scale):
        yield band, _draw_band(plan, cloth, band, places, title, scale)


def _draw_band(
    plan: NestPlan,
    cloth: Cloth,
    band: Band,
    places: Sequence[PiecePlace],
    title: str,
    scale: float,
) -> Picture:
    high = (band.to_m - band.from_m) * scale
    words = f"From {band.from_m:.3f} m to {band.to_m:.3f} m: {len(band.pieces)} pieces"
    picture = paper(high + _TOP + _FOOT, title, words)
    view = View(scale, band.from_m, LEFT, _TOP, plan.width_m)
    trim = plan.terms.edge_trim_m * scale
    for x in (LEFT, LEFT + CLOTH_WIDTH - trim):
        waste(picture, x, _TOP, trim, high, data_waste="trim")
    for free in plan.free(cloth):
        low, end = max(free.x0_m, band.from_m), min(free.x1_m, band.to_m)
        waste(
            picture, LEFT + free.y0_m * scale, _TOP + (low - band.from_m) * scale,
            (free.y1_m - free.y0_m) * scale, (end - low) * scale, data_waste="beside the pieces",
        )  # fmt: skip
    picture.rect(LEFT, _TOP, CLOTH_WIDTH, high, fill="none", stroke="#000000", stroke_width="1")
    for number in band.pieces.tolist():
        _draw_piece(picture, plan, cloth, number, places[number], view)
    ticks(picture, _TOP, band.from_m, band.to_m, scale)
    warp_arrow(picture, _TOP, min(high, 60.0))
    picture.text(LEFT, high + _TOP + _FOOT - 6.0, "edge from which y is measured: left",
                 font_size=f"{SMALL:g}")  # fmt: skip
    return Picture(picture, high + _TOP + _FOOT)


def _draw_piece(
    picture: Sheet, plan: NestPlan, cloth: Cloth, number: int, place: PiecePlace, view: View
) -> None:
    placed, shape = cloth.placements, plan.order.shapes[place.shape]
    turn = float(placed.turn_rad[number])
    shift = float(placed.x_m[number]), float(placed.y_m[number])
    group = picture.group(
        data_piece=place.name, data_x=mm_exact(place.x_m), data_y=mm_exact(place.y_m),
        data_turn=f"{place.turn_deg:.4f}",
    )  # fmt: skip
    path = " ".join(_path(c.placed(turn, shift), view) for c in shape.contours)
    ink = {"d": path, "fill": "#ffffff", "fill-rule": "evenodd", "stroke": "#000000",
           "stroke-width": "0.9"}  # fmt: skip
    ET.SubElement(group.here, "path", ink)
    (spot_x, spot_y), room = roomiest(shape)
    cos, sin = turn_matrix(turn)
    x, y = cos * spot_x - sin * spot_y, sin * spot_x + cos * spot_y
    size = min(SMALL, room * view.scale * 2.0 / (0.6 * len(place.name)))
    group.text(LEFT + (y + shift[1]) * view.scale,
               view.top + (x + shift[0] - view.start_m) * view.scale + size * 0.35, place.name,
               font_size=f"{size:.2f}", text_anchor="middle")  # fmt: skip


def _path(contour: Contour, view: View) -> str:
    """Path of a contour with the cloth running downwards, its near edge at the left."""

    def at(x: float, y: float) -> str:
        return f"{LEFT + y * view.scale:.3f},{view.top + (x - view.start_m) * view.scale:.3f}"

    first = contour.corners[0]
    steps = [f"M{at(first[0], first[1])}"]
    for a, b in contour.edges():
        if not a[2]:
            steps.append(f"L{at(b[0], b[1])}")
            continue
        radius = arc_of_edge(a, b).radius * view.scale
        # Along goes down and across to the right: the cloth turned, not mirrored.
        steps.append(
            f"A{radius:.3f},{radius:.3f} 0 {int(abs(a[2]) > 1)} {int(a[2] < 0)} {at(b[0], b[1])}"
        )
    return " ".join([*steps, "Z"])


def mm_exact(metres: float) -> str:
    """Millimetres to a tenth of a micrometre, for machines."""
    return f"{metres * 1e3:.4f}"


def place_cells(place: PiecePlace) -> tuple[str, str, str, str]:
    """Cells of a piece's row: name, x and y in millimetres, turn in degrees."""
    return place.name, mm(place.x_m), mm(place.y_m), f"{place.turn_deg:.2f}".removesuffix(".00")
