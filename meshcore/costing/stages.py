"""The stages of a price, in the order in which they are worked."""

from __future__ import annotations

#: Stages in the order in which they are worked; a share may name any earlier one as its base.
STAGES: tuple[str, ...] = (
    "wire",
    "weaving",
    "finishing",
    "cutting",
    "packing",
    "freight",
    "overhead",
    "margin",
    "breaks and minimums",
    "surcharges",
    "tax",
)
#: The stages whose sum is the cost; the later ones make the price of it.
COST_STAGES: tuple[str, ...] = STAGES[: STAGES.index("margin")]
