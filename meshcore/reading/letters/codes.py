"""Numbers and letters in one word: grades, sizes, fractions, or nothing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import NO_TAGS, Item
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.numbers import numerals
from meshcore.reading.vocabulary import fold

_GRADE = re.compile(
    r"^(?:aisi|ss|t|type|s/s|v|sus|astm|inox|ni|ti)?[-/.]?(\d[\w.]*)$", re.IGNORECASE
)


_WORD_NUMBER = re.compile(r"^([^\W\d_]+)[-.]?(\d+(?:[.,]\d+)?)$")


def known_code(token: Item, lexicon: Lexicon) -> list[Item]:
    """Take a code for an alloy or a word with its number where it is one: T304, MW10, R25."""
    key = tuple(re.findall(r"\d+(?:[.,]\d+)*|[^\W\d_]+|[^\s\w]", fold(token.text)))
    for phrase, tags in lexicon.phrases.get(key[0], ()) if key else ():
        if phrase == key:
            return [replace(token, kind="word", tags=tags)]
    grade = _GRADE.match(token.text)
    if grade:
        bare = tuple(re.findall(r"\d+(?:[.,]\d+)*|[^\W\d_]+", fold(grade[1])))
        for phrase, tags in lexicon.phrases.get(bare[0], ()):
            if phrase == bare and "alloy" in tags:
                return [replace(token, kind="word", tags=tags)]
    parted = _WORD_NUMBER.match(token.text)
    if parted:
        word = fold(parted[1])
        for phrase, tags in lexicon.phrases.get(word, ()):
            if phrase == (word,) and "size" in tags and "alloy" not in tags:
                middle = token.start + len(parted[1])
                return [
                    replace(token, kind="word", text=parted[1], end=middle, tags=tags),
                    Item(
                        "num",
                        parted[2],
                        token.end - len(parted[2]),
                        token.end,
                        values=number_values(parted[2]),
                        glued=True,
                    ),
                ]
    return [token]


def not_alloys(items: Sequence[Item]) -> list[Item]:
    """Hold that a number beside an "x" or before a unit is a size, even where an alloy goes by it."""  # noqa: E501
    out = list(items)
    for n, item in enumerate(items):
        if item.kind != "num" or "alloy" not in item.tags:
            continue
        after = items[n + 1] if n + 1 < len(items) else None
        before = items[n - 1] if n else None
        crossed = any(
            one is not None and fold(one.text) in ("x", "*", "by") for one in (before, after)
        )
        unit = (
            after is not None
            and after.tags.get("unit") in ("mm", "cm", "µm")
            and after.kind == "word"
        )
        sized = before is not None and before.tags.get("size") not in (None, "kind", "wire")
        if crossed or unit or sized:
            out[n] = replace(item, tags=NO_TAGS)
    return out


_VULGAR = {"¼": 0.25, "½": 0.5, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}


def number_values(text: str) -> tuple[float, ...]:
    """Every value that digits allow: fractions and thousands included.

    Examples
    --------
    >>> number_values("2-1/2"), number_values("1.250"), number_values("1½")
    ((2.5,), (1.25, 1250.0), (1.5,))
    """
    if text[-1] in _VULGAR:
        return (float(text[:-1] or 0) + _VULGAR[text[-1]],)
    parted = re.fullmatch(r"(?:(\d+)[-\s])?(\d+)/(\d+)", text)
    if parted:
        one = numerals.fraction(parted[1] or "", parted[2], parted[3])
        return () if one is None else (one.value,)
    return tuple(n.value for n in numerals.readings(text.lstrip(",") if text[:1] != "," else text))
