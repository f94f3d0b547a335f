"""Cells that say two things, or are in doubt, come up for review: never priced in silence."""

from __future__ import annotations

import pandas as pd
import pytest

import meshcore as mc

LINE = {
    "mesh_count": "10/in", "wire_diameter": "0.5 mm", "weave": "plain", "alloy": "304",
    "form": "full roll", "width": "48 in", "length": "100 ft", "quantity": "1",
}  # fmt: skip


def estimated(**cells: str) -> tuple[str, str]:
    row = mc.estimate_list(pd.DataFrame([LINE | cells])).table.iloc[0]
    return str(row["status"]), str(row["messages"])


@pytest.mark.parametrize("text", ["304?", "304 ?", "316L?"])
def test_a_query_mark_beside_an_alloy_is_asked_about(text: str) -> None:
    status, said = estimated(alloy=text)
    assert status == "review"
    assert "not sure" in said


@pytest.mark.parametrize(
    "cells",
    [
        {"length": "30 m (100 ft)"}, {"length": "30 m / 100 ft"}, {"length": "100 ft (30 m)"},
        {"width": "1200 mm (4 ft)"}, {"width": "1.5 m (5 ft)"},
        {"form": "strips", "width": '100 mm (4")', "length": "10 m"},
    ],
)  # fmt: skip
def test_two_units_that_differ_by_more_than_rounding_are_asked_about(cells: dict[str, str]) -> None:
    status, said = estimated(**cells)
    assert status == "review"
    assert "not quite the same" in said


def test_a_size_turned_into_another_unit_is_one_size() -> None:
    # 1 in is 25.4 mm exactly (international yard and pound agreement, 1959).
    assert estimated(width="48 in (1219 mm)")[0] == "ok"


@pytest.mark.parametrize(("form", "length"), [("half roll", "100 ft"), ("full roll", "20 ft")])
def test_a_roll_of_another_length_than_stated_is_asked_about(form: str, length: str) -> None:
    status, said = estimated(form=form, length=length)
    assert status == "review"
    assert form in said


@pytest.mark.parametrize(("text", "same"), [("100 rft", "100 ft"), ("30 rmtr", "30 m")])
def test_running_feet_and_metres(text: str, same: str) -> None:
    prices = [
        mc.estimate_list(pd.DataFrame([LINE | {"length": one}])).table["price"][0]
        for one in (text, same)
    ]
    assert prices[0] == prices[1] > 0
