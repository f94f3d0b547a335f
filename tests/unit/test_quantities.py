from __future__ import annotations

import math
from typing import get_args

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.messages import Message, MessageLog
from meshcore.reading.columns import read_column
from meshcore.reading.texts import POINT, Reading, read_text
from meshcore.units import Kind, unit_registry

INCH = 0.0254


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("0.025 in", 0.025 * INCH),
        ('3/4"', 0.75 * INCH),
        ("1-1/2 in", 1.5 * INCH),
        ("1 1/2 inches", 1.5 * INCH),
        ("1½ in", 1.5 * INCH),
        ("0,635 mm", 0.635e-3),
        (".025 in", 0.025 * INCH),
        (",5 mm", 0.5e-3),
        ("25 µm", 25e-6),
        ("25 μm", 25e-6),
        ("25 um", 25e-6),
        ("25 micron", 25e-6),
        ("25µm", 25e-6),
        ("2.5 mm sq", 2.5e-3),
        ("２．５　ｍｍ", 2.5e-3),
        ("  100   ft ", 30.48),
        ("100'", 30.48),
        ("4' 6\"", 54 * INCH),
        ("4 ft 6 in", 54 * INCH),
        ("1,234.5 mm", 1.2345),
        ("1.234,5 mm", 1.2345),
        ("25 thou", 0.025 * INCH),
        ("1e-3 m", 1e-3),
        ("10 METRES", 10.0),
        ("0.63mm dia", 0.63e-3),
    ],
)
def test_lengths_as_people_type_them(text: str, metres: float) -> None:
    reading = read_text(text, "length", "size")
    assert isinstance(reading, Reading), reading
    assert reading.value == pytest.approx(metres, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "per_metre"),
    [
        ("10 / in", 10 / INCH),
        ("10/in", 10 / INCH),
        ("10 mesh", 10 / INCH),
        ("10x10", 10 / INCH),
        ("10 x 10 mesh", 10 / INCH),
        ("10 × 10", 10 / INCH),
        ("4 per cm", 400.0),
        ("4 / cm", 400.0),
        ("10 per inch", 10 / INCH),
        ("2.5 mesh", 2.5 / INCH),
    ],
)
def test_counts_as_people_type_them(text: str, per_metre: float) -> None:
    reading = read_text(text, "count", "mesh_count")
    assert isinstance(reading, Reading), reading
    assert reading.value == pytest.approx(per_metre, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("0.635", "length", 'Write "0.635 mm" or "0.635 in"'),
        ("10", "count", 'Write "10 / in" or "10 / cm"'),
        ("10x12", "count", "not square mesh"),
        ("1,2,3 x 4", "count", "not a mesh count"),
        ("10 kg", "length", '"kg" is no unit of length'),
        ("fine", "length", "not a length"),
        ("3/0 in", "length", "fraction over zero"),
        ("1,234 mm", "length", "1.234 mm or 1,234 mm"),
        ("10 20 mm", "length", "two sizes, 10 mm and 20 mm"),
        ("1e999 mm", "length", "not a length"),
        ("several", "number", "not a number"),
    ],
)
def test_refusals_say_what_would_mend_them(text: str, kind: Kind, says: str) -> None:
    refusal = read_text(text, kind, "some_field")
    assert isinstance(refusal, Message)
    assert refusal.read == text
    assert refusal.field == "some_field"
    assert says in refusal.text


@pytest.mark.parametrize(
    "text", ["0.38 x 0.25 mm", "0.63 mm x 0.56 mm", "0.025/0.028 in", "1mm by 2mm"]
)
def test_two_wires_are_not_square_mesh(text: str) -> None:
    refusal = read_text(text, "length", "wire_diameter")
    assert isinstance(refusal, Message)
    assert "not square mesh" in refusal.text


@pytest.mark.parametrize("text", ["2 x 2 mm", "2x2mm", "2 mm x 2 mm", "2mm × 2mm"])
def test_one_size_written_twice_is_one(text: str) -> None:
    same = read_text(text, "length", "aperture")
    assert isinstance(same, Reading)
    assert same.value == pytest.approx(2e-3, rel=1e-14)


@pytest.mark.parametrize(
    ("text", "count"),
    [("3", 3), ("two", 2), ("1 doz", 12), ("2 dozen", 24), ("3 rolls", 3), ("10 off", 10),
     ("12 pcs", 12), ("1,000,000", 1e6)],
)  # fmt: skip
def test_quantities_in_words(text: str, count: float) -> None:
    reading = read_text(text, "number", "quantity")
    assert isinstance(reading, Reading), reading
    assert reading.value == count


@pytest.mark.parametrize(
    ("text", "half_width_m"),
    [("0.075 mm", 0.0005e-3), ("0.5 mm", 0.05e-3), ("10 mm", 0.5e-3), ("1/2 in", 0.0)],
)
def test_rounding_of_what_was_typed(text: str, half_width_m: float) -> None:
    reading = read_text(text, "length", "aperture")
    assert isinstance(reading, Reading)
    assert reading.half_width == pytest.approx(half_width_m, rel=1e-12)


@given(st.text(max_size=20), st.sampled_from(get_args(Kind)))
def test_no_text_raises(text: str, kind: Kind) -> None:
    answer = read_text(text, kind, "field")
    assert isinstance(answer, Reading | Message)
    if isinstance(answer, Reading):
        assert math.isfinite(answer.value)


@given(st.floats(1e-6, 1e3), st.sampled_from(["mm", "in", "ft", "µm", "cm", "m", "thou"]))
def test_every_number_reads_back(value: float, unit: str) -> None:
    reading = read_text(f"{value!r} {unit}", "length", "size", hints=POINT)
    assert isinstance(reading, Reading)
    name = {"in": "inch", "ft": "foot", "thou": "thou", "µm": "micrometer"}.get(unit, unit)
    expected = unit_registry().Quantity(value, name).to("m").magnitude
    assert reading.value == pytest.approx(expected, rel=1e-13)


def test_column_reads_text_numbers_and_blanks() -> None:
    log = MessageLog(5)
    cells = pd.Series(["0.025 in", "", None, "nonsense", 0.5], dtype=object)
    column = read_column(cells, "length", "wire_diameter", log, "mm")
    assert column.given.tolist() == [True, False, False, True, True]
    np.testing.assert_allclose(column.values[[0, 4]], [0.635e-3, 0.5e-3])
    assert np.isnan(column.values[[1, 2, 3]]).all()
    assert log.status().tolist() == ["ok", "ok", "ok", "refused", "ok"]


def test_column_of_bare_numbers_takes_the_headings_unit() -> None:
    log = MessageLog(2)
    column = read_column(pd.Series([1.0, np.nan]), "length", "aperture", log, "in")
    assert column.values[0] == INCH
    assert column.given.tolist() == [True, False]


def test_bare_numbers_without_a_unit_are_refused_not_guessed() -> None:
    log = MessageLog(1)
    read_column(pd.Series([0.635]), "length", "wire_diameter", log)
    assert log.status().tolist() == ["refused"]


def test_pint_quantities_keep_every_digit() -> None:
    third = unit_registry().Quantity(1 / 3, "inch")
    column = read_column([third], "length", "aperture", MessageLog(1))
    assert column.values[0] == (1 / 3) * INCH
