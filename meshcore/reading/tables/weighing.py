"""Words of a remark that may change what is asked for: amounts, doubts, work on the cloth."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.vocabulary import fold, follows_words, phrases, words

_ANY_LETTERS = "*"
_IN_A_REMARK = "in_a_remark"
#: A number of more digits is an order's or a drawing's, not how many are wanted (our choice) [-].
_MOST_DIGITS = 3
_NUMBER = re.compile(
    rf"(?<![\w.,/\-])(?:x\s?)?\d{{1,{_MOST_DIGITS}}}(?:[.,]\d+)?(?:\s?x)?(?![\w/\-])"
)
#: A number by itself may be anybody's reference.
_ALONE = re.compile(r"[\d.,\s]+")
#: Numbers that count nothing: days, hours, pages, telephones, and what a name of a paper numbers.
_COUNTS_NOTHING = re.compile(
    r"\b\d{1,4}[./\-]\d{1,2}[./\-]\d{1,4}\b|\b\d{1,2}[:.]\d{2}\s*(?:h|uhr|am|pm)\b|"
    r"\b(?:tel|phone|telephone|telefon|fax|mobile|page|seite|p[aá]gina|ref|reference|referenz|"
    r"our ref|your ref|order|po|enquiry|inquiry|rfq|offer|quote|quotation|anfrage|angebot|auftrag|"
    r"bestellung|commande|devis|pedido|oferta|rev|revision|issue|project|projekt|date|datum|fecha)"
    r"\b[.:]?\s*(?:no|nr|n°|nº|num)?[.:]?\s*[\d+][\d\s/().\-]*(?:of \d+)?|"
    r"\b\d{1,2}\.?\s+(?:jan|feb|m[aä]r|apr|ma[iy]|jun|jul|aug|sep|o[ck]t|nov|de[cz])[a-z]*\.?"
    r"(?:\s+\d{4})?\b",
    re.IGNORECASE,
)  # fmt: skip


def weighing_words(text: str, numbers: bool = True, in_a_title: bool = False) -> tuple[str, ...]:
    """Return the words and numbers of a text that may change what is asked for, or doubt it.

    Parameters
    ----------
    text
        A remark, or the title of a section.
    numbers
        Whether bare numbers tell of an amount: in the name of a sheet they do not.
    in_a_title
        Whether it stands over or below the lines, where an everyday "or" or "see" tells nothing.

    Examples
    --------
    >>> weighing_words("double quantity, to be confirmed"), weighing_words("zweilagig, ruht")
    (('double quantity', 'confirmed'), ('zweilagig', 'ruht'))
    >>> weighing_words("x2"), weighing_words("as last year"), weighing_words("order 4711 of 3 May")
    (('x2',), (), ())
    """
    folded, places = _folded(text)
    spans = [m.span() for m in _pattern(in_a_title).finditer(folded)]
    found = [(places[a], text[places[a] : places[b - 1] + 1]) for a, b in spans]
    if numbers and not _ALONE.fullmatch(text):
        bare = _COUNTS_NOTHING.sub(lambda m: " " * len(m[0]), text)
        found += [(m.start(), m[0].strip()) for m in _NUMBER.finditer(bare)]
    return tuple(dict.fromkeys(part for _, part in sorted(found)))


def asks_nothing(text: str) -> bool:
    """Whether a remark holds nothing but courtesies.

    Examples
    --------
    >>> asks_nothing("Thanks!"), asks_nothing("Bitte"), asks_nothing("as last year")
    (True, True, False)
    """
    left = fold(text)
    for phrase in phrases("remark_nothing"):
        left = re.sub(rf"(?<!\w){re.escape(phrase)}(?!\w)", " ", left)
    return not any(c.isalnum() for c in left)


def _folded(text: str) -> tuple[str, list[int]]:
    """Text as words are compared, with the place that each letter of it has in the text."""
    letters: list[str] = []
    places: list[int] = []
    for place, letter in enumerate(text):
        for plain in fold(letter) or " ":
            letters.append(plain)
            places.append(place)
    return "".join(letters), places


@lru_cache(maxsize=2)
def _pattern(in_a_title: bool) -> re.Pattern[str]:
    kinds = words("remark_weighs")
    kept = [p for p in phrases("remark_weighs") if not in_a_title or kinds.get(p) != _IN_A_REMARK]
    every = "|".join(
        re.escape(phrase).replace(re.escape(_ANY_LETTERS), r"\w*").replace(r"\ ", r"\s+")
        for phrase in kept
    )
    return re.compile(rf"(?<!\w)(?:{every})(?!\w)")


follows_words(_pattern.cache_clear)
