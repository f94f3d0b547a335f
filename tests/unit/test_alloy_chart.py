"""The picture of price against margin: every alloy has a name or is said to have none."""

from __future__ import annotations

import doctest
import re
from types import ModuleType

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.methods.verdicts import VERDICTS
from meshcore.arrays import FloatArray
from meshcore_estimator.alloys import chart as alloy_chart
from meshcore_estimator.alloys import chart_ticks, label_placement
from meshcore_estimator.alloys import marks as alloy_marks
from meshcore_estimator.alloys import story as alloy_story
from meshcore_estimator.alloys.chart import WIDTHS, can_be_drawn, picture

MESH = mc.Enquiry(
    mesh_count="10 / in", wire_diameter="0.025 in", form=mc.Roll("48 in", "100 ft"), quantity=3
)
SERVICES = {
    "coast": Conditions(environment="coastal", years_wanted=15.0),
    "shore": Conditions(environment="shore", years_wanted=20.0, food_contact=True),
    "furnace": Conditions(temperature_c=600.0),
    "sea water": Conditions(chloride_mg_l=19_400.0, water_temperature_c=20.0),
    "dry room": Conditions(environment="indoor"),
}


@pytest.fixture(params=list(SERVICES))
def table(request: pytest.FixtureRequest) -> pd.DataFrame:
    return mc.compare_alloys(MESH, SERVICES[request.param])


@pytest.fixture
def coast() -> pd.DataFrame:
    return mc.compare_alloys(MESH, SERVICES["coast"])


def _names(svg: str) -> list[str]:
    return re.findall(r'<g class="mc-point" data-alloy="([^"]*)"', svg)


@pytest.mark.parametrize("width", WIDTHS)
def test_every_alloy_is_drawn_and_named_without_collision(table: pd.DataFrame, width: int) -> None:
    drawn = picture(table, np.ones(len(table), dtype=np.bool_), width)
    assert sorted(_names(drawn.svg)) == sorted(table["alloy"][can_be_drawn(table)])
    boxes = drawn.placed.boxes[drawn.placed.is_placed]
    for i, box in enumerate(boxes):
        for other in boxes[i + 1 :]:
            assert (
                box[0] >= other[2] or other[0] >= box[2] or box[1] >= other[3] or other[1] >= box[3]
            )
    written = re.findall(r'class="mc-name[^"]*"[^>]*>([^<]*)</text>', drawn.svg)
    assert sorted([*written, *drawn.unnamed]) == sorted(_names(drawn.svg))


@pytest.mark.parametrize("width", WIDTHS)
def test_there_is_room_for_every_name_on_the_coast(coast: pd.DataFrame, width: int) -> None:
    drawn = picture(coast, np.ones(len(coast), dtype=np.bool_), width)
    assert drawn.unnamed == ()


def test_a_filter_leaves_the_front_where_it_is(coast: pd.DataFrame) -> None:
    def front(svg: str) -> str:
        return str(re.findall(r'<path d="([^"]*)" class="mc-front"', svg)[0])

    whole = picture(coast, np.ones(len(coast), dtype=np.bool_), WIDTHS[0])
    fails = picture(coast, (coast["verdict"] == "fails").to_numpy(), WIDTHS[0])
    assert front(fails.svg) == front(whole.svg)
    assert 0 < len(_names(fails.svg)) < len(_names(whole.svg))


def test_dearer_is_higher_and_more_margin_is_further_right(coast: pd.DataFrame) -> None:
    svg = picture(coast, np.ones(len(coast), dtype=np.bool_), WIDTHS[0]).svg
    place = r'data-alloy="([^"]*)".*?transform="translate\(([^,]*),([^)]*)\)'
    places = {name: (float(x), float(y)) for name, x, y in re.findall(place, svg)}
    assert places["S31254"][1] < places["2205"][1] < places["304"][1]
    assert places["304"][0] < places["316L"][0] < places["2205"][0] < places["S31254"][0]
    assert "copper" not in places, "its margin is of another method, and does not compare"


def test_each_method_of_margins_has_a_picture_of_its_own(coast: pd.DataFrame) -> None:
    found = alloy_chart.methods(coast)
    assert len(found) == 2
    drawn = [set(coast["alloy"][can_be_drawn(coast, method)]) for method in found]
    assert "316L" in drawn[0]
    assert {"copper", "carbon steel"} <= drawn[1]
    assert not drawn[0] & drawn[1]


def test_a_margin_without_a_limit_has_no_place_in_the_picture() -> None:
    """Aluminium loses nothing that counts in a dry room: its life has no end there."""
    room = mc.compare_alloys(MESH, Conditions(environment="indoor", years_wanted=15.0))
    assert np.isinf(room["corrosion_margin"]).any()
    for method in alloy_chart.methods(room):
        assert picture(room, np.ones(len(room), dtype=np.bool_), WIDTHS[0], method).svg
    assert not can_be_drawn(room)[np.isinf(room["corrosion_margin"])].any()


def test_the_cheapest_that_meets_alone_has_a_ring(coast: pd.DataFrame) -> None:
    svg = picture(coast, np.ones(len(coast), dtype=np.bool_), WIDTHS[0]).svg
    assert svg.count("mc-ring") == int(coast["cheapest_that_meets"].sum()) == 1


