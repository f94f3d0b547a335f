"""The invented book in three currencies, and the pages kept of what is made with it.

Decimal places are those of ISO 4217 (from memory): EUR 2, JPY 0, KWD 3. The pages are held in
``tests/golden`` as they were read and found right; a page that is to change is written anew with
``MESHCORE_WRITE_GOLDEN=1`` and read again.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import meshcore as mc
from meshcore.costing.book.price_book import in_currency
from meshcore.demo import demo_data

PLACES = {"EUR": 2, "JPY": 0, "KWD": 3}
_KEPT = Path(__file__).parent / "golden"


def book(currency: str) -> mc.PriceBook:
    """The invented book in another currency; its rates do not grow stale while tests run."""
    demo = mc.read_price_book(demo_data() / "price_book.toml")
    return replace(in_currency(demo, currency), stale_after_days=3_660)


def kept(page: str, of: str, made: str) -> str:
    """What is kept of a page; written anew as it is made now, where that is asked for."""
    path = _KEPT / f"{page}-{of}.txt"
    if os.environ.get("MESHCORE_WRITE_GOLDEN") == "1":
        path.write_text(made, encoding="utf-8")
    return path.read_text(encoding="utf-8")
