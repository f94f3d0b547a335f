"""A priced list as a sequence of estimates, and cells that a program leaves empty."""

from __future__ import annotations

import pickle
from collections.abc import Sequence
from typing import Any

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.arrays import IntArray
from meshcore.messages import MessageLog

LINE = {
    "mesh_count": "10 / in",
    "wire_diameter": "0.025 in",
    "alloy": "304",
    "form": "roll",
    "width": "48 in",
    "length": "100 ft",
    "quantity": 3,
}


def listed(*changes: dict[str, Any]) -> mc.EstimateSet:
    return mc.estimate_list(pd.DataFrame([LINE | change for change in changes], dtype=object))


@pytest.fixture
def three() -> mc.EstimateSet:
    return listed({}, {"alloy": "unobtainium"}, {"quantity": 5})


def test_slices_are_lists_of_estimates(three: mc.EstimateSet) -> None:
    assert [one.line for one in three[:2]] == [0, 1]
    assert [one.line for one in three[::-1]] == [2, 1, 0]
    assert [one.price for one in three[2:]] == [three[2].price]
    assert three[:0] == []


@pytest.mark.parametrize("wrong", [99, 3, -4])
def test_a_line_that_is_not_there(three: mc.EstimateSet, wrong: int) -> None:
    with pytest.raises(
        IndexError, match=rf"^there is no line {wrong} in a list of 3; the first is 0$"
    ):
        three[wrong]


@pytest.mark.parametrize("wrong", ["a", 1.0, None])
def test_a_line_is_asked_for_by_its_number(three: mc.EstimateSet, wrong: Any) -> None:
    with pytest.raises(TypeError, match=f"by its row number, not by a {type(wrong).__name__}$"):
        three[wrong]


def test_numbers_of_numpy_and_from_the_end(three: mc.EstimateSet) -> None:
    assert three[np.int64(1)].line == 1  # type: ignore[call-overload]
    assert three[-1].line == 2


def test_it_is_a_sequence(three: mc.EstimateSet) -> None:
    assert isinstance(three, Sequence)
    assert [one.line for one in reversed(three)] == [2, 1, 0]
    assert three[1] in three
    assert three.index(three[2]) == 2
    assert three.count(three[0]) == 1


def test_sets_are_equal_where_they_are_one(three: mc.EstimateSet) -> None:
    again = pickle.loads(pickle.dumps(three))
    assert three == three  # noqa: PLR0124 - that it does not raise is the test
    assert three != again
    assert three[0] == three[0]
    assert three[0] != again[0]
    assert three[0] not in again
    assert len({three, again, three}) == 2
    assert len({three[0], three[0], three[1]}) == 2


def test_they_are_shown_in_a_line(three: mc.EstimateSet) -> None:
    assert repr(three) == "<EstimateSet of 3 lines: 2 ok, 1 refused>"
    assert repr(three[1]) == "<Estimate of line 1: refused, no price>"
    assert repr(three[0]).endswith(" EUR>")
    assert repr(mc.estimate_list([])) == "<EstimateSet of 0 lines: none>"


def test_an_edit_of_the_table_changes_no_estimate(three: mc.EstimateSet) -> None:
    price, told = three[0].price, three.to_json()
    table = three.table
    table.loc[0, "price"] = 0.0
    table.columns = [str(name).upper() for name in table.columns]
    line, row = three[0].table, three[0].row
    line["price"] = 0.0
    row["price"] = 0.0
    three[1].messages.clear()
    assert three[0].price == price
    assert three.to_json() == told


def test_a_line_looks_at_the_rest_of_its_list_once(
    three: mc.EstimateSet, monkeypatch: pytest.MonkeyPatch
) -> None:
    ranked = []
    rank = MessageLog.rank

    def counted(log: MessageLog) -> IntArray:
        ranked.append(log)
        return rank(log)

    monkeypatch.setattr(MessageLog, "rank", counted)
    first = [(one.status, len(one.cost_items), one.to_dict()["price"]) for one in three]
    looked = len(ranked)
    assert first == [(one.status, len(one.cost_items), one.to_dict()["price"]) for one in three]
    assert len(ranked) == looked


@pytest.mark.parametrize("column", LINE)
def test_no_day_is_a_blank_cell(column: str) -> None:
    missing, plain = listed({column: pd.NaT}, {})
    [blank] = listed({column: ""})
    assert plain.status == "ok"
    assert missing.status == blank.status
    assert list(map(str, missing.messages)) == list(map(str, blank.messages))


def test_a_day_among_blanks_is_still_refused() -> None:
    day, missing = listed({"quantity": pd.Timestamp("2026-03-04")}, {"quantity": pd.NaT})
    assert [m.code for m in day.messages if m.severity == "refused"] == ["reading.date"]
    assert "reading.date" not in {m.code for m in missing.messages}


def test_a_heading_of_broken_text_does_not_stop_the_list() -> None:
    headings = pd.Index([*LINE, "mark\ud800"], dtype=object)
    cells = np.array([[*LINE.values(), "z"]], dtype=object)
    priced = mc.estimate_list(pd.DataFrame(cells, columns=headings))
    assert priced[0].status == "review"  # it is filled, and nothing reads it
    assert priced[0].to_dict()["enquiry"]["mark?"] == "z"
    assert priced.table.to_csv().encode("utf-8")


@pytest.mark.parametrize("same", [" A ", "a", "A\u00a0", "\tA"])
def test_blanks_and_capitals_do_not_split_an_order(same: str) -> None:
    together = listed({"order": "A 1"}, {"order": "A 1", "width": "36 in"})
    written = listed({"order": "A 1"}, {"order": f"{same} 1", "width": "36 in"})
    apart = listed({"order": "A 1"}, {"order": "B 1", "width": "36 in"})
    assert [one.price for one in written] == [one.price for one in together]
    assert [one.price for one in written] != [one.price for one in apart]


def test_blank_orders_are_each_their_own() -> None:
    blank = listed({"order": ""}, {"order": " ", "width": "36 in"})
    assert [one.price for one in blank] == [one.price for one in listed({}, {"width": "36 in"})]
