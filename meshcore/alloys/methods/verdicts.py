"""How one method judges alloys for services, and how verdicts combine."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from meshcore.arrays import BoolArray, FloatArray

VerdictArray: TypeAlias = NDArray[np.int8]

#: Verdicts in rising order of gravity: of several, the gravest stands. What no method covers
#: outweighs what only just passes, so that nothing passes unjudged.
VERDICTS: tuple[str, ...] = ("not asked", "meets", "marginal", "not judged", "fails")
NOT_ASKED, MEETS, MARGINAL, NOT_JUDGED, FAILS = (np.int8(i) for i in range(len(VERDICTS)))


@dataclass(frozen=True, slots=True)
class Fitness:
    """What one method finds, services down and alloys across.

    Parameters
    ----------
    method
        Short name of the method with its source, shown beside the verdict.
    verdict
        Index into ``VERDICTS``, shape (services, alloys).
    margin
        How far inside the limit, in steps of the method [-]: 0 only just meets, negative fails.
        NaN where there is none. The size of a step is the project's own choice for each method,
        so margins are compared within one method only.
    say
        Words the finding for one service and one alloy (their indices).
    at_least
        Where a service lies outside the range of the method, the verdict at the nearest point
        inside: no other method that answers the same question makes it better. None where that
        takes nothing away.
    """

    method: str
    verdict: VerdictArray
    margin: FloatArray
    say: Callable[[int, int], str]
    at_least: VerdictArray | None = None


def not_asked(method: str, shape: tuple[int, int]) -> Fitness:
    """Return what a method finds where no service asks it: nothing, at no cost."""
    return Fitness(
        method,
        np.broadcast_to(NOT_ASKED, shape),
        np.broadcast_to(np.nan, shape),
        lambda _service, _alloy: "not asked",
    )


def verdict_where(
    asked: BoolArray, covered: BoolArray, meets: BoolArray, marginal: BoolArray
) -> VerdictArray:
    """Verdict of each cell from what is asked, covered and met; the masks broadcast.

    Examples
    --------
    >>> yes, no = np.array(True), np.array(False)
    >>> VERDICTS[int(verdict_where(yes, no, yes, no))]
    'not judged'
    """
    judged = np.where(meets, MEETS, np.where(marginal, MARGINAL, FAILS))
    return np.where(asked, np.where(covered, judged, NOT_JUDGED), NOT_ASKED).astype(np.int8)


def gravest(verdicts: Sequence[VerdictArray]) -> VerdictArray:
    """Gravest verdict of several; not judged where nothing was asked at all."""
    worst = np.maximum.reduce(list(verdicts))
    return np.where(worst == NOT_ASKED, NOT_JUDGED, worst).astype(np.int8)


def together(first: VerdictArray, second: VerdictArray) -> VerdictArray:
    """Two methods that answer one question: the graver of them, where both cover the alloy.

    Examples
    --------
    >>> cells = [np.array([v], dtype=np.int8) for v in (NOT_JUDGED, MEETS, MARGINAL)]
    >>> silent, meets, marginal = cells
    >>> VERDICTS[together(silent, meets)[0]], VERDICTS[together(meets, marginal)[0]]
    ('meets', 'marginal')
    """
    said_first = (first != NOT_JUDGED) & (first != NOT_ASKED)
    said_second = (second != NOT_JUDGED) & (second != NOT_ASKED)
    one = np.where(said_second, second, np.where(said_first, first, np.maximum(first, second)))
    return np.where(said_first & said_second, np.maximum(first, second), one).astype(np.int8)
