"""Names of alloys as people write them, in the words of the trade, and about a number."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.sizes.coatings import without_coating
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

#: "EN 10088-3" and "ASTM A580" name the standard of the wire, not the alloy.
_STANDARD = re.compile(r"(?<!\w)(?:en \d{5}(?:-\d)?|astm a\d{3})(?!\w)")
#: Figures parted by a space are a slip of the hand: "31 6L" is no 316L.
_BROKEN = re.compile(r"^\d+\s+\d+\s*[a-z]*$")
#: German lists write Ms for brass; in English ones MS is mild steel.
_BRASS, _EITHER = "Ms", frozenset({"MS", "M.S."})


@lru_cache(maxsize=8192)
def meant(text: str) -> str:
    """Return the designation that the word files give to a text; empty where they give none.

    Examples
    --------
    >>> meant("acier galvanisé"), meant("316L")
    ('galvanized steel', '')
    """
    return words("alloy").get(fold(text), "") or words("alloy").get(without_asides(text), "")


@lru_cache(maxsize=8192)
def shared(text: str) -> tuple[str, ...]:
    """Return the designations that a general word may mean; none where it is no such word.

    Examples
    --------
    >>> shared("Ms"), shared("MS"), shared("316L")
    (('brass 65/35', 'brass 80/20', 'brass 70/30'), ('carbon steel', 'brass 65/35'), ())
    """
    typed = text.strip()
    if typed in _EITHER:
        return ("carbon steel", "brass 65/35")
    word = "messing" if typed.rstrip(".") == _BRASS else fold(text)
    found = words("alloy_shared").get(word) or words("alloy_shared").get(without_asides(text))
    return tuple(found.split(", ")) if found else ()


@lru_cache(maxsize=8192)
def without_asides(text: str) -> str:
    """Drop what stands about the name of an alloy and says nothing of which it is.

    Examples
    --------
    >>> without_asides("W.Nr. 1.4404"), without_asides("UNS S31603")
    ('1.4404', 's31603')
    >>> without_asides("SS 316 Ti, annealed"), without_asides("galvanized 40 g/m²")
    ('316 ti', 'galvanized')
    """
    left = _STANDARD.sub(" ", fold(without_coating(text)[0]))
    for phrase in phrases("alloy_aside"):
        if phrase in left:
            left = re.sub(rf"(?<!\w){re.escape(phrase)}(?!\w)\.?", " ", left)
    return " ".join(left.split()).strip(" ,;:().-[]/")


def is_broken(text: str) -> bool:
    """Whether the figures of a name are parted as no name has them.

    Examples
    --------
    >>> is_broken("31 6L"), is_broken("316 L")
    (True, False)
    """
    return bool(_BROKEN.match(text.strip().casefold()))


for _cached in (meant, shared, without_asides):
    follows_words(_cached.cache_clear)
