"""What a letter as read holds: cells, numbers, evidence, questions, what is set apart."""

from __future__ import annotations

from pathlib import Path

import pytest
from scoring import rows

import meshcore as mc
from meshcore.estimates.letters import as_offers

OWN = Path(__file__).parent / "own"
NUMBERS = {
    "mesh_count_per_in": "mesh_count_per_in", "pitch_mm": "pitch_mm", "aperture_mm": "aperture_mm",
    "wire_diameter_mm": "wire_diameter_mm",
}  # fmt: skip
LETTER = """Good morning,

all in 304, please:
1. 3 rolls 10 mesh, .025 in wire, 48 in wide x 100 ft
2. 40 discs Ø 200 mm, aperture 2 mm, wire 1 mm, degreased
3. as item 1 but 316L
4. 2 rolls 8 mesh, 16 gauge, 1 m x 30 m
5. perforated plate, 3 mm holes, 2 sheets

Our ref. QP/7-21. Deliver to Mill Lane, dock 2, by 3 May. Tel. 01632 960227
"""


def test_each_cell_points_to_the_words_that_state_it() -> None:
    letter = mc.read_letter(LETTER)
    assert len(letter.evidence) > 20
    for row in rows(letter.evidence):
        assert letter.text[row["start"] : row["end"]] == row["text"]
        assert row["text"].strip()


def test_what_is_carried_over_says_from_where() -> None:
    letter = mc.read_letter(LETTER)
    third = letter.evidence[letter.evidence["line"] == 3].set_index("field")
    assert third.loc["mesh_count", "origin"] == "line 1"
    assert third.loc["alloy", "origin"] == ""
    first = letter.evidence[letter.evidence["line"] == 1].set_index("field")
    assert "head" in str(first.loc["alloy", "origin"])


def test_cells_keep_the_words_with_their_unit() -> None:
    lines = mc.read_letter(LETTER).lines
    assert lines["wire_diameter"].tolist()[:2] == [".025 in", "1 mm"]
    assert [lines.loc[0, "width"], lines.loc[0, "length"]] == ["48 in", "100 ft"]
    assert lines.loc[1, "dimensions"] == "diameter 200 mm"


def test_a_bare_gauge_is_left_open_and_asked() -> None:
    letter = mc.read_letter(LETTER)
    assert letter.values.loc[3, "wire_diameter_mm"] is None
    asked = letter.asked[letter.asked["line"] == 4]
    assert asked["field"].tolist() == ["wire_diameter"]
    assert "which gauge" in str(asked["why"].iloc[0])


def test_other_goods_are_set_apart_and_make_no_line() -> None:
    letter = mc.read_letter(LETTER)
    assert len(letter.lines) == 4
    assert "perforated plate" in str(letter.not_square["text"].iloc[0])


def test_reference_place_and_date_are_told_with_their_span() -> None:
    letter = mc.read_letter(LETTER)
    for name, words in (("reference", "QP/7-21"), ("wanted_by", "3 May")):
        found = letter.header[name]
        assert found is not None
        assert found.text == words == letter.text[found.start : found.end]
    place = letter.header["deliver_to"]
    assert place is not None
    assert place.text.startswith("Mill Lane")


def test_a_choice_of_alloys_is_asked_with_both_and_priced_both_ways() -> None:
    letter = mc.read_letter(
        "2 rolls 10 mesh, 0.5 mm wire, 304 or 316, whichever is cheaper, 1 m x 30 m"
    )
    assert letter.values.loc[0, "alloy"] is None
    assert letter.asked["choice"].tolist() == [("304", "316")]
    lines = as_offers(letter)
    assert lines[["line", "alloy"]].to_numpy().tolist() == [["1a", "304"], ["1b", "316"]]
    prices = mc.estimate_list(lines).table["price"]
    assert 0 < prices[0] < prices[1]


@pytest.mark.parametrize("path", sorted(OWN.glob("*.txt")), ids=lambda path: path.stem)
def test_the_list_reader_reads_the_cells_as_the_values(path: Path) -> None:
    letter = mc.read_letter(path)
    if not len(letter.lines):
        return
    table = mc.estimate_list(letter.lines).table
    for n in range(len(letter.lines)):
        for value, column in NUMBERS.items():
            stated, read = letter.values.loc[n, value], table[column].iloc[n]
            if stated is not None and read == read and not _in_conflict(letter, n + 1):  # noqa: PLR0124
                assert read == pytest.approx(stated, rel=1e-6), (path.name, n + 1, value)


def _in_conflict(letter: mc.Letter, line: int) -> bool:
    whys = letter.asked.loc[letter.asked["line"] == line, "why"]
    return any("do not agree" in why for why in whys)


def test_a_correction_above_the_quoted_mail_wins_and_says_so() -> None:
    letter = mc.read_letter(
        "Please make that 5 rolls instead of 3.\n\n> 3 rolls 6 mesh 1.6 mm wire 304, 1.2 m wide x 25 m\n"  # noqa: E501
    )
    assert letter.values["quantity"].tolist() == [5]
    quantity = letter.evidence[letter.evidence["field"] == "quantity"].iloc[0]
    assert quantity["origin"] == "a correction"
    assert "corrected" in str(letter.lines.loc[0, "note"])


