"""A text taken apart: numbers, fractions, words of the trade, signs."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from meshcore.reading.numbers.numerals import NUMBER, Number, after_a_word, fraction, readings
from meshcore.reading.vocabulary import doubtful, follows_words, words

_VULGAR_FRACTION = re.compile(r"[¼½¾⅐-⅞]")
_QUOTES = str.maketrans(
    {"′": "'", "’": "'", "‘": "'", "`": "'", "´": "'", "″": '"', "”": '"', "“": '"', "„": '"',
     "ʺ": '"', "ʹ": "'",
     "⌀": "ø", "∅": "ø", "φ": "ø", "◻": "□", "\ufeff": "", "\u200b": "", "\xad": ""}
)  # fmt: skip
#: A point or plus between a whole number and the fraction of an inch behind it: 1.1/2", 1+1/2".
_POINTED_INCHES = re.compile(
    r"(?<![\d.,])(\d{1,2})(?:\.|\s?\+\s?)(?=(?:1/2|[13]/4|[1357]/8|1?[13579]/(?:16|32))\s*(?:\"|in))"
)
#: The sign of a diameter that touches the unit before it: 0.5mmø.
_GLUED_DIAMETER = re.compile(r"(?<=mm|cm|in)ø")
#: The sign between two sizes: "10x10", "2 mm × 3 mm", "30 m x 1 m".
_TIMES = re.compile(
    r"(?:(?<=[\d\"'ø)])|(?<=mm)|(?<=cm)|(?<=in)|(?<=ft)|(?<=\dm)|(?<= m))"
    r"\s*[x×*]\s*(?=[\d.,ø□]|r\s?\d)"
    r"|(?<=\s)[x×*](?=\s)"
)
#: A stop between a number and its unit: "5.mm", "3.Stk".
_STOPPED = re.compile(r"(?<=\d)\.(?=[^\W\d_])")
#: A unit in brackets behind its number, or before it: "5 (mm)", "mm 5,5".
_BRACKETED_UNIT = re.compile(r"(?<=\d)\s*[(\[](mm|cm|m|μm|in|ft)[)\]]")
_UNIT_FIRST = re.compile(r"(mm|cm|μm|in) (\d[\d.,]*)")
#: Feet and inches with a comma between: "4 ft, 6 in".
_FEET_AND_INCHES = re.compile(
    r"(?<=\d)( ?(?:ft|feet|foot|'))\.?, ?(?=\d+(?: ?\d+/\d+)? ?(?:in|\"))"
)
#: The sign of a diameter that touches the word behind it: "Øext".
_GLUED_NAME = re.compile(r"ø(?=(?:ext|int|ex|in|de|di)\b)")
_PIECES = re.compile(
    r"(?<![\d.,])(?:(?P<whole>\d+)(?:\s*-\s*|\s+))?(?P<top>\d+)\s?(?P<bar>[/⁄])\s?(?P<bottom>\d+)"
    r"(?![\d]|[.,]\d)"
    rf"|(?P<number>{NUMBER})"
    r"|(?P<word>[^\W\d_]+)"
    r"|(?P<sign>\S)"
)
_SIGNS = frozenset("×/()[]=,;-+@|:.~<>≤≥?#%")
#: A phrase of the word files is at most so many pieces.
_LONGEST_PHRASE = 9


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a text.

    Parameters
    ----------
    kind
        What it is. A fraction may still be two sizes, if it is of no inches.
    text
        As it stands in the plain text.
    numbers
        Readings of a number; of a fraction, its value, or none.
    parts
        Upper and lower number of a fraction.
    senses
        What a word means: (topic, meaning) of each topic that knows it.
    sure
        Whether a fraction can be nothing else: "½", "1 1/2".
    touches
        Whether nothing stands between it and the piece before.
    """

    kind: Literal["number", "fraction", "word", "sign"]
    text: str
    numbers: tuple[Number, ...] = ()
    parts: tuple[str, str] = ("", "")
    senses: tuple[tuple[str, str], ...] = ()
    sure: bool = False
    touches: bool = False

    def means(self, topic: str) -> str:
        """Return what the word means in a topic; empty where it means nothing there."""
        return next((meaning for known, meaning in self.senses if known == topic), "")

    def meanings(self, topic: str) -> tuple[str, ...]:
        """Return everything that the word means in a topic."""
        return tuple(meaning for known, meaning in self.senses if known == topic)


