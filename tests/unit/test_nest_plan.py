"""Nest plans drawn: to scale on screen, and in millimetres for the cutter."""

from __future__ import annotations

import io
import xml.etree.ElementTree as ET
from typing import get_args

import ezdxf
import numpy as np
import pytest

from meshcore.supply.drawing.nest_drawing import draw_nest_plan
from meshcore.supply.drawing.nest_dxf import nest_dxf
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest, quick_nest
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.shapes.dxf import read_dxf
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape
from meshcore.weave.drawing.svg import Theme

SVG = "{http://www.w3.org/2000/svg}"
KEEP = KeepTerms(0.2, 0.2, 0.5)


def plan_of(*lines: tuple[str, int], roll_m: float = 30.0) -> NestPlan:
    shapes = tuple(read_shape("", text) for text, _ in lines)
    assert all(isinstance(shape, Shape) for shape in shapes)
    order = NestOrder(
        tuple(s for s in shapes if isinstance(s, Shape)), np.array([n for _, n in lines])
    )
    plan = nest(order, NestTerms((1.2,), 0.005, 0.002, roll_m, keep=KEEP), seconds=0)
    assert isinstance(plan, NestPlan)
    return plan


MIXED = (
    ("trapezoid: base 300 mm, top 180 mm, height 220 mm", 6),
    ("ring: outer 300 mm, inner 200 mm", 3),
    ("400 x 250 mm", 5),
)


@pytest.fixture(scope="module")
def mixed() -> NestPlan:
    return plan_of(*MIXED)


@pytest.mark.parametrize("theme", get_args(Theme))
def test_every_piece_is_drawn_once_and_named(mixed: NestPlan, theme: Theme) -> None:
    root = ET.fromstring(draw_nest_plan(mixed, theme))
    drawn = [path.get("data-shape", "") for path in root.iter(f"{SVG}path")]
    assert sorted(drawn) == ["1"] * 6 + ["2"] * 3 + ["3"] * 5
    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    for part in ("trapezoid, 300 mm × 220 mm, 6 pieces", "1200 mm", "1190 mm usable", "checked"):
        assert part in words
    assert root.find(f"{SVG}title") is not None
    assert root.find(f"{SVG}desc") is not None


def test_the_drawing_is_to_scale() -> None:
    plan = plan_of(("400 x 250 mm", 4))
    root = ET.fromstring(draw_nest_plan(plan))
    cloth = next(r for r in root.iter(f"{SVG}rect") if r.get("data-part") == "cloth")
    scale = float(cloth.get("height") or 0) / plan.width_m
    assert float(cloth.get("width") or 0) == pytest.approx(plan.length_m * scale, abs=0.02)
    path = next(p for p in root.iter(f"{SVG}path") if p.get("data-shape"))
    points = [
        tuple(float(v) for v in step[1:].split(","))
        for step in (path.get("d") or "").split()
        if step != "Z"
    ]
    extent = np.ptp(np.array(points), axis=0) / scale
    assert sorted(extent) == pytest.approx([0.25, 0.4], abs=0.02 / scale)


def test_arcs_are_drawn_as_arcs(mixed: NestPlan) -> None:
    root = ET.fromstring(draw_nest_plan(mixed))
    rings = [p for p in root.iter(f"{SVG}path") if p.get("data-shape") == "2"]
    assert all((ring.get("d") or "").count("A") == 4 for ring in rings)


def test_a_long_cloth_goes_on_in_bands_and_repeats_are_told() -> None:
    plan = plan_of(("400 x 250 mm", 400), roll_m=12.0)
    root = ET.fromstring(draw_nest_plan(plan))
    groups = [g for g in root.iter(f"{SVG}g") if g.get("data-cloth")]
    assert [int(g.get("data-repeats") or 0) for g in groups] == [c.repeats for c in plan.cloths]
    bands = [r for r in groups[0].iter(f"{SVG}rect") if r.get("data-part") == "cloth"]
    assert len(bands) > 1
    lengths = sum(float(r.get("width") or 0) for r in bands)
    scale = float(bands[0].get("height") or 0) / plan.width_m
    assert lengths / scale == pytest.approx(plan.cloths[0].length_m, abs=0.01)


def test_offcuts_are_hatched_and_those_kept_are_marked() -> None:
    plan = plan_of(("400 x 250 mm", 3))
    root = ET.fromstring(draw_nest_plan(plan))
    marks = [r.get("data-kept") for r in root.iter(f"{SVG}rect") if r.get("data-part") == "offcut"]
    assert len(marks) == len(plan.offcuts)
    assert marks.count("yes") == len(plan.kept)
    assert plan.kept


def test_the_cutter_gets_layers_in_millimetres(mixed: NestPlan) -> None:
    content = nest_dxf(mixed)
    drawing = ezdxf.read(io.StringIO(content.decode("utf-8")))  # type: ignore[attr-defined]
    assert drawing.header["$INSUNITS"] == 4
    assert {"cloth", "pieces", "offcuts", "labels"} <= {layer.dxf.name for layer in drawing.layers}
    space = drawing.modelspace()
    assert len(space.query('CIRCLE[layer=="pieces"]')) == 6
    assert len(space.query('LWPOLYLINE[layer=="pieces"]')) == 11
    assert len(space.query('LWPOLYLINE[layer=="cloth"]')) == len(mixed.cloths)
    assert len(space.query('LWPOLYLINE[layer=="offcuts"]')) == len(mixed.offcuts)


def test_the_pieces_for_the_cutter_have_their_areas(mixed: NestPlan) -> None:
    pieces = read_dxf(nest_dxf(mixed), layers=("pieces",))
    assert isinstance(pieces, list)
    found = sorted(piece.area_m2 for piece in pieces)
    rows = zip(mixed.order.shapes, mixed.order.quantity.tolist(), strict=True)
    wanted = sorted(shape.area_m2 for shape, n in rows for _ in range(n))
    assert found == pytest.approx(wanted, rel=1e-6)
    cloth = read_dxf(nest_dxf(mixed), layers=("offcuts",))
    assert isinstance(cloth, list)
    left = sum(offcut.area_m2 for offcut in mixed.offcuts)
    assert sum(rectangle.area_m2 for rectangle in cloth) == pytest.approx(left)


def test_what_is_not_checked_is_not_cut() -> None:
    plan = plan_of(("400 x 250 mm", 3))
    quick = quick_nest(plan.order, plan.terms)
    assert isinstance(quick, NestPlan)
    with pytest.raises(ValueError, match="checked"):
        nest_dxf(quick)
