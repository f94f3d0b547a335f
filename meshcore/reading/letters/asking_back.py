"""Who speaks in a letter, and which passages are questions to the buyer."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.correcting import correct_line
from meshcore.reading.letters.facts import Said
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.tables import is_price_break


def quoted_questions(passages: Sequence[Passage], body: str) -> dict[int, Passage]:
    """Quoted questions that are answered in between: by their start, and by that of the answer, negative."""  # noqa: E501
    ordered = sorted(passages, key=lambda one: one.start)
    out: dict[int, Passage] = {}
    for one, after in pairwise(ordered):
        if after.mail > one.mail and body[one.start : one.end].rstrip().endswith("?"):
            out[one.start] = one
            out[-after.start] = one
    if out:
        mail = next(iter(out.values())).mail
        out |= {one.start: one for one in ordered if one.mail == mail}
        for one, after in pairwise(ordered):
            if after.mail > mail and (one.mail == mail or -one.start in out):
                question = one if one.mail == mail else out[-one.start]
                goes_on = one.paragraph == after.paragraph and one.kind == after.kind == "prose"
                if one.mail == mail or goes_on:
                    out[-after.start] = question
    return out


#: "Line 1 (6 panels 900 x 450 mm): which wire?" says a line over again before it asks.
_RESTATED = re.compile(
    r"(?i)\b(?:line|item|pos(?:ition)?|ligne|poste|artikel|l[ií]nea|partida)\.?[ \t]*"
    r"(?P<label>\d{1,2})"
    r"[ \t]*(?:\((?P<inside>[^()]{8,160})\)|,[ \t]*(?P<after>[^:?]{8,160}?):)"
)


#: "1. 12 panels 1100 x 750 mm: which wire?" says goods over again before it asks.
_GOODS = re.compile(
    r"(?is)^[ \t]*(?:\(?\w{1,2}[.)]\)?[ \t]+)?(?:(?:and|for|und|et|y)[ \t]+)?(?:the[ \t]+)?"
    r"(?P<goods>[^?]{8,160}?)(?:[.:;?][ \t\n]|[ \t]-[ \t]"
    r"|,[ \t\n]*(?:is|are|which|what|do|does|in which|how|from which)\b)"
)


def restated_goods(text: str) -> tuple[int, int] | None:
    """Where the goods stand that the mill's question says over again before it asks.

    Examples
    --------
    >>> text = "3. 50 discs 140 mm dia, 20 mesh: which wire?"
    >>> text[slice(*restated_goods(text))]
    '50 discs 140 mm dia, 20 mesh'
    """
    found = _GOODS.match(text)
    return found.span("goods") if found else None


def restated_line(text: str) -> tuple[str, int, int] | None:
    """Label of a line that the mill's question says over again, and where its words stand.

    Examples
    --------
    >>> restated_line("3. Line 1 (6 panels 900 x 450 mm): which wire?")
    ('1', 11, 32)
    """
    found = _RESTATED.search(text)
    if found is None:
        return None
    group = "inside" if found["inside"] else "after"
    return found["label"], found.start(group), found.end(group)


def answered_lines(passages: Sequence[Passage]) -> dict[int, int]:
    """Where an answer stands right under a quoted line: start of the answer → of that line.

    Only where answers stand in between the lines: what is written under a whole quoted list
    speaks of no one line of it.
    """
    ordered = sorted(passages, key=lambda one: one.start)
    out: dict[int, int] = {}
    line: Passage | None = None
    groups: set[int] = set()
    for n, one in enumerate(ordered):
        before = ordered[n - 1] if n else None
        if one.kind in ("item", "row") and one.mail < max(p.mail for p in ordered):
            line = one
        elif line is not None and one.mail > line.mail:
            beside = before is line or (before is not None and before.start in out)
            if beside and one.kind not in ("item", "row"):
                out[one.start] = line.start
                groups.add(line.start)
            else:
                line = None
        else:
            line = None
    between = any(
        p.mail < one.mail and p.start > one.start
        for one in ordered
        if one.start in out
        for p in ordered
    )
    return out if between else {}


def answer_beside(build: Build, line_at: int | None, said: Said) -> bool:
    """Apply an answer to the quoted line that it stands under; False where it changes nothing."""
    lines = [one for one in build.present if one.start == line_at]
    if not lines:
        return False
    if said.has("withdraw"):
        for line in lines:
            line.gone = True
        return True
    facts = [f for f in said.facts if not f.weak]
    if not facts or (said.cloth() and any(f.name == "quantity" for f in facts)):
        return False
    for line in lines:
        correct_line(line, said, facts, build.lines)
    return True


def what_follows(passages: Sequence[Passage], n: int) -> str:
    """Whether a list follows a passage, or sub-items set in under it."""
    if n + 1 == len(passages):
        return ""
    one, after = passages[n], passages[n + 1]
    if after.cells and is_price_break(after.cells) and not one.cells:
        return "breaks"
    if one.kind == "item" and after.kind == "item" and after.indent > one.indent:
        return "sub"
    if one.kind == "note" and after.indent > one.indent and after.paragraph == one.paragraph:
        return "under"
    return (
        "list"
        if after.kind in ("item", "row") and one.kind != after.kind and after.mail == one.mail
        else ""
    )


def is_the_mill(speaker: str, words: Lexicon) -> bool:
    """Whether a speaker of a chat is of the mill."""
    phrases = words.phrases
    return any(
        _MILL in tags
        for phrase, tags in phrases.get(speaker.split(maxsplit=1)[0] if speaker else "", ())
    )


#: Words in the field of a mail's speaker that are the mill's own.
_MILL = "mill"
