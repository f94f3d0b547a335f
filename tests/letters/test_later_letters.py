"""Letters of two writers who had read only the practice letters, and variations of what they say.

At their first reading 76.3, 65.8, 80.4 and 79.0 % of the 30 in `later_two` were right (plain,
messy, hard, other languages) with 12 of 90 lines lost, and 100, 78.9, 87.3 and 100 % of the 30 in
`later_three` with 4 of 83 lost. What both say in common was mended, so these tests hold what was
reached and prove no more. `later_four` and `later_five` are letters that nobody had seen who mended
the reading: what is held there is what they read at once. The variations are told from the letters:
their expectations are read off their own words.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from scoring import rows, score_folder

import meshcore as mc

HERE = Path(__file__).parent
#: Share right by tier, and share wrong, that each folder must keep; and how many lines may be lost
#: or too many.
KEPT = {
    "later_two": (
        {"plain": 0.87, "messy": 0.84, "hard": 0.80, "other language": 0.79},
        0.02,
        9,
    ),
    "later_three": (
        {"plain": 1.0, "messy": 0.95, "hard": 0.87, "other language": 1.0},
        0.006,
        1,
    ),
    "later_four": (
        {"plain": 0.94, "messy": 0.95, "hard": 0.76, "other language": 1.0},
        0.008,
        6,
    ),
    "later_five": (
        {"plain": 1.0, "messy": 0.87, "hard": 0.84, "other language": 0.92},
        0.026,
        9,
    ),
}


@pytest.mark.parametrize("folder", KEPT)
def test_what_was_reached_is_kept(folder: str) -> None:
    found = score_folder(HERE / folder)
    bars, most_wrong, most_amiss = KEPT[folder]
    assert found.below(bars) == {}
    assert found.share("wrong") <= most_wrong, found.wrong
    assert found.lost + found.extra <= most_amiss


def _column(text: str, *names: str) -> list[Any]:
    """What each line says under some names."""
    told = [tuple(row[name] for name in names) for row in rows(mc.read_letter(text).values)]
    return [one[0] if len(names) == 1 else one for one in told]


@pytest.mark.parametrize(
    "words",
    [
        "to be delivered carriage paid to our works",
        "freight paid, our works",
        "delivered duty paid",
        "price to be carriage paid to the quay",
    ],
)
def test_paid_carriage_is_not_of_the_past(words: str) -> None:
    text = f"Please quote 5 rolls, 0.315 mm aperture, 0.2 mm wire, 304L, 1 m x 30 m, {words}."
    assert _column(text, "aperture_mm", "quantity") == [(0.315, 5)]


def test_what_was_paid_is_still_of_the_past() -> None:
    text = "Please quote 5 rolls, 10 mesh, 0.5 mm wire, 304, 1 m x 30 m. We paid 120 for 7 rolls."
    assert _column(text, "quantity") == [5]


@pytest.mark.parametrize("written", ["304", "316"])
@pytest.mark.parametrize(
    "repeat",
    [
        "3) 1 to 2 again in brass, one roll of each",
        "3) 1) and 2) once more in brass, one roll of each",
        "Items 1 and 2 again in brass, one roll each.",
        "Both again in brass please, one roll each.",
    ],
)
def test_lines_once_more(repeat: str, written: str) -> None:
    text = (
        f"1) 3 rolls 40 mesh 0.2 mm wire {written}, 1 m x 30 m\n"
        f"2) 4 rolls 60 mesh 0.16 mm wire {written}, 1 m x 30 m\n{repeat}"
    )
    names = ("mesh_count_per_in", "alloy", "quantity")
    assert _column(text, *names) == [
        (40, written, 3),
        (60, written, 4),
        (40, "brass", 1),
        (60, "brass", 1),
    ]


def test_repeated_lines_that_are_not_known_add_nothing() -> None:
    text = "1) 3 rolls 40 mesh 0.2 mm wire 304, 1 m x 30 m\n5 to 7 again in brass."
    assert len([one for one in _column(text, "mesh_count_per_in") if one == 40]) == 1


@pytest.mark.parametrize(
    ("words", "field", "values"),
    [
        ("Please price in 304 and in 316.", "alloy", ["304", "316"]),
        ("Give us a price in brass AND a price in 316.", "alloy", ["brass", "316"]),
        ("Please price in plain weave and in double crimp.", "weave", ["plain", "double crimp"]),
    ],
)
def test_a_line_priced_two_ways_is_two_lines(words: str, field: str, values: list[str]) -> None:
    text = f'20 panels 30" x 60", 1" opening, .162 wire. {words}'
    assert _column(text, field) == values


@pytest.mark.parametrize(
    "text",
    [
        "All in 304 except the strips, which are 316L.\n\n"
        "- 3 rolls 14 mesh, 0.56 mm wire, 1 m x 30 m\n- 40 strips 50 mm x 2 m, 30 mesh, 0.3 mm",
        "Everything in 304 apart from the strips (316L).\n\n"
        "1) 3 rolls 14 mesh, 0.56 mm wire, 1 m x 30 m\n2) 40 strips 50 mm x 2 m, 14 mesh, 0.5 mm",
        "Alles in 1.4301 außer den Streifen, die in 1.4404.\n\n- 3 Rollen Maschenweite 1 mm, Draht "
        "0,5 mm, 1 m x 30 m\n- 20 Streifen 50 mm x 2 m, Maschenweite 1 mm, Draht 0,5 mm",
        "Todo en inox 304 menos las tiras, que van en 316L.\n\n- 3 rollos luz 1 mm, hilo 0,5 mm, "
        "1 m x 30 m\n- 20 tiras de 50 mm x 2 m, luz 1 mm, hilo 0,5 mm",
    ],
)
def test_an_exception_is_told_by_its_form(text: str) -> None:
    assert _column(text, "form", "alloy") == [("roll", "304"), ("strip", "316L")]


def test_numbers_of_a_table_are_no_telephone() -> None:
    text = (
        "item  mat.no.    opening  wire   material  supplied as           qty\n"
        "001   88-10023   3.15mm   1.25   304       roll 1.2m x 25m       2\n"
        "002   88-10024   2.0mm    1.0    do.       do.                   3\n"
    )
    assert _column(text, "aperture_mm", "wire_diameter_mm", "quantity") == [
        (3.15, 1.25, 2),
        (2.0, 1.0, 3),
    ]


def test_a_letter_for_the_nought_behind_a_point() -> None:
    text = "2 ROLLS 24 IN X 100 FT, 16 MESH X .O18 WIRE, 304"
    assert _column(text, "wire_diameter_mm") == [pytest.approx(0.4572)]


def test_a_legend_says_what_a_heading_means() -> None:
    text = (
        "spec = aperture/wire in mm.\n\nno;code;spec;alloy;size;qty\n"
        "1;M-1001;2.0/0.8;304;panel 980x480;24\n2;M-1002;4.0/1.25;316L;same;12\n"
    )
    assert _column(text, "aperture_mm", "wire_diameter_mm") == [(2.0, 0.8), (4.0, 1.25)]


def test_diameters_of_a_form_have_a_key_each() -> None:
    text = (
        'What do you need?: rings\nOutside diameter: 12"\nInside diameter: 4"\nHow many?: 9\n'
        'Mesh: 10 mesh\nWire: .035"\nMaterial: 304'
    )
    assert _column(text, "sizes_mm") == [[pytest.approx(304.8), pytest.approx(101.6)]]


def test_narrow_pieces_of_some_length_are_strips() -> None:
    text = "12 mesh, 0.5 mm wire, 304, 40 mm wide, 5 m long, 60 pieces"
    assert _column(text, "form", "width_mm", "length_mm") == [("strip", 40.0, 5000.0)]


def test_entries_that_end_in_their_count_are_lines_each() -> None:
    # A bare "18" is asked about, not guessed at.
    text = (
        "Quote these in 316:\n\n"
        " screens 60 x 40 cm, 6 mm hole, 1.6 mm wire  ...  3 dozen\n"
        " discs dia 25 cm, 4 mm hole, 1.2 mm wire  ...  18\n"
        " 1 roll 120 cm wide, 10 m, 0.8 mm hole, 0.32 mm wire\n"
    )
    assert _column(text, "aperture_mm", "quantity") == [(6.0, 36), (4.0, None), (0.8, 1)]
