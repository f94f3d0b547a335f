"""Windows by which a reading is chosen: of two readings of one text, one alone is usual."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

from meshcore.enquiry import FORMS
from meshcore.reading.numbers.plausible import WINDOWS, is_possible, is_usual, window
from meshcore.reading.sizes.gauges import GAUGE_SIZES_M
from meshcore.units import METRES_PER_INCH
from meshcore.weave.specification.series import customary


@pytest.mark.parametrize("name", list(WINDOWS))
def test_the_usual_lies_within_the_possible_and_both_have_a_reason(name: str) -> None:
    found = WINDOWS[name]
    assert found.possible[0] <= found.usual[0] < found.usual[1] <= found.possible[1]
    assert found.reason
    assert found.origin
    field, _, form = name.partition(", ")
    assert not form or form in FORMS
    assert window(field, form) is found


@pytest.mark.parametrize(
    ("field", "form", "decimal", "thousands", "digit", "meant"),
    [
        ("width", "roll", 1.22e-3, 1.220, 1e-6, "thousands"),
        ("width", "roll", 1.22, 1220.0, 1e-3, "decimal"),
        ("length", "roll", 30.5, 30_500.0, 1e-3, "decimal"),
        ("dimensions", "piece", 1.2e-3, 1.200, 1e-6, "thousands"),
        ("temperature_c", "", 1.05, 1050.0, 1e-3, "thousands"),
        ("chloride_mg_l", "", 19.4, 19_400.0, 1e-3, "thousands"),
        ("distance_to_sea_m", "", 1.0, 1000.0, 1e-3, "thousands"),
        ("wire_diameter", "", 1.6e-3, 1.6, 1e-6, "decimal"),
        ("aperture", "", 1.18e-3, 1.18, 1e-6, "decimal"),
    ],
)
def test_one_of_two_readings_alone_is_usual(
    field: str, form: str, decimal: float, thousands: float, digit: float, meant: str
) -> None:
    """A roll is not 1.22 mm wide, nor metal 1.05 °C hot, nor a distance stated to the mm."""
    assert is_usual(field, decimal, digit, form) == (meant == "decimal")
    assert is_usual(field, thousands, 1e3 * digit, form) == (meant == "thousands")


def test_a_thousand_rolls_are_asked_pieces_may_be_either() -> None:
    assert is_usual("quantity", 1.0, 1.0, "roll")
    assert not is_usual("quantity", 1000.0, 1.0, "roll")
    assert is_usual("quantity", 1000.0, 1.0, "piece")
    assert not is_usual("quantity", 1.0, 1e-3, "piece")


def test_the_customary_series_and_the_gauges_of_cloth_are_usual() -> None:
    """ASTM E2016 series and wire gauges from 0.016 mm to 12 mm (from memory)."""
    wires, pitches = customary()
    for wire, pitch in zip(wires, pitches, strict=True):
        assert is_usual("wire_diameter", wire)
        assert is_usual("pitch", pitch)
        assert is_usual("mesh_count", 1.0 / pitch)
        assert is_usual("aperture", pitch - wire)
        assert is_usual("open_area", ((pitch - wire) / pitch) ** 2)
    gauges = GAUGE_SIZES_M[(GAUGE_SIZES_M >= 0.016e-3) & (GAUGE_SIZES_M <= 0.5 * METRES_PER_INCH)]
    assert all(is_usual("wire_diameter", size) for size in gauges)


def test_a_field_without_a_window_chooses_nothing() -> None:
    assert is_usual("note", np.inf)
    assert is_possible("note", -1.0)


def test_possible_is_wider_than_usual() -> None:
    assert is_possible("width", 5.0, "roll")
    assert not is_usual("width", 5.0, 0.0, "roll")
    assert not is_possible("length", 2000.0, "roll")
    assert pd.notna(WINDOWS["length, roll"].possible[1])
