"""A count in a piece's text is the quantity, or is asked about where the quantity differs."""

from __future__ import annotations

import pandas as pd
import pytest

import meshcore as mc

COUNTED = {
    "Ø200 mm x 4 off": 4, "2 discs 200 mm": 2, "600x400 mm, 5 off": 5, "4 off Ø200": 4,
    "disc 200 mm (4 pcs)": 4, "4 x Ø200": 4,
}  # fmt: skip


def priced(text: str, quantity: str) -> mc.Estimate:
    line = {"aperture": "3 mm", "wire_diameter": "1 mm", "alloy": "304", "form": "piece"}
    table = pd.DataFrame([line | {"dimensions": text, "quantity": quantity}])
    return mc.estimate_list(table)[0]


@pytest.mark.parametrize(("text", "count"), COUNTED.items())
def test_a_count_fills_a_blank_quantity_and_says_so(text: str, count: int) -> None:
    one = priced(text, "")
    assert one.price == priced(text, str(count)).price
    assert one.estimates.orders.quantity[0] == count
    assert "size.stated_elsewhere" in {m.code for m in one.messages}


@pytest.mark.parametrize(("text", "count"), COUNTED.items())
def test_another_quantity_is_asked_about(text: str, count: int) -> None:
    one = priced(text, "10")
    assert one.status == "refused"
    said = next(m for m in one.messages if m.field == "quantity")
    assert said.read == "10"
    assert f"{count:g} stands for it" in said.text


@pytest.mark.parametrize("text", ["500x300 r10", "R500 r300 60°", "100 AF", "ring 300/200"])
def test_sizes_are_no_count(text: str) -> None:
    assert priced(text, "10").status == "ok"