def tidy(text: str) -> str:
    """Fold full-width digits, odd spaces and dashes to plain ones; one space between words.

    Examples
    --------
    >>> tidy("  ０．６３５  mm ")
    '0.635 mm'
    """
    if text.isascii():  # most cells are, and nothing in them folds
        return " ".join(text.split())
    folded = unicodedata.normalize("NFKC", _VULGAR_FRACTION.sub(r" \g<0>", text))
    folded = folded.replace("μ", "µ").replace("–", "-").replace("−", "-").replace("‐", "-")
    return " ".join(folded.replace("—", "-").replace("‑", "-").split())


_WRAPPED = re.compile(r"""^(?:"([^"]*)"|'([^']*)'|“([^”]*)”|„([^“”]*)[“”])$""")
_BRACKETED = re.compile(r"^(?:\(([^()]*)\)|\[([^\[\]]*)\])$")
#: What a spreadsheet puts before a text, and what is put behind one in haste.
_BEFORE, _BEHIND = re.compile(r"^'(?=[\d.])"), re.compile(r"(?<=\w)\s*[;!]+$")


def unwrapped(text: str, *, brackets: bool = True) -> str:
    """Take off what only wraps a whole text: quotes, brackets, a mark for text, a stop behind it.

    Parameters
    ----------
    text
        As typed.
    brackets
        Whether brackets only wrap it; of a number of things they may say that it is negative.

    Examples
    --------
    >>> unwrapped('"10"'), unwrapped("'10"), unwrapped("[10/in]"), unwrapped("10 mesh!!")
    ('10', '10', '10/in', '10 mesh')
    >>> unwrapped('10"'), unwrapped("(10)", brackets=False)
    ('10"', '(10)')
    """
    bare = _BEHIND.sub("", text.strip())
    for pattern in (_WRAPPED, _BRACKETED) if brackets else (_WRAPPED,):
        found = pattern.match(bare)
        inside = next((part for part in found.groups() if part), "") if found else ""
        bare = inside.strip() or bare
    return _BEFORE.sub("", bare)


#: A standard that a size or weave is said to be of: "ISO 565 - 2 mm", "acc. to ISO 9044".
_STANDARD = re.compile(
    r"(?:(?<=\s)|^)(?:(?:acc(?:ording|\.)?\s*(?:to|\.)?|as per|per|to|nach|gem(?:äß|ass|\.)?|laut"
    r"|selon|según|segun|as|of|de)\s+)?(?:(?:din|iso|en|bs|astm|nf)[\s-]*)+[ae]?[\s-]*\d{2,5}"
    r"(?:[-:]\d{1,4})*(?:\s*[-:,]\s+|\s+(?!n[or]\b)|$)",
    re.IGNORECASE,
)


def without_standard(text: str) -> str:
    """Leave out the standard that a text names beside what it says.

    Examples
    --------
    >>> without_standard("ISO 565 - 2 mm"), without_standard("Plain weave acc. to ISO 9044")
    ('2 mm', 'Plain weave')
    >>> without_standard("EN 1.4404")
    'EN 1.4404'
    """
    return " ".join(_STANDARD.sub(" ", text).split()) or text


@lru_cache(maxsize=2048)
def plain(text: str) -> str:
    r"""Reduce a text to what is taken apart: one case, no accents, one sort of quotes.

    Examples
    --------
    >>> plain("Ø 2½” × 4'-0″"), plain("Köper")
    ('ø 2 1⁄2" × 4\'-0"', 'koper')
    """
    lower = unicodedata.normalize("NFD", tidy(text).translate(_QUOTES).casefold())
    bare = "".join(c for c in lower if not unicodedata.combining(c))
    bare = bare.replace("µ", "μ").translate(_QUOTES).replace("''", '"')
    bare = _POINTED_INCHES.sub(r"\1 ", bare)
    bare = _GLUED_NAME.sub("ø ", _GLUED_DIAMETER.sub(" ø", _STOPPED.sub(" ", bare)))
    bare = _FEET_AND_INCHES.sub(r"\1 ", _BRACKETED_UNIT.sub(r" \1", bare))
    if first := _UNIT_FIRST.fullmatch(bare):
        bare = f"{first[2]} {first[1]}"
    return " ".join(_TIMES.sub(" × ", bare).split())


