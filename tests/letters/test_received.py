"""Letters that were scored once before any rule was mended for them; truths written before reading.

At their first reading 91.3, 81.5, 87.4 and 99.0 % of the 48 in `received` were right (plain, messy,
hard, other languages), 2.2 % wrong, and 11 of 136 lines were lost. Of the first 24 in
`received_later`, read when those had been mended, 91.8, 69.2, 77.0 and 100 %, 1.5 % wrong, 8 of 75
lines lost; the others there say the same things in other words. They have been tuned to since, so
these tests hold what was reached and prove no more.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import score_folder

HERE = Path(__file__).parent
#: Share right by tier, and share wrong, that each folder must keep; and how many lines may be lost.
KEPT = {
    "received": ({"plain": 0.99, "messy": 0.99, "hard": 0.98, "other language": 0.99}, 0.001, 1),
    "received_later": ({"plain": 0.98, "messy": 0.89, "hard": 0.89, "other language": 0.97}, 0.005, 4),  # noqa: E501
}  # fmt: skip


@pytest.mark.parametrize("folder", KEPT)
def test_what_was_reached_is_kept(folder: str) -> None:
    found = score_folder(HERE / folder)
    bars, most_wrong, most_lost = KEPT[folder]
    assert found.below(bars) == {}
    assert found.share("wrong") <= most_wrong, found.wrong
    assert found.lost <= most_lost
    assert found.extra == 0
