"""Whether the lines of a paragraph were broken where they were full, or where the writer meant."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

#: A line longer than this that ends amid a sentence was wrapped.
WRAPPED = 50
#: A line that leaves so many signs free before the next word was ended on purpose (our choice).
_FREE = 8


def is_filled(lines: Sequence[str]) -> bool:
    """Whether long lines end where the next word had no room.

    Examples
    --------
    >>> is_filled(["a" * 70, "b" * 68 + " c", "d"])
    True
    >>> is_filled(["a" * 80, "half a roll of the same cloth, 1 m wide, no certificate", "tel."])
    False
    """
    texts = [line.strip() for line in lines]
    width = max(map(len, texts), default=0)
    long = [(a, b) for a, b in pairwise(texts) if WRAPPED <= len(a) < width and b]
    free = [a for a, b in long if len(a) + 1 + len(b.split(maxsplit=1)[0]) + _FREE <= width]
    return 2 * len(free) <= len(long)
