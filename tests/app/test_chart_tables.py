"""Each chart has its numbers as a table."""

from __future__ import annotations

import numpy as np
import pandas as pd
import pytest
from app_fixtures import shown as page_shows
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

import meshcore as mc
from meshcore.costing.price_bins import price_bins
from meshcore.costing.ranges import BudgetRange
from meshcore.demo import DEMO_VARIABLE
from meshcore_estimator.__main__ import SCRIPT

LINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 3}  # fmt: skip


def test_the_steps_hold_every_draw_and_span_all_prices() -> None:
    prices = np.array([1.0, 2.0, 2.5, 4.0, 5.0])
    spread = BudgetRange(prices, 1.0, 2.5, 5.0, 2.9, 2.5, "EUR", (), 0)
    found = price_bins(spread, 4)
    # By hand: [1, 2) holds 1; [2, 3) holds 2 and 2.5; [3, 4) none; [4, 5] holds 4 and 5.
    assert found["draws"].tolist() == [1, 2, 0, 2]
    assert found["price_from"].tolist() == [1.0, 2.0, 3.0, 4.0]
    assert found["price_to"].iloc[-1] == 5.0


def test_the_range_and_the_curve_have_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    app = AppTest.from_file(SCRIPT, default_timeout=60)
    app._page_hash = calc_hash("reasons")
    page_shows(app.run())
    assert not app.exception
    boxes = {
        box.label: " ".join(str(getattr(h, "value", "")) for h in box.get("html"))
        for box in app.expander
    }
    curve = mc.quantity_curve(mc.estimate_list(pd.DataFrame([LINE]), mc.demo_price_book()), 0)
    told = boxes[f"All {len(curve)} quantities as a table"]
    assert f"{curve['price'].iloc[0]:,.2f}" in told
    assert told.count("<tr") == len(curve) + 1
    assert boxes["Draws as a table"].count("<tr") == 11
