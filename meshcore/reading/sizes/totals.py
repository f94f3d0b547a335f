"""A total that stands beside its parts: "3 rolls of 30 m, 90 m in all"."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.numbers.numerals import NUMBER
from meshcore.reading.vocabulary import follows_words, phrases

#: A total and its parts differ by more than rounding from here on [-].
AGREEMENT = 0.01


@lru_cache(maxsize=1)
def _pattern() -> re.Pattern[str]:
    said = "|".join(re.escape(phrase) for phrase in phrases("in_all"))
    word = rf"(?<!\w)(?:{said})(?!\w)\.?:?"
    size = rf"{NUMBER}\s*[^\W\d_]+\.?|{NUMBER}\s*['\"]"
    return re.compile(
        rf"[\s,;(=]*(?:=\s*(?P<equal>{size})|{word}\s*(?P<after>{size})|"
        rf"(?<![\w.,])(?P<before>{size})\s*{word})\s*(?:\)|(?=\s*(?:$|[,;])))"
    )


follows_words(_pattern.cache_clear)


def without_total(text: str) -> tuple[str, str]:
    """Part a plain text from the total that stands in it; the total is empty where there is none.

    Examples
    --------
    >>> without_total("2 rolls @ 30 m = 60 m"), without_total("3 x 30 m (90 m total)")
    (('2 rolls @ 30 m', '60 m'), ('3 x 30 m', '90 m'))
    >>> find_total("b = 1 m, l = 25 m"), without_total("2 rolls of 30 m, total 60 m")[1]
    ((0, 0, ''), '60 m')
    >>> without_total("2 rolls of 30 m, total 60 m")[1], without_total("total 4 rolls")
    ('60 m', ('total 4 rolls', ''))
    """
    start, end, total = find_total(text)
    rest = f"{text[:start]} {text[end:]}" if total else text
    return (" ".join(rest.split()).rstrip(" ,;") if total else text), total


def find_total(text: str) -> tuple[int, int, str]:
    """Return where a total stands in a text in small letters, and what it is; empty for none."""
    for found in _pattern().finditer(text):
        before = text[: found.start()]
        of_parts = _A_SIZE_ENDS.search(before) if found["equal"] else re.search(r"\d", before)
        if of_parts:
            total = next(filter(None, found.group("equal", "after", "before")))
            return found.start(), found.end(), total
    return 0, 0, ""


#: Before an equals sign that a total follows; "L = 25 m" names a size.
_A_SIZE_ENDS = re.compile(r"\d\s*(?:[^\W\d_]{1,3}\.?|['\"])?\s*$|^\d+\s+[^\W\d_]{3,}\s*$")


def agrees(total: float, parts: float) -> bool:
    """Whether a total is that of its parts.

    Examples
    --------
    >>> agrees(90.0, 3 * 30.0), agrees(90.0, 2 * 30.0)
    (True, False)
    """
    return abs(total - parts) <= AGREEMENT * parts
