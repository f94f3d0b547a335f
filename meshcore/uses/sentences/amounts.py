"""Amounts in a sentence: numbers with their units, sizes times sizes, and sieves by number."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from functools import cache
from typing import Literal, TypeAlias

from meshcore.reading.numbers.lexing import tidy
from meshcore.reading.vocabulary import fold, follows_words, words
from meshcore.uses.relations.sieves import aperture_designated

#: What an amount is of; a bare number has no unit, and "other" is what no use is stated by.
AmountKind: TypeAlias = Literal[
    "length", "share", "angle", "speed", "pressure", "frequency", "line load", "section",
    "decibel", "sieve", "number", "dimensions", "other",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class AmountSaid:
    """One amount in a sentence.

    Parameters
    ----------
    kind
        What it is of.
    text
        As it is read and said: number and unit.
    ends
        The two ends of a range, each as text; empty where it is none.
    start, end
        Where it stands in the folded sentence.
    """

    kind: AmountKind
    text: str
    start: int
    end: int
    ends: tuple[str, ...] = ()


#: Table of the word files with the units of each kind. Of two kinds that share a word, the first.
_UNITS: tuple[tuple[str, AmountKind], ...] = (
    ("unit_length", "length"), ("unit_share", "share"), ("unit_angle", "angle"),
    ("unit_speed", "speed"), ("unit_pressure", "pressure"), ("unit_frequency", "frequency"),
    ("unit_line_load", "line load"), ("unit_section", "section"), ("unit_decibel", "decibel"),
    ("unit_temperature", "other"), ("unit_mass", "other"), ("unit_area", "other"),
    ("unit_duration", "other"),
)  # fmt: skip
#: Words that are units in a cell, and other words in a sentence.
_NO_UNITS = frozenset(
    {"to", "t", "a", "y", "k", "u", "my", "mu", "f", "fraction", "share", "m/m", "of a metre"}
)
#: How units are written where they are not as the word files name them.
_WRITTEN = {"deg": "°", "C": "°C", "F": "°F", "mm2/m": "mm²/m", "cm2/m": "cm²/m"}
_TO = r"(?:to|-|and|bis|und|a|et|y|until|up to|hasta)"
_TIMES = r"(?:x|×|by|mal|par|por|\*)"
_NUMBER = r"\d+(?:[.,]\d+)*(?:(?:\s+|-)\d+/\d+|/\d+)?"
#: How meshes of an inch are said.
_MESH = (
    r"(?:meshe?s?(?:\s*(?:per|/|to the)\s*inch)?|maschen?(?:\s*(?:pro|je|/|auf den)\s*zoll)|"
    r"mailles?\s*(?:par|au)\s*pouce|mallas?\s*por\s*pulgada)"
)
#: A number of ASTM E11 before which or behind which it is said to be one.
_SIEVE = rf"(?:(?:no\.?|nr\.?|n°|number|#)\s*{_NUMBER}(?:\s*mesh)?|{_NUMBER}[\s-]*{_MESH})(?!\w)"
#: A standard by its number, which is no amount.
_STANDARD = re.compile(
    r"(?<!\w)(?:din|iso|en|bs|astm|nf)(?:[\s-]*(?:din|iso|en|bs|astm|nf))*"
    r"[\s-]*(?:[a-z]\s?)?\d{2,5}(?:[-:]\d{1,4})*(?![\d.,]*\d|[-:]\d|\s*(?:mm|cm|m|µm|μm|%)\b"
    r"|\s*in\b(?!\s+[a-z]))"
)


def folded(text: str) -> str:
    """Fold a sentence to what is searched: one case, no accents, fractions with a stroke.

    Examples
    --------
    >>> folded("Prüfsieb ½ in")
    'prufsieb 1/2 in'
    """
    return fold(tidy(text).replace("⁄", "/"))


def without_standards(sentence: str) -> str:
    """Blank the standards in a folded sentence, whose numbers are no amounts.

    Examples
    --------
    >>> without_standards("2 mm to iso 3310-1, 5 off")
    '2 mm to           , 5 off'
    """
    return _STANDARD.sub(lambda found: " " * len(found.group()), sentence)


def amounts_in(sentence: str) -> tuple[AmountSaid, ...]:
    """Find the amounts in a folded sentence, in their order.

    Examples
    --------
    >>> for one in amounts_in(folded("20 off, 1 m x 2 m, for 5-8 mm at 2 m/s, sieve No. 100")):
    ...     print(one.kind, one.text, one.ends)
    number 20 ()
    dimensions 1 m x 2 m ()
    length 5 - 8 mm ('5 mm', '8 mm')
    speed 2 m/s ()
    sieve No. 100 ()
    """
    found = [_amount(match) for match in _pattern().finditer(without_standards(sentence))]
    out: list[AmountSaid] = []
    for one in found:
        joined = _joined(out[-1], one, sentence) if out else None
        if joined:
            out[-1] = joined
        else:
            out.append(one)
    return tuple(out)


def _amount(match: re.Match[str]) -> AmountSaid:
    start, end = match.span()
    if match["sieve"]:
        return _sieve(match["sieve"], start, end)
    if match["other"]:
        return AmountSaid("other", match["other"], start, end)
    number, unit = match["number"], match["unit"]
    if not unit:
        return AmountSaid("number", number, start, end)
    kind, name = _units()[unit]
    gap = "" if name in ("%", "deg") else " "
    return AmountSaid(kind, f"{number}{gap}{_WRITTEN.get(name, name)}", start, end)


def _sieve(text: str, start: int, end: int) -> AmountSaid:
    """Return a sieve; a bare number where ASTM E11 has none such: no 304, which is an alloy."""
    numbered = re.match(r"(?:no|nr)\b\.?\s*", text)
    shown = re.sub(rf"[\s-]*{_MESH}$", " mesh", text)
    shown = shown.replace("no.", "No.").replace("no ", "No. ")
    if numbered and math.isnan(aperture_designated(shown)):
        return AmountSaid("number", text[numbered.end() :], start + numbered.end(), end)
    return AmountSaid("sieve", shown, start, end)


def _joined(first: AmountSaid, then: AmountSaid, sentence: str) -> AmountSaid | None:
    """Join two amounts that are one: a size times a size, or the two ends of a range."""
    between = sentence[first.end : then.start].strip()
    if first.kind == "sieve" or (then.kind in ("sieve", "number") and first.kind != "number"):
        return None
    if re.fullmatch(_TIMES, between) and (
        first.kind in ("length", "number", "dimensions") and then.kind in ("length", "number")
    ):
        text = f"{first.text} {between} {then.text}"
        return AmountSaid("dimensions", text, first.start, then.end)
    if not re.fullmatch(_TO, between) or first.ends or then.kind == "number":
        return None
    is_span = between not in ("and", "und", "et", "y") or _says_between(sentence[: first.start])
    if first.kind == "number" or (first.kind == then.kind and is_span):
        unit = then.text.lstrip("0123456789.,/ -")
        low = f"{first.text} {unit}" if first.kind == "number" else first.text
        shown = f"{first.text} {between} {then.text}"
        return replace(then, text=shown, start=first.start, ends=(low, then.text))
    return None


def _says_between(before: str) -> bool:
    return re.search(r"(?:between|from|zwischen|von|entre|de)\s*$", before) is not None


@cache
def _units() -> dict[str, tuple[AmountKind, str]]:
    found: dict[str, tuple[AmountKind, str]] = {}
    for topic, kind in _UNITS:
        for word, name in words(topic).items():
            if word not in _NO_UNITS:
                found.setdefault(word, (kind, name))
    return found


@cache
def _pattern() -> re.Pattern[str]:
    unit = "|".join(map(re.escape, sorted(_units(), key=len, reverse=True)))
    behind = r"(?![\w/²])"
    return re.compile(
        rf"(?<![\w.,/#])(?:(?P<sieve>{_SIEVE})"
        rf"|(?P<number>{_NUMBER})(?:[\s-]*(?P<unit>{unit}){behind})?(?!\w)"
        rf"|(?P<other>{_NUMBER}[a-z]\w*))"
    )


follows_words(_units.cache_clear)
follows_words(_pattern.cache_clear)
