"""Letters written without regard to the reader, with their truth: how much of them it reads.

What they showed was mended in the general way; the bounds below say what was reached. How
much was read at first, before any mending: of `honest` 85.6 % was right and 2.5 % wrong in silence,
of `afar` 79.8 and 1.9 %, of `drafted` 73.9 and 5.3 %, of `drafted_later` 70.0 and
3.8 %, of `drafted_last` 58.8 and 4.5 %, of `requests`, which are forms, portals, tables and chats
in four languages, 77.2 and 3.9 %; of `outside`, which is of many writers, 72.6 and 3.7 %, and of
`kinds` and `kinds_later`, which have more letters of those kinds, 66.6 and 6.7 %, then 79.5 and
3.0 %, and of `kinds_last`, which has others, 76.4 and 2.8 %. Of `posted`, which is of all kinds,
89.0 and 3.2 %, and of `variants`, which has more of what was read amiss there, written in four
turns: 88.6 and 1.6 %, 79.5 and 3.1 %, 78.4 and 2.4 %, 69.2 and 5.4 %. Of `written`, of all
kinds again, 87.0 and 1.4 % (of the hard ones 56.0 and 4.4 %), of `written_later` 82.4 and
0.8 %, and of `written_last` 79.3 and 0.5 % (all of the plain ones and of those in other languages).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import Score, score

HERE = Path(__file__).parent


def _scored(folder: str) -> Score:
    texts = sorted((HERE / folder).glob("*.txt"))
    return score([(path, path.with_suffix(".json")) for path in texts])


@pytest.mark.parametrize(
    ("folder", "right", "wrong", "lost", "extra"),
    [
        ("fresh", 0.95, 0.004, 6, 0),
        ("apart", 0.92, 0.008, 3, 0),
        ("honest", 0.97, 0.004, 0, 0),
        ("afar", 0.98, 0.003, 1, 0),
        ("drafted", 0.94, 0.008, 3, 0),
        ("drafted_later", 0.79, 0.012, 10, 0),
        ("drafted_last", 0.85, 0.004, 3, 0),
        ("requests", 0.90, 0.004, 9, 4),
        ("outside", 0.96, 0.001, 2, 0),
        ("kinds", 0.99, 0.001, 0, 0),
        ("kinds_later", 0.96, 0.001, 1, 0),
        ("kinds_last", 0.86, 0.005, 4, 0),
        ("posted", 0.99, 0.001, 0, 0),
        ("variants", 0.89, 0.005, 15, 2),
        ("written", 0.94, 0.003, 4, 1),
        ("written_later", 0.89, 0.001, 4, 0),
        ("written_last", 0.83, 0.001, 4, 0),
    ],
)
def test_letters_that_were_written_apart(
    folder: str, right: float, wrong: float, lost: int, extra: int
) -> None:
    found = _scored(folder)
    assert found.share("right") >= right, found.wrong
    assert found.share("wrong") <= wrong, found.wrong
    assert found.lost <= lost
    assert found.extra <= extra


@pytest.mark.parametrize(
    ("tier", "right"), [("plain", 0.99), ("messy", 0.97), ("other language", 0.96)]
)
def test_each_kind_of_letter_is_read(tier: str, right: float) -> None:
    assert _scored("apart").share("right", tier) >= right
