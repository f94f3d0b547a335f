"""Gauges are read as people type them, and nothing typed makes an exception."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from meshcore.messages import Message
from meshcore.reading.sizes.gauge_texts import read_gauge
from meshcore.reading.sizes.gauges import GAUGES, designation, r20_sizes
from meshcore.reading.texts import read_text

INCH = 0.0254


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("16 SWG", 0.064),
        ("16 swg.", 0.064),
        ("SWG 16", 0.064),
        ("16SWG", 0.064),
        ("SWG-16", 0.064),
        ("16-SWG", 0.064),
        ("16 S.W.G.", 0.064),
        ("no. 16 swg wire", 0.064),
        ("16 imperial standard wire gauge", 0.064),
        ("sixteen SWG", 0.064),
        ("twenty-two SWG", 0.028),
        ("16 steel wire gauge", 0.0625),
        ("steel wire ga. 16", 0.0625),
        ("#16 BWG", 0.065),
        ("16 ga Birmingham", 0.065),
        ("00 SWG", 0.348),
        ("2/0 SWG", 0.348),
        ("0 SWG", 0.324),
        ("0000 AWG", 0.46),
        ("36 AWG", 0.005),
    ],
)
def test_gauge_as_typed(text: str, inches: float) -> None:
    assert read_gauge(text, "wire_diameter") == pytest.approx(inches * INCH, rel=1e-12)


def test_awg_words_and_order() -> None:
    spellings = ["28 ga AWG", "AWG 28", "28 AWG", "28 a.w.g.", "No. 28 American wire gage"]
    assert len({read_gauge(text, "wire_diameter") for text in spellings}) == 1


@pytest.mark.parametrize(
    "text", ["16 gauge", "16 ga", "16ga.", "no. 16 gauge", "sixteen gauge", "#16", "16 g", "16 gge"]
)
def test_bare_gauge_is_refused_with_what_it_could_mean(text: str) -> None:
    answer = read_gauge(text, "wire_diameter")
    assert isinstance(answer, Message)
    assert answer.field == "wire_diameter"
    assert answer.read == text
    assert answer.text == (
        "a gauge number without its system: 1.291 mm (American), 1.626 mm (imperial), "
        "1.588 mm (steel wire), 1.651 mm (Birmingham). "
        'Write "16 SWG", or the size in mm or in.'
    )


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("60 SWG", "runs from 7/0 to 50"),
        ("8/0 BWG", "runs from 5/0 to 36"),
        ("16 AWG/SWG", "two gauge systems at once"),
        ("16/18 SWG", "two gauges are not square mesh"),
        ("16 x 18 AWG", "two gauges are not square mesh"),
        ("16.5 SWG", "not read as a gauge"),
        ("AWG", "not read as a gauge"),
        ("-3 SWG", "not read as a gauge"),
        ("70 ga", "no system has"),
    ],
)
def test_what_is_no_gauge_size_is_refused(text: str, part: str) -> None:
    answer = read_gauge(text, "wire_diameter")
    assert isinstance(answer, Message)
    assert part in answer.text


@pytest.mark.parametrize(
    "text", ["0.025 in", "3/4 in", "2.5 mm sq", "25 µm", "100 ft", "10 mesh", "", "304", "48 x 100"]
)
def test_plain_sizes_are_left_to_others(text: str) -> None:
    assert read_gauge(text, "wire_diameter") is None


@given(st.sampled_from(GAUGES), st.data())
def test_every_size_reads_back(gauge: object, data: st.DataObject) -> None:
    assert isinstance(gauge, type(GAUGES[0]))
    number = data.draw(st.sampled_from(sorted(gauge.diameters_m)))
    assert read_gauge(f"{designation(number)} {gauge.suffix}", "w") == gauge.diameters_m[number]


@given(st.text(max_size=30))
def test_no_text_raises(text: str) -> None:
    answer = read_gauge(text, "wire_diameter")
    assert answer is None or isinstance(answer, (float, Message))


@given(
    st.sampled_from(["ga", "SWG", "awg", "#", "gauge", "steel wire gauge", "bwg", "no."]),
    st.text(alphabet="0123456789/ .-#gax", max_size=12),
)
def test_no_near_gauge_raises(word: str, rest: str) -> None:
    for text in (f"{rest}{word}", f"{word} {rest}"):
        answer = read_gauge(text, "wire_diameter")
        assert answer is None or isinstance(answer, (float, Message))


def test_larger_numbers_are_finer_wires() -> None:
    for gauge in GAUGES:
        numbers = sorted(gauge.diameters_m)
        sizes = [gauge.diameters_m[n] for n in numbers]
        assert numbers == list(range(numbers[0], numbers[-1] + 1)), gauge.name
        assert sizes == sorted(set(sizes), reverse=True), gauge.name


def test_lengths_accept_gauges() -> None:
    reading = read_text("16 SWG", "length", "wire_diameter")
    assert not isinstance(reading, Message)
    assert reading.value == pytest.approx(1.6256e-3, rel=1e-12)
    assert reading.half_width == 0.0


def test_preferred_sizes_span_decades() -> None:
    sizes = r20_sizes(20e-6, 125e-3)
    assert sizes[0] == pytest.approx(20e-6)
    assert sizes[-1] == pytest.approx(125e-3)
    assert len(sizes) == 77, "20 a decade from 20 µm to 100 mm, and 112 and 125 mm"
    steps = sizes[1:] / sizes[:-1]
    assert np.all((steps > 1.10) & (steps < 1.145))
    with pytest.raises(ValueError, match="least_m"):
        r20_sizes(2e-3, 1e-3)
