"""Every field of the list files is right, or asked about; none is wrong in silence."""

from __future__ import annotations

import pytest
from list_truths import Score, judge, read, truths

TRUTHS = {truth["file"]: truth for truth in truths()}
#: A list without headings is asked back whole; it is read with a mapping elsewhere.
LISTS = [name for name in TRUTHS if name != "43.xlsx"]


@pytest.mark.parametrize("name", LISTS)
def test_no_field_is_wrong_in_silence(name: str) -> None:
    found, score = read(name), Score()
    for line in TRUTHS[name]["lines"]:
        judge(found, line, score, name)
    assert score.wrong == []


def test_what_is_clear_is_read() -> None:
    score = Score()
    for name in LISTS:
        found = read(name)
        for line in TRUTHS[name]["lines"]:
            judge(found, line, score, name)
    every = score.right + len(score.asked) + len(score.wrong)
    assert score.right / every >= 0.97, "\n".join(score.asked)
