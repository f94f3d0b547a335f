"""Weave rules that follow from geometry and from the wire's alloy, whatever the mill."""

from __future__ import annotations

import numpy as np

from meshcore.weave.cloth import ClothColumns, Judgement, WeaveRule
from meshcore.weave.limits import at_least

#: Alloy records hold the finest wire in millimetres.
_M_PER_MM = 1e-3


def _finest_of_alloy(cloth: ClothColumns) -> Judgement:
    # The last place answers for an unknown alloy (-1), which has no limit.
    finest = np.array([alloy.finest_wire_mm * _M_PER_MM for alloy in cloth.alloys] + [np.nan])
    limit = finest[cloth.alloy]
    return at_least(
        ~np.isnan(limit),
        cloth.wire_diameter_m,
        limit,
        "m",
        "Wire of this alloy is not usually drawn so fine: take a heavier wire or another alloy.",
    )


GEOMETRY_RULES: tuple[WeaveRule, ...] = (
    WeaveRule(
        name="finest wire of the alloy",
        field="wire_diameter",
        origin="the alloy's record: finest wire usually drawn",
        severity="review",
        judge=_finest_of_alloy,
    ),
)
