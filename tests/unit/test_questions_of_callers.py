"""Questions that once asked what was given, offered what the rules doubt, or left a second letter.

Written from the trade's habits (common practice, no source).
"""

from __future__ import annotations

import pandas as pd

import meshcore as mc
from meshcore.estimates.questions import Question, questions

_ROLL = {"mesh": "10 / in", "wire": "0.63 mm", "alloy": "304", "form": "roll", "width": "1 m",
         "length": "30 m", "quantity": "2"}  # fmt: skip


def _asked(**cells: str) -> dict[str, Question]:
    """Questions about one line by their field; cells that are blank are left out."""
    line = {name: text for name, text in (_ROLL | cells).items() if text}
    found = questions(pd.DataFrame([line], dtype=object), price_book=mc.demo_price_book())
    return {question.field: question for question in found.lines[0]}


def test_a_shape_that_is_given_is_not_asked_again() -> None:
    asked = _asked(form="piece", width="", length="", shape="disc")["dimensions"]
    assert "a disc needs its sizes" in asked.ask
    assert not asked.usual


def test_sizes_are_asked_with_the_form() -> None:
    assert {"form", "width"} <= _asked(form="", width="").keys()
    assert {"form", "length"} <= _asked(form="", length="").keys()


def test_the_form_offered_is_that_of_the_sizes() -> None:
    assert _asked(form="", width="300 mm", length="500 mm")["form"].usual == "cut pieces"
    assert _asked(form="", width="50 mm", length="30 m")["form"].usual == "slit strips"


def test_no_wire_is_offered_that_a_general_alloy_is_not_drawn_to() -> None:
    asked = _asked(mesh="", aperture="0.02 mm", wire="", alloy="aluminium")
    assert not asked["wire_diameter"].usual
    assert "aluminium 5056" in asked["alloy"].ask


def test_what_is_priced_by_hand_alone_is_asked_alone() -> None:
    assert [*_asked(mesh="12x64", wire="")] == ["mesh_count"]


def test_what_is_hopeless_says_why_and_offers_nothing() -> None:
    asked = _asked(mesh="", aperture="10 mm", wire="", form="strip", width="5 mm", length="10 m")
    assert "falls apart as it is slit" in asked["width"].ask
    assert not asked["wire_diameter"].usual
    assert "certificates" not in asked


def test_a_rule_of_weaving_is_said_without_its_measure() -> None:
    asked = _asked(wire="2 mm")["wire_diameter"].ask
    assert "pass through one another" in asked
    assert "wire/pitch" not in asked


def test_thousands_of_things_are_put_to_review() -> None:
    """A program writes 1.000 for one, and a German list for a thousand."""
    table = pd.DataFrame([_ROLL | {"quantity": "1.000", "wire": "0.63 mm"}], dtype=object)
    assert mc.estimate_list(table, mc.demo_price_book())[0].status in ("review", "refused")
