"""An explanation says how strips and pieces lie, so that a clerk can redo the run of a line.

The figures are redone here from the policy's own: trims, kerf, spacing and stock widths (the
demonstration mill's). Interlocking halves of a rectangle are plane geometry.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date

import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.book.price_book import Rate
from meshcore.demo import demo_supply_policy

POLICY = demo_supply_policy()
CLOTH = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"}
STRIP = {"form": "strip", "width": "150 mm", "length": "10 m"}


def explained(*rows: dict[str, object], book: mc.PriceBook | None = None) -> list[str]:
    table = pd.DataFrame([CLOTH | row for row in rows]).fillna("")
    priced = mc.estimate_list(table, book or mc.demo_price_book(), POLICY,
                              cutting=mc.CuttingEffort(0))  # fmt: skip
    return [one.explain() for one in priced]


def test_strips_are_told_by_rows() -> None:
    """Between trims of 10 mm, 72 in hold 11 strips of 150 mm with 1 mm between them: 25 rows."""
    [text] = explained(STRIP | {"quantity": 274})
    assert "11 abreast = (1.8288 m − 2 × 0.01 m trim + 0.001 m kerf) ÷ (0.15 m + 0.001 m)" in text
    assert "274 are 25 rows of 10 m = 250 m" in text
    assert "stock width 1828.8 mm, run of 250 m" in text


def test_equal_strips_of_two_lines_are_told_as_one_row_and_each_line_its_part() -> None:
    texts = explained(STRIP | {"quantity": 6}, STRIP | {"quantity": 5})
    for text, own in zip(texts, (6, 5), strict=True):
        assert f"cut with lines 1, 2, 11 in all; the line's part of the run is {own} ÷ 11" in text
        run = float(re.search(r"run of ([\d.]+) m", text)[1])  # type: ignore[index]
        whole = float(re.search(r"11 are \d+ rows of 10 m = ([\d.]+) m", text)[1])  # type: ignore[index]
        assert run == pytest.approx(whole * own / 11)


@pytest.mark.parametrize("sides", [(420, 310), (95, 640), (250, 250), (88, 33)])
def test_rectangles_in_boxes_can_be_redone(sides: tuple[int, int]) -> None:
    size = {"form": "piece", "shape": "rectangle", "quantity": 47,
            "dimensions": f"width {sides[0]} mm, height {sides[1]} mm"}  # fmt: skip
    [text] = explained(size)
    found = re.search(r"width ([\d.]+) mm, run of ([\d.]+) m", text)
    assert found
    width, run = float(found[1]), float(found[2])
    usable, boxes = width / 1e3 - 0.020, []
    for across, along in (sides, sides[::-1]):
        abreast = math.floor((usable + 0.003) / (across / 1e3 + 0.003) + 1e-9)
        boxes.append(math.ceil(47 / abreast) * (along / 1e3 + 0.003))
    if run == pytest.approx(min(boxes)):
        told = re.search(r"47 are (\d+) rows of ([\d.]+) m \+ 0.003 m = ([\d.]+) m", text)
        assert told
        assert int(told[1]) * (float(told[2]) + 0.003) == pytest.approx(run)
    else:
        assert f"where boxes in rows take {min(boxes):.9g} m" in text
        assert run < min(boxes)


def test_interlocking_triangles_are_told_with_lanes_and_steps() -> None:
    """Two halves of a rectangle fill it, so a pair takes no more than its box: 60 take half."""
    [text] = explained({"form": "piece", "shape": "triangle", "quantity": 60,
                        "dimensions": "side a 300 mm, side b 400 mm, side c 500 mm"})  # fmt: skip
    run = float(re.search(r"run of ([\d.]+) m", text)[1])  # type: ignore[index]
    found = re.search(
        r"60 pieces in (\d+) lanes: the first of each ends at [\d.]+ to [\d.]+ m, the others each "
        r"([\d.]+) mm further; the last ends at ([\d.]+) m, spacing 0.003 m", text)  # fmt: skip
    assert found
    assert float(found[3]) + 0.003 == pytest.approx(run)
    assert run < 0.55 * float(re.search(r"boxes in rows take ([\d.]+) m", text)[1])  # type: ignore[index]


def test_what_is_shared_by_mass_and_what_is_money_are_said_to_be() -> None:
    def rate(key: str, amount: float, unit: str, currency: str = "", **more: str) -> Rate:
        return Rate(key=key, amount=amount, unit=unit, currency=currency, date=date.today(),
                    note="test", **more)  # type: ignore[arg-type]  # fmt: skip

    demo = mc.demo_price_book()
    book = replace(demo, rates=(
        *demo.rates,
        rate("freight.pallet", 60.0, "pallet", "EUR"), rate("freight.pallet_load", 400.0, "kg"),
        rate("surcharge.metal_index.base", 2.2, "kg", "EUR", alloy="304"),
        rate("surcharge.metal_index.value", 2650.0, "t", "EUR", alloy="304"),
    ))  # fmt: skip
    roll = {"form": "roll", "width": "48 in", "length": "100 ft", "quantity": 2}
    text = explained(roll, roll | {"quantity": 1}, book=book)[0]
    pallets = text[text.index("freight by pallet") :][:600]
    kg = [float(found) for found in re.findall(r"([\d.]+) kg delivered", pallets)]
    assert kg[0] / kg[1] == pytest.approx(2 / 3)
    assert "the line's part of 60.00 EUR for 1 pallet of its order, shared over 2 lines:" in pallets
    assert "= 40.00 EUR" in pallets
    assert "surcharge.metal_index.base: 2.2 EUR per kg, " in text
    assert "freight.pallet_load: 400 kg, " in text
