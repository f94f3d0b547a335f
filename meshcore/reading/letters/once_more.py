"""Lines that are wanted once more, changed: "items 1 to 3 again in 316L, one roll of each"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

_LABEL = r"\(? ?(?:\d{1,2}|[a-h]) ?[).]?"
_AGAIN = (
    r"(?:all )?(?:once )?(?:again|once more|repeated|over again|a second time"
    r"|noch ?einmal|nochmals?|erneut|encore une fois|a nouveau|otra vez|de nuevo|una vez mas)"
)
_WORD = r"(?:(?:the )?(?:items?|pos|positions?|lines?|nos?|nr|postes?|partidas?|articles?)\.? ?)?"
#: "1 to 3 once more", "items 1 and 2 again": labels, and that they are wanted again.
_NAMED = re.compile(
    rf"^{_WORD}(?P<labels>{_LABEL}(?: (?P<to>to|-|through|thru|bis|a) {_LABEL}"
    rf"|(?: ?(?:,|and|&|\+|und|et|y) {_LABEL})+)) ,? ?{_AGAIN}\b"
)
#: "all three again", "the same two again", "the lot once more".
_ALL = re.compile(
    r"^(?:all(?: of)?(?: the above)?|all (?:the )?(?P<count>two|three|four|five|six)"
    r"(?: (?:items|lines|of them|of these))?|both(?: of them)?|the lot|everything"
    rf"|the same (?P<same>two|three|four|five|six)) ,? ?{_AGAIN}\b"
)
_COUNTS = {"two": 2, "three": 3, "four": 4, "five": 5, "six": 6}


def once_more(build: Build, passage: Passage, said: Said) -> bool:
    """Add the like of lines that are wanted again, changed; False where a passage says no such thing."""  # noqa: E501
    if not build.present or said.has("withdraw", "correct", "refuse"):
        return False
    words, ends = _joined(said)
    named, every = _NAMED.match(words), _ALL.match(words)
    found = named or every
    if found is None:
        return False
    lines = (
        _labelled(build, named)
        if named
        else _as_many(build, every["count"] or every["same"] or "", words)
        if every
        else []
    )
    told = said.items[next(n for n, end in enumerate(ends) if end >= found.end())]
    facts = [f for f in said.facts if f.start >= told.end and not f.weak]
    counts = [f for f in facts if f.name == "quantity"]
    changed = {f.name for f in facts} - {"quantity", "form", "shape", "counted"}
    if not lines or not changed or len(counts) > 1 or not _apart(facts):
        return False
    if not all(line.has("quantity") for line in lines):
        return False
    for line in lines:
        build.lines.append(_like(line, facts, passage))
    build.opened = build.lines[-len(lines) :]
    return True


def _joined(said: Said) -> tuple[str, list[int]]:
    """Return the words of a passage with one space between, and where each item ends in them."""
    words, ends = "", []
    for item in said.items:
        words += (" " if words else "") + fold(item.text)
        ends.append(len(words))
    return words, ends


def _labelled(build: Build, named: re.Match[str]) -> list[Draft]:
    """Lines that a range or a row of labels names; none where any is not known."""
    labels = re.findall(r"\b(?:\d{1,2}|[a-h])\b", named["labels"])
    if named["to"]:
        first, last = labels[0], labels[-1]
        if first.isdigit() != last.isdigit():
            return []
        low, high = (int(x) if x.isdigit() else ord(x) for x in (first, last))
        labels = [str(n) if first.isdigit() else chr(n) for n in range(low, high + 1)]
    found = [[line for line in build.present if line.label == one] for one in labels]
    return [of[0] for of in found] if found and all(len(of) == 1 for of in found) else []


def _as_many(build: Build, count: str, words: str) -> list[Draft]:
    """All lines, or none where another number of them is named."""
    lines = list(build.present)
    wanted = _COUNTS.get(count, 2 if words.startswith("both") else len(lines))
    return lines if wanted == len(lines) else []


def _apart(facts: Sequence[Fact]) -> bool:
    """Whether each thing is said once: two alloys, or two wires, are to be asked about."""
    names = [f.name for f in facts if f.name not in ("services", "dim")]
    return len(names) == len(set(names)) and not any(f.why for f in facts)


def _like(line: Draft, facts: Sequence[Fact], passage: Passage) -> Draft:
    kept = [f if f.origin else replace(f, origin="the line it repeats") for f in line.facts]
    fresh = replace(
        line, facts=kept, label="", start=passage.start, end=passage.end, old=[],
        notes=[f"line {line.label} once more".replace("  ", " ")],
    )  # fmt: skip
    own = line.value("form")
    fresh.put([f for f in facts if f.name not in ("form", "shape") or own is None])
    fresh.old = []
    return fresh
