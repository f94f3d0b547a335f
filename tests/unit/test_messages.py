from __future__ import annotations

import numpy as np
import pytest

from meshcore.messages import Message, MessageLog


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