def test_a_correction_that_cannot_be_placed_is_asked_of_every_line() -> None:
    letter = mc.read_letter(
        "Sorry, it should be 316 instead of 321.\n\n> 1. 3 rolls 6 mesh 1.6 mm wire 304, 1 m x 25 m\n"  # noqa: E501
        "> 2. 2 rolls 8 mesh 1 mm wire 304L, 1 m x 25 m\n"
    )
    assert letter.values["alloy"].tolist() == [None, None]
    assert letter.asked["field"].tolist() == ["alloy", "alloy"]


def test_a_number_that_counts_is_no_label() -> None:
    letter = mc.read_letter(
        "Please change item 2 to 4 rolls and item 3 to brass.\n\n"
        "> 1. 1 roll 6 mesh 1.6 mm wire 304, 1 m x 25 m\n"
        "> 2. 2 rolls 8 mesh 1 mm wire 304, 1 m x 25 m\n"
        "> 3. 20 discs 150 mm dia, 30 mesh, 0.28 mm wire, copper\n"
    )
    assert letter.values["quantity"].tolist() == [1, 4, 20]
    assert letter.values["alloy"].tolist() == ["304", "304", "brass"]


def test_what_stands_under_an_if_is_not_asked_for() -> None:
    letter = mc.read_letter(
        "12 panels 600 x 400 mm in 316L, 3 mm holes, 1 mm wire. Also 12 panels 600 x 500 mm.\n"
        "If 2 mm holes are cheaper tell us.\n"
    )
    assert 2.0 not in letter.values["aperture_mm"].tolist()


def test_counts_keep_their_words_and_lines_their_kind_of_number() -> None:
    letter = mc.read_letter(LETTER)
    assert letter.lines["mesh_count"].tolist()[0] == "10 mesh"
    for table in (letter.lines, letter.values, letter.asked, letter.evidence):
        assert all(isinstance(n, int) for n in table["line"].tolist())
    held = letter.values.to_dict("records")
    for row in held:
        for name, value in row.items():
            kinds = {"line": int, "quantity": int, "sizes_mm": list, "services": list}
            number = float if str(name).rsplit("_", maxsplit=1)[-1] in ("mm", "in", "pct") else str
            assert value is None or isinstance(value, kinds.get(str(name), number)), name


def test_a_service_keeps_to_the_line_that_it_names() -> None:
    letter = mc.read_letter(
        "Panels 5 mm opening, 1.6 mm wire, galv:\n   A   1180 x 620    x 14\n   B    980 x 620    x 7\n"  # noqa: E501
        "B hemmed on all four sides please.\n"
    )
    assert letter.values["services"].tolist() == [[], ["hemmed"]]


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ("We would want one piece per tray, 10 mesh 0.5 mm wire 304, 300 x 200 mm", "quantity"),
        ("2 rolls 18 x 14 mesh, 0.28 mm wire, aluminium, 1.2 m x 30 m", "mesh_count"),
        ("2 rolls 36 mesh, 0.28 wire - if you have no 0.28 then 0.25 - 304, 1 m x 30 m", "wire_diameter"),  # noqa: E501
        ("2 rolls 4 mesh, wire between 1.2 and 1.6, galv, 1 m x 25 m", "wire_diameter"),
    ],
)  # fmt: skip
def test_what_may_be_two_things_is_asked_and_left_open(said: str, asked: str) -> None:
    letter = mc.read_letter(said + "\n")
    assert asked in letter.asked["field"].tolist()
    assert letter.lines.loc[0, asked] == ""


def test_a_cancelled_line_takes_no_other_with_it() -> None:
    letter = mc.read_letter(
        "Quantities have moved:\n\n  Screen 1:  was 12 now 16 panels, 1220 x 1525 mm\n"
        "  Screen 2:  8 panels (no change), 1220 x 1830 mm\n  Screen 3:  cancelled\n\n"
        "All 12.5 mm square opening, 3.15 mm wire, high tensile.\n"
    )
    assert letter.values["quantity"].tolist() == [16, 8]
    assert letter.values["sizes_mm"].tolist() == [[1220.0, 1525.0], [1220.0, 1830.0]]


def test_thanks_at_the_head_of_a_letter_do_not_end_it() -> None:
    letter = mc.read_letter(
        "Bonjour,\n\nMerci de nous chiffrer :\n"
        "1) 3 rouleaux de toile inox 316L, ouverture 0,8 mm, fil 0,32 mm, largeur 1 m, longueur 25 m\n"  # noqa: E501
    )
    assert letter.values["quantity"].tolist() == [3]


def test_a_price_break_row_by_row_belongs_to_the_cloth_above_it() -> None:
    letter = mc.read_letter(
        "disc 50 mm dia, 50 mesh, 0.2 wire, 316\n\n  qty     unit price\n  100     ....\n  500     ....\n\n"  # noqa: E501
        "ring 50/30 mm same mesh\n\n  qty     unit price\n  100     ....\n"
    )
    assert letter.values["quantity"].tolist() == [100, 500, 100]
    assert letter.values["shape"].tolist() == ["disc", "disc", "ring"]
    assert letter.values["mesh_count_per_in"].tolist() == [50.0, 50.0, 50.0]
