"""What cloth is to do, where a remark or a letter says so."""

from __future__ import annotations

import re
from functools import cache

from meshcore.reading.vocabulary import fold, follows_words, words

#: What cloth may be for, in the order in which they are listed.
USES: tuple[str, ...] = (
    "screening",
    "filtration",
    "ventilation",
    "insects",
    "guarding",
    "test sieving",
    "support",
    "reinforcement",
    "conveying",
    "shielding",
)


def use_named(text: str) -> tuple[str, str]:
    """Find what a text says that the cloth is for.

    Parameters
    ----------
    text
        A remark, or the words of a letter.

    Returns
    -------
    The word that says it, folded, and the use, one of ``USES``; both empty where none does, or
    where words name several uses. Of words that overlap, the longest counts: an insect screen.

    Examples
    --------
    >>> use_named("for the Vibrating Screen at the quarry")
    ('vibrating screen', 'screening')
    >>> use_named("for the filter of a vibrating screen"), use_named("blue")
    (('', ''), ('', ''))
    """
    found = [match.group() for match in _pattern().finditer(fold(text))]
    named = {words("use")[word] for word in found}
    return (found[0], named.pop()) if len(named) == 1 else ("", "")


@cache
def _pattern() -> re.Pattern[str]:
    longest_first = sorted(words("use"), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, longest_first))})(?!\w)")


follows_words(_pattern.cache_clear)
