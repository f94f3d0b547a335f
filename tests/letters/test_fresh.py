"""Letters that the reader was not tuned to: what it says of them must at least hold together.

Their truth stands beside them; `scoring.py` and its kin tell how much of it is read. They are kept
apart so that the next rules are measured on them before they are looked at.
"""

from __future__ import annotations

from pathlib import Path

import pytest

import meshcore as mc

FRESH = sorted((Path(__file__).parent / "fresh").glob("*.txt"))


@pytest.mark.parametrize("path", FRESH, ids=lambda path: path.stem)
def test_what_is_read_stands_in_the_letter(path: Path) -> None:
    text = path.read_text("utf-8")
    letter = mc.read_letter(text)
    for held in (letter.evidence, letter.unread, letter.not_square):
        for start, end, said in zip(held["start"], held["end"], held["text"], strict=True):
            assert text[int(start) : int(end)] == said
    assert len(letter.lines) == len(letter.values)
    assert len(mc.estimate_list(letter.lines)) == len(letter.lines)
