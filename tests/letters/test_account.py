"""Every amount of a letter ends somewhere: in a line, a question, a named ignore, or unread.

The amounts are found here by their digits alone, without the reader, so that what the reader does
not even see cannot go missing in silence.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from scoring import rows

import meshcore as mc

HERE = Path(__file__).parent
LETTERS = sorted(
    path for folder in ("own", "fresh", "further") for path in (HERE / folder).glob("*.txt")
)
DIGITS = re.compile(r"\d+(?:[.,/]\d+)*")


def unaccounted(letter: mc.Letter) -> list[str]:
    """Return the amounts of a letter that no table of it holds."""
    held = bytearray(len(letter.text))
    for table in (letter.evidence, letter.unread, letter.not_square, letter.ignored):
        for row in rows(table):
            held[row["start"] : row["end"]] = b"\x01" * (row["end"] - row["start"])
    for found in letter.header.values():
        if found is not None:
            held[found.start : found.end] = b"\x01" * (found.end - found.start)
    return [
        hit[0] for hit in DIGITS.finditer(letter.text) if not any(held[hit.start() : hit.end()])
    ]


@pytest.mark.parametrize("path", LETTERS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_no_amount_goes_missing(path: Path) -> None:
    assert unaccounted(mc.read_letter(path.read_text("utf-8"))) == []


def _spoilt(seed: int, many: int) -> Iterator[str]:
    chance = random.Random(seed)
    letters = [path.read_text("utf-8") for path in LETTERS]
    for _ in range(many):
        one, other = chance.choice(letters), chance.choice(letters)
        lines, words = one.split("\n"), one.split(" ")
        chance.shuffle(lines)
        chance.shuffle(words)
        yield chance.choice(
            [
                "\n".join(lines),
                " ".join(words),
                one[: chance.randrange(1, len(one))],
                one + "\n" + other,
                one + "\n" + one,
            ]
        )


def test_no_amount_goes_missing_from_shuffled_cut_and_doubled_letters() -> None:
    for text in _spoilt(1925, 120):
        letter = mc.read_letter(text + "\n")
        assert unaccounted(letter) == [], text


@pytest.mark.parametrize(
    ("said", "shown"),
    [
        ("2 rolls 10 mesh 0.5 mm wire 304 1 m x 30 m, type 77 finish", "77"),
        ("2 rolls 10 mesh 0.5 mm wire 304 1 m x 30 m\n\nThe brass basket is 240 tall.", "240"),
    ],
)
def test_what_no_field_took_is_unread_with_why(said: str, shown: str) -> None:
    unread = mc.read_letter(said + "\n").unread
    assert any(shown in row["text"] and shown in row["why"] for row in rows(unread))


def test_what_is_left_out_on_purpose_says_what_it_is() -> None:
    letter = mc.read_letter(
        "2 rolls 10 mesh 0.5 mm wire 304 1 m x 30 m by 14 March. Tel. 01632 960227. Paid £61.50.\n"
    )
    told = dict(zip(letter.ignored["why"], letter.ignored["text"], strict=True))
    assert "960227" in told["telephone"]
    assert told["date"] == "14 March"
    assert "61.50" in told["price"]
    assert letter.unread.empty
