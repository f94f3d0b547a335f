"""Random edits of the priced workbook, recalculated by LibreOffice, come to what the library says.

The library prices the same change at the same cloth and cutting: another layout or stock width is
for it to choose, and the workbook says so. Each workbook carries eight edits: rates of every kind,
margin, order charges, rates of exchange, and quantities of rolls.
"""

from __future__ import annotations

import io
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import openpyxl
import pandas as pd
import pytest

import meshcore as mc
from meshcore import plugins
from meshcore.arrays import FloatArray
from meshcore.costing.agreed import for_customer
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.customer import customer_from_toml
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.pipeline import price_columns
from meshcore.demo import demo_supply_policy
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.tolerances import billed_minor
from meshcore.lists.workbook import workbook_bytes

SEED, WORKBOOKS, EDITS = 20261126, 25, 8
CLOTHS = (
    {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304"},
    {"mesh_count": "4 / in", "wire_diameter": "0.063 in", "alloy": "carbon steel"},
    {"mesh_count": "20 / in", "wire_diameter": "0.016 in", "alloy": "alloy 625"},
)
FORMS = (
    {"form": "roll", "width": "48 in", "length": "100 ft"},
    {"form": "roll", "width": "36 in", "length": "49 ft"},
    {"form": "roll", "width": "60 in", "length": "20 m", "services": "certificate, rush"},
    {"form": "strip", "width": "150 mm", "length": "10 m"},
    {"form": "piece", "shape": "disc", "dimensions": "diameter 200 mm", "services": "anneal"},
)

TERMS = """
[customer]
name = "Weir"
[[rates]]
key = "customer.rebate"
unit = "%"
amount = 3.0
date = 2026-10-01
note = "agreed"
[[net_prices]]
mesh_count = "10 / in"
wire_diameter = "0.025 in"
alloy = "304"
unit = "m2"
currency = "EUR"
amount = 20.0
date = 2026-10-01
note = "agreed"
"""


def _lists() -> Iterator[EstimateSet]:
    """Three orders of several cloths and forms, priced from two books and on a customer's terms."""
    rng = np.random.default_rng(SEED)
    demo = mc.demo_price_book()
    customers = for_customer(demo, customer_from_toml(TERMS, "weir.toml"))
    nearest = replace(demo, rounding="nearest", rules_disabled=())
    for book in (demo, nearest, customers):
        rows = [
            CLOTHS[rng.integers(3)]
            | FORMS[rng.integers(5)]
            | {"quantity": int(rng.integers(1, 6)), "order": str(rng.choice(["a", "a", "b"]))}
            for _ in range(9)
        ]
        refused = {"mesh_count": "10 / in", "order": "a"}
        lines = pd.DataFrame([*rows, refused], dtype=object).fillna("")
        yield mc.estimate_list(lines, book, demo_supply_policy())


def _edited(
    estimates: EstimateSet, content: bytes, rng: np.random.Generator
) -> tuple[bytes, PriceBook, OrderColumns]:
    """Change open cells of a workbook, and the book and the lines alike."""
    workbook = openpyxl.load_workbook(io.BytesIO(content))
    rates, reckoning = workbook["Rates"], workbook["Reckoning"]
    book, orders = estimates.book, estimates.orders
    open_rates = [r for r in range(2, rates.max_row + 1) if not rates.cell(r, 4).protection.locked]
    open_lines = [r for r in range(4, reckoning.max_row + 1)
                  if not reckoning.cell(r, 3).protection.locked]  # fmt: skip
    starts = ("margin", "overhead", "minimum", "break", "rounding", "surcharge", "freight",
              "customer", "price", "packing", "weaving", "wire", "exchange", "tax")  # fmt: skip
    held = {str(rates.cell(row, 1).value) for row in open_rates}
    likely = tuple(start for start in starts if any(key.startswith(start) for key in held))
    for edit in range(EDITS):
        if edit % 4 == 3 and open_lines:
            row = int(rng.choice(open_lines))
            quantity = int(rng.integers(1, 12))
            by = np.ones(len(orders))
            by[row - 4] = quantity / orders.quantity[row - 4]
            orders = _scaled(orders, by)
            reckoning.cell(row, 3).value = quantity
            continue
        start = likely[int(rng.integers(len(likely)))]
        rows = [r for r in open_rates if str(rates.cell(r, 1).value).startswith(start)]
        row = int(rng.choice(rows))
        amount = round(float(str(rates.cell(row, 4).value)) * float(rng.uniform(0.5, 1.9)), 4)
        rates.cell(row, 4).value = amount
        place = row - 2
        if place < len(book.exchange):
            entries = [*book.exchange]
            entries[place] = replace(entries[place], amount=amount)
            book = replace(book, exchange=tuple(entries))
        else:
            entries_ = [*book.rates]
            number = place - len(book.exchange)
            entries_[number] = replace(entries_[number], amount=amount)
            book = replace(book, rates=tuple(entries_))
    target = io.BytesIO()
    workbook.save(target)
    return target.getvalue(), book, orders


def _scaled(orders: OrderColumns, by: FloatArray) -> OrderColumns:
    return replace(
        orders,
        quantity=np.round(orders.quantity * by),
        net_area_m2=orders.net_area_m2 * by,
        gross_area_m2=orders.gross_area_m2 * by,
        net_mass_kg=orders.net_mass_kg * by,
        gross_mass_kg=orders.gross_mass_kg * by,
        run_length_m=orders.run_length_m * by,
        cut_length_m=orders.cut_length_m * by,
        cut_count=orders.cut_count * by,
        roll_count=orders.roll_count * by,
        part_roll_count=orders.part_roll_count * by,
    )


def _priced(estimates: EstimateSet, book: PriceBook, orders: OrderColumns) -> Ledger:
    rules = plugins.installed().collect("meshcore_pricing_rules", PricingRule)
    return price_columns(orders, rules, book, estimates.log.copy())


@pytest.mark.office
def test_two_hundred_edits_follow_as_the_library_reckons(
    soffice_path: Path, tmp_path: Path
) -> None:
    rng = np.random.default_rng(SEED)
    lists = [(priced, workbook_bytes(priced)) for priced in _lists()]
    expected: dict[str, tuple[EstimateSet, Ledger, OrderColumns]] = {}
    for number in range(WORKBOOKS):
        estimates, content = lists[number % len(lists)]
        edited, book, orders = _edited(estimates, content, rng)
        (tmp_path / f"{number}.xlsx").write_bytes(edited)
        expected[f"{number}.xlsx"] = estimates, _priced(estimates, book, orders), orders
    again = tmp_path / "again"
    subprocess.run(
        [soffice_path, f"-env:UserInstallation=file://{tmp_path}/profile", "--headless",
         "--convert-to", "xlsx", "--outdir", again, *(tmp_path / name for name in expected)],
        check=True, capture_output=True, timeout=300,
    )  # fmt: skip
    changed = 0
    for name, (estimates, ledger, orders) in expected.items():
        shown = openpyxl.load_workbook(again / name, data_only=True)
        rows = list(shown["Priced list"].values)
        table = pd.DataFrame(rows[1:], columns=list(rows[0]))
        ratios = (estimates.supply.length_low, estimates.supply.length_high)
        low, high = (billed_minor(ledger, orders, ratio) for ratio in ratios)
        due = {"cost": ledger.cost_minor, "price": ledger.price_minor,
               "price_min": low, "price_max": high}  # fmt: skip
        for column, minor in due.items():
            told = np.rint(table[column].astype(float).to_numpy() * 100)[ledger.priced]
            assert told.tolist() == minor[ledger.priced].tolist(), (name, column)
        total = {r[0]: r[1] for r in shown["Summary"].values}["Total"]
        assert round(float(str(total)) * 100) == ledger.price_minor[ledger.priced].sum()
        changed += bool(ledger.price_minor.sum() != estimates.ledger.price_minor.sum())
    assert changed == WORKBOOKS
