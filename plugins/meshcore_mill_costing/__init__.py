"""How a wire-cloth mill makes its price: bundled pricing rules and services.

Every number is the mill's own and stands in the price book; a rule that the book gives no rates
for charges nothing, except the rules for wire and weaving, without which there is no price.
"""

from __future__ import annotations

from meshcore.costing.items import PricingRule
from meshcore.enquiry import Service
from meshcore.hookspecs import hookimpl
from meshcore_mill_costing import (
    commercial,
    customer,
    despatch,
    finishing,
    mill_work,
    set_price,
    weaving,
    wire,
)


@hookimpl
def meshcore_pricing_rules() -> tuple[PricingRule, ...]:
    """Return the rules in the order in which they work within a stage."""
    own = (*wire.RULES, *weaving.RULES, *mill_work.RULES, *finishing.RULES, *despatch.RULES)
    return (*own, *commercial.RULES, *customer.RULES, *set_price.RULES, *commercial.LAST_RULES)


@hookimpl
def meshcore_services() -> tuple[Service, ...]:
    """Return the services that a mill commonly offers."""
    return finishing.SERVICES
