"""What stands around a size: tolerances, which are dropped; doubts, which are asked about."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from meshcore.messages import Message
from meshcore.reading import refusals
from meshcore.reading.numbers.lexing import Token
from meshcore.reading.numbers.numerals import NUMBER
from meshcore.reading.numbers.readings import Reading
from meshcore.reading.vocabulary import words

_AMOUNT = rf"{NUMBER}\s*(?:%|mm|cm|μm|m(?![a-z])|in(?![a-z])|\"|ft)?"
#: "± 0.02", "+/- 10 %", "(+0.1/-0)", "-0 +20": how far a size may be off.
_EVENLY = re.compile(
    rf"\s*[(\[]?\s*(?:tol(?:erance)?\.?:?\s*)?(?:±|\+\s*/?\s*-(?!\s*\d*\s*/))\s*({_AMOUNT})\s*[)\]]?"
)
_UNEVENLY = re.compile(
    rf"\s*[(\[]?\s*(?<![\d,.])(?:\+\s*{_AMOUNT}\s*/?\s*-\s*{_AMOUNT}|(?<!/)-\s*{_AMOUNT}\s*/?\s*\+\s*{_AMOUNT})"
    r"\s*[)\]]?"
)
#: "+0/+20", "-0/-5": both limits on one side.
_ONE_SIDED = re.compile(rf"\s*[(\[]?\s*(?<![\d,.])([+-])\s*{_AMOUNT}\s*/\s*\1\s*{_AMOUNT}\s*[)\]]?")
_FIT = re.compile(r"\s+(?:h|js|k)\d{1,2}$")
_DIGIT_LAST = re.compile(r"\d\s*$")
_DATE = re.compile(
    r"\d{4}-\d{1,2}-\d{1,2}|(?<![\d.,])\d{1,2}(?P<sign>[./])\d{1,2}(?P=sign)\d{2,4}(?!\d)"
    r"|(?<!\d)\d{1,2}:\d{2}:\d{2}(?!\d)"
    r"|(?<![a-z])(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|okt|dez|mai)(?![a-z])"
)
#: "1.0~1.2" is a range; "~ 1.2" is about so much.
_ABOUT_BETWEEN = re.compile(r"\d\s*[~…]\s*\d")
#: A unit that a tolerance ends with where the size has none of its own: "0.58 ± 0.02 mm".
_UNIT_LAST = re.compile(r"[a-zμ\"%]+$")


def without_tolerance(text: str) -> str:
    """Drop how far a size may be off; its unit stays where the size has no other.

    Examples
    --------
    >>> without_tolerance("0.58 ± 0.02 mm"), without_tolerance("100 ft +/-10%")
    ('0.58 mm', '100 ft')
    >>> without_tolerance("2 mm (+0.1/-0)"), without_tolerance("8+2 mm")
    ('2 mm', '8+2 mm')
    """
    for pattern in (_UNEVENLY, _ONE_SIDED, _EVENLY, _EVENLY):
        matched = pattern.search(text)
        if matched and _DIGIT_LAST.search(text[: matched.start()]):
            before, after = text[: matched.start()], text[matched.end() :]
            unit = _UNIT_LAST.search(matched[0].rstrip(" )]"))
            kept = unit[0] if unit and unit[0] != "%" else ""
            text = " ".join(f"{before} {kept} {after}".split())
        elif matched and matched.start():
            text = " ".join(f"{text[: matched.start()]} {text[matched.end() :]}".split())
    return _FIT.sub("", text)


def with_more(
    read: Reading | Message, tokens: tuple[Token, ...], has_tolerance: bool = False
) -> Reading | Message:
    """Put to review the words of a text that say more than its size, and note a tolerance."""
    if isinstance(read, Message):
        return read
    more = tuple(t.text for t in tokens if t.means("says_more"))
    if more:
        return replace(read, said=refusals.says_more(more, read.said))
    if has_tolerance and read.said is None:
        return replace(read, said=refusals.tolerance_left())
    if read.said is None and any(says_about(tokens, n) for n in range(len(tokens))):
        return replace(read, said=refusals.about_taken())
    return read


def says_about(tokens: Sequence[Token], place: int) -> bool:
    """Whether a word says that a size is about so; a single letter does so only before a number.

    "c 5" is circa five, but "300 c" and "30 m c/u" are something else.
    """
    token = tokens[place]
    if not token.means("approximate") or token.means("part"):
        return False
    after = tokens[place + 1 : place + 2]
    return (
        len(token.text) > 1
        or not token.text.isalpha()
        or (bool(after) and after[0].kind in ("number", "fraction"))
    )


#: Topic of a word → what is said of a size that it stands with.
_DOUBTS: tuple[tuple[str, Callable[[str], Message]], ...] = (
    ("unsure", refusals.unsure),
    ("limit", refusals.limit),
    ("or", refusals.choice),
    ("range", refusals.span),
    ("not", refusals.negated),
)


def doubt(text: str, tokens: tuple[Token, ...], mend: str) -> Message | None:  # noqa: PLR0911 - one return for each doubt
    """Return why a text is asked about whatever its numbers are; None where nothing is in doubt.

    Parameters
    ----------
    text, tokens
        The plain text, and what it was taken apart to.
    mend
        What would mend it.
    """
    if "?" in text:
        return refusals.unsure(mend)
    if text in words("elsewhere"):
        return refusals.refers_elsewhere(mend)
    if _ABOUT_BETWEEN.search(text):
        return refusals.span(mend)
    if text.endswith("+"):
        return refusals.limit(mend)
    if _DATE.search(text):
        return refusals.date(mend)
    if any(t.means("range") == "to" and _between(tokens, n) for n, t in enumerate(tokens)):
        return refusals.span(mend)
    return _doubted_word(tokens, mend)


def _doubted_word(tokens: tuple[Token, ...], mend: str) -> Message | None:
    """Return what a word of doubt says of the size it stands with; None where none stands."""
    for place, token in enumerate(tokens):
        for topic, said in _DOUBTS:
            if token.means(topic) and _stands(topic, tokens, place):
                return said(mend)
        if token.text in _LIMIT_SIGNS:
            return refusals.limit(mend)
    return None


def _between(tokens: tuple[Token, ...], place: int) -> bool:
    """Whether a word stands just behind one size, and before another number: "2 bis 3 mm"."""
    before, after = tokens[:place], tokens[place + 1 : place + 2]
    return bool(before and after) and _ends_a_size(before) and after[0].kind == "number"


_LIMIT_SIGNS = frozenset("<>≤≥")
#: Short words that are a range only between two numbers: "25 à 30 m", but "rouleau à 30 m".
_BETWEEN_NUMBERS = frozenset({"a", "to", "bis", "until", "de", "von"})


def _stands(topic: str, tokens: tuple[Token, ...], place: int) -> bool:  # noqa: PLR0911 - one return for each sense of a word
    """Whether a word has the sense of its topic where it stands."""
    token = tokens[place]
    before = tokens[:place]
    numbered_before = any(t.kind in ("number", "fraction") for t in before)
    numbered_after = any(t.kind in ("number", "fraction") for t in tokens[place + 1 :])
    if topic == "range":
        if token.means("range") == "between":
            later = [t for t in tokens[place + 1 :] if t.means("range") == "to" or t.means("and")]
            return bool(later)
        if token.means("limit"):
            return True
        if token.text in _BETWEEN_NUMBERS:
            return numbered_before and numbered_after and _ends_a_size(before)
        return numbered_before and numbered_after
    if topic == "not" and token.text == "no":  # "No. 10" and "10 no." are numbers of things
        around = (*tokens[place - 1 : place], *tokens[place + 1 : place + 2])
        return not any(t.kind == "number" for t in around)
    if topic == "not" and token.means("label"):  # "pas de 2,54 mm" names a pitch
        return False
    if topic == "or":
        return numbered_before and (numbered_after or token.text != "o")
    return True


def _ends_a_size(before: tuple[Token, ...]) -> bool:
    """Whether a size ends just here: a number, or a number with its unit."""
    last = before[-1]
    return last.kind in ("number", "fraction") or bool(last.means("unit_length"))
