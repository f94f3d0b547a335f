"""Welding, loom change and waste of a warp: charged where the book has a rate, and by hand.

The rates are those of the demonstration book: 60.00 an hour of the welding machine and 60,000
crossings in it, 90.00 a loom change, 3 m of a warp's wire and 1.5 m of a run's cloth.

The order: 2 rolls of 48 in × 100 ft, 304, 10 mesh of 0.635 mm. 60.96 m, one warp of 481 ends.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest
from fenced import fenced

import meshcore as mc
from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import demo_data, demo_supply_policy
from meshcore.supply.cutting import CuttingEffort
from meshcore.supply.policy import parse_supply_policy

DEMO = mc.demo_price_book()
KEYS = ("welding.machine", "welding.crossings_per_hour", "weaving.loom_change",
        "weaving.warp_waste", "weaving.ends_waste")  # fmt: skip
WITHOUT = replace(DEMO, rates=tuple(rate for rate in DEMO.rates if rate.key not in KEYS))
ROLLS = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
         "width": "48 in", "length": "100 ft", "quantity": 2}  # fmt: skip


def _items(book: PriceBook, *rows: dict[str, object]) -> pd.DataFrame:
    priced = mc.estimate_list(pd.DataFrame([ROLLS | row for row in rows or ({},)]), book)
    assert not priced.faults
    return priced.cost_items()


def test_a_book_without_their_rates_charges_none_of_them() -> None:
    labels = set(_items(WITHOUT)["label"])
    assert not labels & {"welding", "loom change", "warp waste", "ends' waste"}


def test_a_welded_screen_is_charged_by_its_crossings_and_no_longer_priced_by_hand() -> None:
    """48 in × 100 ft at 1 / in are 48 × 1,200 crossings; two rolls, 60,000 an hour at 60.00."""
    screen: dict[str, object] = {
        "mesh_count": "1 / in",
        "wire_diameter": "0.120 in",
        "alloy": "carbon steel",
        "weave": "welded",
    }
    items = _items(DEMO, screen).set_index("label")
    assert items["quantity"]["welding"] == pytest.approx(2 * 48 * 1200 / 60000)
    assert items["amount"]["welding"] == 115.2
    assert not {"loom change", "warp waste", "ends' waste", "warp set-up"} & set(items.index)
    codes = {
        which: {m.code for m in mc.estimate_list(pd.DataFrame([ROLLS | screen]), b)[0].messages}
        for which, b in (("rated", DEMO), ("without", WITHOUT))
    }
    assert "weave.welded_no_loom_time" in codes["without"]
    assert "weave.welded_no_loom_time" not in codes["rated"]


def test_a_loom_change_is_charged_once_for_each_run_and_shared_by_length() -> None:
    items = _items(DEMO, {}, {"quantity": 1}, {"width": "36 in"})
    paid = items[items["label"] == "loom change"]
    assert paid["line"].tolist() == [0, 1, 2]
    assert paid["amount"].tolist() == [60.0, 30.0, 90.0]


def test_a_warp_loses_wire_and_a_run_loses_cloth_at_its_ends() -> None:
    items = _items(DEMO).set_index("label")
    wire = 481 * 3.0 * math.pi / 4 * 0.000635**2 * 7930
    assert items["quantity"]["warp waste"] == pytest.approx(wire)
    assert items["amount"]["warp waste"] == round(wire * 3.45, 2)
    cloth = 1.5 * 1.2192 * 2.040973
    assert items["quantity"]["ends' waste"] == pytest.approx(cloth, rel=1e-6)
    assert items["amount"]["ends' waste"] == round(cloth * 3.45, 2)


def test_what_comes_from_stock_bears_none_of_them() -> None:
    policy = tomllib.loads((demo_data() / "supply_policy.toml").read_text("utf-8"))
    cloth = {k: ROLLS[k] for k in ("mesh_count", "wire_diameter", "alloy")}
    policy["stock"] = [cloth | {"width": "48 in", "length": "100 m"}]
    priced = mc.estimate_list(pd.DataFrame([ROLLS]), DEMO, parse_supply_policy(policy, "policy"))
    labels = set(priced.cost_items()["label"])
    assert not labels & {"loom change", "warp waste", "ends' waste", "warp set-up"}


def test_each_width_of_a_plan_bears_its_own() -> None:
    """26 strips of 321 mm on 40 m of 48 in and 80 m of 72 in, where changing over costs little.

    481 and 721 ends; 1.5 m of cloth of each width.
    """
    cheap = tuple(
        replace(rate, amount=1.0) if rate.key == "weaving.loom_change" else rate
        for rate in DEMO.rates
        if rate.key not in ("weaving.warp_waste", "weaving.ends_waste")
    )
    wasted = tuple(
        replace(rate, amount=0.03)
        for rate in DEMO.rates
        if rate.key in ("weaving.warp_waste", "weaving.ends_waste")
    )
    strips = ROLLS | {"form": "strip", "width": "321 mm", "length": "20 m", "quantity": 26}
    priced = mc.estimate_list(
        pd.DataFrame([strips]),
        replace(DEMO, rates=(*cheap, *wasted)),
        demo_supply_policy(),
        cutting=CuttingEffort(0.5),
    )
    items = priced.cost_items().set_index("label")
    assert items["amount"]["loom change"].tolist() == [1.0, 1.0]
    a_wire = math.pi / 4 * 0.000635**2 * 7930
    assert items["quantity"]["warp waste"].tolist() == pytest.approx(
        [481 * 0.03 * a_wire, 721 * 0.03 * a_wire]
    )
    assert items["quantity"]["ends' waste"].tolist() == pytest.approx(
        [0.03 * 1.2192 * 2.040973, 0.03 * 1.8288 * 2.040973], rel=1e-6
    )


def test_the_page_on_the_book_shows_how_they_are_set(project_root: Path) -> None:
    page = project_root / "docs" / "reference" / "price-book.md"
    [shown] = [code for code in fenced(page, "toml") if "welding.machine" in code]
    book = from_toml(to_toml(WITHOUT) + "\n" + shown, "with the page's rates")
    labels = set(_items(book)["label"])
    assert {"loom change", "warp waste", "ends' waste"} <= labels
    screen = {"mesh_count": "1 / in", "wire_diameter": "0.120 in", "weave": "welded"}
    assert "welding" in set(_items(book, {**screen, "alloy": "carbon steel"})["label"])
