"""The columns of the price book's grids, as they were looked at: kept in ``tests/golden``."""

from __future__ import annotations

import json

import pytest
from currencies import kept
from streamlit.testing.v1 import AppTest
from test_page_price_book import _book_page

from meshcore.demo import DEMO_VARIABLE


def test_the_columns_are_as_they_were_looked_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(DEMO_VARIABLE, "1")
    page = AppTest.from_function(_book_page, default_timeout=60).run()
    assert not page.exception
    grids = {
        str(grid.key).rpartition("_")[0]: json.loads(grid.proto.columns)
        for grid in page.data_editor
    }
    assert len(grids) >= 2
    for column in (column for grid in grids.values() for column in grid.values()):
        # What may be chosen is the alloys' and the currencies' own affair.
        column.get("type_config", {}).pop("options", None)
    text = json.dumps(grids, indent=1, sort_keys=True, ensure_ascii=False) + "\n"
    assert text.splitlines() == kept("grids", "price-book", text).splitlines()
