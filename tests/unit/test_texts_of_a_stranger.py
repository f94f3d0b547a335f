"""Texts that were once read as something else, or in silence, or refused though one is meant.

Written from the trade's habits (common practice, no source), and apart from the reader.
"""

from __future__ import annotations

import pytest

from meshcore.alloys.comparison.conditions import Conditions
from meshcore.alloys.comparison.reading_conditions import read_conditions
from meshcore.messages import Message
from meshcore.reading.texts import Reading, read_text
from meshcore.supply.shapes.texts import Shape, read_shape
from meshcore.units import Kind

_HALVES = {
    "one half inch": 12.7,
    "one-half inch": 12.7,
    "a half inch": 12.7,
    "ein halber Zoll": 12.7,
    "one quarter inch": 6.35,
    "one quarter of an inch": 6.35,
    "three quarter inch": 19.05,
    "three-quarter inch": 19.05,
    "one half metre": 500.0,
    "ein halber Meter": 500.0,
    "un demi-mètre": 500.0,
    "one half yard": 457.2,
    "one and a half inch": 38.1,
    "two and a half metres": 2500.0,
}


def _read(text: str, kind: Kind, field: str) -> Reading:
    read = read_text(text, kind, field)
    assert isinstance(read, Reading), read
    return read


@pytest.mark.parametrize(("text", "mm"), _HALVES.items())
def test_parts_in_words_are_parts(text: str, mm: float) -> None:
    assert _read(text, "length", "size").value == pytest.approx(mm * 1e-3)


def test_half_a_dozen_is_six() -> None:
    for text in ("one half dozen", "half a dozen", "ein halbes Dutzend"):
        assert _read(text, "number", "quantity").value == 6.0
    assert isinstance(read_text("two half dozen", "number", "quantity"), Message)


@pytest.mark.parametrize(
    "text",
    [
        "200 mm disc, 300 mm square",
        "300 mm square, 200 mm disc",
        "200 mm disc, 100 mm",
        "200 mm round, 300 mm long",
        "200 mm half disc, 300 mm",
    ],
)
def test_two_shapes_in_one_cell_are_no_rectangle(text: str) -> None:
    assert isinstance(read_shape("", text), Message)


def test_one_shape_beside_its_sizes_is_read() -> None:
    for text in ("300 mm square", "sheet 300 x 300 mm", "300 x 300 mm panel"):
        read = read_shape("", text)
        assert isinstance(read, Shape), read
        assert read.area_m2 == pytest.approx(0.09)


def test_a_gauge_and_a_rounded_size_say_which_is_taken() -> None:
    read = _read("0.5 mm (24 AWG)", "length", "wire_diameter")
    assert read.said is not None
    assert read.said.code == "wire.gauge_taken"
    assert _read("16 SWG (1.63 mm)", "length", "wire_diameter").said is None


def test_wire_of_two_sizes_is_asked() -> None:
    read = read_text("1.6 x 1.6 mm", "length", "wire_diameter")
    assert isinstance(read, Message)
    assert read.code == "wire.two_sizes"


_CONDITIONS = [
    ("temperature", "max. 1050 °C", 1050.0, "size.limit_taken"),
    ("temperature", "jusqu'à 1050 °C", 1050.0, "size.limit_taken"),
    ("temperature", "ca. 1050 °C", 1050.0, "size.about_taken"),
    ("chloride", "1,000 mg/l", 1000.0, "size.separator_taken"),
    ("chloride", "200 µg/l", 0.2, ""),
    ("distance_to_sea", "2,000 ft", 609.6, "size.separator_taken"),
    ("ph", "pH 7", 7.0, ""),
    ("ph", "pH=7.2", 7.2, ""),
    ("hours", "10,000 h", 10_000.0, "size.separator_taken"),
    ("hours", "8.000 h", 8000.0, "size.separator_taken"),
    ("hours", "8000 Std.", 8000.0, ""),
    ("hours", "8000 heures", 8000.0, ""),
    ("hours", "8000 horas", 8000.0, ""),
]
_TARGETS = {"temperature": "temperature_c", "chloride": "chloride_mg_l",
            "distance_to_sea": "distance_to_sea_m"}  # fmt: skip


@pytest.mark.parametrize(("field", "text", "value", "code"), _CONDITIONS)
def test_conditions_are_read_and_what_is_taken_is_said(
    field: str, text: str, value: float, code: str
) -> None:
    read = read_conditions({"environment": "coastal", field: text})
    assert isinstance(read, Conditions), read
    assert getattr(read, _TARGETS.get(field, field)) == pytest.approx(value)
    assert [m.code for m in read.said] == ([code] if code else [])


@pytest.mark.parametrize(
    ("field", "text"),
    [("temperature", "900-1050 °C"), ("chloride", "100-200 mg/l"), ("distance_to_sea", "1-2 km"),
     ("temperature", "900 bis 1050 °C")],
)  # fmt: skip
def test_a_range_is_called_one(field: str, text: str) -> None:
    read = read_conditions({field: text})
    assert not isinstance(read, Conditions)
    assert [m.code for m in read if m.field == field] == ["size.range"]
