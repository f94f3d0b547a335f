"""What a sentence says of some of a line, of a hole, of an area or of sizes that compete.

What the letters mean is common practice of the trade, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

import meshcore as mc


def _rows(text: str, *names: str) -> list[tuple[Any, ...]]:
    values = mc.read_letter(text).values
    return [tuple(row) for row in values[list(names)].itertuples(index=False)]


@pytest.mark.parametrize(
    "text",
    [
        "40 discs of 100 mm with a 20 mm hole in the middle, 20 mesh 0.4 wire 316.",
        "40 discs dia 100 mm with centre hole 20 mm, 20 mesh 0.4 wire 316.",
        "40 Ronden 100 mm mit Loch 20 mm in der Mitte, 20 mesh, Draht 0,4 mm, 1.4401.",
        "40 disques de 100 mm avec un trou de 20 mm au milieu, 20 mesh, fil 0,4 mm, inox 316.",
    ],
)
def test_a_disc_with_a_hole_is_a_ring(text: str) -> None:
    assert _rows(text, "shape", "sizes_mm", "quantity") == [("ring", [100.0, 20.0], 40)]


def test_a_hole_that_the_buyer_makes_is_none() -> None:
    text = "Disc, 980 mm diameter, 2 mm opening, 1 mm wire, 304, a hole of 60 mm in the middle we punch ourselves."  # noqa: E501
    assert _rows(text, "shape", "sizes_mm") == [("disc", [980.0])]


@pytest.mark.parametrize(
    ("text", "fields", "columns"),
    [
        ("5 rolls of 10 mesh, 0.5 mm, 304, 1 m x 30 m, two of which cut to 15 m lengths.", {"quantity", "length"}, ("quantity", "length_mm")),  # noqa: E501
        ("4 rolls 10 mesh 0.5 wire 304, 1 m x 30 m; make the fourth one 316.", {"quantity", "alloy"}, ("quantity", "alloy")),  # noqa: E501
        ("We need 30 m2 of 10 mesh 0.5 wire 304 in 1 m width.", {"quantity"}, ("quantity",)),
        ("2 rolls 10 mesh 0.5 wire 304, 1 m x 30 m (approx 950-1050 wide is fine).", {"width"}, ("width_mm",)),  # noqa: E501
        ("mesh 50 x 50 mm, wire 5 mm, galvanised, sheets 2 m x 1 m, 12 pieces.", {"aperture", "pitch"}, ("aperture_mm", "pitch_mm", "mesh_count_per_in")),  # noqa: E501
        ("3 each of 600 x 400 and 500 x 300 panels in 10 mesh 0.9 mm 304.", {"dimensions"}, ("sizes_mm",)),  # noqa: E501
    ],
)  # fmt: skip
def test_what_competes_or_is_said_of_some_is_asked(
    text: str, fields: set[str], columns: tuple[str, ...]
) -> None:
    letter = mc.read_letter(text)
    assert fields <= set(letter.asked["field"])
    assert letter.values[list(columns)].isna().all(axis=None)


@pytest.mark.parametrize(
    ("text", "rows"),
    [
        ("two rolls of 20 mesh, 0.4 mm, 316; one of them 1 m and the other 1.2 m wide, both 30 m.", [(1, 1000, "316"), (1, 1200, "316")]),  # noqa: E501
        ("24 rolls 10 mesh 0.5 wire, 1 m x 30 m. A third of them should be 304, the rest mild steel.", [(8, 1000, "304"), (16, 1000, "carbon steel")]),  # noqa: E501
        ("20 rolls 10 mesh 0.5 wire 1 m x 30 m, 10 in 304 and 10 in 316.", [(10, 1000, "304"), (10, 1000, "316")]),  # noqa: E501
    ],
)  # fmt: skip
def test_shares_are_lines(text: str, rows: list[tuple[int, float, str]]) -> None:
    assert _rows(text, "quantity", "width_mm", "alloy") == rows


def test_half_of_what_is_named_is_a_share() -> None:
    letter = mc.read_letter(
        "- 5 Rollen, MW 0,5 mm, Draht 0,32 mm, 1.4301, 1 m x 25 m\n"
        "- 30 Zuschnitte 800 x 600 mm, MW 1,0 mm, Draht 0,5 mm, 1.4301\n\n"
        "Die Hälfte der Zuschnitte bitte gesäumt.\n"
    )
    assert list(letter.values["quantity"]) == [5, 15, 15]
    assert list(letter.values["services"]) == [[], ["hemmed"], []]


def test_pieces_in_two_alloys_keep_their_sizes() -> None:
    text = "200 pcs 150 x 150 mm, 100 in 304 and 100 in 316, 10 mesh 0.9 wire"
    sizes = [150.0, 150.0]
    assert _rows(text, "quantity", "alloy", "sizes_mm") == [
        (100, "304", sizes),
        (100, "316", sizes),
    ]


@pytest.mark.parametrize(
    ("text", "quantities"),
    [
        ("Please offer 5 rolls each of\n\n- aperture 0.25 mm, wire 0.16 mm, 304\n- aperture 0.5 mm, wire 0.25 mm, 304\n", [5, 5]),  # noqa: E501
        ('2 off 4ft x 8ft sheets 1" ap 10swg m/s\nsame in galv x 4\n', [2, 4]),
        ("We use discs of 65 mm in 100 mesh, 0.1 mm wire, 316L. Kindly quote for lots of 500, 2,000 and 5,000.", [500, 2000, 5000]),  # noqa: E501
        ("24 screens 900 by 450 in 6 mm opening, 2 mm wire, 304.", [24]),
    ],
)  # fmt: skip
def test_counts_in_the_words_of_the_trade(text: str, quantities: list[int]) -> None:
    assert list(mc.read_letter(text).values["quantity"]) == quantities


def test_a_grade_to_be_forgotten_is_none() -> None:
    letter = mc.read_letter(
        "2 rolls 10 mesh 0.5 wire, 1 m x 30 m, grade 316 as drawn, forget what I said about 304."
    )
    assert list(letter.values["alloy"]) == ["316"]


def test_the_size_of_any_building_is_none_of_the_goods() -> None:
    letter = mc.read_letter(
        "4 rolls 12 mm opening, 1.6 mm wire, 316, 1.5 m wide and 25 m long. The tower is 31 m high."
    )
    assert _rows(letter.text, "width_mm", "length_mm") == [(1500.0, 25000.0)]


def test_a_size_beside_a_ditto_stands_for_the_one_it_is_like() -> None:
    letter = mc.read_letter(
        "Pos   Qty  Unit  Description\n"
        "010   3    RL    Wire cloth 8 mesh x 0,9 mm, 1.4301, 1000 mm x 25 m\n"
        "020   1    RL    ditto, 1500 mm\n"
        "030   1    RL    ditto, 50 m\n"
    )
    assert list(letter.values["width_mm"]) == [1000.0, 1500.0, 1500.0]
    assert list(letter.values["length_mm"]) == [25000.0, 25000.0, 50000.0]


def test_a_size_beside_a_ditto_of_two_sides_is_asked() -> None:
    letter = mc.read_letter(
        "Qty | Description\n3 | panels 10 mesh 0.5 wire 304, 600 x 400 mm\n4 | ditto, 500 mm\n"
    )
    assert letter.values["sizes_mm"].iloc[1] is None
    assert list(letter.asked["field"]) == ["dimensions"]


def test_one_more_mesh_is_counted_in_words() -> None:
    letter = mc.read_letter(
        'need 2x rolls 12# .028 SS304 36"x100ft and one 20# .016 same alloy n size.'
    )
    assert list(letter.values["quantity"]) == [2, 1]
    assert list(letter.values["mesh_count_per_in"]) == [12.0, 20.0]
