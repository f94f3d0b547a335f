"""Numbers in words: "four feet", "two and a half"."""

from __future__ import annotations

from meshcore.reading.numbers.lexing import Token
from meshcore.reading.numbers.numerals import Number


def with_number_words(tokens: tuple[Token, ...], units: str) -> tuple[Token, ...]:
    """Put digits for number words: "four feet", "one hundred", "half a metre", "two and a half"."""
    out: list[Token] = []
    place = 0
    while place < len(tokens):
        length, value = _worded(tokens, place, units)
        if length:
            number = Number(value, 0.0, 0.0)
            text = " ".join(t.text for t in tokens[place : place + length])
            out.append(Token("number", text, (number,)))
            place += length
        else:
            out.append(tokens[place])
            place += 1
    return tuple(out)


#: Words that are one only before what they count: "a roll", but "rouleau à 30 m".
_ARTICLES = frozenset({"a", "an", "un", "une", "una", "ein", "eine", "einen", "single"})


def _worded(tokens: tuple[Token, ...], place: int, units: str) -> tuple[int, float]:
    """Tokens in the number words that begin here, and what they come to; 0 for none."""
    start, total, current, seen, joined = place, 0.0, 0.0, False, False
    while place < len(tokens):
        token = tokens[place]
        if token.text == "-" and seen and place + 1 < len(tokens):
            if not (tokens[place + 1].means("number") or tokens[place + 1].means("part")):
                break
            place += 1
            continue
        if token.means("part") and token.text not in _ARTICLES:
            follows = place + 1 < len(tokens)
            if not follows and not seen:
                break
            part = float(token.means("part"))
            if not seen or joined:
                return place + 1 - start, total + current + part
            return _many_parts(place + 1 - start, total + current, part)
        word = token.means("number")
        if not word:
            has_part = place + 1 < len(tokens) and _part_ahead(tokens, place + 1)
            if token.means("and") and seen and has_part:
                place += 1 + (tokens[place + 1].text in _ARTICLES)
                joined = True
                continue
            break
        if token.text in _ARTICLES and not _counts_next(tokens, place, units):
            break
        value = float(word)
        if value >= 100:  # noqa: PLR2004 - hundreds multiply what stands before
            current = (current or 1.0) * value
        else:
            current += value
        seen = True
        place += 1
    return (place - start, total + current) if seen else (0, 0.0)


def _many_parts(length: int, many: float, part: float) -> tuple[int, float]:
    """Tokens in "one half" and "three quarters", and what they come to; 0 for more than a whole.

    "Two half" may be two halves or two and a half, and is nobody's number.
    """
    value = many * part
    return (length, value) if value < 1.0 else (0, 0.0)


def _part_ahead(tokens: tuple[Token, ...], place: int) -> bool:
    if tokens[place].text in _ARTICLES:
        place += 1
    return place < len(tokens) and bool(tokens[place].means("part"))


def _counts_next(tokens: tuple[Token, ...], place: int, units: str) -> bool:
    """Whether an article stands before something that it can count."""
    if place + 1 == len(tokens):
        return place == 0
    after = tokens[place + 1]
    topics = (units, "counted", "multiple", "part", "form", "number")
    return any(after.means(topic) for topic in topics) and after.text not in _ARTICLES
