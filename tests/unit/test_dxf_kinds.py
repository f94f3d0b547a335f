"""Drawings as shops send them, each with its truth: pieces, counts, areas, and what is said.

Each is drawn by ezdxf with sizes in round millimetres, so that areas are sums done by hand. A line
that is not read is told by what it is, or asked about; none is dropped in silence.
"""

from __future__ import annotations

import io
import math
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from ezdxf.filemanagement import new

from meshcore.cli import main
from meshcore.messages import Message
from meshcore.supply.drawing.drawing_picture import draw_reading
from meshcore.supply.shapes.dxf import DrawingRead, read_drawing

PLATE = [(0, 0), (100, 0), (100, 50), (0, 50)]


@dataclass(frozen=True)
class Truth:
    """A drawing: how it is drawn, its (count, area in mm²), and codes of what is said."""

    draw: Callable[[Any], None]
    pieces: tuple[tuple[int, float], ...]
    said: tuple[str, ...] = ()
    layers: tuple[str, ...] = ()


def rectangle(space: Any, x: float, y: float, w: float, h: float, layer: str = "0") -> None:
    corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
    space.add_lwpolyline(corners, close=True, dxfattribs={"layer": layer})


def lines(space: Any, corners: list[tuple[float, float]], layer: str = "0") -> None:
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        space.add_line(a, b, dxfattribs={"layer": layer})


def block(drawing: Any, name: str = "PIECE") -> Any:
    made = drawing.blocks.new(name)
    rectangle(made, 0, 0, 40, 20)
    made.add_circle((20, 10), 5)
    return made


def three_pieces(d: Any) -> None:
    s = d.modelspace()
    rectangle(s, 0, 0, 100, 50)
    rectangle(s, 200, 0, 30, 30)
    s.add_circle((400, 0), 20)
    s.add_circle((400, 0), 10)


def alike_apart(d: Any) -> None:
    for n in range(4):
        rectangle(d.modelspace(), 150 * n, 7 * n, 100, 50)


def block_once(d: Any) -> None:
    block(d)
    d.modelspace().add_blockref("PIECE", (10, 10))


def block_three_times(d: Any) -> None:
    block(d)
    for n in range(3):
        d.modelspace().add_blockref("PIECE", (100 * n, 0))


def block_array(d: Any) -> None:
    block(d)
    array = {"row_count": 3, "row_spacing": 50, "column_count": 4, "column_spacing": 60}
    d.modelspace().add_blockref("PIECE", (0, 0), dxfattribs=array)


def array_in_a_block(d: Any) -> None:
    block(d)
    outer = d.blocks.new("OUTER")
    outer.add_blockref("PIECE", (0, 0), dxfattribs={"column_count": 2, "column_spacing": 60})
    d.modelspace().add_blockref("OUTER", (0, 0), dxfattribs={"row_count": 5, "row_spacing": 50})


def turned_block(d: Any) -> None:
    block(d)
    d.modelspace().add_blockref("PIECE", (0, 0))
    d.modelspace().add_blockref("PIECE", (200, 0), dxfattribs={"rotation": 90})


