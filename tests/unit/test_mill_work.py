"""Welding, loom change and waste of a warp: charged where the book has a rate, and by hand.

The order: 2 rolls of 48 in × 100 ft, 304, 10 mesh of 0.635 mm. 60.96 m, one warp of 481 ends.
"""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from pathlib import Path

import pandas as pd
import pytest
from fenced import fenced

import meshcore as mc
from meshcore.costing.book.changes import read_rate_changes, with_changes
from meshcore.costing.book.files import from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.book.validity import in_force
from meshcore.demo import demo_data

DEMO = mc.demo_price_book()
ROLLS = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
         "width": "48 in", "length": "100 ft", "quantity": 2}  # fmt: skip


def _book(**rates: tuple[float, str, str]) -> PriceBook:
    """The demonstration book with further rates: key, __ for its points → amount, unit, money."""
    added = tuple(
        Rate(key=key.replace("__", "."), amount=amount, unit=unit, currency=currency,
             date=date.today(), note="test")
        for key, (amount, unit, currency) in rates.items()
    )  # fmt: skip
    return replace(DEMO, rates=(*DEMO.rates, *added))


def _items(book: PriceBook, *rows: dict[str, object]) -> pd.DataFrame:
    priced = mc.estimate_list(pd.DataFrame([ROLLS | row for row in rows or ({},)]), book)
    assert not priced.faults
    return priced.cost_items()


def test_the_demonstration_book_charges_none_of_them() -> None:
    labels = set(_items(DEMO)["label"])
    assert not labels & {"welding", "loom change", "warp waste", "ends' waste"}


def test_a_welded_screen_is_charged_by_its_crossings_and_no_longer_priced_by_hand() -> None:
    """48 in × 100 ft at 1 / in are 48 × 1,200 crossings; two rolls, 60,000 an hour at 50.00."""
    book = _book(
        welding__machine=(50.0, "h", "EUR"), welding__crossings_per_hour=(60000, "1/h", "")
    )
    screen: dict[str, object] = {
        "mesh_count": "1 / in",
        "wire_diameter": "0.120 in",
        "alloy": "carbon steel",
        "weave": "welded",
    }
    items = _items(book, screen).set_index("label")
    assert items["quantity"]["welding"] == pytest.approx(2 * 48 * 1200 / 60000)
    assert items["amount"]["welding"] == 96.0
    codes = {
        which: {m.code for m in mc.estimate_list(pd.DataFrame([ROLLS | screen]), b)[0].messages}
        for which, b in (("rated", book), ("demo", DEMO))
    }
    assert "weave.welded_no_loom_time" in codes["demo"]
    assert "weave.welded_no_loom_time" not in codes["rated"]


def test_a_loom_change_is_charged_once_for_each_run_and_shared_by_length() -> None:
    book = _book(weaving__loom_change=(90.0, "warp", "EUR"))
    items = _items(book, {}, {"quantity": 1}, {"width": "36 in"})
    paid = items[items["label"] == "loom change"]
    assert paid["line"].tolist() == [0, 1, 2]
    assert paid["amount"].tolist() == [60.0, 30.0, 90.0]


def test_a_warp_loses_wire_and_a_run_loses_cloth_at_its_ends() -> None:
    book = _book(weaving__warp_waste=(3.0, "m", ""), weaving__ends_waste=(1.5, "m", ""))
    items = _items(book).set_index("label")
    wire = 481 * 3.0 * math.pi / 4 * 0.000635**2 * 7930
    assert items["quantity"]["warp waste"] == pytest.approx(wire)
    assert items["amount"]["warp waste"] == round(wire * 3.45, 2)
    cloth = 1.5 * 1.2192 * 2.040973
    assert items["quantity"]["ends' waste"] == pytest.approx(cloth, rel=1e-6)
    assert items["amount"]["ends' waste"] == round(cloth * 3.45, 2)


def test_the_demonstration_has_them_as_rates_to_be_brought_into_its_book() -> None:
    """The same order: one warp set up, 90.00; 3 m of its wire; 1.5 m of cloth at the ends."""
    coming = read_rate_changes(demo_data() / "mill_work.csv")
    book = in_force(with_changes(DEMO, coming), date.today())
    items = _items(book).set_index("label")
    assert items["amount"]["loom change"] == 90.0
    wire = 481 * 3.0 * math.pi / 4 * 0.000635**2 * 7930
    assert items["amount"]["warp waste"] == round(wire * 3.45, 2)
    assert items["amount"]["ends' waste"] == round(1.5 * 1.2192 * 2.040973 * 3.45, 2)
    assert mc.estimate_list(pd.DataFrame([ROLLS]), book)[0].messages == []
    assert {rate.key for rate in coming} >= {"welding.machine", "welding.crossings_per_hour"}


def test_the_page_on_the_book_shows_how_they_are_set(project_root: Path) -> None:
    page = project_root / "docs" / "reference" / "price-book.md"
    [shown] = [code for code in fenced(page, "toml") if "welding.machine" in code]
    book = from_toml(to_toml(DEMO) + "\n" + shown, "with the page's rates")
    labels = set(_items(book)["label"])
    assert {"loom change", "warp waste", "ends' waste"} <= labels
    screen = {"mesh_count": "1 / in", "wire_diameter": "0.120 in", "weave": "welded"}
    assert "welding" in set(_items(book, {**screen, "alloy": "carbon steel"})["label"])
