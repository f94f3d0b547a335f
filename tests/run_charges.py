"""The demonstration book without what a run costs once besides its warp.

Where a second stock width, or a loom change, would only make a case harder to follow.
"""

from __future__ import annotations

from dataclasses import replace

from meshcore.costing.book.price_book import PriceBook
from meshcore_mill_costing.mill_work import ENDS_WASTE, LOOM_CHANGE, WARP_WASTE

_KEYS = (LOOM_CHANGE, WARP_WASTE, ENDS_WASTE)


def without_run_charges(book: PriceBook) -> PriceBook:
    """Return a book that charges no loom change and no waste."""
    return replace(book, rates=tuple(rate for rate in book.rates if rate.key not in _KEYS))
