"""Shares of a count, price breaks, ranges and changes that a sentence tells in words.

What the letters mean is common practice of the trade, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

import meshcore as mc

CLOTH = "10 mesh, 0.5 mm wire, 304"


def _columns(text: str, *names: str) -> list[tuple[Any, ...]]:
    values = mc.read_letter(text).values
    return [tuple(row) for row in values[list(names)].itertuples(index=False)]


def _asked(text: str) -> set[str]:
    return set(mc.read_letter(text).asked["field"])


@pytest.mark.parametrize(
    ("text", "widths"),
    [
        (f"Ten rolls {CLOTH}? Half of them 1 m wide, the rest 1.2 m, all 30 m long.", [(5, 1000), (5, 1200)]),  # noqa: E501
        (f"12 rolls {CLOTH}, 30 m long, half of them 1 m wide and half 1.5 m wide.", [(6, 1000), (6, 1500)]),  # noqa: E501
        (f"Twelve rolls 1 m x 30 m, {CLOTH}. A third of them 1.2 m wide instead.", [(4, 1200), (8, 1000)]),  # noqa: E501
        ("10 Rollen 8 mesh, Draht 0,7 mm, 1.4301, Länge 30 m. Die Hälfte davon 1 m breit, der Rest 1,2 m.", [(5, 1000), (5, 1200)]),  # noqa: E501
        ("10 rouleaux 8 mesh, fil 0,7 mm, inox 304, longueur 30 m. La moitié en 1 m de large, le reste en 1,2 m.", [(5, 1000), (5, 1200)]),  # noqa: E501
        ("10 rollos 8 mesh, alambre 0,7 mm, inox 304, largo 30 m. La mitad de 1 m de ancho, el resto de 1,2 m.", [(5, 1000), (5, 1200)]),  # noqa: E501
    ],
)  # fmt: skip
def test_shares_of_a_count_have_sizes_of_their_own(
    text: str, widths: list[tuple[int, float]]
) -> None:
    assert _columns(text, "quantity", "width_mm") == widths
    assert set(mc.read_letter(text).values["length_mm"]) == {30000.0}
    assert not len(mc.read_letter(text).unread)


@pytest.mark.parametrize(
    ("text", "sizes"),
    [
        (f"20 panels {CLOTH}, half of them 600 x 400 mm, the other half 500 x 400 mm.", [(10, [600, 400]), (10, [500, 400])]),  # noqa: E501
        (f"24 panels, {CLOTH}: 10 at 600 x 400, the rest 500 x 400.", [(10, [600, 400]), (14, [500, 400])]),  # noqa: E501
        (f"We need 24 panels in {CLOTH}, ten of them 600 x 400 and fourteen 500 x 400.", [(10, [600, 400]), (14, [500, 400])]),  # noqa: E501
    ],
)  # fmt: skip
def test_shares_of_pieces_have_both_sides(text: str, sizes: list[tuple[int, list[float]]]) -> None:
    assert _columns(text, "quantity", "sizes_mm") == sizes


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        (f"7 rolls {CLOTH}, 30 m long. Half of them 1 m wide, the rest 1.2 m.", {"quantity"}),
        (f"40 discs dia 100 mm, {CLOTH}. Half of them dia 120 mm please.", {"quantity", "dimensions"}),  # noqa: E501
        (f"24 panels, {CLOTH}, 600 x 400. Half of them with a finer mesh.", {"quantity"}),
    ],
)  # fmt: skip
def test_shares_that_do_not_come_out_are_asked(text: str, fields: set[str]) -> None:
    assert _asked(text) >= fields
    assert mc.read_letter(text).values["quantity"].isna().all()


@pytest.mark.parametrize(
    "text",
    [
        f"{CLOTH}: 12 pieces 500 x 500. Also for 36 off and 100 off.",
        f"{CLOTH}, 12 pieces 500 x 500. Also for 36 and 100 please.",
        "12 Stück 500 x 500 mm, 10 mesh, Draht 0,5 mm, 1.4301. Ebenso für 36 und 100 Stück.",
        "12 pièces 500 x 500 mm, 10 mesh, fil 0,5 mm, inox 304. Idem pour 36 et 100 pièces.",
        "12 piezas 500 x 500 mm, 10 mesh, alambre 0,5 mm, 304. También para 36 y 100 piezas.",
    ],
)
def test_a_sentence_of_further_counts_is_a_price_break(text: str) -> None:
    assert [row[0] for row in _columns(text, "quantity")] == [12, 36, 100]


@pytest.mark.parametrize(
    "text",
    [
        f"{CLOTH}, in discs: 500 of 47 mm, 250 of 63 mm and 100 of 90 mm.",
        f"Discs from {CLOTH}: 500 at 47 mm dia, 250 at 63 mm dia and 100 at 90 mm dia.",
        f"{CLOTH} discs, 500 x 47 mm, 250 x 63 mm, 100 x 90 mm diameter",
        "Scheiben 10 mesh Draht 0,5 mm 1.4301: 500 mit 47 mm, 250 mit 63 mm und 100 mit 90 mm",
    ],
)
def test_pieces_are_counted_by_their_sizes(text: str) -> None:
    rows = _columns(text, "quantity", "shape", "sizes_mm")
    assert rows == [(500, "disc", [47]), (250, "disc", [63]), (100, "disc", [90])]


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("2 rolls 10 to 15 mm openings, 3 mm wire, 304, 1 m x 10 m", "aperture"),
        ("2 rolls 10 mm openings, 3 to 4 mm wire, 304, 1 m x 10 m", "wire_diameter"),
        ("2 rolls opening from 10 to 15 mm, 2 mm wire 304, 1 m x 30 m", "aperture"),
        ("2 sheets 1 m x 2 m, pitch 60 mm, 6 mm wire, either lock crimp or flat top", "weave"),
        ("2 sheets 1 m x 2 m, pitch 60 mm, 6 mm wire, plain or twilled", "weave"),
    ],
)
def test_a_range_or_a_choice_is_asked(text: str, field: str) -> None:
    letter = mc.read_letter(text)
    assert field in set(letter.asked["field"])
    named = {"aperture": "aperture_mm", "wire_diameter": "wire_diameter_mm"}.get(field, field)
    assert letter.values[named].isna().all()


@pytest.mark.parametrize(
    ("text", "column", "value"),
    [
        ("Sorry, the width goes from 1 m to 1.2 m.", "width_mm", 1200.0),
        ("Please change the quantity from 2 to 5 rolls.", "quantity", 5),
        ("Correction: wire from 0.5 mm to 0.6 mm.", "wire_diameter_mm", 0.6),
        ("We reduce the length from 30 m to 15 m.", "length_mm", 15000.0),
    ],
)
def test_of_a_change_the_new_value_holds(text: str, column: str, value: float) -> None:
    letter = mc.read_letter(f"2 rolls {CLOTH}, 1 m x 30 m\n\n{text}\n")
    assert list(letter.values[column]) == [value]


@pytest.mark.parametrize(
    ("text", "quantities"),
    [
        ("3 rolls brass 60 mesh 0.15 wire 914 mm x 15 m and another two of the same but 80 mesh 0.12 wire", [3, 2]),  # noqa: E501
        ("3 rouleaux laiton 60 mesh, fil 0,15 mm, 914 mm x 15 m, et deux autres identiques mais en 80 mesh, fil 0,12 mm", [3, 2]),  # noqa: E501
        ("3 rollos de latón de 60 mesh, alambre 0,15 mm, 914 mm x 15 m, y otros dos del mismo tipo pero de 80 mesh, alambre 0,12 mm", [3, 2]),  # noqa: E501
        ("5 no 1m x 2m sheets, 50mm opening 5mm wire, mild steel; then the same but galvanised, 3 no.", [5, 3]),  # noqa: E501
        ("Four discs 100 mm, 10 mesh 0.5 wire 304, then the same in 316, six off.", [4, 6]),
        ('2 dozen discs 6" dia in 20 mesh .016 304 and a dozen in 8" same stuff, plus 1 roll of 4 mesh .063 galv 36" x 50\'', [24, 12, 1]),  # noqa: E501
        ("mesh 1\" opening, 12 swg, galv, 4' x 25' rolls x 6", [6]),
        ("16 mesh, 0.3 wire, 304\n20 pcs 450 x 450\n6 pcs 600 x 450", [20, 6]),
        ("5 rolls 10 mesh 0.5 wire 316 1m x 30m\n(no 20 mesh this quarter)\n2 rolls 30 mesh 0.25 wire 316 1m x 30m", [5, 2]),  # noqa: E501
    ],
)  # fmt: skip
def test_each_count_is_a_line(text: str, quantities: list[int]) -> None:
    letter = mc.read_letter(text)
    assert list(letter.values["quantity"]) == quantities
    cloth = letter.values[["mesh_count_per_in", "aperture_mm"]].notna().any(axis=1)
    assert cloth.all()


def test_a_grade_stated_later_says_which_stainless_is_meant() -> None:
    letter = mc.read_letter(
        "Please quote for 4 rolls of stainless steel woven wire cloth:\n\n"
        "10 mesh, 0.63 mm wire, AISI 304, plain weave, 1.22 m wide x 30 m long.\n"
    )
    assert list(letter.values["alloy"]) == ["304"]
    assert letter.asked.empty


@pytest.mark.parametrize("call", ["Told him we'd ring with a price.", "I must ring round."])
def test_a_telephone_call_is_no_ring(call: str) -> None:
    letter = mc.read_letter(
        f"Wants 1 inch opening, 3 mm wire. Enough for 22 pens, panels 8 foot by 4 foot. {call}"
    )
    assert list(letter.values["shape"]) == ["rectangle"]


@pytest.mark.parametrize(
    ("room", "lengths"),
    [
        ("Our shed is 14 m long.", [15000.0]),
        ("The bay is 14 m long and 3 m wide, so do take care.", [15000.0]),
        ("The conveyor measures 8 m by 2 m.", [15000.0]),
        ("Die Halle ist 14 m lang.", [15000.0]),
        ("Le hangar est 14 m de long.", [15000.0]),
    ],
)
def test_sizes_of_rooms_are_none_of_the_goods(room: str, lengths: list[float]) -> None:
    letter = mc.read_letter(f"{room} 2 rolls 10 mesh 0.5 mm wire 304, 1 m wide by 15 m.\n")
    assert list(letter.values["length_mm"]) == lengths
    assert list(letter.values["width_mm"]) == [1000.0]


@pytest.mark.parametrize(
    ("last", "services"),
    [
        ("certificate 3.1 please for both", [["certificate 3.1"]] * 2),
        ("all annealed please", [["annealed"]] * 2),
        ("both with 3.1 certs", [["certificate 3.1"]] * 2),
        ("everything degreased", [["degreased"]] * 2),
    ],
)
def test_the_last_line_of_a_list_speaks_of_all_of_it(last: str, services: list[list[str]]) -> None:
    letter = mc.read_letter(
        "2 rolls: w = 0,5 mm, d = 0,25 mm, 1.4404, 1000 mm x 30 m\n"
        f"1 roll: w = 0,8 mm, d = 0,32 mm, 1.4404, 1000 mm x 30 m\n{last}\n"
    )
    assert list(letter.values["services"]) == services


def test_numbers_of_items_before_the_word_mesh_are_asked() -> None:
    letter = mc.read_letter(
        '1 mesh 1/2" opening .120" wire 304 48" x 60" - 6 ea\n'
        '2 mesh 3/8" opening .105" wire 304 48" x 60" - 6 ea\n'
    )
    assert letter.values["mesh_count_per_in"].isna().all()
    assert list(letter.values["aperture_mm"]) == pytest.approx([12.7, 9.525])
    assert set(letter.asked["field"]) == {"mesh_count"}


def test_two_sizes_before_pieces_in_a_table_are_no_count() -> None:
    letter = mc.read_letter(
        "item | mesh | wire | mat | size | qty\n"
        "1 | 30 | 0.28mm | 304 | 600 x 400 pcs | 35\n"
        "2 | 20 | 0.4mm | 304 | 90 dia discs | 40\n"
    )
    assert list(letter.values["quantity"]) == [35, 40]
    assert list(letter.values["sizes_mm"]) == [[600.0, 400.0], [90.0]]


@pytest.mark.parametrize(
    "past",
    [
        "Your last delivery (4 rolls of 12 mesh, 0.5 mm, 304, 1 m x 30 m) was fine. ",
        "Last year you sent us 4 rolls of 12 mesh, 0.5 mm, 304, 1 m x 30 m. ",
    ],
)
def test_the_same_again_of_no_line_is_asked(past: str) -> None:
    letter = mc.read_letter(
        f"{past}We'd like the same again. Then 3 of 16 mesh, 0.45 mm wire, 304."
    )
    first = letter.values.iloc[0]
    assert first["mesh_count_per_in"] is None
    assert first["wire_diameter_mm"] is None
    assert {"mesh_count", "alloy"} <= set(letter.asked.loc[letter.asked["line"] == 1, "field"])


@pytest.mark.parametrize(
    "text",
    [
        "2 rolls 5 mm aperture 1 mm wire 304 1 m x 30 m, twill. And 10 discs 100 mm in 316 with the same opening.",  # noqa: E501
        "2 rolls 5 mm aperture 1 mm wire 304 1 m x 30 m, twill.\n10 discs 100 mm, 316, same aperture",  # noqa: E501
    ],
)
def test_the_same_opening_brings_no_more_than_the_opening(text: str) -> None:
    second = mc.read_letter(text).values.iloc[1]
    assert second["aperture_mm"] == 5.0
    assert (second["wire_diameter_mm"], second["weave"], second["alloy"]) == (None, None, "316")


def test_just_a_price_is_no_count() -> None:
    letter = mc.read_letter(
        "Just a rough price, please: 120 panels 1.5 m by 3 m, pitch 60 mm, 6 mm wire, 316."
    )
    assert list(letter.values["quantity"]) == [120]
