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
    from meshcore.alloys.conditions import Conditions as Conditions
    from meshcore.comparing import compare_alloys as compare_alloys
    from meshcore.costing.book import PriceBook as PriceBook
    from meshcore.costing.book_files import read_price_book as read_price_book
    from meshcore.demo import default_price_book as default_price_book
    from meshcore.enquiry import Enquiry as Enquiry
    from meshcore.enquiry import Piece as Piece
    from meshcore.enquiry import Roll as Roll
    from meshcore.enquiry import Strip as Strip
    from meshcore.estimating import estimate as estimate
    from meshcore.estimating import estimate_list as estimate_list
    from meshcore.estimating import estimate_table as estimate_table
    from meshcore.invoicing import bill_rolls as bill_rolls
    from meshcore.lists.reading import read_list as read_list
    from meshcore.lists.writing import write_list as write_list
    from meshcore.nearest import nearest_weavable as nearest_weavable
    from meshcore.records import load_estimate as load_estimate
    from meshcore.records import save_estimate as save_estimate
    from meshcore.results import Estimate as Estimate
    from meshcore.results import EstimateSet as EstimateSet
    from meshcore.supply.cutting import CuttingEffort as CuttingEffort
    from meshcore.supply.policy import SupplyPolicy as SupplyPolicy
    from meshcore.supply.policy import read_supply_policy as read_supply_policy

#: Public names and their modules; each loads when first used, so that importing is quick.
_HOME: dict[str, str] = {
    "Conditions": "meshcore.alloys.conditions",
    "CuttingEffort": "meshcore.supply.cutting",
    "Enquiry": "meshcore.enquiry",
    "Estimate": "meshcore.results",
    "EstimateSet": "meshcore.results",
    "Piece": "meshcore.enquiry",
    "PriceBook": "meshcore.costing.book",
    "Roll": "meshcore.enquiry",
    "Strip": "meshcore.enquiry",
    "SupplyPolicy": "meshcore.supply.policy",
    "bill_rolls": "meshcore.invoicing",
    "compare_alloys": "meshcore.comparing",
    "default_price_book": "meshcore.demo",
    "estimate": "meshcore.estimating",
    "estimate_list": "meshcore.estimating",
    "estimate_table": "meshcore.estimating",
    "load_estimate": "meshcore.records",
    "nearest_weavable": "meshcore.nearest",
    "read_list": "meshcore.lists.reading",
    "read_price_book": "meshcore.costing.book_files",
    "read_supply_policy": "meshcore.supply.policy",
    "save_estimate": "meshcore.records",
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
