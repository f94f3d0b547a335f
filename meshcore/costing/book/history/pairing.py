"""Which row of a changed price book was which row before."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from difflib import SequenceMatcher
from typing import TypeVar

R = TypeVar("R", bound=Hashable)


def paired(
    before: Sequence[R], after: Sequence[R], name: Callable[[R], Hashable]
) -> tuple[dict[int, int], list[int]]:
    """Tell which rows stay, changed or not, and which are new.

    Parameters
    ----------
    before, after
        Rows of one table.
    name
        What a row is for; a row of the same name is the same row with other cells.

    Returns
    -------
    Place before → place after, of each row that stays; places of the new rows. A row whose name
    changed stays where as many rows were changed between two that stay.

    Examples
    --------
    >>> paired(["a 1", "b 2", "c 3"], ["a 4", "b 2", "d 5"], lambda row: row[0])
    ({1: 1, 0: 0, 2: 2}, [])
    """
    stays: dict[int, int] = {}
    for key in (lambda row: row, name):
        _pair(before, after, key, stays)
    _pair_renamed(len(before), len(after), stays)
    taken = set(stays.values())
    return stays, [place for place in range(len(after)) if place not in taken]


def _pair(
    before: Sequence[R], after: Sequence[R], key: Callable[[R], Hashable], stays: dict[int, int]
) -> None:
    taken = set(stays.values())
    free: defaultdict[Hashable, list[int]] = defaultdict(list)
    for place, row in enumerate(after):
        if place not in taken:
            free[key(row)].append(place)
    for place, row in enumerate(before):
        if place not in stays and free[key(row)]:
            stays[place] = free[key(row)].pop(0)


def _pair_renamed(count_before: int, count_after: int, stays: dict[int, int]) -> None:
    """Pair what lies between the same two rows that stay, where it is as many rows."""
    back = {after: before for before, after in stays.items()}
    first = [("stays", place) if place in stays else ("gone", place)
             for place in range(count_before)]  # fmt: skip
    second = [("stays", back[place]) if place in back else ("new", place)
              for place in range(count_after)]  # fmt: skip
    for kind, i1, i2, j1, j2 in SequenceMatcher(None, first, second, False).get_opcodes():
        if kind != "replace" or i2 - i1 != j2 - j1:
            continue
        between = zip(range(i1, i2), range(j1, j2), strict=True)
        stays |= {
            old: new for old, new in between if first[old][0] == "gone" and second[new][0] == "new"
        }
