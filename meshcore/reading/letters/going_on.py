"""Whether a line goes on with the passage above it."""

from __future__ import annotations

import re

from meshcore.reading.letters.blocks import asks_prices
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.mails import Line
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.sentences import ABBREVIATED
from meshcore.reading.letters.wrapping import WRAPPED

#: How a line of a list without bullets begins: with a number, a sign or a capital word and a number.  # noqa: E501
_ENTRY = re.compile(r"^\s*(?:\d|[A-Z]\d|[-+*#(]|\S+[:.]\s|[^\W\d_]+ [^\W\d_]+:\s)")


#: "add: …", "spare cloth: …": a few words before a colon, line for line.
_KEYED = re.compile(r"^\s*[^\W\d_]{2,15}(?: [^\W\d_]{2,15}){0,2}:\s")


#: A line under a list that speaks of all of it: "all annealed", "certificate 3.1 for both".
_OF_ALL = re.compile(
    r"(?i)^\s*(?:all|both|everything|alle|beide|alles|tous|toutes|tout|todos?|todas?|ambos|ambas)\b(?! (?:round|around))"  # noqa: E501
    r"|\b(?:for|with|für|pour|para) (?:all|both|everything|alle|beide|tous|toutes|les deux|todos|todas|ambos|ambas)\b"  # noqa: E501
)


#: A line that orders what stands above it again.
_AGAIN = re.compile(
    r"(?i)^\s*(?:same again|ditto|same (?:but|in|as|for)\b|as above|dito|idem|igual|lo mismo"
    r"|dasselbe|das gleiche|l[ae] même)\b"
)


#: A line under two items that speaks of the two, though it is set in.
_OF_BOTH = re.compile(
    r"(?i)^\s*(?:both|beide|les deux|ambos|ambas)\b(?! (?:sides|ends|edges|long))"
)


#: How many at the end of an entry, set off from it: "… 1.6 mm wire  ...  3 dozen".
_COUNTED = re.compile(
    r"(?i)(?:[ ]{2,}|\.{2,}[ ]*|\t)\d{1,5}(?:[ ]?(?:dozen|doz|off|pcs|no|ea|st[üu]ck|stk|pi[èe]ces|piezas|uds?))?\.?\s*$"  # noqa: E501
)


def goes_on(  # noqa: PLR0911
    before: Line, line: Line, last: Passage, indent: int, lexicon: Lexicon
) -> bool:
    """Whether a line goes on with the passage before: wrapped, or set in under an item."""
    if indent <= last.indent and _is_other(line.text, lexicon):
        return False
    told = _OF_ALL.search(line.text) or _counts(line.text, lexicon) or asks_prices(line.text)
    if _ENTRY.match(before.text) and indent <= last.indent and told:
        return False
    if indent <= last.indent and _COUNTED.search(before.text) and re.search(r"\d", line.text):
        return False
    if last.kind == "item" and _OF_BOTH.match(line.text):
        return False
    if _ENTRY.match(before.text) and indent <= last.indent and _AGAIN.match(line.text):
        return False
    if last.kind == "item":
        return indent > last.indent or (_wrapped(before, line) and line.text.lstrip()[:1].islower())
    return _wrapped(before, line) and last.kind != "row"


def _is_other(text: str, lexicon: Lexicon) -> bool:
    """Whether a line begins with other goods, one under another: "perforated 304 sheet"."""
    items = cut_items(text[:_COUNT_OF], lexicon)[:1]
    return bool(items) and "other" in items[0].tags


def _counts(text: str, lexicon: Lexicon) -> bool:
    """Whether a line begins with a number in words and what it counts: "ten strips, ditto"."""
    items = cut_items(text[:_COUNT_OF], lexicon)[:3]
    if len(items) < 2 or items[0].kind != "num" or not items[0].spelled:  # noqa: PLR2004
        return False
    return any({"form", "shape", "roll_length"} & i.tags.keys() for i in items[1:])


#: A count and what it counts stand within so many signs (our choice).
_COUNT_OF = 60


def _wrapped(before: Line, line: Line) -> bool:
    if before.end + 1 != line.start:
        return False
    text = before.text.rstrip()
    first = line.text.lstrip()[:1]
    if _KEYED.match(before.text) and _KEYED.match(line.text):
        return False
    if not first.islower() and _ENTRY.match(before.text) and _ENTRY.match(line.text):
        return False
    return (
        len(text) >= WRAPPED
        and text[-1:] not in ":;!?"
        and not (text[-1:] == "." and not ABBREVIATED.search(text))
        and not re.search(r"\S {3,}\S", before.text.strip() + " " + line.text.strip())
    )
