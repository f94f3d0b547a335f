"""Whether the lines of a paragraph were broken where they were full, or where the writer meant."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

#: A line longer than this that ends amid a sentence was wrapped.
WRAPPED = 50
#: A line that leaves so many signs free before the next word was ended on purpose (our choice).
_FREE = 8


#: A column of text has at least so many lines, of at least so many signs (our choice).
_COLUMN_LINES, _COLUMN_WIDTH = 5, 18
#: A line of a column may leave so many signs free though the next word had room (our choice).
_RAGGED = 3


def column_width(paragraphs: Sequence[Sequence[str]]) -> int:
    """Width of the narrow column that a letter is written in; 0 where it is not."""
    columns = [lines for lines in paragraphs if is_column(lines)]
    return max((len(line.strip()) for lines in columns for line in lines), default=0)


def is_column(lines: Sequence[str], known: int = 0) -> bool:
    """Whether short lines are one narrow column of prose, broken where the next word had no room.

    Most lines must go on with a small letter, as no list does whose lines begin with counts. Where
    the width of the letter's column is known, two lines are enough.

    Examples
    --------
    >>> is_column(["We require for the rebuild-", "ing of our drying floor sixty", "(60) sheets of woven wire,",
    ...            "ten mesh and half a milli-", "metre of wire, in brass"])
    True
    >>> is_column(["6 rolls 10 mesh brass", "4 rolls 12 mesh brass", "2 rolls 14 mesh brass"] * 2)
    False
    """  # noqa: E501
    texts = [line.strip() for line in lines]
    width = max(known, *map(len, texts)) if texts else 0
    if len(texts) < (2 if known else _COLUMN_LINES) or not _COLUMN_WIDTH <= width < WRAPPED:
        return False
    pairs = [(a, b) for a, b in pairwise(texts) if a and b]
    firsts = [line.split(maxsplit=1)[0] for line in texts if line]
    if 2 * len(set(firsts)) < len(firsts):
        return False  # "item 1 …", "item 2 …"
    broken = [a for a, b in pairs if _breaks(a, b, width)]
    small = [b for a, b in pairs if b[0].islower() or a.endswith("-")]
    return 5 * len(broken) >= 4 * len(pairs) and 5 * len(small) >= 2 * len(pairs)


def _breaks(line: str, after: str, width: int) -> bool:
    """Whether a line of a column ends where the next word had no room."""
    room = len(line) + len(after.split(maxsplit=1)[0]) < width - _RAGGED
    return line.endswith("-") or not room


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
