"""What competes with what was read is asked about; tables are read past the ends of lines."""

from __future__ import annotations

import pytest

import meshcore as mc

TABLE = """
Pos.  Description                       Qty    Unit
1     Wire mesh 316L, opening 0.8       3      roll
      mm, wire 0.32 mm, width
      1250 mm, length 20 m
2     Ditto, but opening 1.6 mm,        2      roll
      wire 0.5 mm
"""


def _asked(text: str) -> dict[str, str]:
    asked = mc.read_letter(text).asked
    return dict(zip(asked["field"], asked["why"], strict=True))


@pytest.mark.parametrize(
    ("text", "field", "both"),
    [
        (
            "1) Guards, 10 mm opening, 2.5 mm wire, 304. 6 panels 1100 x 450. JB thinks 6 is short."
            " Agreed: 8.",
            "quantity",
            ("6", "8"),
        ),
        (
            "- net inox 304, hole 3x3 mm, wire 1 mm, one roll large 1 meter long 20 meter",
            "length",
            ("1 meter", "20 meter"),
        ),
        ("we need 10 mesh, wire 0.6 to 0.8 mm, 304, 3 rolls 1 m x 30 m", "wire_diameter", ("0.6",)),
        ("4 or 5 panels 600 x 400 mm, 10 mesh 0.6 mm wire, 304", "quantity", ("4", "5")),
    ],
)
def test_what_competes_is_asked_with_both(text: str, field: str, both: tuple[str, ...]) -> None:
    why = _asked(text).get(field, "")
    assert all(one in why for one in both), why


def test_what_competes_with_nothing_is_not_asked() -> None:
    text = "6 panels 1100 x 450 mm, 10 mm opening, 2.5 mm wire, 304, lock crimp"
    assert "quantity" not in _asked(text)
    assert mc.read_letter(text).values.loc[0, "quantity"] == 6


def test_cells_broken_over_lines_are_one_cell() -> None:
    letter = mc.read_letter(TABLE)
    first, second = letter.values.to_dict("records")
    assert [first["aperture_mm"], first["width_mm"], first["length_mm"]] == [0.8, 1250.0, 20000.0]
    assert [second["aperture_mm"], second["wire_diameter_mm"]] == [1.6, 0.5]
    assert [second["alloy"], second["width_mm"]] == ["316L", 1250.0]
    for start, end, said in letter.evidence[["start", "end", "text"]].itertuples(index=False):
        assert letter.text[int(start) : int(end)] == said


def test_sizes_of_tube_are_none_of_the_cloth() -> None:
    text = "2 panels 900 x 600 mm, 12 mm opening, 2 mm wire, 304, for our frames (25 x 25 x 2 tube)"
    one = mc.read_letter(text).values.iloc[0]
    assert [one["aperture_mm"], one["wire_diameter_mm"]] == [12.0, 2.0]
    assert one["sizes_mm"] == [900.0, 600.0]


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        ("wir brauchen zweiunddreißig Ronden Ø 90 mm aus Gewebe 10 mesh, Draht 0,5 mm", 32),
        ("il nous faut soixante-douze disques Ø 90 mm, toile inox 304, vide 2 mm, fil 1 mm", 72),
        ("necesitamos treinta y dos discos Ø 90 mm de malla inox 304, luz 2 mm, hilo 1 mm", 32),
        ("please quote three pairs of discs 90 mm dia, 10 mesh 0.5 mm wire, 304", 6),
    ],
)
def test_numbers_in_words_are_put_together(text: str, quantity: int) -> None:
    assert mc.read_letter(text).values.loc[0, "quantity"] == quantity


def test_what_nobody_ticked_is_not_asked_for() -> None:
    form = (
        "Material:    [ ] 304   [x] 316   [ ] galvanised\nAperture (mm): 3.0\nWire (mm): 1.0\n"
        "Supplied as: [ ] roll  [x] cut pieces\nSize (W x L): 450 x 300\nNumber: 24\n"
        "Edges: [x] cut  [ ] hemmed\nOther: [ ] perforated plate\n"
    )
    letter = mc.read_letter(form)
    one = letter.values.iloc[0]
    assert [one["alloy"], one["quantity"], one["sizes_mm"]] == ["316", 24, [450.0, 300.0]]
    assert "hemmed" not in one["services"]
    assert len(letter.not_square) == 0


def test_a_roll_and_a_disc_are_keys_of_sizes() -> None:
    form = 'Mesh: 12\nWire: 0.028"\nAlloy: 316\nRoll: 36" x 50\'\nQty: 3\n'
    one = mc.read_letter(form).values.iloc[0]
    assert [one["width_mm"], one["length_mm"], one["quantity"]] == [914.4, 15240.0, 3]


def test_a_french_preposition_before_a_number_is_no_grade() -> None:
    text = "il nous faut 4 panneaux 600 x 400 mm, vide 6 mm, le fil à 2 mm, bords coupés"
    assert mc.read_letter(text).values.loc[0, "alloy"] is None
