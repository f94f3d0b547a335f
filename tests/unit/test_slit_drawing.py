"""The drawing of a slit plan shows what the plan says: read back from the drawing's own data."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import combinations

import numpy as np
import pytest

from meshcore.supply.drawing.slit_drawing import draw_slit_plan
from meshcore.supply.policy import default_supply_policy
from meshcore.supply.slitting.plan import SlitPlan, StripOrder, slit_terms
from meshcore.supply.slitting.planning import slit
from meshcore.supply.slitting.report import report_lines

SVG = "{http://www.w3.org/2000/svg}"
#: Coordinates are written to a hundredth.
ROUNDING = 0.02


@pytest.fixture(scope="module")
def plan() -> SlitPlan:
    order = StripOrder(
        np.array([0.45, 0.3, 0.12, 0.05]),
        np.array([30.0, 12.0, 7.5, 3.0]),
        np.array([3, 8, 14, 20]),
    )
    found = slit(order, slit_terms(default_supply_policy()), seconds=0.5)
    assert isinstance(found, SlitPlan)
    return found


def box(rect: ET.Element) -> tuple[float, float, float, float]:
    x, y, w, h = (float(rect.attrib[name]) for name in ("x", "y", "width", "height"))
    return x, y, x + w, y + h


def test_strips_lie_on_their_cloth_apart_from_each_other(plan: SlitPlan) -> None:
    root = ET.fromstring(draw_slit_plan(plan))
    patterns = [g for g in root.iter(f"{SVG}g") if "data-repeats" in g.attrib]
    assert len(patterns) == len(plan.runs)
    made = np.zeros(len(plan.items.quantity), dtype=int)
    for pattern in patterns:
        cloth, *strips = (box(rect) for rect in pattern.iter(f"{SVG}rect"))
        for x0, y0, x1, y1 in strips:
            assert x0 >= cloth[0] - ROUNDING
            assert y0 >= cloth[1] - ROUNDING
            assert x1 <= cloth[2] + ROUNDING
            assert y1 <= cloth[3] + ROUNDING
        for a, b in combinations(strips, 2):
            apart_x = a[2] <= b[0] + ROUNDING or b[2] <= a[0] + ROUNDING
            apart_y = a[3] <= b[1] + ROUNDING or b[3] <= a[1] + ROUNDING
            assert apart_x or apart_y
        for rect in pattern.iter(f"{SVG}rect"):
            if "data-item" in rect.attrib:
                made[int(rect.attrib["data-item"])] += int(pattern.attrib["data-repeats"])
    assert made.tolist() == plan.produced.tolist()


@pytest.mark.parametrize("theme", ["system", "inherit", "light", "dark"])
def test_every_theme_is_well_formed_and_described(plan: SlitPlan, theme: str) -> None:
    root = ET.fromstring(draw_slit_plan(plan, theme))  # type: ignore[arg-type]
    described = root.find(f"{SVG}desc")
    assert described is not None
    assert described.text == ". ".join(report_lines(plan))


def test_report_names_every_pattern_roll_and_offcut(plan: SlitPlan) -> None:
    lines = report_lines(plan)
    bought = sum(len(rolls) for rolls in plan.rolls)
    for word, count in (("buy", bought), ("slit", len(plan.runs)), ("left", len(plan.offcuts))):
        assert sum(line.startswith(f"{word} ") for line in lines) == count
    assert f"{plan.area_m2:.2f} m² bought" in lines[-1]
