"""Anything may come as a letter: no text raises, and none takes long."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from scoring import rows
from thorough import share

import meshcore as mc

HERE = Path(__file__).parent
MANY = share(100, 5_000)
#: A second for ten kilobytes is allowed [s/byte]; how long each takes is in bench_letters.py.
ALLOWED = 1.0 / 10_000
#: Texts of one piece over and over, each the worst for some rule.
PIECES = (
    "1 ", "a", "10 x ", "- 2 rolls 10 mesh 0.5 wire 304 1 m x 30 m\n", "1/2", "|", '"',
    "Pos. 1 wie Pos. 2 ", "(", "the same cloth and ", "\n", "1.", "our ref ", "a;", "Wire: ",
    "10 mm ", "> ", "\t", "From: a\nTo: b\nx\n",
)  # fmt: skip
#: What four times the text may take, of a time not below this [-, s].
GROWTH, LEAST = 8.0, 0.1


def _letters() -> list[str]:
    return [path.read_text("utf-8") for path in sorted(HERE.glob("*/*.txt"))]


def _spoilt(seed: int) -> Iterator[str]:
    chance = random.Random(seed)
    letters = _letters()
    while True:
        one, other = chance.choice(letters), chance.choice(letters)
        cut = chance.randrange(len(one))
        words, rows = one.split(" "), one.split("\n")
        chance.shuffle(words)
        chance.shuffle(rows)
        yield chance.choice([
            one[:cut] + other[chance.randrange(len(other)) :],
            one + other,
            " ".join(words),
            "\n".join(rows),
            one.encode("utf-8").decode("latin-1"),
            one[::-1],
            "".join(chance.choice(one) for _ in range(len(one))),
            "".join(chr(chance.randrange(1, 0x2FFF)) for _ in range(400)),
            one.replace(" ", chance.choice(["", "  ", "\t", "\n", " | "])),
            one.upper(),
            one.replace("1", "0"),
            other + "\n> " + one.replace("\n", "\n> "),
        ])  # fmt: skip


@pytest.mark.thorough
def test_spoilt_letters_are_read_without_a_word() -> None:
    spoilt = _spoilt(2025)
    for _ in range(MANY):
        text = next(spoilt)
        letter = mc.read_letter(text + "\n")
        assert len(letter.values) == len(letter.lines)
        for row in rows(letter.evidence):
            assert 0 <= row["start"] < row["end"] <= len(letter.text)


@pytest.mark.timed
@pytest.mark.parametrize("piece", PIECES)
def test_time_goes_with_length(piece: str) -> None:
    """Four times the text takes four times as long; what looks back from each word, sixteen."""
    mc.read_letter("2 rolls 10 mesh")
    short, long = (
        min(_spent((piece * (n // len(piece) + 1))[:n]) for _ in range(2)) for n in (5_000, 20_000)
    )
    assert long < GROWTH * max(short, LEAST)


def _spent(text: str) -> float:
    start = time.process_time()
    mc.read_letter(text + "\n")
    return time.process_time() - start


@pytest.mark.timed
def test_a_megabyte_of_noise_is_read_in_part_and_says_so() -> None:
    text = "".join(f"{word} " for word in _letters())[:1000] * 1000
    start = time.process_time()
    letter = mc.read_letter(text)
    assert time.process_time() - start < ALLOWED * len(text)
    assert "after" in " ".join(letter.unread["why"])


def test_amounts_of_nought_are_no_sizes_to_reckon_with() -> None:
    letter = mc.read_letter(
        "1. 2 rolls 10 mesh, 0.5 mm wire, 304, 0 m x 30 m\n2. as 1 but 0 m\n\n"
        "change item 1 to 0 m\n"
    )
    assert len(letter.lines) == 2
    letter = mc.read_letter("3 pcs 0 x 260 mm, 10 mesh 0.5 wire 304\n\nsame but 26 x 22, 4 pcs\n")
    assert len(letter.lines) <= 2


@pytest.mark.parametrize("mark", ["\u037a", "\u037a and \u037a", "\u037a 316"])
def test_a_letter_that_is_an_accent_alone_begins_with_nothing(mark: str) -> None:
    """It was looked at for the verb of an exchange, by the first word that it does not have."""
    letter = mc.read_letter(f"2 rolls 10 mesh, 0.5 mm wire, 304.\n\nChange {mark}.\n{mark}\n")
    assert len(letter.lines) <= 1


def test_the_same_of_no_line_is_left_alone() -> None:
    assert len(mc.read_letter("one roll moment? was 3. was 304, same last\n").lines) <= 1


def test_a_number_below_two_quoted_items_names_no_line_of_theirs() -> None:
    assert len(mc.read_letter(">> 1) mm\n>>> 2) aperture 0.63 mm\n>>  6").lines) <= 2


@pytest.mark.timed
def test_a_letter_of_eight_lines_takes_less_than_a_tenth_of_a_second() -> None:
    rows = "\n".join(
        f"{n}. {n} rolls {n + 9} mesh, 0.5 mm wire, 304, 1 m x 30 m" for n in range(1, 9)
    )
    assert len(mc.read_letter(rows).lines) == 8
    spent = []
    for _ in range(5):
        start = time.process_time()
        mc.read_letter(rows)
        spent.append(time.process_time() - start)
    assert min(spent) < 0.1


@pytest.mark.timed
@pytest.mark.parametrize("sign", ["-", "–", "—", "_", "="])
def test_a_rule_drawn_with_signs_takes_time_in_step_with_its_length(sign: str) -> None:
    def took(signs: int) -> float:
        began = time.process_time()
        mc.read_letter(sign * signs)
        return time.process_time() - began

    took(100)
    assert took(20_000) < 16 * max(took(5_000), 0.02)
