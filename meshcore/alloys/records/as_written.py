"""Names of alloys as people write them, in the words of the trade, and about a number."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.sizes.coatings import without_coating
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

#: "EN 10088-3" and "ASTM A580" name the standard of the wire, not the alloy.
_STANDARD = re.compile(r"(?<!\w)(?:en \d{5}(?:-\d)?|astm a\d{3})(?!\w)")
#: Letters that stand before a steel's number and touch it: "TP316L".
_LETTERS_BEFORE = re.compile(r"(?<!\w)(?:tp|aisi|inox|sus)(?=\d{3})")
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
    if is_meant_whole(text):
        return ()
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
    ('ss 316 ti', 'galvanized')
    """
    left = _LETTERS_BEFORE.sub("", _STANDARD.sub(" ", fold(without_coating(text)[0])))
    beside = (*phrases("alloy_aside"), *phrases("alloy_says_more"))
    for phrase in sorted(beside, key=len, reverse=True):
        if phrase in left:
            left = _whole(phrase).sub(" ", left)
    return " ".join(left.split()).strip(" ,;:().-[]/")


def is_meant_whole(text: str) -> bool:
    """Whether the word files know a text as it stands: "bright wire" is a name by itself."""
    return fold(text) in words("alloy")


def says_more(text: str) -> tuple[str, ...]:
    """Return what stands about the name of an alloy and says more than which it is.

    Examples
    --------
    >>> says_more("304 annealed"), says_more("304 SS or equal"), says_more("AISI 304")
    (('annealed',), ('or equal',), ())
    """
    left, found = fold(text), []
    for phrase in phrases("alloy_says_more"):
        if phrase in left and (matched := _whole(phrase).search(left)):
            found.append((matched.start(), phrase))
            left = f"{left[: matched.start()]}{'|' * len(matched[0])}{left[matched.end() :]}"
    return tuple(phrase for _, phrase in sorted(found))


def method(text: str) -> str:
    """Return what a text says of how its metal is made, where that leaves open which it is.

    Examples
    --------
    >>> method("hot dip galvanised wire"), method("HDG"), method("galvanized")
    ('hot dip galvanised', 'hdg', '')
    """
    left = fold(text)
    return next((p for p in phrases("alloy_method") if p in left and _whole(p).search(left)), "")


def kinds(text: str) -> tuple[tuple[tuple[str, ...], str], ...]:
    """Return the names that words for a kind of alloy stand beside, each with what is left.

    Examples
    --------
    >>> kinds("rostfrei 1.4404")[0]
    (('stainless',), '1.4404')
    """
    left = without_asides(text)
    found = []
    for topic in ("alloy_kind", "alloy_shared"):
        for phrase in phrases(topic):
            if phrase in left and (rest := _whole(phrase).sub(" ", left)) != left:
                names = words(topic).get(phrase, "").split(", ")
                found.append((tuple(names), " ".join(rest.split()).strip(" ,;:().-[]/")))
    return tuple(found)


def with_strokes(text: str) -> str:
    """Put strokes for the words that part one alloy from another.

    Examples
    --------
    >>> with_strokes("304 or 316L")
    '304 / 316L'
    """
    return " ".join("/" if fold(word) in words("or") else word for word in text.split())


@lru_cache(maxsize=1024)
def _whole(phrase: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(phrase)}(?!\w)\.?")


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
