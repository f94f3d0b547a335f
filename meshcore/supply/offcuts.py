"""Offcuts: what is left, what of it is worth keeping, and what that is worth."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

#: Cloth left over that is narrower or shorter than this [m] is rounding, not an offcut.
LEAST_OFFCUT_M = 1e-6


@dataclass(frozen=True, slots=True)
class Offcut:
    """Rectangles of cloth left over.

    Parameters
    ----------
    where
        ``"beside the strips"``, ``"end of a lane"``, ``"end of a roll"`` or
        ``"beside the pieces"``.
    width_m, length_m
        Size across and along the cloth [m].
    count
        How many there are.
    """

    where: str
    width_m: float
    length_m: float
    count: int

    @property
    def area_m2(self) -> float:
        """Area of them all [m²]."""
        return self.width_m * self.length_m * self.count


@dataclass(frozen=True, slots=True)
class KeepTerms:
    """What a mill takes back to stock.

    Parameters
    ----------
    least_width_m, least_length_m
        Least size that is worth a place [m].
    credit_share
        Credit as a share of what that cloth cost [-].
    """

    least_width_m: float
    least_length_m: float
    credit_share: float


def worth_keeping(offcuts: Iterable[Offcut], terms: KeepTerms) -> tuple[Offcut, ...]:
    """Return the offcuts that are large enough to keep.

    Examples
    --------
    >>> left = [Offcut("end of a roll", 1.2, 3.0, 1), Offcut("beside the strips", 0.05, 30.0, 2)]
    >>> [o.where for o in worth_keeping(left, KeepTerms(0.3, 1.0, 0.5))]
    ['end of a roll']
    """
    return tuple(
        o
        for o in offcuts
        if o.width_m >= terms.least_width_m and o.length_m >= terms.least_length_m
    )


def credited_share(kept: Iterable[Offcut], area_m2: float, terms: KeepTerms) -> float:
    """Return the share of the cost of `area_m2` of cloth that is credited for offcuts kept [-].

    Examples
    --------
    >>> credited_share([Offcut("end of a roll", 1.0, 3.0, 1)], 30.0, KeepTerms(0.3, 1.0, 0.5))
    0.05
    """
    return terms.credit_share * math.fsum(offcut.area_m2 for offcut in kept) / area_m2
