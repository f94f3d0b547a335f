"""The alloys that most cloth is ordered in: named first where a general name leaves many."""

from __future__ import annotations

from collections.abc import Sequence

#: The likeliest first (common practice, no source).
LIKELY_ALLOYS: tuple[str, ...] = (
    "304", "316L", "316", "304L", "430", "carbon steel", "galvanized steel", "brass 65/35",
    "phosphor bronze 5 %", "alloy 400", "alloy 600", "nickel 200", "titanium grade 2",
    "aluminium 5056", "copper-nickel 90/10", "2205",
)  # fmt: skip
#: As many of them are named.
MOST_NAMED = 4


def likely_few(names: Sequence[str]) -> tuple[tuple[str, ...], int]:
    """Return the likeliest of some alloys, and how many others there are.

    Where there is but one more than are named, all are.

    Examples
    --------
    >>> likely_few(["302", "304", "305", "309S", "316", "316L"])
    (('304', '316L', '316'), 3)
    >>> likely_few(["304", "316"])
    (('304', '316'), 0)
    """
    if len(names) <= MOST_NAMED + 1:
        return tuple(names), 0
    likely = [name for name in LIKELY_ALLOYS if name in names] or list(names)
    few = tuple(likely[:MOST_NAMED])
    return few, len(names) - len(few)
