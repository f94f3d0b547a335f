"""Orders of one line, as they are typed in a hurry: what each states, by our own reading of it."""

from __future__ import annotations

from typing import Any

import pytest

import meshcore as mc

ORDERS: list[tuple[str, dict[str, Any]]] = [
    ("10 Streifen 50 x 2000 mm, 60 mesh x 0,16 mm, VA",
     {"form": "strip", "width_mm": 50.0, "length_mm": 2000.0, "quantity": 10}),
    ("Draht 0,25, Messing, Rollenbreite 1000, 1 Rolle zu 15 lfm",
     {"quantity": 1, "length_mm": 15000.0}),
    ("2 rouleaux (larg. 1,20 m, long. 30 m) maille 2 mm fil 0,8 inox 304L",
     {"width_mm": 1200.0, "length_mm": 30000.0, "wire_diameter_mm": 0.8}),
    ("Gesucht: 1 Stk Edelstahlgewebe 2 x 3 m, Maschenweite 1 cm, Draht 2 mm",
     {"sizes_mm": [2000.0, 3000.0], "aperture_mm": 10.0}),
    ("60 Ringe 120/80 mm, MW 0,5 D 0,25, 1.4404",
     {"shape": "ring", "sizes_mm": [120.0, 80.0], "alloy": "316L", "quantity": 60}),
    ("quote 3 rolls, 1220mm x 30.5m, 18 x 18 mesh x 0.23mm, 316",
     {"mesh_count_per_in": 18.0, "wire_diameter_mm": 0.23, "quantity": 3}),
    ("2 x 1m x 30m 12 mesh .6mm 304",
     {"quantity": 2, "form": "roll", "width_mm": 1000.0, "length_mm": 30000.0}),
    ("30M 316L .0095\" 48\" wide - 2 x 100ft rolls",
     {"quantity": 2, "width_mm": 1219.2, "length_mm": 30480.0}),
    ("4 rouleaux de 25 m x 1 m, toile 20 mesh fil 0,4, inox 316",
     {"width_mm": 1000.0, "length_mm": 25000.0, "quantity": 4}),
    ("6 discos de 45 cm de diámetro, malla de 2 mm de luz y 0,8 de hilo, acero inoxidable 304",
     {"shape": "disc", "sizes_mm": [450.0], "aperture_mm": 2.0, "wire_diameter_mm": 0.8}),
]  # fmt: skip


@pytest.mark.parametrize(("said", "stated"), ORDERS, ids=[said[:30] for said, _ in ORDERS])
def test_an_order_of_one_line_is_read(said: str, stated: dict[str, Any]) -> None:
    values = mc.read_letter(said + "\n").values.to_dict("records")
    assert len(values) == 1
    for name, value in stated.items():
        read = values[0][name]
        assert read == (pytest.approx(value) if isinstance(value, float) else value), name


def test_the_first_of_two_crossed_sizes_may_be_the_length() -> None:
    values = mc.read_letter(
        "20 side strips, 2.4 m x 150 mm, 5 mm pitch, 1.25 mm wire, 304\n"
    ).values
    assert values[["width_mm", "length_mm"]].to_numpy().tolist() == [[150.0, 2400.0]]


def test_answers_between_quoted_lines_speak_of_the_line_above_them() -> None:
    letter = mc.read_letter(
        "> 1) 20 mesh 0.45 mm 304, 1000 mm x 30 m, 2 rolls\nWe would take 4 rolls.\n\n"
        "> 2) 40 mesh 0.25 mm 304, 1000 mm x 30 m, 1 roll\nPlease offer this in 316 instead.\n\n"
        "> 3) 60 mesh 0.16 mm 304, 1000 mm x 30 m, 1 roll\nNot needed any more.\n"
    )
    assert letter.values[["quantity", "alloy"]].to_numpy().tolist() == [[4, "304"], [1, "316"]]


def test_a_question_to_the_mill_orders_nothing() -> None:
    letter = mc.read_letter(
        "1. 2 rolls 30 mesh 0.3 mm wire 316, 1 m x 30 m\n\nAlso what is your MOQ on 200 mesh?\n"
    )
    assert letter.values["mesh_count_per_in"].tolist() == [30.0]
    assert "200 mesh" in " ".join(letter.unread["text"])
