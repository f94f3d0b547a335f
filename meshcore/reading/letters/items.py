"""A passage as items in a row: amounts with their units, words of the trade, marks."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from meshcore.reading.letters.codes import known_code, not_alloys, number_values
from meshcore.reading.letters.item import NO_TAGS, Item
from meshcore.reading.letters.lexicon import Lexicon, guess
from meshcore.reading.letters.no_amounts import without_codes
from meshcore.reading.letters.number_words import join_numbers
from meshcore.reading.letters.units_after import join_units
from meshcore.reading.vocabulary import fold

_NUMBER = (
    r"\d{1,3}(?:'\d{3})+(?:[.,]\d+)?"
    r"|\d{1,3}(?:-|\s)\d{1,2}/(?:2|3|4|8|16|32|64)(?![\d/]|[.,]\d)"
    r"|\d{1,2}/(?:2|3|4|8|16|32|64)(?![\d/]|[.,]\d)"
    r"|\d*[¼½¾⅛⅜⅝⅞]"
    r"|\d+(?:[.,]\d+)*|(?:(?<![\w.,])|(?<=[\s\d#\"'][xX]))[.,]\d+"
)


_SPACED = re.compile(r"\d{1,3}(?: \d{3})+(?![\d.,/])(?:,\d+)?")


_TOKEN = re.compile(
    rf"(?P<nl>\n)|(?P<file>(?<!\w)[\w-]{{1,60}}\.(?:dxf|dwg|stp|step)\b)|(?P<code>(?<![\w])(?!Ø)(?!(?:mm|cm|m|in|ft)/\d)(?![xX][.,]?\d[\d.,/]*(?:mm|cm|m|in|ft)?(?![\w-]))(?:[^\W\d_]{{1,6}}[-/.]?\d[\w/-]*\d[\w/-]*|\d+(?:-\d+){{2,}}[\w-]*"
    rf"|\d+[A-WYZ]+\d+\w*|\d{{7,}}))|(?P<num>{_NUMBER})"
    r"|(?P<word>(?:mm|cm|m|in|ft)(?=x\d)|[^\W\d_]+)|(?P<mark>[^\s\w]|_|\w)",
    re.IGNORECASE,
)


def cut_items(
    text: str,
    lexicon: Lexicon,
    start: int = 0,
    end: int = -1,
    spaced: bool = False,
    capitals: bool = False,
) -> list[Item]:
    """Cut a stretch of plain text into items.

    Parameters
    ----------
    text, start, end
        Plain text, and the stretch of it.
    lexicon
        Words of the letter's language.
    spaced
        Whether a space may part thousands.
    capitals
        Whether all is in capitals, so that "12M" is metres and not mesh.
    """
    end = len(text) if end < 0 else end
    tokens = _tokens(text, start, end, spaced)
    joined = join_numbers(not_alloys(_match(tokens, text, lexicon)))
    return without_codes(join_units(joined, text, capitals))


def _tokens(text: str, start: int, end: int, spaced: bool) -> list[Item]:
    found: list[Item] = []
    at = start
    while at < end:
        wide = _SPACED.match(text, at, end) if spaced else None
        hit = wide or _TOKEN.search(text, at, end)
        if hit is None:
            break
        kind = "num" if wide else str(hit.lastgroup)
        if not wide and spaced and kind == "num":
            wide = _SPACED.match(text, hit.start(), end)
            hit = wide or hit
        glued = hit.start() == (found[-1].end if found else -1)
        values = number_values(hit[0]) if kind == "num" else ()
        found.append(Item(kind, hit[0], hit.start(), hit.end(), values=values, glued=glued))
        at = hit.end()
    return _rejoined(found)


def _rejoined(tokens: Sequence[Item]) -> list[Item]:
    """Join a word that is parted at the end of a line: "aper-", "ture"."""
    out: list[Item] = []
    for token in tokens:
        parted = [i.kind for i in out[-3:]] == ["word", "mark", "nl"] and out[-2].text == "-"
        if parted and out[-2].glued and token.kind == "word" and token.text[0].islower():
            first = out[-3]
            joined = replace(first, text=first.text + token.text, end=token.end)
            out[-3:] = [joined]
        else:
            out.append(token)
    return out


def _match(tokens: Sequence[Item], text: str, lexicon: Lexicon) -> list[Item]:
    """Join words to the longest phrases known."""
    keys = [fold(t.text) if t.kind != "nl" else "\n" for t in tokens]
    keys = [k if k in lexicon.phrases else guess(k, lexicon.near) for k in keys]
    out: list[Item] = []
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind == "file":
            out.append(replace(token, kind="code", tags={"drawing": token.text}))
            at += 1
            continue
        if token.kind == "code":
            split = known_code(token, lexicon)
            out += split
            at += 1
            continue
        size, tags = _longest(keys, tokens, at, lexicon)
        if size == 0:
            out.append(token)
            at += 1
            continue
        last = tokens[at + size - 1]
        number = token.kind == "num" and size == 1
        out.append(
            Item(
                token.kind if number else "word",
                text[token.start : last.end],
                token.start,
                last.end,
                tags,
                token.values if number else (),
                glued=token.glued,
            )
        )
        at += size
    return out


def _lists(keys: Sequence[str], at: int, lexicon: Lexicon) -> bool:
    """Whether a number stands after a number and a comma: they are a list."""
    if at < 2 or keys[at - 1] != ",":  # noqa: PLR2004
        return False
    before = keys[at - 2]
    words = lexicon.phrases.get(before, ())
    return before.isdigit() or any(len(p) == 1 and "number" in tags for p, tags in words)


def _longest(
    keys: Sequence[str], tokens: Sequence[Item], at: int, lexicon: Lexicon
) -> tuple[int, Mapping[str, str]]:
    for phrase, tags in lexicon.phrases.get(keys[at], ()):
        size = len(phrase)
        if at + size > len(keys) or tuple(keys[at : at + size]) != phrase:
            continue
        if (
            tokens[at].kind == "num"
            and size > 1
            and tokens[at + 1].kind == "word"
            and len(phrase[1]) == 1
            and not tokens[at + 1].glued
            and "alloy" in tags
        ):
            continue
        if "process" in tags and not all(
            tokens[at + k].glued for k in range(1, size) if phrase[k].isdigit()
        ):
            continue  # "30 m  2 rolls" states no square metres
        if "number" in tags and "and" in phrase and _lists(keys, at, lexicon):
            continue  # "one, five and twenty strips" are three numbers
        if "alloy" in tags and phrase[0] == "a" and size > 1 and not tokens[at + 1].glued:
            continue  # "le fil à 2 mm" is no grade A2
        if (
            "weave" in tags
            and phrase[-1].isdigit()
            and at + size < len(keys)
            and (tokens[at + size].glued or keys[at + size] == "x")
        ):
            continue
        if (
            len(phrase[-1]) == 1
            and phrase[-1].isalpha()
            and at + size < len(keys)
            and tokens[at + size].glued
            and tokens[at + size].kind == "word"
        ):
            continue
        return size, tags
    return 0, NO_TAGS
