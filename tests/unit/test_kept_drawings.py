"""Every stroke of the drawings and charts, as it was looked at and found right.

They are kept in ``tests/golden``, see `currencies`. What a drawing must show is held by the tests
of each; here it is held that nothing moves unseen.
"""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from collections.abc import Callable
from functools import partial

import numpy as np
import pytest
from currencies import kept

import meshcore as mc
from meshcore.enquiry import WEAVES, WELDED
from meshcore.supply.drawing.nest_drawing import draw_nest_plan
from meshcore.supply.drawing.slit_drawing import draw_slit_plan
from meshcore.supply.nesting.plan import NestOrder, NestPlan, NestTerms
from meshcore.supply.nesting.planning import nest
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.rolls import RollTerms
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape
from meshcore.supply.slitting.plan import SlitPlan, SlitStock, SlitTerms, StripOrder
from meshcore.supply.slitting.planning import slit
from meshcore.weave.drawing.sheet import draw_cloth
from meshcore_estimator.alloys.chart import WIDTHS, picture
from meshcore_estimator.reasons_page import range_charts

ROLLS = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    form=mc.Roll("48 in", "100 ft"), quantity=3,
)  # fmt: skip
PIECES = ("trapezoid: base 300 mm, top 180 mm, height 220 mm", "ring: outer 300 mm, inner 200 mm",
          "400 x 250 mm")  # fmt: skip


def cloth(weave: int) -> str:
    return draw_cloth(weave, 0.4e-3, 2.54e-3)


def nested() -> str:
    shapes = tuple(s for text in PIECES if isinstance(s := read_shape("", text), Shape))
    order = NestOrder(shapes, np.array([6, 3, 5]))
    terms = NestTerms((1.2,), 0.005, 0.002, 30.0, keep=KeepTerms(0.2, 0.2, 0.5))
    plan = nest(order, terms, seconds=0)
    assert isinstance(plan, NestPlan)
    return draw_nest_plan(plan)


def slitted() -> str:
    """One width of cloth and strips that fill it once, so that the plan is the only one."""
    stock = SlitStock(1.0, RollTerms(full_m=10.0, metre_cost=1.0))
    order = StripOrder(
        np.array([0.5, 0.29, 0.2]), np.array([10.0, 10.0, 10.0]), np.array([1, 1, 1])
    )
    plan = slit(order, SlitTerms((stock,), 0.005, 0.0, join=False), seconds=1.0)
    assert isinstance(plan, SlitPlan)
    return draw_slit_plan(plan)


def alloys() -> str:
    service = mc.Conditions(environment="coastal", years_wanted=15)
    table = mc.compare_alloys(ROLLS, service, ["carbon steel", "304", "316L", "S32101", "430"])
    return picture(table, np.ones(len(table), dtype=np.bool_), WIDTHS[0]).svg


DRAWINGS: dict[str, Callable[[], str]] = {
    "nest": nested,
    "slit": slitted,
    "alloys": alloys,
    "heavy-wire": partial(draw_cloth, WELDED, 2.0e-3, 2.54e-3),
    **{name.replace(" ", "-"): partial(cloth, n) for n, name in enumerate(WEAVES)},
}


@pytest.mark.parametrize("name", DRAWINGS)
def test_the_drawing_is_as_it_was_looked_at(name: str) -> None:
    root = ET.fromstring(DRAWINGS[name]())
    ET.indent(root)
    text = ET.tostring(root, encoding="unicode") + "\n"
    assert text.splitlines() == kept("drawing", name, text).splitlines()


@pytest.fixture(scope="module")
def estimates() -> mc.EstimateSet:
    return mc.estimate(ROLLS).estimates


def without_data(chart: object) -> object:
    """What a chart says of its own looks, without the rows that it draws."""
    if isinstance(chart, dict):
        left = {"data", "datasets", "$schema", "name", "config"}
        return {k: without_data(v) for k, v in sorted(chart.items()) if k not in left}
    return [without_data(part) for part in chart] if isinstance(chart, list) else chart


@pytest.mark.parametrize("name", ["histogram", "tornado", "curve"])
def test_the_chart_is_as_it_was_looked_at(name: str, estimates: mc.EstimateSet) -> None:
    drawn = {
        "histogram": lambda: range_charts.histogram(mc.budget_range(estimates, draws=1_000)),
        "tornado": lambda: range_charts.tornado(mc.tornado(estimates), "EUR"),
        "curve": lambda: range_charts.quantity_curve(
            mc.quantity_curve(estimates), "price", "Price", "EUR", [3.0]
        ),
    }[name]()
    text = json.dumps(without_data(drawn.to_dict(validate=False)), indent=1) + "\n"
    assert text.splitlines() == kept("chart", name, text).splitlines()
