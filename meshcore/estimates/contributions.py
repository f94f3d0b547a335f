"""What each plugin brings, by hook."""

from __future__ import annotations

from meshcore.alloys.record import Alloy
from meshcore.alloys.records.registry import check_alloy
from meshcore.costing.items import PricingRule
from meshcore.enquiry import Service
from meshcore.plugins import PluginSet
from meshcore.weave.judging.practicality import weave_rules


def gather(plugins: PluginSet) -> dict[str, dict[str, list[str]]]:
    """Ask every hook of every plugin.

    Returns
    -------
    Plugin name → hook → names of what it brings there.
    """
    named: list[tuple[str, str, str]] = [
        *(("meshcore_alloys", p, a.designation)
          for p, a in plugins.collect("meshcore_alloys", Alloy, check_alloy)),
        *(("meshcore_pricing_rules", p, r.name)
          for p, r in plugins.collect("meshcore_pricing_rules", PricingRule)),
        *(("meshcore_weave_rules", p, r.name) for p, r in weave_rules(plugins)),
        *(("meshcore_services", p, s.name)
          for p, s in plugins.collect("meshcore_services", Service)),
    ]  # fmt: skip
    brought: dict[str, dict[str, list[str]]] = {}
    for hook, plugin, name in named:
        brought.setdefault(plugin, {}).setdefault(hook, []).append(name)
    return brought
