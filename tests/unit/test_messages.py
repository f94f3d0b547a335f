from __future__ import annotations

import pickle

import numpy as np
import pytest

from meshcore.messages import AlikeMessages, Message, MessageLog, Severity


def test_gravest_message_sets_the_status_and_comes_first() -> None:
    log = MessageLog(3)
    log.add([0, 1], Message("a", "x", "look.", "review"))
    log.add(np.array([False, True, False]), Message("b", "y", "no.", "refused"))
    log.add([2], Message("c", "z", "said.", "note"))
    assert log.status().tolist() == ["review", "refused", "ok"]
    assert [m.field for m in log.by_line()[1]] == ["b", "a"]


def test_messages_each_with_its_row() -> None:
    log = MessageLog(3)
    log.add_each([2, 0], [Message("f", "two", "t."), Message("f", "zero", "z.")])
    assert log.by_line()[2][0].read == "two"
    assert log.by_line()[0][0].read == "zero"


def test_rows_and_messages_must_match() -> None:
    with pytest.raises(ValueError, match="2 rows for 1 messages"):
        MessageLog(3).add_each([0, 1], [Message("f", "r", "t.")])


def test_each_line_has_the_rank_of_its_own_message() -> None:
    log = MessageLog(3)
    grave, light = Message("f", "r", "t.", "refused"), Message("f", "r", "t.", "note")
    log.add_each([2, 0], [grave, light])
    assert log.status().tolist() == ["ok", "ok", "refused"]


def test_a_code_is_given_by_its_name() -> None:
    with pytest.raises(TypeError):
        Message("f", "r", "t.", "note", "room.thing")  # type: ignore[call-arg]


def _alike() -> AlikeMessages:
    return AlikeMessages(
        "length",
        np.array(["170 ft", "99 {m}"], dtype=object),
        "arrives as {full:.0f} full and a part roll of {rest_m:.2f} m.",
        {"full": np.array([1.0, 2.0]), "rest_m": np.array([6.096, 0.5])},
        "review",
        "supply.part_roll",
    )


def test_messages_kept_as_columns_say_what_one_each_would() -> None:
    columns, singly = MessageLog(4), MessageLog(4)
    columns.add_each([3, 1], _alike())
    singly.add_each(
        [3, 1],
        [
            Message("length", "170 ft", "arrives as 1 full and a part roll of 6.10 m.", "review"),
            Message("length", "99 {m}", "arrives as 2 full and a part roll of 0.50 m.", "review"),
        ],
    )
    assert columns.by_line() == singly.by_line()
    assert columns.rank().tolist() == singly.rank().tolist() == [0, 1, 0, 1]
    assert {m.code for said in columns.by_line().values() for m in said} == {"supply.part_roll"}
    back = pickle.loads(pickle.dumps(columns))
    assert back.by_line() == singly.by_line()
    assert back.rank().tolist() == [0, 1, 0, 1]


def test_the_rank_of_a_line_is_that_of_the_gravest_whatever_comes_in_which_order() -> None:
    rng = np.random.default_rng(20261126)
    severities: tuple[Severity, ...] = ("note", "review", "refused")
    for _ in range(50):
        log, gravest = MessageLog(6), np.zeros(6, dtype=np.int64)
        for _ in range(rng.integers(1, 6)):
            rows = rng.integers(0, 6, rng.integers(1, 5))
            grades = rng.integers(0, 3, len(rows))
            log.add_each(rows, [Message("f", "", "t.", severities[grade]) for grade in grades])
            np.maximum.at(gravest, rows, grades)
        whole = MessageLog(10)
        whole.add([9], Message("f", "", "t.", "review"))
        whole.take_in(log, 2)
        assert log.rank().tolist() == log.copy().rank().tolist() == gravest.tolist()
        assert whole.rank().tolist() == [0, 0, *gravest.tolist(), 0, 1]


def test_a_copy_of_a_log_goes_on_by_itself() -> None:
    log = MessageLog(2)
    twin = log.copy()
    twin.add([0], Message("f", "", "t.", "refused"))
    assert (log.status().tolist(), twin.status().tolist()) == (["ok", "ok"], ["refused", "ok"])
