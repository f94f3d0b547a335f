"""Ellipse, obround, half disc and holes against their closed forms (any geometry text)."""

from __future__ import annotations

import math

import pandas as pd
import pytest
from scipy.special import ellipe

import meshcore as mc
from meshcore.messages import Message
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.shapes.texts import read_shape


def shape(text: str) -> Shape:
    found = read_shape("", text)
    assert isinstance(found, Shape), found
    return found


def test_ellipse_has_its_area_and_its_perimeter() -> None:
    """Perimeter 4 a E(e²), scipy's complete elliptic integral of the second kind."""
    found = shape("ellipse: width 400 mm, height 200 mm")
    assert found.area_m2 == pytest.approx(math.pi / 4 * 0.4 * 0.2, rel=1e-6)
    assert found.cut_length_m == pytest.approx(4 * 0.2 * ellipe(1 - 0.25), rel=1e-6)
    assert found.size_m == pytest.approx((0.4, 0.2), rel=1e-9)


def test_an_ellipse_of_equal_axes_is_a_disc() -> None:
    found, disc = shape("ellipse 200 x 200 mm"), shape("disc: diameter 200 mm")
    assert found.area_m2 == pytest.approx(disc.area_m2, rel=1e-9)
    assert found.cut_length_m == pytest.approx(disc.cut_length_m, rel=1e-9)


def test_obround_is_a_rectangle_and_two_half_discs() -> None:
    found = shape("obround: length 400 mm, width 200 mm")
    assert found.area_m2 == pytest.approx(0.2 * 0.2 + math.pi / 4 * 0.2**2, rel=1e-12)
    assert found.cut_length_m == pytest.approx(2 * 0.2 + math.pi * 0.2, rel=1e-12)
    assert found.size_m == pytest.approx((0.4, 0.2))


def test_half_disc() -> None:
    found = shape("half disc: diameter 200 mm")
    assert found.area_m2 == pytest.approx(math.pi / 8 * 0.2**2, rel=1e-12)
    assert found.cut_length_m == pytest.approx(0.2 + math.pi / 2 * 0.2, rel=1e-12)
    assert found.size_m == pytest.approx((0.2, 0.1))


@pytest.mark.parametrize("holes", [1, 2, 3, 4])
def test_rectangle_with_holes(holes: int) -> None:
    found = shape(
        f"rectangle with holes: width 500 mm, height 300 mm, holes {holes}, hole diameter 10 mm, "
        "edge distance 20 mm"
    )
    assert found.area_m2 == pytest.approx(0.15 - holes * math.pi / 4 * 0.01**2, rel=1e-12)
    assert found.cut_length_m == pytest.approx(1.6 + holes * math.pi * 0.01, rel=1e-12)
    assert len(found.holes) == holes


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("obround: length 200 mm, width 200 mm", "greater than the width"),
        ("rectangle with holes: width 500 mm, height 300 mm, holes 5, hole diameter 10 mm, "
         "edge distance 20 mm", "1, 2, 3 or 4"),
        ("rectangle with holes: width 500 mm, height 300 mm, holes 4, hole diameter 10 mm, "
         "edge distance 4 mm", "over the edge"),
        ("rectangle with holes: width 45 mm, height 300 mm, holes 4, hole diameter 10 mm, "
         "edge distance 20 mm", "no room"),
        ("500x300 with 4 holes Ø10", ""),
        ("Ø1.200 x", ""),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(text: str, says: str) -> None:
    found = read_shape("", text)
    assert isinstance(found, Message)
    assert says in found.text


def test_a_rectangle_in_thousands_is_not_a_thousandth() -> None:
    """Failed before: 1.2 x 2.4 mm."""
    assert shape("rectangle 1.200 x 2.400 mm").size_m == (1.2, 2.4)


def test_a_size_that_two_could_be_read_in_is_told_over_all() -> None:
    row = {"mesh_count": "10 / in", "wire_diameter": "0.6 mm", "alloy": "304", "form": "piece",
           "dimensions": "1.200 x 2.400 mm", "quantity": "5"}  # fmt: skip
    (said,) = [
        m.text
        for m in mc.estimate_list(pd.DataFrame([row]))[0].messages
        if m.code == "shape.read_as"
    ]
    assert "1,200 by 2,400 mm over all" in said


def test_a_square_metre_bears_no_footnote() -> None:
    row = {"mesh_count": "10 / in", "wire_diameter": "0.6 mm", "alloy": "galvanized 40 g/m²",
           "form": "roll", "width": "1 m", "length": "30 m", "quantity": "5"}  # fmt: skip
    codes = [m.code for m in mc.estimate_list(pd.DataFrame([row]))[0].messages]
    assert "alloy.marked" not in codes
