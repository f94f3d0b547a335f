"""Shapes from text: areas, lengths, bounds, and refusals that name what is wrong."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from meshcore.messages import Message
from meshcore.supply.shapes.fillets import filleted
from meshcore.supply.shapes.kinds import KINDS, ShapeKind
from meshcore.supply.shapes.outlines import Contour, Shape
from meshcore.supply.shapes.texts import read_shape, shape_names

#: The issue asks for 1e-6 of area and perimeter; polygons with edges of this turn are 1e-8 off.
DENSE = 2e-4
RELATIVE = 1e-6


def shape(text: str, name: str = "") -> Shape:
    found = read_shape(name, text)
    assert isinstance(found, Shape), str(found)
    return found


def refusal(text: str, name: str = "") -> Message:
    found = read_shape(name, text)
    assert isinstance(found, Message)
    return found


def dense(contour: Contour) -> list[tuple[float, float]]:
    """Points of a contour worked out apart from the library: each arc by complex rotation."""
    points = []
    for (x0, y0, bulge), (x1, y1, _) in contour.edges():
        start, end = complex(x0, y0), complex(x1, y1)
        points.append((x0, y0))
        if bulge:
            turn = 4 * math.atan(bulge)
            # The centre sees the chord under the turn: end − c = (start − c)·e^(i·turn).
            spin = complex(math.cos(turn), math.sin(turn))
            centre = (end - start * spin) / (1 - spin)
            steps = math.ceil(abs(turn) / DENSE)
            angles = np.exp(1j * turn * np.arange(1, steps) / steps)
            points += [(z.real, z.imag) for z in centre + (start - centre) * angles]
    return points


def dense_polygon(piece: Shape) -> Polygon:
    return Polygon(dense(piece.outline), [dense(hole) for hole in piece.holes])


EXAMPLES = [text for kind in KINDS for text in kind.example.split(", or: ")] + [
    "polygon: points (0, 0) (300, 0) (300, 200) (150, 90, 20) (0, 200) mm, radius 12 mm",
    "sector: radius 200 mm, angle 250°",
    "ring segment: outer radius 150 mm, inner radius 100 mm, angle 300°",
    "trapezoid: base 300 mm, top 180 mm, height 220 mm, offset -60 mm",
    "parallelogram: base 300 mm, height 200 mm, angle 110°",
    "parallelogram: base 300 mm, height 200 mm, offset 50 mm",
    "regular polygon: sides 7, diameter 100 mm",
    "regular polygon: sides 8, across flats 100 mm",
    "notched rectangle: width 300 mm, height 200 mm, notch width 50 mm, notch height 40 mm",
    "notched rectangle: width 300 mm, height 200 mm, notch width 50 mm, notch height 40 mm, "
    "notch offset 80 mm",
    "rounded rectangle: width 300 mm, height 200 mm, corner radius 100 mm",
]


@pytest.mark.parametrize("text", EXAMPLES)
def test_area_perimeter_and_bounds_against_shapely(text: str) -> None:
    piece = shape(text)
    polygon = dense_polygon(piece)
    assert polygon.is_valid
    assert piece.area_m2 == pytest.approx(polygon.area, rel=RELATIVE)
    assert piece.cut_length_m == pytest.approx(polygon.length, rel=RELATIVE)
    assert piece.perimeter_m == pytest.approx(polygon.exterior.length, rel=RELATIVE)
    assert polygon.bounds[:2] == pytest.approx((0.0, 0.0), abs=1e-8)
    assert piece.size_m == pytest.approx(polygon.bounds[2:], abs=1e-8)


@pytest.mark.parametrize(
    ("text", "area", "perimeter"),
    [
        ("disc: diameter 200 mm", math.pi * 0.1**2, math.pi * 0.2),
        ("ring: outer diameter 300 mm, inner diameter 200 mm", math.pi * 0.0125, math.pi * 0.3),
        ("sector: radius 200 mm, angle 90°", math.pi * 0.01, 0.4 + math.pi * 0.1),
        ("hexagon: side 100 mm", 1.5 * math.sqrt(3) * 0.01, 0.6),
        ("triangle: side a 300 mm, side b 400 mm, side c 500 mm", 0.06, 1.2),
        ("triangle: side a 300 mm, side b 400 mm, angle 30°", 0.03, None),
        ("rounded rectangle: width 300 mm, height 200 mm, corner radius 20 mm",
         0.06 - (4 - math.pi) * 0.0004, 1.0 - 8 * 0.02 + math.pi * 0.04),
        ("trapezoid: base 300 mm, top 180 mm, height 220 mm", 0.0528, None),
        ("parallelogram: base 300 mm, side 200 mm, angle 60°", 0.06 * math.sin(math.pi / 3), 1.0),
    ],
)  # fmt: skip
def test_closed_forms(text: str, area: float, perimeter: float | None) -> None:
    piece = shape(text)
    assert piece.area_m2 == pytest.approx(area, rel=1e-12)
    if perimeter is not None:
        assert piece.perimeter_m == pytest.approx(perimeter, rel=1e-12)


SIZES_MM = st.integers(1, 5000).map(lambda n: n / 10)


@given(SIZES_MM, SIZES_MM, st.integers(1, 3599).map(lambda n: n / 10))
def test_ring_segments_of_any_size(a: float, b: float, angle: float) -> None:
    outer, inner = max(a, b) + 0.1, min(a, b)
    piece = shape(
        f"ring segment: outer diameter {outer} mm, inner diameter {inner} mm, angle {angle}°"
    )
    share = math.radians(angle) / 2
    area = share * (outer**2 - inner**2) / 4e6
    assert piece.area_m2 == pytest.approx(area, rel=1e-9)
    ends = (outer - inner) / 1e3
    assert piece.perimeter_m == pytest.approx(share * (outer + inner) / 1e3 + ends, rel=1e-9)


@given(SIZES_MM, SIZES_MM, st.floats(0.0, 1.0))
def test_triangle_by_sides_is_the_triangle_by_angle(a: float, b: float, share: float) -> None:
    angle = math.radians(1.0 + 178.0 * share)
    c = math.sqrt(a * a + b * b - 2 * a * b * math.cos(angle))
    by_sides = read_shape("triangle", f"a {a} mm, b {b} mm, c {c!r} mm")
    by_angle = shape(f"a {a} mm, b {b} mm, angle {math.degrees(angle)!r}°", "triangle")
    if isinstance(by_sides, Message):
        assert "not shorter" in by_sides.text
    else:
        assert by_sides.area_m2 == pytest.approx(by_angle.area_m2, rel=1e-6)


@pytest.mark.parametrize(
    ("name", "text", "size"),
    [
        ("rectangle", "300 x 200 mm", (0.3, 0.2)),
        ("", '12" x 24"', (0.3048, 0.6096)),
        ("rectangle", "300 mm long, 200 mm wide", (0.2, 0.3)),
        ("rect", "0,3 m, 0,2 m", (0.3, 0.2)),
        ("rectangle", "width 300.0 millimeter, height 1e-01 meter", (0.3, 0.1)),
        ("disk", "200 mm dia", (0.2, 0.2)),
        ("circle", "r 100 mm", (0.2, 0.2)),
        ("square", "200 mm", (0.2, 0.2)),
        ("disc: diameter 2 in", "", (0.0508, 0.0508)),
        ("rectangle", "width: 30 mm; height: 2 in", (0.03, 0.0508)),
    ],
)
def test_sizes_as_people_write_them(name: str, text: str, size: tuple[float, float]) -> None:
    assert shape(text, name).size_m == pytest.approx(size, rel=1e-12)


@pytest.mark.parametrize(
    ("name", "text", "field", "names"),
    [
        ("triangle", "side a 300 mm, side b 400 mm", "dimensions", "side c or angle"),
        ("trapezoid", "base 300 mm, top 180 mm", "dimensions", "height"),
        ("ring", "outer diameter 100 mm, inner diameter 120 mm", "dimensions", "inner diameter"),
        ("ring", "outer radius 100 mm", "dimensions", "inner diameter"),
        ("triangle", "a 100 mm, b 200 mm, c 300 mm", "dimensions", "side c"),
        ("triangle", "a 3 mm, b 4 mm, c 5 mm, angle 90°", "dimensions", "angle is one too many"),
        ("triangle", "a 3 mm, b 4 mm, angle 180°", "dimensions", "angle"),
        ("sector", "radius 20 mm, angle 360°", "dimensions", "disc"),
        ("disc", "radius 0 mm", "dimensions", "diameter must be above zero"),
        ("disc", "diameter 20", "dimensions", "diameter: a number without its unit"),
        ("disc", "diameter", "dimensions", "diameter"),
        ("disc", "", "dimensions", "disc: diameter"),
        ("disc", "diameter 2 mm, radius 1 mm", "dimensions", "given twice"),
        ("disc", "width 2 mm", "dimensions", '"width"'),
        ("rounded rectangle", "30 x 20 mm, radius 11 mm", "dimensions", "corner radius"),
        ("regular polygon", "sides 2, side 3 mm", "dimensions", "sides"),
        ("pentagon", "across flats 3 mm", "dimensions", "across flats"),
        ("notched rectangle", "30 x 20 mm, notch width 30 mm, notch height 2 mm",
         "dimensions", "notch width"),
        ("notched rectangle", "30 x 20 mm, notch width 3 mm, notch height 10 mm, corners 4",
         "dimensions", "notch height"),
        ("notched rectangle", "30 x 20 mm, notch width 3 mm, notch height 2 mm, corners 5",
         "dimensions", "corners"),
        ("notched rectangle",
         "30 x 20 mm, notch width 10 mm, notch height 2 mm, notch offset 20 mm",
         "dimensions", "notch offset"),
        ("polygon", "(0,0) (1,1) (1,0) (0,1) mm", "dimensions", "edges 1 and 3"),
        ("polygon", "(0,0) (10,0) mm", "dimensions", "three or more"),
        ("polygon", "(0,0) (10,0) (10,10) mm, radius 20 mm", "dimensions", "edge 1 is too short"),
        ("polygon", "(0,0) (10,0) (10,10)", "dimensions", "without its unit"),
        ("polygon", "(0,0) (10,0,1,2) (10,10) mm", "dimensions", "(10,0,1,2)"),
        ("polygon", "(0,0) (10,0) (5,0) (5,5) mm", "dimensions", "edges 1 and 2"),
        ("star", "diameter 20 mm", "shape", "Known shapes"),
    ],
)  # fmt: skip
def test_refusals_name_what_is_missing_or_impossible(
    name: str, text: str, field: str, names: str
) -> None:
    found = refusal(text, name)
    assert found.field == field
    assert names in found.text


@given(st.sampled_from([*shape_names(), "", "blob"]), st.text(max_size=60))
def test_no_text_raises(name: str, text: str) -> None:
    assert isinstance(read_shape(name, text), Shape | Message)


WORDS = st.lists(
    st.sampled_from(
        ["width", "diameter", "side a", "angle", "30 mm", "-2 mm", "60°", "(0,0)", "(3,", "x",
         ",", ";", "=", "1/2 in", "radius", "points", "mm", "e", "0", "1e400 mm", "sides 6"]
    ),
    max_size=10,
)  # fmt: skip


@given(st.sampled_from(shape_names()), WORDS)
def test_no_heap_of_right_words_raises(name: str, words: list[str]) -> None:
    found = read_shape(name, " ".join(words))
    assert isinstance(found, Shape | Message)
    if isinstance(found, Shape):
        assert found.area_m2 > 0


@pytest.mark.parametrize("text", EXAMPLES)
def test_turning_and_shifting_change_nothing_that_is_measured(text: str) -> None:
    outline = shape(text).outline
    moved = outline.placed(1.234, (5.0, -7.0))
    assert moved.area == pytest.approx(outline.area, rel=1e-9)
    assert moved.length == pytest.approx(outline.length, rel=1e-12)
    assert outline.reversed().area == pytest.approx(-outline.area, rel=1e-12)


@pytest.mark.parametrize("text", EXAMPLES)
def test_outside_polygon_covers_the_piece_within_its_tolerance(text: str) -> None:
    tolerance = 1e-4
    piece = shape(text)
    cover = Polygon(piece.outline.points(tolerance, "outside"))
    exact = Polygon(dense(piece.outline))
    assert cover.buffer(1e-9).contains(exact)
    assert exact.buffer(tolerance * 1.01).contains(cover)


def test_reading_again_is_free() -> None:
    text = "disc: diameter 123 mm"
    assert read_shape("", text) is read_shape("", text)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_a_radius_is_half_a_diameter_and_every_other_name_is_the_size_itself(
    kind: ShapeKind,
) -> None:
    for alias, (size, factor) in kind.size_aliases.items():
        halved = "diameter" in size and (alias == "r" or "radius" in alias)
        assert factor == (2 if halved else 1), alias


def polygon(points: str) -> Shape | Message:
    return read_shape("", f"polygon: points {points} mm")


@pytest.mark.parametrize(
    ("points", "edges"),
    [
        ("(1, 5) (4, 5) (2, 5) (2, 8)", (1, 2)),  # back along x
        ("(5, 1) (5, 4) (5, 2) (8, 2)", (1, 2)),  # back along y
        ("(1, 1) (4, 7) (2, 3) (9, 3)", (1, 2)),  # back aslant
        ("(2, 2) (6, 2) (6, 6) (9, 2)", (1, 4)),  # back from the last edge to the first
        ("(1, 1) (5, 5) (5, 1) (1, 5)", (1, 3)),
        ("(1, 1) (5, 1) (5, 5) (3, 1) (1, 5)", (1, 3)),  # a corner on another edge
    ],
)
def test_a_polygon_that_meets_itself_is_refused(points: str, edges: tuple[int, int]) -> None:
    refused = polygon(points)
    assert isinstance(refused, Message)
    assert f"edges {edges[0]} and {edges[1]} cross or touch" in refused.text


@pytest.mark.parametrize(
    ("points", "area"),
    [
        ("(1, 5) (2, 5) (4, 5) (4, 9) (1, 9)", 12.0),  # straight on along x
        ("(5, 1) (5, 2) (5, 4) (9, 4) (9, 1)", 12.0),  # along y
        ("(1, 1) (2, 3) (3, 5) (9, 5)", 12.0),  # aslant
        ("(1, 1) (9, 1) (1.5, 1.5)", 2.0),  # a sharp corner is no fold
    ],
)
def test_a_polygon_may_have_corners_on_its_edges(points: str, area: float) -> None:
    shape = polygon(points)
    assert isinstance(shape, Shape), shape
    assert shape.area_m2 == pytest.approx(area * 1e-6)


def test_fillets_that_meet_leave_no_edge_between_them() -> None:
    """A slot: four quarter circles of 10 mm on 20 mm by 50 mm, so that two edges have no length."""
    slot = filleted([(0, 0), (0.05, 0), (0.05, 0.02), (0, 0.02)], [0.01] * 4)
    assert isinstance(slot, Contour)
    assert len(slot.corners) == 6
    assert slot.area == pytest.approx(0.03 * 0.02 + math.pi * 0.01**2)
    assert slot.length == pytest.approx(0.06 + 2 * math.pi * 0.01)
    # One micrometre less is an edge that is too short: the second, of 20 mm.
    assert filleted([(0, 0), (0.05, 0), (0.05, 0.02), (0, 0.02)], [0.010001] * 4) == 1
    sharp = filleted([(0, 0), (0.05, 0), (0.05, 0.02), (0, 0.02)], [0.02, 0, 0, 0])
    assert isinstance(sharp, Contour)
    assert len(sharp.corners) == 4  # the arc ends where the next corner is


@pytest.mark.parametrize("size", ["side 60 mm", "diameter 120 mm", "across flats 103.923048454 mm"])
def test_a_hexagon_by_each_of_its_sizes(size: str) -> None:
    """Side, half the diameter across corners, and across flats over √3 are one length."""
    hexagon = shape(f"regular polygon: sides 6, {size}")
    assert hexagon.area_m2 == pytest.approx(1.5 * math.sqrt(3.0) * 0.06**2)
    assert hexagon.perimeter_m == pytest.approx(0.36)
    assert hexagon.size_m == pytest.approx((0.12, 0.06 * math.sqrt(3.0)))
