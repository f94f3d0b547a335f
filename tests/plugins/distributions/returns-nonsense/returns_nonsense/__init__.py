"""A plugin that returns what no hook allows, in several ways."""

from __future__ import annotations

from typing import Any

import numpy as np

from meshcore.costing.items import CostColumn, PricingRule
from meshcore.hookspecs import hookimpl
from meshcore.weave.cloth import WeaveRule


@hookimpl
def meshcore_alloys() -> Any:
    """Words where alloys are due."""
    return ["304", 42]


@hookimpl
def meshcore_services() -> Any:
    """Nothing where a sequence is due."""
    return None


@hookimpl
def meshcore_pricing_rules() -> tuple[PricingRule, ...]:
    """Rules whose results are of the wrong kind, or of the wrong length."""
    return (
        PricingRule("rule that chats", "weaving", lambda _columns, _rates: "nonsense"),  # type: ignore[arg-type,return-value]
        PricingRule("rule of three lines", "cutting", _of_three_lines),
    )


@hookimpl
def meshcore_weave_rules() -> tuple[WeaveRule, ...]:
    """A rule that gives no judgement."""
    return (WeaveRule("weave rule that shrugs", "pitch", "tests", "refused", lambda _cloth: None),)  # type: ignore[arg-type,return-value]


def _of_three_lines(_columns: object, _rates: object) -> list[CostColumn]:
    three = np.full(3, 1e6)
    return [CostColumn("three lines", "lines", three, "line", three, "tests")]
