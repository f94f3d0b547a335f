"""Prose and items parted into sentences, and into the items within them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.listing import ITEM, LABELS, enumerated, items_within
from meshcore.reading.letters.passage import Passage

#: A semicolon parts, but for what counts the goods before it: "two strips each; eight together".
_SEMICOLON = (
    r";\s(?!(?:(?:so|also|donc|o sea|makes|macht|total|and)\s)?[^\W_]+"
    r"(?: (?:pieces|stück|pièces|piezas))? "
    r"(?i:of (?:those|these|them)|together|in all|in total|altogether|davon|zusammen|insgesamt|"
    r"au total|en tout|ensemble|en total|en conjunto|de cada|de ellos|d'entre)\b"
    r"|(?i:in total|in all|together|altogether|insgesamt|zusammen|gesamt|au total|en tout|"
    r"ensemble|en total|total)\b)"
)
_SENTENCE = re.compile(
    r"(?<=[^\s.\d][.!?])\s+(?=[^\sa-z0-9]|\d)|(?<=\d[.!?])\s+(?=[A-ZÄÖÜÉÈÀ¿¡(])|(?<=[.!?])\s*\n|"
    + _SEMICOLON
)
#: A letter typed without capitals: its sentences begin in lower case.
_LOWER_SENTENCE = re.compile(r"(?<=[^\s.][.!?])\s+(?=\w)|" + _SEMICOLON)
ABBREVIATED = re.compile(
    r"(?i)(?:\b(?:pos|no|nr|dia|diam|approx|ca|ref|réf|art|st|stk|z\.b|incl|max|min|cert|galv|verz|ext|int|env|ro|p|prev|aprox|cant|drg|inc|wk|fig|lbs|mr|mrs|dr|hr|fr|bzw|u|ext|tel|phos|eg|ie|e\.g|i\.e|sq|gr|dbl|qty|thk|larg|long|haut|lg|durchm|épais|esp|alt|anch|lar|qté|dim|mat|werkst|br|l|b|h|w|in|ft|yd|ga|swg)|\.)\.$"
)


#: A sentence that is a line of its own among prose.
_OPTION = re.compile(
    r"(?i)\s*(?:option|variante?|opci[óo]n|alternative)\s+(?P<label>[a-z]|\d{1,2})\s*[:=)-]\s"
)


def _parted_item(passage: Passage, text: str) -> list[Passage]:
    """Part an item at the items within it."""
    cuts = [0, *items_within(text), len(text)]
    out = []
    for a, b in pairwise(cuts):
        piece = replace(passage, start=passage.start + a, end=passage.start + b)
        found = ITEM.match(text[a:b]) if a else None
        if found is not None:
            label = next((found[n] for n in LABELS if found[n]), "").strip("().").casefold()
            piece = replace(piece, label=label.lstrip("0"), body=piece.start + found.end())
        out.append(replace(piece, ends_colon=text[a:b].rstrip().endswith(":")))
    return out


def _parted_prose(
    passage: Passage, body: str, within: Sequence[tuple[int, int, int, str]]
) -> list[Passage]:
    """Part prose into what is said before an enumeration, its items, and what is said after."""
    at = passage.start
    first, last = within[0][0], within[-1][2]
    out: list[Passage] = []
    if first:
        out += cut_sentences(replace(passage, end=at + first), body)
    out += [
        replace(passage, kind="item", label=label, start=at + a, body=at + b, end=at + stop)
        for a, b, stop, label in within
    ]
    if last < passage.end - at:
        out += cut_sentences(replace(passage, start=at + last, body=at + last), body)
    return out


#: Words that may end a sentence as well as stand for a longer one.
_MAY_END = re.compile(r"(?i)\b(?:long|wide|haut|lot|l|h|b|w|in|ft|yd|ga|swg)\.$")


def _abbreviates(before: str, after: str) -> bool:
    """Whether a full stop stands after an abbreviation, and no sentence ends."""
    if not ABBREVIATED.search(before[-12:]):
        return False
    return not (_MAY_END.search(before[-6:]) and re.match(r"[A-ZÄÖÜÉ][a-zäöüé]", after))


def _ends_lower(text: str) -> bool:
    """Whether a sentence ends before a small letter: "12 mesh. galv too", but not "36 in. wide"."""
    ends = re.finditer(r"[a-z)]\.(?= +[a-z])", text)
    return any(not ABBREVIATED.search(text[: hit.end()][-12:]) for hit in ends)


#: "…the 316L screens, 1.2 m x 2 m: for the top deck 25 mm …, 2 pieces; for the middle …".
_HEAD = re.compile(r"[^:;\n?!]{15,200}\d[^:;\n?!]{0,60}:\s+(?=[^:]+\d[^:;]*;[^:]+\d)")


def _headed(passage: Passage, text: str) -> list[Passage]:
    """Part what a colon shares from the clauses that it is shared by; empty where none does."""
    if passage.kind != "prose" or passage.speaker or passage.ends_colon:
        return []
    found = _HEAD.match(text)
    if found is None:
        return []
    sentence = re.search(r"[^\s.\d][.!?]\s+(?=[A-Z])", text[found.end() :])
    stop = found.end() + sentence.end() if sentence else len(text)
    clauses = [found.end()]
    clauses += [found.end() + hit.end() for hit in re.finditer(r";\s+", text[found.end() : stop])]
    if not all(re.search(r"\d", text[a:b]) for a, b in pairwise([*clauses, stop])):
        return []
    at = passage.start
    out = [replace(passage, end=at + clauses[0], ends_colon=True)]
    out += [
        replace(passage, kind="item", label="", start=at + a, body=at + a, end=at + b)
        for a, b in pairwise([*clauses, stop])
    ]
    if text[stop:].strip():
        out.append(replace(passage, start=at + stop, body=at + stop))
    return out


def cut_sentences(passage: Passage, body: str) -> list[Passage]:
    """Part a passage of prose into its sentences, and an item into the items within it."""
    text = body[passage.start : passage.end]
    lower = _ends_lower(text) and not re.search(r"[.!?] +[A-Z]", text)
    lower = lower and passage.kind == "prose" and not passage.speaker
    ends = _LOWER_SENTENCE if lower else _SENTENCE
    if passage.kind == "row":
        return [passage]
    if passage.kind == "item":
        return _parted_item(passage, text)
    if headed := _headed(passage, text):
        return [piece for part in headed for piece in cut_sentences(part, body)]
    within = enumerated(text) if not passage.speaker else []
    if within:
        return _parted_prose(passage, body, within)
    out: list[Passage] = []
    start = 0
    for found in [*ends.finditer(text), None]:
        stop = len(text) if found is None else found.end()
        if found is not None and _abbreviates(text[: found.start()], text[found.end() :]):
            continue
        if text[start:stop].strip():
            begin = passage.start + start
            option = _OPTION.match(text, start, stop)
            out.append(
                replace(
                    passage,
                    kind="item" if option else passage.kind,
                    label=option["label"].casefold() if option else passage.label,
                    start=begin,
                    end=passage.start + stop,
                    body=max(passage.start + option.end() if option else begin, passage.body),
                    ends_colon=text[start:stop].rstrip().endswith((":", "-")),
                )
            )
        start = stop
    return out