@lru_cache(maxsize=64)
def lexicon(topics: tuple[str, ...]) -> Mapping[str, tuple[tuple[str, str], ...]]:
    """Return folded phrase → (topic, meaning) in each of these topics."""
    found: dict[str, tuple[tuple[str, str], ...]] = {}
    for topic in topics:
        for word, meaning in words(topic).items():
            found[word] = (*found.get(word, ()), (topic, meaning))
        for word, meanings in doubtful(topic).items():
            found[word] = (*found.get(word, ()), *((topic, meaning) for meaning in meanings))
    return found


def lex(text: str, topics: tuple[str, ...]) -> tuple[Token, ...]:
    """Take a plain text apart; the longest phrase that a topic knows is one word.

    Examples
    --------
    >>> [t.text for t in lex("10 meshes per inch", ("unit_length", "count_noun", "per"))]
    ['10', 'meshes', 'per', 'inch']
    >>> lex("3/4 in", ("unit_length",))[0].numbers[0].value
    0.75
    """
    known = lexicon(topics)
    pieces = list(_PIECES.finditer(text))
    tokens: list[Token] = []
    place = 0
    while place < len(pieces):
        piece = pieces[place]
        touches = bool(place) and pieces[place - 1].end() == piece.start()
        length, said, senses = _phrase(text, pieces, place, known)
        if length:
            kind: Literal["word", "sign"] = "sign" if said in _SIGNS else "word"
            tokens.append(Token(kind, said, senses=senses, touches=touches))
            place += length
        else:
            tokens += _plain_tokens(piece, touches, _is_word(tokens))
            place += 1
        # The stop of an abbreviation belongs to it.
        after_word = pieces[place - 1].lastgroup in ("word", "sign")
        if after_word and place < len(pieces) and pieces[place][0] == ".":
            place += pieces[place].start() == pieces[place - 1].end()
    return tuple(tokens)


def _phrase(
    text: str,
    pieces: list[re.Match[str]],
    place: int,
    known: Mapping[str, tuple[tuple[str, str], ...]],
) -> tuple[int, str, tuple[tuple[str, str], ...]]:
    """Pieces in the longest phrase that begins here, what it is and means; 0 where none does."""
    if pieces[place].lastgroup in ("number", "bottom"):
        return 0, "", ()
    start = pieces[place].start()
    for length in range(min(_LONGEST_PHRASE, len(pieces) - place), 0, -1):
        said = text[start : pieces[place + length - 1].end()]
        for written in (said, said.rstrip("."), said.replace(". ", " ").rstrip(".")):
            if written in known:
                return length, written, known[written]
    return 0, "", ()


#: One letter that is a sign of a size, and shortens no word.
_SIGN_LETTERS = frozenset({"ø"})


def _is_word(tokens: list[Token]) -> bool:
    return bool(tokens) and tokens[-1].kind == "word" and tokens[-1].text not in _SIGN_LETTERS


def _plain_tokens(piece: re.Match[str], touches: bool, after_word: bool) -> list[Token]:
    if piece["number"]:
        found = after_a_word(piece[0]) if touches and after_word else readings(piece[0])
        return [Token("number", piece[0], found, touches=touches)]
    if piece["word"]:
        return [Token("word", piece[0], touches=touches)]
    if piece["sign"]:
        return [Token("sign", piece[0], touches=touches)]
    whole, top, bottom = piece["whole"] or "", piece["top"], piece["bottom"]
    value = fraction(whole, top, bottom)
    if value is not None and (int(top) < int(bottom) or piece["bar"] == "⁄"):
        sure = bool(whole) or piece["bar"] == "⁄"
        return [Token("fraction", piece[0], (value,), (top, bottom), sure=sure, touches=touches)]
    if value is None and not whole:
        return [Token("fraction", piece[0], (), (top, bottom), touches=touches)]
    numbers = [Token("number", part, readings(part)) for part in (whole, top) if part]
    return [*numbers, Token("sign", "/"), Token("number", bottom, readings(bottom))]


follows_words(lexicon.cache_clear)
