"""Letters written by somebody who had read only the practice letters, and variations of them.

At their first reading 89.2, 88.4, 70.7 and 93.5 % of the 30 in `onward` were right (plain, messy,
hard, other languages), 1.8 % wrong, and 7 of 84 lines were lost. The letters in `onward_likes` say
the same kinds of thing in other words, layouts and languages, their truths written before they were
read. Both have been tuned to since, so these tests hold what was reached and prove no more.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import score_folder

HERE = Path(__file__).parent
#: Share right by tier, and share wrong, that each folder must keep; and how many lines may be lost
#: or too many.
KEPT = {
    "onward": ({"plain": 1.0, "messy": 0.99, "hard": 0.98, "other language": 0.99}, 0.002, 0),
    "onward_likes": (
        {"plain": 0.99, "messy": 0.98, "hard": 0.85, "other language": 0.96},
        0.003,
        4,
    ),
}


@pytest.mark.parametrize("folder", KEPT)
def test_what_was_reached_is_kept(folder: str) -> None:
    found = score_folder(HERE / folder)
    bars, most_wrong, most_amiss = KEPT[folder]
    assert found.below(bars) == {}
    assert found.share("wrong") <= most_wrong, found.wrong
    assert found.lost + found.extra <= most_amiss
