"""Who speaks in a chat: "Lena: 10 rolls", or a line "Lena 09:02" above what she says."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.reading.vocabulary import fold

_DAY = (
    r"(?:(?i:mon|tue|wed|thu|fri|sat|sun|mo|di|mi|do|fr|sa|so|lun|mar|mer|jeu|ven|sam|dim|mié|jue|vie"
    r"|sáb|dom)[^\W\d]{0,6}\.?,?\s(?=\d{1,2}[:.]\d))"
)
CHAT = re.compile(
    rf"^\s*(?:\[?{_DAY}?"
    r"(?:\d{1,2}[./-]\d{1,2}[./-]\d{2,4},?\s)?(?:\d{1,2}[:.]\d{2}(?:[:.]\d\d)?)?(?:\s[ap]m)?\]?\s*(?:-\s)?)?"
    r"(?:<(?P<nick>[^\W\d][\w .&'-]{0,30})>:?|(?P<who>[^\W\d][\w .&'()-]{0,40}):)\s"
)
_HEAD = re.compile(
    r"^\s*(?P<who>[^\W\d][\w.&'-]{0,20}(?: [^\W\d][\w.&'-]{0,20})?"
    r"(?: \([\w .&'-]{1,40}\))?),?\s{1,3}"
    r"[(\[]?\d{1,2}[:.]\d{2}(?:[:.]\d\d)?(?:\s?[ap]m)?[)\]]?\s*:?\s*$"
)


def who_says(hit: re.Match[str]) -> str:
    """Name of who says a line of a chat."""
    return fold(hit["nick"] or hit["who"])


def is_chat(texts: Sequence[str]) -> bool:
    """Whether most lines of a paragraph begin with who says them."""
    who = [who_says(hit) for text in texts if (hit := CHAT.match(text))]
    return len(who) > len(set(who)) and len(who) * 2 > len(texts)


def speakers(texts: Sequence[str]) -> dict[int, str]:
    """Who speaks below each line that is a name and a time; empty for a letter of one such line.

    Examples
    --------
    >>> speakers(["Lena 09:02", "4 rolls", "", "sales 09:05", "plain?"])
    {0: 'lena', 3: 'sales'}
    """
    found = {n: fold(hit["who"]) for n, text in enumerate(texts) if (hit := _HEAD.match(text))}
    return found if len(found) > 1 else {}
