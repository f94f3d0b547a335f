"""Two sizes that are written for one, lengths of each or of all, counts with a doubtful sign.

What the letters mean is common practice of the trade, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

import meshcore as mc

CLOTH = "10 mesh, 0.63 mm wire, 304"


def _one(text: str) -> tuple[dict[str, Any], dict[str, str]]:
    letter = mc.read_letter(text)
    assert len(letter.lines) == 1
    asked = dict(zip(letter.asked["field"], letter.asked["why"], strict=True))
    values = letter.values.iloc[0]
    return {str(name): values[name] for name in values.index}, asked


@pytest.mark.parametrize(
    ("text", "field", "both", "kept"),
    [
        (f"3 rolls {CLOTH}, 36/48 in wide, 100 ft.", "width", ("36 in", "48 in"), {"length_mm": 30480}),  # noqa: E501
        (f"3 rolls {CLOTH}, 48/36 in wide, 100 ft.", "width", ("36 in", "48 in"), {"length_mm": 30480}),  # noqa: E501
        (f"3 rolls {CLOTH}, 1200/1220 mm wide, 30 m long", "width", ("1200 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        (f"3 rolls {CLOTH}, 1000 mm/1220 mm wide, 30 m", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        (f"3 rolls {CLOTH}, 1000/1220 mm, 30 m", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        (f"3 rolls {CLOTH}, 1 m x 15/30 m", "length", ("15 m", "30 m"), {"width_mm": 1000}),
        (f"3 rolls {CLOTH}, 1 m wide, 25-30 m long", "length", ("25 m", "30 m"), {"width_mm": 1000, "quantity": 3}),  # noqa: E501
        (f"3 rolls {CLOTH}, 48 in x 100 ft, or 36 in wide", "width", ("48 in", "36 in"), {"length_mm": 30480}),  # noqa: E501
        (f"50 strips 50/60 mm x 10 m, {CLOTH}", "width", ("50 mm", "60 mm"), {"length_mm": 10000}),
        ("3 rolls 10 mesh, 0.5/0.63 mm wire, 304, 1 m x 30 m", "wire_diameter", ("0.5 mm", "0.63 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 rolls 10 mesh, 3/4 mm wire, 304, 1 m x 30 m", "wire_diameter", ("3 mm", "4 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 rolls 2/2.5 mm aperture, 0.63 mm wire, 304, 1 m x 30 m", "aperture", ("2 mm", "2.5 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 Rollen 10 mesh, Draht 0,5/0,63 mm, 1.4301, 1 m x 30 m", "wire_diameter", ("0,5 mm", "0,63 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 Rollen 10 mesh, Draht 0,63 mm, 1.4301, 1000/1220 mm breit, 30 m", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        ("3 rouleaux 10 mesh, fil 0,5/0,63 mm, inox 304, 1 m x 30 m", "wire_diameter", ("0,5 mm", "0,63 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 rouleaux 10 mesh, fil 0,63 mm, inox 304, largeur 1000/1220 mm, longueur 30 m", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        ("3 rollos 10 mesh, alambre 0,5/0,63 mm, 304, 1 m x 30 m", "wire_diameter", ("0,5 mm", "0,63 mm"), {"width_mm": 1000, "length_mm": 30000}),  # noqa: E501
        ("3 rollos 10 mesh, alambre 0,63 mm, 304, 1000/1220 mm de ancho, 30 m", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        ("Mesh | Wire mm | Width mm | Length m | Qty\n10 | 0.63 | 1000/1220 | 30 | 3", "width", ("1000 mm", "1220 mm"), {"length_mm": 30000}),  # noqa: E501
        ("Mesh | Wire mm | Width mm | Length m | Qty\n10 | 0.63 | 1000 | 15/30 | 3", "length", ("15 m", "30 m"), {"width_mm": 1000}),  # noqa: E501
    ],
)  # fmt: skip
def test_two_sizes_for_one_are_asked_with_both(
    text: str, field: str, both: tuple[str, str], kept: dict[str, float]
) -> None:
    values, asked = _one(text)
    assert list(asked) == [field]
    assert all(one in asked[field] for one in both)
    assert {name: values[name] for name in kept} == pytest.approx(kept)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("3 rolls 2/0.5 mm aperture/wire, 304, 1 m x 30 m", {"aperture_mm": 2, "wire_diameter_mm": 0.5, "length_mm": 30000}),  # noqa: E501
        ("3 Rollen Maschenweite/Draht 2/0,5 mm, 1.4301, 1 m x 30 m", {"aperture_mm": 2, "wire_diameter_mm": 0.5, "length_mm": 30000}),  # noqa: E501
        ("3 Rollen Maschenweite 2/0,5 mm, 1.4301, 1 m x 30 m", {"aperture_mm": 2, "wire_diameter_mm": 0.5, "length_mm": 30000}),  # noqa: E501
        ("30 x ring Ø120/60 mm, copper, 30 mesh, wire 0.28 mm", {"sizes_mm": [120, 60]}),
        ("10 Zuschnitte 1000/2000 mm, Maschenweite 2 mm, Draht 0,5 mm, 1.4301", {"sizes_mm": [1000, 2000]}),  # noqa: E501
        ("3 rolls, 1/2 in aperture, .063 in wire, galvanised, 36 in x 100 ft", {"aperture_mm": 12.7, "width_mm": 914.4}),  # noqa: E501
    ],
)  # fmt: skip
def test_two_sizes_of_two_things_stay_so(text: str, meant: dict[str, Any]) -> None:
    values, asked = _one(text)
    assert asked == {}
    for name, value in meant.items():
        assert values[name] == pytest.approx(value)


@pytest.mark.parametrize(
    "text",
    [
        f"3 rolls (75 m) {CLOTH}, 1 m wide",
        f"3 rolls (75 m in total) {CLOTH}, 1 m wide",
        f"3 rolls = 75 m, {CLOTH}, 1 m wide",
        f"75 m in 3 rolls of {CLOTH}, 1 m wide",
        f"{CLOTH}, 1 m wide, 75 m (3 rolls)",
        f"75 m of {CLOTH}, 1 m wide, in 3 rolls",
        "3 Rollen (75 m) 10 mesh, Draht 0,63 mm, 1.4301, 1 m breit",
        "75 m in 3 Rollen, 10 mesh, Draht 0,63 mm, 1.4301, 1 m breit",
        "3 rouleaux (75 m) 10 mesh, fil 0,63 mm, inox 304, 1 m de large",
        "75 m en 3 rouleaux, 10 mesh, fil 0,63 mm, inox 304, 1 m de large",
        "3 rollos (75 m) 10 mesh, alambre 0,63 mm, 304, 1 m de ancho",
        "75 m en 3 rollos, 10 mesh, alambre 0,63 mm, 304, 1 m de ancho",
    ],
)
def test_a_length_of_each_or_of_all_is_asked(text: str) -> None:
    values, asked = _one(text)
    assert list(asked) == ["length"]
    assert "75 m" in asked["length"]
    assert values["quantity"] == 3
    assert values["width_mm"] == 1000


@pytest.mark.parametrize(
    ("text", "length"),
    [
        (f"3 rolls (25 m each) {CLOTH}, 1 m wide", 25000),
        (f"3 rolls (1 m x 25 m) {CLOTH}", 25000),
        (f"3 rolls = 75 m, {CLOTH}, 1 m x 25 m", 25000),
        (f"1 roll (75 m) {CLOTH}, 1 m wide", 75000),
    ],
)
def test_a_length_that_is_plain_is_taken(text: str, length: float) -> None:
    values, asked = _one(text)
    assert asked == {}
    assert values["length_mm"] == length


@pytest.mark.parametrize(
    "text",
    [
        "3 rollos 10 mallas, alambre calibre 16, 304, 1 m x 30 m",
        "3 rolls 10 mesh, wire gauge 16, 304, 1 m x 30 m",
        "3 rouleaux 10 mesh, fil jauge 16, inox 304, 1 m x 30 m",
    ],
)
def test_a_gauge_named_before_its_number_is_asked(text: str) -> None:
    values, asked = _one(text)
    assert "which gauge" in asked["wire_diameter"]
    assert values["wire_diameter_mm"] is None


@pytest.mark.parametrize(
    ("text", "quantity"),
    [
        (f"1.000 rolls {CLOTH}, 1 m x 30 m", None),
        ("1.000 Ronden 90 mm, 10 mesh, Draht 0,63 mm, 1.4301", 1000),
        (f"1,000 discs 90 mm, {CLOTH}", 1000),
        ("1,000 discs 90 mm, 10 mesh, 0,63 mm wire, 304", None),
    ],
)
def test_a_count_whose_sign_may_part_decimals_is_asked(text: str, quantity: int | None) -> None:
    values, asked = _one(text)
    assert values["quantity"] == quantity
    assert (asked.get("quantity", "") == "") == (quantity is not None)
    assert quantity is not None or "1 or 1000" in asked["quantity"]
