"""Estimating for industrial woven wire cloth: specification, mass, supply, cost and price.

>>> import meshcore as mc
>>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
...                            form=mc.Roll(width="48 in", length="100 ft"), quantity=3),
...                 mc.demo_price_book())
>>> e.status, f"{e.mass.to('lb'):.1f~}"
('ok', '501.6 lb')
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from meshcore.alloys.comparison.conditions import Conditions as Conditions
    from meshcore.costing.agreed import for_customer as for_customer
    from meshcore.costing.book.files import read_price_book as read_price_book
    from meshcore.costing.book.price_book import PriceBook as PriceBook
    from meshcore.costing.book.price_book import PriceBookError as PriceBookError
    from meshcore.costing.customer import Customer as Customer
    from meshcore.costing.customer import read_customer as read_customer
    from meshcore.costing.items import CostColumn as CostColumn
    from meshcore.costing.items import PricingRule as PricingRule
    from meshcore.costing.items import Remark as Remark
    from meshcore.costing.ranges import BudgetRange as BudgetRange
    from meshcore.costing.ranges import Uncertainty as Uncertainty
    from meshcore.costing.rules.registering import register_rules as register_rules
    from meshcore.demo import default_price_book as default_price_book
    from meshcore.demo import demo_price_book as demo_price_book
    from meshcore.documents.facts import Quotation as Quotation
    from meshcore.documents.printing import write_quotation as write_quotation
    from meshcore.documents.quotation import quotation as quotation
    from meshcore.documents.terms import Terms as Terms
    from meshcore.documents.terms import TermsError as TermsError
    from meshcore.documents.terms import read_terms as read_terms
    from meshcore.enquiry import Enquiry as Enquiry
    from meshcore.enquiry import Piece as Piece
    from meshcore.enquiry import Roll as Roll
    from meshcore.enquiry import Service as Service
    from meshcore.enquiry import Strip as Strip
    from meshcore.estimates.alloy_comparison import compare_alloys as compare_alloys
    from meshcore.estimates.for_buyers import for_others as for_others
    from meshcore.estimates.models import cloth_models as cloth_models
    from meshcore.estimates.nearest import nearest_weavable as nearest_weavable
    from meshcore.estimates.performing import performance as performance
    from meshcore.estimates.pipeline import estimate as estimate
    from meshcore.estimates.pipeline import estimate_list as estimate_list
    from meshcore.estimates.pipeline import estimate_table as estimate_table
    from meshcore.estimates.questions import questions as questions
    from meshcore.estimates.reasons import budget_range as budget_range
    from meshcore.estimates.reasons import explain as explain
    from meshcore.estimates.reasons import quantity_curve as quantity_curve
    from meshcore.estimates.reasons import tornado as tornado
    from meshcore.estimates.results import Estimate as Estimate
    from meshcore.estimates.results import EstimateSet as EstimateSet
    from meshcore.estimates.specifying import specify as specify
    from meshcore.estimates.unit_prices import unit_prices as unit_prices
    from meshcore.lists.reading import ListError as ListError
    from meshcore.lists.reading import read_list as read_list
    from meshcore.lists.writing import write_list as write_list
    from meshcore.messages import Message as Message
    from meshcore.messages import MessageLog as MessageLog
    from meshcore.reading.letters.letter import Letter as Letter
    from meshcore.reading.letters.letter import read_letter as read_letter
    from meshcore.reading.letters.open import LetterError as LetterError
    from meshcore.register.invoicing import bill_rolls as bill_rolls
    from meshcore.register.opening import open_register as open_register
    from meshcore.register.records import RecordsError as RecordsError
    from meshcore.register.records import load_estimate as load_estimate
    from meshcore.register.records import save_estimate as save_estimate
    from meshcore.supply.cutting import CuttingEffort as CuttingEffort
    from meshcore.supply.drawing.nest_drawing import draw_nest_plan as draw_nest_plan
    from meshcore.supply.drawing.nest_dxf import nest_dxf as nest_dxf
    from meshcore.supply.drawing.slit_drawing import draw_slit_plan as draw_slit_plan
    from meshcore.supply.policy import SupplyPolicy as SupplyPolicy
    from meshcore.supply.policy import SupplyPolicyError as SupplyPolicyError
    from meshcore.supply.policy import read_supply_policy as read_supply_policy
    from meshcore.weave.cloth import WeaveRule as WeaveRule
    from meshcore.weave.drawing.sheet import draw_cloth as draw_cloth
    from meshcore.weave.solids.files import ModelError as ModelError
    from meshcore.weave.solids.files import write_solid as write_solid

#: Name of the distribution, which is not the import name: that is taken on the public index.
DISTRIBUTION = "wirecloth-meshcore"
#: Kept here alone; the distribution takes it from here. How it counts is in docs/stable.md.
__version__ = "0.1.0"

#: Public names and their modules; each loads when first used, so that importing is quick.
_HOME: dict[str, str] = {
    "BudgetRange": "meshcore.costing.ranges",
    "Conditions": "meshcore.alloys.comparison.conditions",
    "CostColumn": "meshcore.costing.items",
    "CuttingEffort": "meshcore.supply.cutting",
    "Enquiry": "meshcore.enquiry",
    "Estimate": "meshcore.estimates.results",
    "EstimateSet": "meshcore.estimates.results",
    "ListError": "meshcore.lists.reading",
    "Message": "meshcore.messages",
    "MessageLog": "meshcore.messages",
    "Letter": "meshcore.reading.letters.letter",
    "LetterError": "meshcore.reading.letters.open",
    "Piece": "meshcore.enquiry",
    "PriceBook": "meshcore.costing.book.price_book",
    "PriceBookError": "meshcore.costing.book.price_book",
    "PricingRule": "meshcore.costing.items",
    "RecordsError": "meshcore.register.records",
    "Remark": "meshcore.costing.items",
    "Roll": "meshcore.enquiry",
    "Service": "meshcore.enquiry",
    "Strip": "meshcore.enquiry",
    "SupplyPolicy": "meshcore.supply.policy",
    "SupplyPolicyError": "meshcore.supply.policy",
    "Uncertainty": "meshcore.costing.ranges",
    "WeaveRule": "meshcore.weave.cloth",
    "bill_rolls": "meshcore.register.invoicing",
    "budget_range": "meshcore.estimates.reasons",
    "cloth_models": "meshcore.estimates.models",
    "compare_alloys": "meshcore.estimates.alloy_comparison",
    "default_price_book": "meshcore.demo",
    "demo_price_book": "meshcore.demo",
    "Customer": "meshcore.costing.customer",
    "for_customer": "meshcore.costing.agreed",
    "for_others": "meshcore.estimates.for_buyers",
    "read_customer": "meshcore.costing.customer",
    "unit_prices": "meshcore.estimates.unit_prices",
    "draw_cloth": "meshcore.weave.drawing.sheet",
    "draw_nest_plan": "meshcore.supply.drawing.nest_drawing",
    "draw_slit_plan": "meshcore.supply.drawing.slit_drawing",
    "estimate": "meshcore.estimates.pipeline",
    "estimate_list": "meshcore.estimates.pipeline",
    "estimate_table": "meshcore.estimates.pipeline",
    "explain": "meshcore.estimates.reasons",
    "load_estimate": "meshcore.register.records",
    "nearest_weavable": "meshcore.estimates.nearest",
    "nest_dxf": "meshcore.supply.drawing.nest_dxf",
    "quantity_curve": "meshcore.estimates.reasons",
    "questions": "meshcore.estimates.questions",
    "Quotation": "meshcore.documents.facts",
    "Terms": "meshcore.documents.terms",
    "TermsError": "meshcore.documents.terms",
    "quotation": "meshcore.documents.quotation",
    "read_terms": "meshcore.documents.terms",
    "write_quotation": "meshcore.documents.printing",
    "performance": "meshcore.estimates.performing",
    "specify": "meshcore.estimates.specifying",
    "open_register": "meshcore.register.opening",
    "read_letter": "meshcore.reading.letters.letter",
    "read_list": "meshcore.lists.reading",
    "read_price_book": "meshcore.costing.book.files",
    "read_supply_policy": "meshcore.supply.policy",
    "register_rules": "meshcore.costing.rules.registering",
    "save_estimate": "meshcore.register.records",
    "tornado": "meshcore.estimates.reasons",
    "write_list": "meshcore.lists.writing",
    "ModelError": "meshcore.weave.solids.files",
    "write_solid": "meshcore.weave.solids.files",
}

__all__ = sorted([*_HOME, "__version__"])  # noqa: PLE0605 - the table above is the one list of public names


def __getattr__(name: str) -> object:
    """Load a public name from its module."""
    if name not in _HOME:
        raise AttributeError(f"module 'meshcore' has no attribute {name!r}")
    public: object = getattr(importlib.import_module(_HOME[name]), name)
    globals()[name] = public
    return public


def __dir__() -> list[str]:
    """List the public names."""
    return sorted({*__all__, *(name for name in globals() if name.startswith("__"))})
