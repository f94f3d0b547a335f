"""The sheets of our own priced workbooks, so that one that comes back is read by its list alone."""

from __future__ import annotations

from collections.abc import Iterable

LISTED, RECKONING, SHARED = "Priced list", "Reckoning", "Shared"


def reckonings(names: Iterable[str]) -> frozenset[str]:
    """Return which of a workbook's sheets reckon the prices of a list that stands beside them.

    Examples
    --------
    >>> sorted(reckonings(["Summary", "Priced list", "Reckoning", "Shared"]))
    ['Reckoning', 'Shared']
    >>> sorted(reckonings(["Reckoning"]))
    []
    """
    ours = frozenset(names) & {LISTED, RECKONING, SHARED}
    return ours - {LISTED} if {LISTED, RECKONING} <= ours else frozenset()