def doubled_polyline(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    rectangle(d.modelspace(), 0, 0, 100, 50)


def doubled_from_another_corner(d: Any) -> None:
    s = d.modelspace()
    s.add_lwpolyline(PLATE, close=True)
    s.add_lwpolyline([*PLATE[2:], *PLATE[:2]][::-1], close=True)


def doubled_as_lines(d: Any) -> None:
    d.modelspace().add_lwpolyline(PLATE, close=True)
    lines(d.modelspace(), [(float(x), float(y)) for x, y in PLATE])


def doubled_line(d: Any) -> None:
    lines(d.modelspace(), [(float(x), float(y)) for x, y in PLATE])
    d.modelspace().add_line((100, 0), (0, 0))


def doubled_circle(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    for _ in range(2):
        d.modelspace().add_circle((50, 25), 10)


def overlapping_holes(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    d.modelspace().add_circle((45, 25), 10)
    d.modelspace().add_circle((55, 25), 10)
    rectangle(d.modelspace(), 200, 0, 30, 30)


def overlapping_pieces(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    rectangle(d.modelspace(), 90, 40, 100, 50)


def touching_pieces(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    rectangle(d.modelspace(), 100, 0, 100, 50)


def frame_on_its_layer(d: Any) -> None:
    d.layers.add("FRAME")
    rectangle(d.modelspace(), -50, -50, 420, 297, "FRAME")
    rectangle(d.modelspace(), 0, 0, 100, 50)


def frame_in_its_block(d: Any) -> None:
    made = d.blocks.new("A3_Schriftfeld")
    rectangle(made, 0, 0, 420, 297)
    lines(made, [(240.0, 0.0), (420.0, 0.0), (420.0, 40.0), (240.0, 40.0)])
    d.modelspace().add_blockref("A3_Schriftfeld", (-50, -50))
    rectangle(d.modelspace(), 0, 0, 100, 50)


def frame_by_its_proportions(d: Any) -> None:
    s = d.modelspace()
    rectangle(s, -50, -50, 420, 297)
    s.add_text("DRAWN BY", height=3).set_placement((300, -40))
    rectangle(s, 0, 0, 100, 50)
    s.add_circle((50, 25), 5)


def double_frame(d: Any) -> None:
    s = d.modelspace()
    rectangle(s, -50, -50, 420, 297)
    rectangle(s, -40, -40, 400, 277)
    s.add_text("SCALE 1:1", height=3).set_placement((300, -30))
    rectangle(s, 0, 0, 100, 50)
    rectangle(s, 150, 0, 100, 50)
    s.add_circle((50, 25), 5)


def frame_or_plate(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 420, 297)
    for n in range(3):
        d.modelspace().add_circle((100 * (n + 1), 100), 20)


def plate_with_holes(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 400, 100)
    for n in range(3):
        d.modelspace().add_circle((100 * (n + 1), 50), 20)


def title_block(d: Any) -> None:
    s = d.modelspace()
    rectangle(s, 0, 0, 100, 50)
    lines(s, [(200.0, 0.0), (300.0, 0.0), (300.0, 40.0), (200.0, 40.0)])
    s.add_line((200, 20), (300, 20))
    s.add_line((250, 0), (250, 40))
    s.add_text("MATERIAL", height=3).set_placement((210, 25))


def centre_lines(d: Any) -> None:
    s = d.modelspace()
    d.linetypes.add("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25])
    s.add_circle((0, 0), 20)
    for a, b in (((-25, 0), (25, 0)), ((0, -25), (0, 25))):
        s.add_line(a, b, dxfattribs={"linetype": "CENTER"})


def centre_lines_by_layer(d: Any) -> None:
    d.linetypes.add("DASHDOT", [1.0, 0.5, -0.25, 0.0, -0.25])
    d.layers.add("M", linetype="DASHDOT")
    rectangle(d.modelspace(), 0, 0, 100, 50)
    d.modelspace().add_line((-10, 25), (110, 25), dxfattribs={"layer": "M"})


def loose_centre_lines(d: Any) -> None:
    rectangle(d.modelspace(), 0, 0, 100, 50)
    d.modelspace().add_line((-10, 25), (110, 25))


def tilted_circle(d: Any) -> None:
    d.modelspace().add_circle((0, 0), 10, dxfattribs={"extrusion": (0, 1, 1)})
    rectangle(d.modelspace(), 100, 0, 100, 50)


def tilted_lines(d: Any) -> None:
    s = d.modelspace()
    corners = [(0, 0, 0), (100, 0, 0), (100, 50, 30), (0, 50, 30)]
    for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
        s.add_line(a, b)
    rectangle(s, 200, 0, 100, 50)


def tilted_ellipse(d: Any) -> None:
    d.modelspace().add_ellipse((0, 0), (10, 0), 0.5, dxfattribs={"extrusion": (0, 1, 1)})
    rectangle(d.modelspace(), 100, 0, 100, 50)


def lifted(d: Any) -> None:
    for z in (5.0,):
        lines_at = [(x, y, z) for x, y in PLATE]
        for a, b in zip(lines_at, lines_at[1:] + lines_at[:1], strict=True):
            d.modelspace().add_line(a, b)


def small_gaps(d: Any) -> None:
    s = d.modelspace()
    s.add_line((0, 0), (100, 0))
    s.add_line((100, 0.1), (100, 50))
    s.add_line((100, 50), (0, 50.15))
    s.add_line((0, 50), (0, 0))


def wide_gap(d: Any) -> None:
    d.modelspace().add_lwpolyline([*PLATE, (0, 1)])
    rectangle(d.modelspace(), 200, 0, 30, 30)


def chosen_layer(d: Any) -> None:
    for layer, x in (("CUT", 0), ("ENGRAVE", 200), ("FRAME", 400)):
        d.layers.add(layer)
        rectangle(d.modelspace(), x, 0, 100, 50, layer)


def dimensions(d: Any) -> None:
    s = d.modelspace()
    rectangle(s, 0, 0, 100, 50)
    s.add_linear_dim(base=(0, -20), p1=(0, 0), p2=(100, 0)).render()
    s.add_text("PART 7", height=5).set_placement((20, 20))
    s.add_hatch().paths.add_polyline_path(PLATE)


def bow_tie(d: Any) -> None:
    d.modelspace().add_lwpolyline([(0, 0), (100, 100), (100, 0), (0, 100)], close=True)
    rectangle(d.modelspace(), 200, 0, 30, 30)


RING = math.pi * 300.0
PIERCED = 800.0 - math.pi * 25.0
TRUTHS = {
    "three pieces, one with a hole": Truth(three_pieces, ((1, 5000), (1, 900), (1, RING))),
    "alike pieces are counted": Truth(alike_apart, ((4, 5000),)),
    "a block": Truth(block_once, ((1, PIERCED),)),
    "a block three times": Truth(block_three_times, ((3, PIERCED),)),
    "an array of a block": Truth(block_array, ((12, PIERCED),)),
    "an array in an array": Truth(array_in_a_block, ((10, PIERCED),)),
    "a block turned": Truth(turned_block, ((1, PIERCED), (1, PIERCED))),
    "an outline twice": Truth(doubled_polyline, ((1, 5000),), ("drawn_twice",)),
    "twice, the other way": Truth(doubled_from_another_corner, ((1, 5000),), ("drawn_twice",)),
    "twice, once as lines": Truth(doubled_as_lines, ((1, 5000),), ("drawn_twice",)),
    "a line twice": Truth(doubled_line, ((1, 5000),), ("line_twice",)),
    "a hole twice": Truth(doubled_circle, ((1, 5000 - math.pi * 100),), ("drawn_twice",)),
    "holes over each other": Truth(overlapping_holes, ((1, 900),), ("outlines_overlap",)),
    "pieces over each other": Truth(overlapping_pieces, (), ("outlines_overlap",)),
    "pieces that touch": Truth(touching_pieces, ((2, 5000),)),
    "a frame on its layer": Truth(frame_on_its_layer, ((1, 5000),), ("set_aside",)),
    "a frame in its block": Truth(frame_in_its_block, ((1, 5000),), ("set_aside",)),
    "a frame by its proportions": Truth(
        frame_by_its_proportions, ((1, 5000 - math.pi * 25),), ("frame",)
    ),
    "a double frame": Truth(
        double_frame, ((1, 5000 - math.pi * 25), (1, 5000)), ("frame", "frame")
    ),
    "a frame or a plate": Truth(frame_or_plate, (), ("frame_asked",)),
    "a plate with holes": Truth(plate_with_holes, ((1, 40000 - 3 * math.pi * 400),)),
    "a title block": Truth(title_block, ((1, 5000),), ("title_block",)),
    "centre lines": Truth(centre_lines, ((1, math.pi * 400),), ("set_aside",)),
    "centre lines by layer": Truth(centre_lines_by_layer, ((1, 5000),), ("set_aside",)),
    "a loose line": Truth(loose_centre_lines, ((1, 5000),), ("outline_open",)),
    "a circle that is tilted": Truth(tilted_circle, ((1, 5000),), ("not_flat",)),
    "lines that are tilted": Truth(tilted_lines, ((1, 5000),), ("not_flat", "outline_open")),
    "an ellipse that is tilted": Truth(tilted_ellipse, ((1, 5000),), ("not_flat",)),
    "a piece above the plane": Truth(lifted, ((1, 5000),)),
    "small gaps": Truth(small_gaps, ((1, 5000),), ("gap_closed",)),
    "a wide gap": Truth(wide_gap, ((1, 900),), ("outline_open",)),
    "a chosen layer": Truth(chosen_layer, ((1, 5000),), (), ("cut",)),
    "a frame layer that is chosen": Truth(chosen_layer, ((1, 5000),), (), ("FRAME",)),
    "layers by themselves": Truth(chosen_layer, ((2, 5000),), ("set_aside",)),
    "dimensions and lettering": Truth(dimensions, ((1, 5000),)),
    "an outline that crosses itself": Truth(bow_tie, ((1, 900),), ("outline_crosses",)),
}


#: What is mended or set aside by name; all else is asked.
NOTES = {
    f"drawing.{code}" for code in ("drawn_twice", "line_twice", "set_aside", "frame", "gap_closed")
}


def drawn(draw: Callable[[Any], None]) -> bytes:
    drawing = new("R2010", setup=False)
    drawing.header["$INSUNITS"] = 4
    draw(drawing)
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue().encode("utf-8")


@pytest.mark.parametrize("name", TRUTHS)
def test_a_drawing_and_its_truth(name: str) -> None:
    truth = TRUTHS[name]
    read = read_drawing(drawn(truth.draw), layers=truth.layers)
    assert isinstance(read, DrawingRead), read
    found = [(piece.count, piece.shape.area_m2 * 1e6) for piece in read.pieces]
    assert len(found) == len(truth.pieces), found
    for (count, area), (wanted, known) in zip(found, truth.pieces, strict=True):
        # Gaps that are closed move a corner by up to their size: 0.15 mm of 100 mm.
        assert count == wanted
        assert area == pytest.approx(known, rel=2e-3 if "gap" in name else 1e-9)
    said = [message.code.removeprefix("drawing.") for message in read.said]
    assert tuple(dict.fromkeys(said)) == tuple(dict.fromkeys(truth.said))
    assert sum(1 for code in said if code == "frame") == truth.said.count("frame")
    for message in read.said:
        assert (message.severity == "note") == (message.code in NOTES)
        assert (message in read.asked) == (message.code not in NOTES)


@pytest.mark.parametrize("name", TRUTHS)
def test_the_picture_holds_every_piece_and_what_was_set_aside(name: str) -> None:
    truth = TRUTHS[name]
    read = read_drawing(drawn(truth.draw), layers=truth.layers)
    assert isinstance(read, DrawingRead)
    tree = ET.fromstring(draw_reading(read))
    counted = [e.get("data-outline") for e in tree.iter() if e.get("data-outline")]
    for number, piece in enumerate(read.pieces, 1):
        assert counted.count(str(number)) == piece.count
    assert sum(1 for e in tree.iter() if e.get("data-aside")) == len(read.aside)


def test_the_tolerance_of_gaps_is_what_is_asked_for() -> None:
    content = drawn(small_gaps)
    strict = read_drawing(content, close_m=5e-5)
    assert isinstance(strict, DrawingRead)
    assert {m.code for m in strict.asked} == {"drawing.outline_open"}
    read = read_drawing(content)
    assert isinstance(read, DrawingRead)
    (note,) = read.said
    assert note.text.startswith("2 gaps of up to 0.15 mm were closed")
    assert note.text.endswith("up to 0.2 mm are.")


def test_layers_are_listed_with_whether_they_were_read() -> None:
    read = read_drawing(drawn(chosen_layer))
    assert isinstance(read, DrawingRead)
    assert [(one.name, one.lines, one.read) for one in read.layers] == [
        ("CUT", 1, True), ("ENGRAVE", 1, True), ("FRAME", 1, False),
    ]  # fmt: skip


def test_a_drawing_of_tilted_lines_alone_is_refused() -> None:
    def only(d: Any) -> None:
        d.modelspace().add_circle((0, 0), 10, dxfattribs={"extrusion": (0, 1, 1)})

    read = read_drawing(drawn(only))
    assert isinstance(read, Message)
    assert read.code == "drawing.not_flat"


def test_the_command_lists_what_was_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path, picture = tmp_path / "sheet.dxf", tmp_path / "read.svg"
    path.write_bytes(drawn(chosen_layer))
    assert main(["drawing", str(path), "-o", str(picture)]) == 0
    told = capsys.readouterr().out
    assert "2 × outline 1: 100 mm × 50 mm, 5000 mm²" in told
    assert "layer FRAME: 1 line, set aside" in told
    assert "set aside as a frame or title block" in told
    assert picture.read_text("utf-8").startswith("<svg")
    assert main(["drawing", str(path), "--layers", "cut"]) == 0
    assert "1 × outline 1" in capsys.readouterr().out
    assert main(["drawing", str(tmp_path / "gone.dxf")]) == 2
