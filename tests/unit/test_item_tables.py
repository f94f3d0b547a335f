"""Cost items kept as tables compare as their ledgers do, and add up to the cent."""

from __future__ import annotations

import dataclasses

import numpy as np
import pandas as pd
import pytest

import meshcore as mc
from meshcore.costing.book.price_book import in_currency
from meshcore.costing.item_tables import compare_items
from meshcore.demo import default_price_book
from meshcore.estimates import reasons

BOOK = default_price_book()


def priced(**cells: str) -> mc.EstimateSet:
    line = {
        "mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304", "form": "roll",
        "width": "48 in", "length": "100 ft", "quantity": "3",
    } | cells  # fmt: skip
    return mc.estimate_list(pd.DataFrame([line]), BOOK)


def test_tables_compare_as_ledgers_do() -> None:
    first, second = priced(), priced(alloy="316L", services="clean; certificate")
    by_ledger = reasons.compare(first, second)
    by_table = compare_items(first.cost_items(), second.cost_items())
    amounts = ["amount_first", "amount_second", "difference"]
    keys = ["stage", "label"]
    pd.testing.assert_frame_equal(
        by_table[keys + amounts].sort_values(keys, ignore_index=True),
        by_ledger[keys + amounts].sort_values(keys, ignore_index=True),
        check_dtype=False,
    )
    cents = (by_table[amounts] * 100).round().astype(int)
    assert (cents.iloc[:-1].sum() == cents.iloc[-1]).all()
    assert cents["difference"].iloc[-1] != 0


def test_lines_of_a_list_are_kept_apart() -> None:
    lines = pd.concat([priced().enquiries, priced(alloy="316L").enquiries], ignore_index=True)
    two = mc.estimate_list(lines, BOOK, lines_apart=True)
    one = mc.estimate_list(lines.head(1), BOOK)
    compared = compare_items(one.cost_items(), two.cost_items())
    added = compared[compared["line"] == 1]
    assert (added["amount_first"] == 0).all()
    assert np.isclose(added["difference"].sum(), two.ledger.price[1])
    assert compared["difference"].iloc[-1] == pytest.approx(two.ledger.price[1], abs=0.005)


def test_currencies_do_not_compare() -> None:
    dollars = mc.estimate_list(priced().enquiries, in_currency(BOOK, "USD"))
    with pytest.raises(ValueError, match="EUR and USD do not compare"):
        compare_items(priced().cost_items(), dollars.cost_items())


def test_an_estimate_without_price_does_not_compare() -> None:
    without = dataclasses.replace(BOOK, rates=tuple(r for r in BOOK.rates if r.key != "wire.metal"))
    refused = mc.estimate_list(priced().enquiries, without)
    with pytest.raises(ValueError, match="second of the two has no price"):
        compare_items(priced().cost_items(), refused.cost_items())
