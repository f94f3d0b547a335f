"""DXF drawings in: what they hold is read exactly, what they lack is asked for."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import new
from hypothesis import given, settings
from hypothesis import strategies as st

from meshcore.messages import Message
from meshcore.supply.drawing.nest_dxf import shapes_dxf
from meshcore.supply.shapes.dxf import read_dxf
from meshcore.supply.shapes.fillets import filleted
from meshcore.supply.shapes.outlines import Shape, circle, make_shape
from meshcore.supply.shapes.texts import read_shape

#: Of areas and lengths after a drawing was written and read [-].
ROUND_TRIP = 1e-6
KINDS = (
    "300 x 200 mm",
    "rounded rectangle: width 300 mm, height 200 mm, radius 20 mm",
    "disc: diameter 200 mm",
    "ring: outer diameter 300 mm, inner diameter 200 mm",
    "ring segment: outer radius 250 mm, inner radius 150 mm, angle 250°",
    "sector: radius 200 mm, angle 300°",
    "triangle: side a 300 mm, side b 400 mm, side c 500 mm",
    "trapezoid: base 300 mm, top 180 mm, height 220 mm",
    "parallelogram: base 300 mm, side 200 mm, angle 60°",
    "regular polygon: sides 7, across corners 250 mm",
)


def drawn(draw: Callable[[Any], object], insunits: int = 4, version: str = "R2010") -> bytes:
    """Content of a drawing whose model space `draw` has drawn on."""
    drawing = new(version)
    drawing.header["$INSUNITS"] = insunits
    draw(drawing.modelspace())
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode("utf-8")


def shapes_in(content: bytes, unit: str = "", layers: tuple[str, ...] = ()) -> list[Shape]:
    found = read_dxf(content, unit, layers)
    assert isinstance(found, list), str(found)
    return found


def refusal_of(content: bytes, unit: str = "") -> Message:
    found = read_dxf(content, unit)
    assert isinstance(found, Message)
    return found


def assert_same(one: Shape, two: Shape) -> None:
    assert two.area_m2 == pytest.approx(one.area_m2, rel=ROUND_TRIP)
    assert two.perimeter_m == pytest.approx(one.perimeter_m, rel=ROUND_TRIP)
    assert two.cut_length_m == pytest.approx(one.cut_length_m, rel=ROUND_TRIP)
    assert two.size_m == pytest.approx(one.size_m, rel=ROUND_TRIP)
    assert len(two.holes) == len(one.holes)


@pytest.mark.parametrize("text", KINDS)
def test_round_trip_keeps_every_kind_of_shape(text: str) -> None:
    shape = read_shape("", text)
    assert isinstance(shape, Shape), shape
    (back,) = shapes_in(shapes_dxf([shape]))
    assert_same(shape, back)


@settings(max_examples=25, deadline=None)
@given(
    st.floats(0.05, 2.0),
    st.floats(0.05, 2.0),
    st.just(0.0) | st.floats(0.01, 0.45),
    st.floats(0.05, 0.4),
    st.booleans(),
)
def test_round_trip_of_rounded_plates_with_a_hole(
    width: float, height: float, corner: float, hole: float, pierced: bool
) -> None:
    least = min(width, height)
    corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    outline = filleted(corners, [corner * least] * 4)
    assert not isinstance(outline, int)
    holes = [circle(hole * least, (width / 2, height / 2))] if pierced else []
    shape = make_shape("plate", outline, holes)
    (back,) = shapes_in(shapes_dxf([shape]))
    assert_same(shape, back)


def test_several_shapes_come_back_in_order() -> None:
    shapes = [s for s in (read_shape("", text) for text in KINDS) if isinstance(s, Shape)]
    back = shapes_in(shapes_dxf(shapes))
    assert len(back) == len(KINDS)
    for one, two in zip(shapes, back, strict=True):
        assert_same(one, two)


@pytest.mark.parametrize(
    ("code", "metres"), [(1, 0.0254), (2, 0.3048), (4, 1e-3), (5, 1e-2), (6, 1.0)]
)
def test_the_unit_is_read_from_the_drawing(code: int, metres: float) -> None:
    (shape,) = shapes_in(drawn(lambda space: space.add_circle((5, 5), 2.0), code))
    assert shape.area_m2 == pytest.approx(math.pi * 4.0 * metres**2)


def test_a_drawing_without_a_unit_asks_for_one() -> None:
    content = drawn(lambda space: space.add_circle((0, 0), 2.0), 0)
    asked = refusal_of(content)
    for choice in ("mm", "cm", "m", "in", "ft"):
        assert choice in asked.text
    (shape,) = shapes_in(content, "inch")
    assert shape.width_m == pytest.approx(4.0 * 0.0254)
    assert "furlong" in refusal_of(content, "furlong").read


def test_what_the_user_says_overrides_the_drawing() -> None:
    content = drawn(lambda space: space.add_circle((0, 0), 2.0), 4)
    (shape,) = shapes_in(content, "in")
    assert shape.width_m == pytest.approx(4.0 * 0.0254)


def test_lines_and_arcs_in_any_order_become_one_outline() -> None:
    """A slot of 100 mm by 40 mm: two lines and two half circles, one line drawn backwards."""

    def slot(space: Any) -> None:
        space.add_line((20, 0), (80, 0))
        space.add_arc((20, 20), 20, 90, 270)
        space.add_line((20, 40), (80, 40))
        space.add_arc((80, 20), 20, 270, 90)

    (shape,) = shapes_in(drawn(slot))
    assert shape.area_m2 == pytest.approx((60 * 40 + math.pi * 400) * 1e-6, rel=1e-12)
    assert shape.perimeter_m == pytest.approx((120 + 40 * math.pi) * 1e-3, rel=1e-12)
    assert shape.size_m == pytest.approx((0.1, 0.04))


def test_an_outline_in_a_hole_is_a_piece_of_its_own() -> None:
    def nested(space: Any) -> None:
        for radius in (10, 40, 30):
            space.add_circle((0, 0), radius)
        space.add_lwpolyline([(100, 0), (130, 0), (130, 20), (100, 20)], close=True)

    disc, ring, plate = shapes_in(drawn(nested))
    assert disc.area_m2 == pytest.approx(math.pi * 100e-6)
    assert ring.area_m2 == pytest.approx(math.pi * 700e-6)
    assert len(ring.holes) == 1
    assert plate.area_m2 == pytest.approx(600e-6)


def test_ellipses_and_splines_are_flattened_within_the_tolerance() -> None:
    """Half axes of 100 and 50 mm: the polygon is off by no more than 10 µm times the girth."""

    def ellipse(space: Any) -> None:
        space.add_ellipse((0, 0), (100, 0), 0.5)

    (shape,) = shapes_in(drawn(ellipse))
    girth = 0.4844
    assert shape.area_m2 == pytest.approx(math.pi * 0.1 * 0.05, abs=1e-5 * girth)

    def spline(space: Any) -> None:
        # Quadratic Bézier over a base of 100 mm, apex control at 100 mm: area 2/3 · 100 · 50.
        space.add_open_spline([(0, 0, 0), (50, 100, 0), (100, 0, 0)], degree=2)
        space.add_line((100, 0), (0, 0))

    (shape,) = shapes_in(drawn(spline))
    assert shape.area_m2 == pytest.approx(2 / 3 * 0.1 * 0.05, abs=1e-5 * 0.25)


def test_blocks_are_opened_and_scaled() -> None:
    drawing = new("R2010")
    drawing.header["$INSUNITS"] = 4
    block = drawing.blocks.new("PIECE")
    block.add_circle((0, 0), 10)
    drawing.modelspace().add_blockref(
        "PIECE", (50, 50), dxfattribs={"xscale": 2, "yscale": 2, "zscale": 2}
    )
    stream = io.StringIO()
    drawing.write(stream)
    (shape,) = shapes_in(stream.getvalue().encode("utf-8"))
    assert shape.width_m == pytest.approx(0.04)


def test_a_piece_drawn_from_below_is_mirrored() -> None:
    def mirrored(space: Any) -> None:
        space.add_lwpolyline(
            [(0, 0, 0), (100, 0, 1), (100, 40, 0), (0, 40, 0)], format="xyb", close=True,
            dxfattribs={"extrusion": (0, 0, -1)},
        )  # fmt: skip

    (shape,) = shapes_in(drawn(mirrored))
    assert shape.area_m2 == pytest.approx((4000 + math.pi * 200) * 1e-6)
    # The round end, at the right from below, is at the left from above.
    assert min(x for x, _, bulge in shape.outline.corners) == pytest.approx(0.02)


def test_old_polylines_with_bulges_are_read() -> None:
    def old(space: Any) -> None:
        space.add_polyline2d([(0, 0, 1), (100, 0, 1)], format="xyb", close=True)

    (shape,) = shapes_in(drawn(old, version="R12"), "mm")
    assert shape.area_m2 == pytest.approx(math.pi * 0.05**2)


def test_hidden_layers_are_passed_over_and_layers_can_be_chosen() -> None:
    drawing = new("R2010")
    drawing.header["$INSUNITS"] = 4
    drawing.layers.add("help").off()
    drawing.layers.add("cut")
    space = drawing.modelspace()
    space.add_circle((0, 0), 10, dxfattribs={"layer": "cut"})
    space.add_circle((0, 0), 30, dxfattribs={"layer": "help"})
    space.add_circle((100, 0), 20)
    space.add_text("part 7")
    stream = io.StringIO()
    drawing.write(stream)
    content = stream.getvalue().encode("utf-8")
    assert [round(s.width_m, 6) for s in shapes_in(content)] == [0.02, 0.04]
    assert [round(s.width_m, 6) for s in shapes_in(content, layers=("CUT",))] == [0.02]


def _open(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (100, 50), (12, 34)])


def _crossing(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (100, 100), (100, 0), (0, 100)], close=True)


def _corner_to_corner(space: Any) -> None:
    for way in (1, -1):
        corners = [(0, 0), (way * 100, 0), (way * 100, way * 50), (0, way * 50)]
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
            space.add_line(a, b)


def _with_a_tail(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (100, 50), (0, 50), (0.01, 0)])
    space.add_line((0, 0), (-30, 0))


def _gap_below_the_tolerance(space: Any) -> None:
    # Ends 10 µm apart belong together, whether of one line or of two.
    space.add_lwpolyline([(0, 0), (100, 0), (100, 50), (0, 50), (0, 0.01)])
    space.add_lwpolyline([(200, 0), (300, 0), (300, 50)])
    space.add_lwpolyline([(200.01, 0), (200, 50), (300, 50.01)])


def _there_and_back(space: Any) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (50, 0)], close=True)


def _upright(space: Any) -> None:
    space.add_circle((0, 0), 10, dxfattribs={"extrusion": (1, 0, 0)})


@pytest.mark.parametrize(
    ("draw", "words"),
    [
        (_open, ("open", "Close the outline")),
        (_crossing, ("crosses itself", "x 0 mm, y 0 mm")),
        (_corner_to_corner, ("more than two lines meet at x 0 mm, y 0 mm",)),
        (_with_a_tail, ("more than two lines meet",)),
        (_there_and_back, ("encloses nothing",)),
        (_upright, ("plane", "flat")),
        (lambda space: space.add_text("no outline"), ("no outline found",)),
    ],
)
def test_what_is_wrong_with_a_drawing_is_said(
    draw: Callable[[Any], object], words: tuple[str, ...]
) -> None:
    refused = refusal_of(drawn(draw))
    assert refused.severity == "refused"
    for word in words:
        assert word in refused.text


def test_ends_that_nearly_meet_are_joined() -> None:
    areas = [shape.area_m2 for shape in shapes_in(drawn(_gap_below_the_tolerance))]
    assert areas == pytest.approx([0.1 * 0.05] * 2, rel=1e-3)


def test_an_arc_all_the_way_round_is_a_disc_and_one_less_is_open() -> None:
    (disc,) = shapes_in(drawn(lambda space: space.add_arc((7, 3), 10, 30, 390)))
    assert disc.area_m2 == pytest.approx(math.pi * 0.01**2)
    gap = refusal_of(drawn(lambda space: space.add_arc((7, 3), 10, 0, 357)))
    assert "open" in gap.text

    def closed_by_a_line(space: Any) -> None:
        space.add_arc((0, 0), 10, 0, 270)
        space.add_line((10, 0), (0, -10))

    (piece,) = shapes_in(drawn(closed_by_a_line))
    assert piece.area_m2 == pytest.approx((0.75 * math.pi + 0.5) * 0.01**2)


@pytest.mark.parametrize("content", [b"", b"no drawing at all", b"\x00\xff" * 500])
def test_what_is_no_drawing_is_refused(content: bytes) -> None:
    assert "DXF" in refusal_of(content).text


def test_files_are_read_and_missing_ones_named(tmp_path: Path) -> None:
    path = tmp_path / "piece.dxf"
    path.write_bytes(drawn(lambda space: space.add_circle((0, 0), 10)))
    found = read_dxf(path)
    assert isinstance(found, list)
    missing = read_dxf(tmp_path / "gone.dxf", field="dimensions")
    assert isinstance(missing, Message)
    assert missing.field == "dimensions"
    assert missing.read == "gone.dxf"
