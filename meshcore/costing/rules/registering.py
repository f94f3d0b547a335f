"""Pricing rules of a program of its own, without a distribution to install."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore import plugins
from meshcore.costing.items import PricingRule
from meshcore.hookspecs import hookimpl

#: What rules are called whose program gives them no name; the second registration is numbered.
_UNNAMED = "this program"


# Two registrations of one rule are two plugins, so they compare by identity.
@dataclass(frozen=True, eq=False)
class _OwnRules:
    rules: tuple[PricingRule, ...]

    @hookimpl
    def meshcore_pricing_rules(self) -> list[PricingRule]:
        return list(self.rules)


def register_rules(*rules: PricingRule, name: str = _UNNAMED) -> plugins.Registration:
    """Add pricing rules to this process, through the same hook as a plugin's.

    Parameters
    ----------
    rules
        The rules; one that stands in for another names it in ``replaces``.
    name
        What they are called in estimates: shown as the plugin of each of their items. Without
        it a second registration is ``this program 2``, and so on.

    Returns
    -------
    The registration: the rules hold until its ``remove()``, or to the end of its ``with`` block.

    Raises
    ------
    TypeError
        If something else is among the rules, or the name is no text.
    ValueError
        If the name is blank, or something is registered under it already.

    Notes
    -----
    They hold for all threads of this process; each process of a pool registers its own. Of two
    rules with one name the first stands, and estimates say so.

    Examples
    --------
    >>> import meshcore as mc
    >>> def crating(columns, rates):
    ...     yield mc.CostColumn("crate", "crates", 1.0, "crate", 18.5, origin="agreed by telephone")
    >>> asked = mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                    form=mc.Roll("48 in", "100 ft"))
    >>> with mc.register_rules(mc.PricingRule("crating", "packing", crating)):
    ...     crated = mc.estimate(asked)
    >>> "crate" in set(crated.cost_items["label"]), crated.price > mc.estimate(asked).price
    (True, True)
    """
    for rule in rules:
        if not isinstance(rule, PricingRule):
            raise TypeError(f"a {type(rule).__name__} among the rules, where a PricingRule is due")
    if not isinstance(name, str):
        raise TypeError(f"a name of rules is a text, not a {type(name).__name__}")
    if not name.strip():
        raise ValueError("the name of the rules is blank. Give one, or leave it out.")
    numbered = name == _UNNAMED
    return plugins.installed().register(_OwnRules(rules), name, numbered=numbered)
