"""Running pricing rules so that a faulty one is named and harms nothing else."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from meshcore.arrays import BoolArray, frozen, frozen_array
from meshcore.contained import within_time
from meshcore.costing.items import PricingRule
from meshcore.costing.money import minor_digits
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import Rates
from meshcore.costing.rules.checking import RuleCost, RuleRemark, checked, wrong_with_rule
from meshcore.plugins import PLUGIN_ERRORS, PluginFault


@dataclass(frozen=True, slots=True)
class RuleResults:
    """What all rules together returned.

    Parameters
    ----------
    costs, remarks
        From the rules that ran.
    faults, failed
        All that was set aside, and of these by name the rules that failed as they ran.
    acts
        Rules replaced or switched off.
    """

    costs: tuple[RuleCost, ...]
    remarks: tuple[RuleRemark, ...]
    faults: tuple[PluginFault, ...]
    failed: Mapping[str, PluginFault]
    acts: tuple[str, ...]


def run_rules(
    rules: Sequence[tuple[str, PricingRule]],
    columns: OrderColumns,
    rates: Rates,
    alive: BoolArray,
    failed: Mapping[str, PluginFault],
) -> RuleResults:
    """Run every rule that the book leaves on; set aside those that fail.

    Parameters
    ----------
    rules
        Plugin name and rule, in the order of registration.
    columns
        The lines to be priced; rules see them read-only.
    rates
        The price book as columns.
    alive
        Lines not refused so far; what a rule returns on others is not looked at.
    failed
        Rules known to fail, which are not asked.

    Notes
    -----
    Of two rules with one name the first stands. A rule that stands in for another and fails
    gives way to the one that it replaced.
    """
    known, unusable, acts = _known_rules(rules, rates.book.rules_disabled)
    faults = dict(failed)
    guarded = frozen(columns)
    guarded_rates = replace(
        rates,
        columns=guarded,
        factors={key: frozen_array(values) for key, values in rates.factors.items()},
    )
    costs: dict[str, list[RuleCost]] = {}
    remarks: list[RuleRemark] = []
    replaced: dict[str, str] = {}
    # Replacements first: whether the rules that they stand in for run depends on how they fare.
    for plugin, rule in sorted(known.values(), key=lambda named: not named[1].replaces):
        if rule.name in replaced or rule.name in failed:
            continue
        try:
            with np.errstate(all="ignore"):
                returned = within_time(
                    partial(_returned, rule, guarded, guarded_rates), rule.compute, len(columns)
                )
                worked = [
                    checked(item, rule, plugin, columns, alive, minor_digits(rates.book.currency))
                    for item in returned
                ]
        except PLUGIN_ERRORS as error:
            reason = f"{type(error).__name__}: {error}"
            faults[rule.name] = PluginFault(plugin, f"pricing rule {rule.name}", reason)
            continue
        costs[rule.name] = [item for item in worked if isinstance(item, RuleCost)]
        remarks += [item for item in worked if isinstance(item, RuleRemark)]
        for name in rule.replaces:
            if name in known and name != rule.name:
                replaced[name] = rule.name
                acts.append(f"rule {rule.name} ({plugin}) stands in for {name} ({known[name][0]})")
    kept = [cost for name in known for cost in costs.get(name, ()) if name not in replaced]
    said = [remark for remark in remarks if remark.rule.name not in replaced]
    return RuleResults(tuple(kept), tuple(said), (*unusable, *faults.values()), faults, tuple(acts))


def _returned(rule: PricingRule, columns: OrderColumns, rates: Rates) -> list[object]:
    return list(rule.compute(columns, rates))


def _known_rules(
    rules: Sequence[tuple[str, PricingRule]], disabled: Sequence[str]
) -> tuple[dict[str, tuple[str, PricingRule]], list[PluginFault], list[str]]:
    known: dict[str, tuple[str, PricingRule]] = {}
    faults: list[PluginFault] = []
    acts = [
        f"the price book switches off rule {name}, which no plugin has"
        for name in disabled
        if name not in {rule.name for _, rule in rules}
    ]
    for plugin, rule in rules:
        where = f"pricing rule {rule.name}"
        if wrong := wrong_with_rule(rule):
            faults.append(PluginFault(plugin, where, wrong))
        elif rule.name in known:
            first = known[rule.name][0]
            faults.append(PluginFault(plugin, where, f"the name is taken by plugin {first}"))
        elif rule.name in disabled:
            acts.append(f"rule {rule.name} ({plugin}) is switched off by the price book")
        else:
            known[rule.name] = (plugin, rule)
    return known, faults, acts
