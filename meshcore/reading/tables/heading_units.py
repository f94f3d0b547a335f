"""The unit in a heading: in brackets, or bare after the name."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.tables.heading_words import counted_words, folded, folded_words
from meshcore.reading.texts import tidy
from meshcore.reading.vocabulary import fold, follows_words, phrases, words

_GAUGES = {"swg": "SWG", "iswg": "SWG", "awg": "AWG", "bwg": "BWG", "b&s": "AWG"}
_COUNTED = frozenset({"roll", "strip", "piece"})
#: Units of length that stand in headings; others of the word files are of cells only.
LENGTHS = frozenset({"mm", "cm", "m", "µm", "in", "ft", "yd", "thou"})
#: Units of an amount that is no count of pieces.
AMOUNTS = frozenset({"m2", "ft2", "kg", "lb", "t", "g", "m", "ft"})
#: Words for a unit that end a heading as something else: a customer's PO (our choice).
_NO_UNITS = frozenset({"po", "u", "my", "mu", "mü", "mi", "l.m", "p", "a", "à"})
#: In a heading a mil is a thousandth of an inch: nobody heads a column of metres so.
_OF_HEADINGS = {"mil": "thou"}
#: Between what a count is per and its length, and changing nothing.
_RUNNING = re.compile(r"^(?:lin(?:ear|eal)?\.?|running|lfd\.?)\s+")
_BRACKETED = re.compile(r"^(?P<name>.*?)\s*[\[({](?P<unit>[^\])}]*)[\])}]\s*$")
_TAIL = re.compile(r"^(?P<name>.*?\S)(?:[\s,;:/]+|(?<=\w)(?=[\"'″]))(?:in\s+|en\s+)?(?P<unit>\S+)$")


@lru_cache(maxsize=4096)
def unit_word(text: str) -> str:
    """Return the unit that a text names, as cells are read with; empty if it names none.

    Examples
    --------
    >>> unit_word("Zoll"), unit_word("per inch"), unit_word("/cm"), unit_word("SWG")
    ('in', '/ in', '/ cm', 'SWG')
    >>> unit_word("rolls"), unit_word("m²"), unit_word("see note")
    ('roll', 'm2', '')
    """
    plain = tidy(text).casefold().strip(" .:").removeprefix("in ").removeprefix("en ").strip()
    plain = plain or tidy(text).casefold().strip(" .:")
    if plain in _GAUGES:
        return _GAUGES[plain]
    if length := _length(plain):
        return length
    if words("unit_share").get(fold(plain)) == "%":
        return "%"
    if count := _count_unit(plain):
        return count
    if plain in _COUNTED:
        return plain
    return counted_words().get(folded(plain)) or _amount(plain)


def _length(plain: str) -> str:
    name = words("unit_length").get(fold(plain), "")
    name = _OF_HEADINGS.get(name, name)
    return name if name in LENGTHS and plain not in _NO_UNITS else ""


def _amount(plain: str) -> str:
    """Return the unit of an amount of cloth: "sq ft", "kgs", "running metres"."""
    bare = folded(plain)
    for topic in ("unit_area", "unit_mass", "unit_length"):
        name = folded_words(topic).get(bare, "")
        if name in AMOUNTS and plain not in _NO_UNITS:
            return name
    return ""


def _count_unit(plain: str) -> str:
    """Return the unit of a count: "per inch", "/cm", "je Zoll"; empty where it is none."""
    for noun in ("", *phrases("count_noun")):
        rest = plain.removeprefix(noun).strip() if plain.startswith(noun) else ""
        for per in _pers():
            if rest.startswith(per):
                length = _length(_RUNNING.sub("", rest[len(per) :].strip()))
                return f"/ {length}" if length else ""
    return ""


def _pers() -> tuple[str, ...]:
    """Words between a count and its length, longest first, as they are typed."""
    return tuple(per for per in phrases("per") if per not in _NO_UNITS)


@lru_cache(maxsize=1)
def _per_pattern() -> re.Pattern[str]:
    every = "|".join(re.escape(per) for per in _pers())
    return re.compile(rf"^(?P<name>.*?\w)\s*(?P<unit>(?:/|\b(?:{every})\s)\s*[^/]+)$")


@lru_cache(maxsize=4096)
def split_unit(heading: str) -> tuple[str, str, str]:
    """Split a heading into its name, its unit, and what else stood in brackets.

    Examples
    --------
    >>> split_unit("Wire (in)"), split_unit("Aperture mm"), split_unit("Mesh per inch")
    (('wire', 'in', ''), ('aperture', 'mm', ''), ('mesh', '/ in', ''))
    >>> split_unit("Maschen/Zoll"), split_unit("SWG"), split_unit("Width (see drawing)")
    (('maschen', '/ in', ''), ('swg', '', ''), ('width', '', 'see drawing'))
    """
    plain = tidy(heading).casefold().rstrip(" :")
    bracketed = _BRACKETED.match(plain)
    if bracketed:
        inside = bracketed["unit"].strip()
        unit = unit_word(inside)
        name = bracketed["name"]
        if unit:
            return folded(name), unit, ""
        outer = split_unit(name)
        return outer[0], outer[1], inside
    per = _per_pattern().match(plain.replace("_", " "))
    if per and unit_word(per["unit"]):
        return folded(per["name"]), unit_word(per["unit"]), ""
    tail = _TAIL.match(plain.replace("_", " "))
    if tail:
        unit = unit_word(tail["unit"])
        if unit and (unit not in ("roll", "strip", "piece") or len(tail["unit"]) > 1):
            return folded(tail["name"]), unit, ""
    return folded(plain), "", ""


#: Nouns that head a size as well, one each: "Wire / in" is a wire in inches.
_ONE_THING = frozenset(
    {"wire", "aperture", "opening", "hole", "thread", "strand", "fil", "hilo", "n", "m"}
)
_ALONG = frozenset({"/ in", "/ cm"})


def counts_along(whole: str, name: str, unit: str) -> bool:
    """Whether a heading counts meshes or wires along a length, and is no size in its unit.

    Parameters
    ----------
    whole, name, unit
        The folded heading, and what `split_unit` makes of it.

    Examples
    --------
    >>> counts_along("masche/cm", "masche", "/ cm"), counts_along("wires/inch", "wires", "/ in")
    (True, True)
    >>> counts_along("wire / in", "wire", "/ in"), counts_along("masche / mm", "masche", "/ mm")
    (False, False)
    """
    noun = words("count_noun").get(name, "")
    if unit not in _ALONG or not noun:
        return False
    return "/" not in whole or noun == "mesh" or name not in _ONE_THING


def is_gauge(word: str) -> bool:
    """Whether a word of a heading says that wire is given by gauge.

    Examples
    --------
    >>> is_gauge("ga"), is_gauge("wire")
    (True, False)
    """
    return word in words("gauge_word")


for _kept in (unit_word, split_unit, _per_pattern):
    follows_words(_kept.cache_clear)