def test_cheaper_alloys_are_all_accounted_for(coast: pd.DataFrame) -> None:
    best = alloy_story.cheapest(coast)
    assert best is not None
    price = coast["price"].iloc[best]
    cheaper = coast[coast["price"] < price]
    passed = alloy_story.passed_over(coast, best)
    assert sorted(name for p in passed for name in p.alloys) == sorted(cheaper["alloy"])
    assert "meets" not in {p.verdict for p in passed}
    assert all(p.prices == tuple(sorted(p.prices)) for p in passed)
    first = [p.prices[0] for p in passed]
    assert first == sorted(first)
    assert max(len(p.alloys) for p in passed) > 2, "one reason is told once"


def test_more_margin_is_offered_in_rising_price(coast: pd.DataFrame) -> None:
    best = alloy_story.cheapest(coast)
    assert best is not None
    further = alloy_story.more_margin(coast, best)
    assert len(further) > 1
    assert further["price"].is_monotonic_increasing
    assert further["corrosion_margin"].is_monotonic_increasing


def test_without_a_service_nothing_is_asked() -> None:
    table = mc.compare_alloys(MESH, Conditions())
    assert alloy_story.aspects_asked(table) == []
    assert alloy_story.cheapest(table) is None


@pytest.mark.parametrize(
    ("low", "high"), [(900.0, 1000.0), (120.0, 800.0), (0.8, 3.0), (1e3, 4e5), (2500.0, 2900.0)]
)
def test_the_axis_of_prices_has_round_marks_in_range(low: float, high: float) -> None:
    ticks = chart_ticks.price_ticks(low, high)
    assert 1 <= len(ticks) <= 24
    assert all(low <= tick <= high for tick in ticks)
    assert ticks == sorted(ticks)


@pytest.mark.parametrize(("low", "high"), [(-0.5, 0.5), (-15.9, 0.5), (-0.5, 220.0)])
def test_the_axis_of_margins_has_zero(low: float, high: float) -> None:
    ticks = chart_ticks.margin_ticks(low, high)
    assert 0.0 in ticks
    assert len(ticks) <= 10


#: Red, green and blue (linear) as seen without the red or the green cones (Machado, Oliveira and
#: Fernandes, 2009, severity 1; from memory: each row sums to one).
SEEN_WITHOUT = {
    "red": [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998]],
    "green": [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413],
              [-0.011820, 0.042940, 0.968881]],
}  # fmt: skip
#: sRGB to CIE XYZ (IEC 61966-2-1), and the white of both.
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
#: Difference in CIE 1976 L*a*b* that nobody overlooks; 2.3 is just noticeable (from memory).
FAR_APART = 20.0


def _linear(colour: str) -> FloatArray:
    srgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


def _lab(linear: FloatArray) -> FloatArray:
    share = TO_XYZ @ np.clip(linear, 0.0, 1.0) / TO_XYZ.sum(axis=1)
    root = np.where(share > 216 / 24389, np.cbrt(share), (24389 / 27 * share + 16) / 116)
    return np.array([116 * root[1] - 16, 500 * (root[0] - root[1]), 200 * (root[1] - root[2])])


@pytest.mark.parametrize("cones", [None, "red", "green"])
@pytest.mark.parametrize("page", [0, 1])
def test_colours_stay_apart_without_red_or_green(cones: str | None, page: int) -> None:
    sight = np.eye(3) if cones is None else np.array(SEEN_WITHOUT[cones])
    assert sight.sum(axis=1) == pytest.approx(1.0, abs=1e-5)
    seen = [_lab(sight @ _linear(pair[page])) for pair in alloy_marks.COLOURS.values()]
    for i, colour in enumerate(seen):
        for other in seen[i + 1 :]:
            assert np.linalg.norm(colour - other) > FAR_APART


@pytest.mark.parametrize(("page", "paper"), [(0, "#fbfcfc"), (1, "#11181b")])
def test_marks_stand_out_from_the_page(page: int, paper: str) -> None:
    """At least 3 to 1, as WCAG 2 asks of graphics."""
    luminance = [float(TO_XYZ[1] @ _linear(c)) for c in (paper, *(
        pair[page] for pair in alloy_marks.COLOURS.values()))]  # fmt: skip
    for mark in luminance[1:]:
        lighter, darker = max(mark, luminance[0]), min(mark, luminance[0])
        assert (lighter + 0.05) / (darker + 0.05) >= 3.0


def test_every_verdict_has_a_shape_and_a_sign_of_its_own() -> None:
    verdicts = [v for v in VERDICTS if v != "not asked"]
    assert len({alloy_marks.shape(v)["d"] for v in verdicts}) == len(verdicts)
    assert len({alloy_marks.SIGNS[v] for v in verdicts}) == len(verdicts)


@pytest.mark.parametrize("module", [chart_ticks, alloy_marks, alloy_story, label_placement])
def test_examples_in_the_modules(module: ModuleType) -> None:
    failed, tried = doctest.testmod(module)
    assert failed == 0
    assert tried > 0
