"""What is customarily woven, as a weave-rule plugin.

A mill with its own limits copies ``capability.toml``, sets its numbers and their origins, and
brings a plugin that returns ``capability_rules(read_capability(path))``. Its rules stand in for
the bundled ones of the same name.
"""

from __future__ import annotations

from meshcore.hookspecs import hookimpl
from meshcore.weave.cloth import WeaveRule
from meshcore_weave_practice.capability import (
    Capability,
    CapabilityError,
    customary_capability,
    parse_capability,
    read_capability,
)
from meshcore_weave_practice.geometry import GEOMETRY_RULES
from meshcore_weave_practice.rules import capability_rules

__all__ = [
    "Capability",
    "CapabilityError",
    "capability_rules",
    "customary_capability",
    "parse_capability",
    "read_capability",
]


@hookimpl
def meshcore_weave_rules() -> tuple[WeaveRule, ...]:
    """Limits of geometry and of the alloy, and the customary capability."""
    return (*GEOMETRY_RULES, *capability_rules(customary_capability()))
