"""Cells of tens of thousands of letters are refused at once, and no message repeats them."""

from __future__ import annotations

import time

import pandas as pd
import pytest

import meshcore as mc
from meshcore.messages import MOST_READ, MOST_TEXT, Message

LINE = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": 3}  # fmt: skip
ENDLESS = "1 2 mesh wire 0.5 mm 304, no weld " * 1200
#: Processor time that one such line may take [s]; shapes took five minutes.
MOST_SECONDS = 6.0


@pytest.mark.parametrize("name", ["shape", "dimensions", "description", "services", "note", "form"])
def test_an_endless_cell_is_bounded(name: str) -> None:
    start = time.process_time()
    said = mc.estimate_list(pd.DataFrame([LINE | {name: ENDLESS}]))[0].messages
    assert time.process_time() - start < MOST_SECONDS
    assert said
    assert len(said) < 20
    assert all(len(m.read) <= MOST_READ + 1 and len(m.text) <= MOST_TEXT + 3 for m in said)


def test_what_mends_an_endless_text_stays() -> None:
    said = Message("note", "", f"names {'x' * 5000}. Write it in its own column.")
    assert said.text.endswith("Write it in its own column.")
    assert len(said.text) <= MOST_TEXT + 3
