"""Estimating for industrial woven wire cloth: specification, mass, supply, cost and price.

>>> import meshcore as mc
>>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
...                            form=mc.Roll(width="48 in", length="100 ft"), quantity=3))
>>> e.status, f"{e.mass.to('lb'):.1f~}"
('ok', '501.6 lb')
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from meshcore.alloys.comparison.conditions import Conditions as Conditions
    from meshcore.costing.book.files import read_price_book as read_price_book
    from meshcore.costing.book.price_book import PriceBook as PriceBook
    from meshcore.demo import default_price_book as default_price_book
    from meshcore.enquiry import Enquiry as Enquiry
    from meshcore.enquiry import Piece as Piece
    from meshcore.enquiry import Roll as Roll
    from meshcore.enquiry import Strip as Strip
    from meshcore.estimates.alloy_comparison import compare_alloys as compare_alloys
    from meshcore.estimates.nearest import nearest_weavable as nearest_weavable
    from meshcore.estimates.pipeline import estimate as estimate
    from meshcore.estimates.pipeline import estimate_list as estimate_list
    from meshcore.estimates.pipeline import estimate_table as estimate_table
    from meshcore.estimates.results import Estimate as Estimate
    from meshcore.estimates.results import EstimateSet as EstimateSet
    from meshcore.lists.reading import read_list as read_list
    from meshcore.lists.writing import write_list as write_list
    from meshcore.register.invoicing import bill_rolls as bill_rolls
    from meshcore.register.records import load_estimate as load_estimate
    from meshcore.register.records import save_estimate as save_estimate
    from meshcore.supply.cutting import CuttingEffort as CuttingEffort
    from meshcore.supply.policy import SupplyPolicy as SupplyPolicy
    from meshcore.supply.policy import read_supply_policy as read_supply_policy

#: Public names and their modules; each loads when first used, so that importing is quick.
_HOME: dict[str, str] = {
    "Conditions": "meshcore.alloys.comparison.conditions",
    "CuttingEffort": "meshcore.supply.cutting",
    "Enquiry": "meshcore.enquiry",
    "Estimate": "meshcore.estimates.results",
    "EstimateSet": "meshcore.estimates.results",
    "Piece": "meshcore.enquiry",
    "PriceBook": "meshcore.costing.book.price_book",
    "Roll": "meshcore.enquiry",
    "Strip": "meshcore.enquiry",
    "SupplyPolicy": "meshcore.supply.policy",
    "bill_rolls": "meshcore.register.invoicing",
    "compare_alloys": "meshcore.estimates.alloy_comparison",
    "default_price_book": "meshcore.demo",
    "estimate": "meshcore.estimates.pipeline",
    "estimate_list": "meshcore.estimates.pipeline",
    "estimate_table": "meshcore.estimates.pipeline",
    "load_estimate": "meshcore.register.records",
    "nearest_weavable": "meshcore.estimates.nearest",
    "read_list": "meshcore.lists.reading",
    "read_price_book": "meshcore.costing.book.files",
    "read_supply_policy": "meshcore.supply.policy",
    "save_estimate": "meshcore.register.records",
    "write_list": "meshcore.lists.writing",
}

__all__ = sorted(_HOME)  # noqa: PLE0605 - the table above is the one list of public names


def __getattr__(name: str) -> object:
    """Load a public name from its module."""
    if name not in _HOME:
        raise AttributeError(f"module 'meshcore' has no attribute {name!r}")
    found: object = getattr(importlib.import_module(_HOME[name]), name)
    globals()[name] = found
    return found


def __dir__() -> list[str]:
    """List the public names."""
    return sorted({*globals(), *_HOME})
