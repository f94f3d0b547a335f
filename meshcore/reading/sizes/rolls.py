"""Rolls by name: "full roll", "halbe Rolle", "1/2 rouleau" as a length."""

from __future__ import annotations

from meshcore.reading.numbers.lexing import lex, plain
from meshcore.reading.numbers.worded import with_number_words
from meshcore.reading.vocabulary import words

#: What a length may be called instead of measured.
FULL, HALF = "full roll", "half roll"
_TOPICS = ("form", "number", "part", "counted")
#: Names of rolls that stand for a length.
ROLL_LENGTHS = (FULL, HALF)
_SHARES = {1.0: FULL, 0.5: HALF}


def roll_word(text: str) -> str:
    """Return ``"full roll"``, or the half of one, where a text says so; else empty.

    Examples
    --------
    >>> roll_word("Volle Rolle"), roll_word("½ roll"), roll_word("30 m")
    ('full roll', 'half roll', '')
    """
    bare = plain(text)
    if (named := words("form").get(bare.rstrip("."), "")) in ROLL_LENGTHS:
        return named
    tokens = with_number_words(lex(bare, _TOPICS), "counted")
    if len(tokens) != 2 or not tokens[0].numbers:  # noqa: PLR2004 - a number and a roll
        return ""
    number, roll = tokens[0].numbers[0].value, tokens[1]
    if roll.means("form") == FULL and number == 1.0:
        return FULL
    is_roll = roll.means("counted") == "roll" and number != 1.0
    return _SHARES.get(number, "") if is_roll else ""
