"""Letters of many trades, many in clauses of several subjects; truths written before reading.

At their first reading 88.2, 88.9, 60.9 and 93.4 % of the 60 in `clauses` were right (plain, messy,
hard, other languages), 1.3 % wrong; of the 40 in `clauses_later`, read when the first had been
mended, 91.0, 87.1, 66.7 and 75.7 %, and 2.9 % wrong; of the 20 in `clauses_last` 87.1, 67.3, 84.7
and 84.7 %, and 2.2 % wrong. They have been tuned to since, so these tests hold what was reached and
prove no more.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import score_folder

import meshcore as mc

HERE = Path(__file__).parent
#: Share right by tier, and share wrong, that each folder must keep.
KEPT = {
    "clauses": ({"plain": 0.98, "messy": 0.95, "hard": 0.75, "other language": 0.93}, 0.01),
    "clauses_later": ({"plain": 0.98, "messy": 0.89, "hard": 0.76, "other language": 0.96}, 0.01),
    "clauses_last": ({"plain": 0.97, "messy": 0.80, "hard": 0.86, "other language": 0.93}, 0.01),
}


@pytest.mark.parametrize("folder", KEPT)
def test_what_was_reached_is_kept(folder: str) -> None:
    found = score_folder(HERE / folder)
    bars, most_wrong = KEPT[folder]
    assert found.below(bars) == {}
    assert found.share("wrong") <= most_wrong, found.wrong


def read(text: str) -> list[dict[str, object]]:
    """Lines of a letter as dictionaries, without what they leave open."""
    table = mc.read_letter(text).values
    return [
        {str(k): v for k, v in row.items() if v is not None} for row in table.to_dict("records")
    ]


def test_each_subject_of_a_sentence_has_its_own_cloth() -> None:
    lines = read(
        "Each frame takes one piece of 1180 by 880 mm. For the upper deck we think of 4 mm aperture"
        " with 1.4 mm wire and for the lower one of 1.6 mm aperture with 0.7 mm wire. So that would"
        " be three pieces of the coarse and five of the fine. Please add one spare piece to each."
    )
    assert [(x["aperture_mm"], x["quantity"], x["sizes_mm"]) for x in lines] == [
        (4.0, 4.0, [1180.0, 880.0]),
        (1.6, 6.0, [1180.0, 880.0]),
    ]


def test_a_size_corrected_in_its_sentence_is_not_kept() -> None:
    lines = read("need 18mm holes or there abouts... no make that 12mm. wire 1.4, galvanised. "
                 "5 rolls 900 wide, 25 m")  # fmt: skip
    assert lines[0].get("aperture_mm") != 18.0


def test_a_telephone_number_in_a_signature_counts_nothing() -> None:
    lines = read(
        "- pos 2 becomes 0.25 wire, not 0.28\n\nOrle Coatings | Line 4 | +44 1632 960 288\n\n"
        "> pos 1: 20 mesh, 0.4 wire, 304, 4 rolls 1 m x 30 m\n"
        "> pos 2: 30 mesh, 0.28 wire, 304, 4 rolls 1 m x 30 m\n"
        "> pos 4: 60 mesh, 0.16 wire, 304, 1 roll 1 m x 30 m\n"
    )
    assert [line["quantity"] for line in lines] == [4, 4, 1]
    assert lines[1]["wire_diameter_mm"] == 0.25


def test_a_refusal_after_a_comma_leaves_what_stands_before_it() -> None:
    lines = read(
        "We will take eight rolls this time, not the usual ten. They are 30 mesh with a .012 in"
        " wire, 316, 60 in wide, 100 ft long."
    )
    assert lines[0]["quantity"] == 8


def test_a_line_priced_in_another_alloy_is_a_line_beside_it() -> None:
    lines = read(
        "- 3 rolls 2 mm aperture 1 mm wire 304, 1220 mm x 25 m\n"
        "- 1 roll 5 mm aperture 1.6 mm wire 304, 1220 mm x 25 m\n\n"
        "Could you also price the first in 316L as an alternative?"
    )
    assert [(x["aperture_mm"], x["alloy"]) for x in lines] == [
        (2.0, "304"),
        (2.0, "316L"),
        (5.0, "304"),
    ]


def test_not_these_but_those_changes_the_count() -> None:
    lines = read(
        "perdón: no son 12 tiras sino 20.\n\n"
        "> Hola, precio para 12 tiras de malla galvanizada, luz 5 mm, hilo 1 mm, 60 mm x 2 m"
    )
    assert lines[0]["quantity"] == 20


def test_what_the_mills_own_offer_says_changes_nothing() -> None:
    lines = read(
        "Your item 1 says 316; we asked for 316L.\n\nThis is what we asked for:\n"
        "1. two rolls 10 mesh 0.6 mm wire 316L, 1 m x 20 m"
    )
    assert lines[0]["alloy"] == "316L"


def test_a_size_after_of_is_no_year() -> None:
    lines = read("6 panels of 2000 x 1000 mm, 5 mm aperture, 1 mm wire, 304")
    assert lines[0]["sizes_mm"] == [2000.0, 1000.0]
