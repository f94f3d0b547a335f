"""The hooks: the only door by which plugins add to the estimator."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import pluggy

if TYPE_CHECKING:
    from meshcore.alloys.record import Alloy
    from meshcore.costing.items import PricingRule
    from meshcore.enquiry import Service
    from meshcore.weave.cloth import WeaveRule

#: Both the pluggy project name and the entry-point group that plugins register under.
PROJECT = "meshcore"

#: Marks what a hook is to give; for this module alone.
hookspec = pluggy.HookspecMarker(PROJECT)
#: Marks a plugin's function as the hook of its name.
hookimpl = pluggy.HookimplMarker(PROJECT)


@hookspec
def meshcore_alloys() -> Sequence[Alloy]:  # type: ignore[empty-body]
    """Alloys this plugin knows."""


@hookspec
def meshcore_pricing_rules() -> Sequence[PricingRule]:  # type: ignore[empty-body]
    """Pricing rules this plugin adds or replaces."""


@hookspec
def meshcore_weave_rules() -> Sequence[WeaveRule]:  # type: ignore[empty-body]
    """Rules that test whether cloth can be woven."""


@hookspec
def meshcore_services() -> Sequence[Service]:  # type: ignore[empty-body]
    """Services after weaving that a line may ask for."""
