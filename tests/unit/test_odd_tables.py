"""Odd cells, headings and files: each is refused or kept, and none raises."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.messages import Message, MessageLog
from meshcore.quantities import Reading, read_column, read_text

LINE = {
    "mesh_count": "10 / in",
    "wire_diameter": "0.025 in",
    "alloy": "304",
    "form": "roll",
    "width": "48 in",
    "length": "100 ft",
    "quantity": "2",
}


@pytest.mark.parametrize(
    "text",
    [
        "0e999 mm",
        "0e" + "9" * 90 + " mm",
        "0e" + "9" * 5000 + " mm",
        "9" * 400 + "/1 in",
        "1/" + "9" * 5000 + " in",
        "9" * 400 + " ft",
        "9" * 400 + " ft 6 in",
        "9" * 90 + "/1 in",
        "1e7 m",
        "10² mm",
        "10₂ mm",
    ],
)
def test_sizes_beyond_reason_are_refused(text: str) -> None:
    refusal = read_text(text, "length", "width")
    assert isinstance(refusal, Message)
    assert refusal.field == "width"
    assert len(refusal.read) <= 100


def test_vulgar_fractions_keep_apart_from_the_whole() -> None:
    reading = read_text("1⅛ in", "length", "width")
    assert isinstance(reading, Reading)
    assert reading.value == pytest.approx(1.125 * 0.0254, rel=1e-14)


def test_numbers_that_are_not_finite_are_refused_in_a_column_of_numbers() -> None:
    log = MessageLog(4)
    column = read_column(pd.Series([2.0, np.inf, np.nan, 2e9]), "number", "quantity", log)
    assert log.status().tolist() == ["ok", "refused", "ok", "refused"]
    assert column.given.tolist() == [True, True, False, True]
    assert np.isnan(column.values).tolist() == [False, True, True, True]


def test_whole_numbers_too_wide_to_print_are_refused() -> None:
    table = mc.estimate_table(pd.DataFrame([LINE | {"quantity": 10**5000}], dtype=object))
    assert table["status"].tolist() == ["refused"]
    assert "quantity" in table["messages"][0]
