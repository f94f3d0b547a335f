"""Totals beside their parts: held against them, or giving the length of each."""

from __future__ import annotations

import pandas as pd
import pytest

from meshcore.estimates.pipeline import estimate_list

LINE = {"aperture": "3 mm", "wire_diameter": "1 mm", "alloy": "304", "form": "roll",
        "width": "1 m"}  # fmt: skip


@pytest.mark.parametrize(
    "text",
    ["3 rolls, 90 m in all", "3 rolls @ 30 m = 90 m", "3 Rollen, insgesamt 90 m",
     "3 rouleaux soit 90 m", "3 rollos, en total 90 m", "3 x 30 m (90 m total)"],
)  # fmt: skip
def test_a_total_that_is_that_of_its_parts_is_read(text: str) -> None:
    row = estimate_list(pd.DataFrame([LINE | {"quantity": text}])).table.iloc[0]
    assert row["status"] != "refused"
    assert row["net_area_m2"] == pytest.approx(90.0)


@pytest.mark.parametrize("text", ["3 rolls @ 30 m = 60 m", "3 x 30 m (60 m total)"])
def test_a_total_that_contradicts_its_parts_is_asked(text: str) -> None:
    estimates = estimate_list(pd.DataFrame([LINE | {"quantity": text}]))
    assert "quantity.total_differs" in {m.code for m in estimates[0].messages}
    assert estimates.table["status"].tolist() == ["refused"]
