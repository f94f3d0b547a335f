"""Headings as callers write them, each with the column that it stands for, and its unit.

Written from the trade's habits (common practice, no source). A count along a length is no size in
that unit; what may mean two things, such as a running metre of each roll or of all, is left unread.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

import meshcore as mc
from meshcore.reading.tables.headings import heading_meaning, meanings_beside

_FILE = Path(__file__).parents[1] / "data" / "reading" / "callers" / "headings.csv"
with _FILE.open(encoding="utf-8", newline="") as _file:
    _ROWS = [tuple(row.values()) for row in csv.DictReader(_file)]


@pytest.mark.parametrize(("heading", "column", "unit"), _ROWS)
def test_a_heading_stands_for_its_column(heading: str, column: str, unit: str) -> None:
    assert heading_meaning(heading) == (column, unit)


def test_a_bare_diameter_is_what_no_other_heading_is() -> None:
    assert meanings_beside(["Mesh", "Ø mm"])[1] == ("wire_diameter", "mm")
    assert meanings_beside(["Mesh", "Wire", "Shape", "Ø mm"])[3] == ("outer_diameter", "mm")
    assert meanings_beside(["Mesh", "Wire", "Ø mm"])[2] == ("", "")


def test_a_count_to_the_centimetre_is_priced_as_one() -> None:
    """One mesh to the centimetre of 2.5 mm wire leaves 7.5 mm."""
    text = "Masche/cm;Draht mm;Alloy;Weave;Width m;Length m;Rolls\n1;2.5;304;double crimp;1;30;2\n"
    table = mc.read_list(io.BytesIO(text.encode()), suffix=".csv")
    assert mc.estimate_list(table, mc.demo_price_book()).table["aperture_mm"].tolist() == [7.5]


def test_a_gauge_of_no_system_is_asked_with_its_systems() -> None:
    text = "Mesh;Gauge;Alloy;Width in;Length ft;Rolls\n8;16;304;48;100;2\n"
    table = mc.read_list(io.BytesIO(text.encode()), suffix=".csv")
    said = mc.estimate_list(table, mc.demo_price_book())[0].messages
    assert "wire.gauge_ambiguous" in [message.code for message in said]
