"""Work that a letter speaks of only to decline it, or that some of its lines need none of."""

from __future__ import annotations

import pytest

import meshcore as mc

LINES = """Dear all,

please quote:
1. 4 panels, 1220 x 610 mm, 8 mesh, 0.9 mm wire, 304
2. ten triangles 300x400x500, 30 mesh 0.25 mm wire, 316L
3. twenty strips 50mm wide x 2m, 30 mesh 0.25 mm wire, 316L

{}

Regards
A. Buyer
"""
CERTIFICATE, NONE = ["certificate 3.1"], list[str]()


@pytest.mark.parametrize(
    "words",
    [
        "Our foreman asked whether panels should be annealed: I do not think so, leave it.",
        "Somebody asked if the panels should be annealed. I don't think so.",
        "Somebody asked if the panels should be annealed. I don\u2019t think so.",
        "Annealing was talked of; no need.",
        "Should the panels be annealed? Not necessary.",
    ],
)
def test_declined_work_is_none(words: str) -> None:
    letter = mc.read_letter(LINES.format(words))
    assert letter.values["services"].tolist() == [NONE, NONE, NONE]
    assert letter.unread["text"].str.contains("anneal", case=False).any(), "what is left is shown"


def test_work_that_was_talked_of_and_is_wanted_is_read() -> None:
    words = "Our foreman asked whether the panels should be annealed. Yes please."
    letter = mc.read_letter(LINES.format(words))
    assert "annealed" in letter.values["services"][0]


@pytest.mark.parametrize(
    "words",
    [
        "The panels want a certificate 3.1; the triangles and strips need none.",
        "The panels want a certificate 3.1 - no, all the panels do; the triangles and strips "
        "need none.",
        "Certificates 3.1 for the panels, none for the strips and triangles.",
    ],
)
def test_lines_that_need_none_get_none(words: str) -> None:
    letter = mc.read_letter(LINES.format(words))
    assert letter.values["services"].tolist() == [CERTIFICATE, NONE, NONE]
