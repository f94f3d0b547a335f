"""Counts that are told after the lines they count: "two rolls of A, one each of B and C"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

#: What a sentence that only counts may say besides.
_COUNTS = frozenset({"form", "shape", "counted"})


def count_labels(build: Build, said: Said) -> bool:
    """Give named lines that have no quantity the number before their labels; False if none are."""
    named = [
        (said.items[first].start, lines)
        for first, labels, _ in targets.named_labels(said.items, build.lines)
        if (lines := targets.by_label(labels, build.lines))
    ]
    if (
        not named
        or said.cloth()
        or said.of("dim")
        or said.has("same", "cloth", "correct", "withdraw")
    ):
        return False
    starts = {start for start, _ in named}
    counts = [f for f in said.of("quantity") if f.start not in starts]
    counts = counts or _before_labels(said, starts)
    told = [
        (before[-1], lines)
        for start, lines in named
        if (before := [f for f in counts if f.start < start])
        and not any(line.has("quantity") for line in lines)
    ]
    if len(told) != len(named) or not counts or len(counts) > len(told):
        return False
    forms = [f for f in said.facts if f.name in ("form", "shape")]
    for count, lines in told:
        for line in lines:
            line.put([replace(count, weak=False)])
            line.fill(forms, "where it is counted")
    return True


def _before_labels(said: Said, starts: set[int]) -> list[Fact]:
    """Bare numbers right before the labels that they count: "4 of A, 2 of B"."""
    out = []
    for n, item in enumerate(said.items[:-2]):
        if item.whole and said.items[n + 2].start in starts and n not in said.dropped:
            out.append(Fact("quantity", max(item.values), item.text, item.start, item.end, item))
    return out


def count_named(build: Build, said: Said) -> bool:
    """Give lines the numbers that they are counted by: "two for the top, four for the bottom".

    False where any number of the sentence counts nothing that is known by its name.
    """
    if said.cloth() or said.of("dim") or said.has("same", "cloth", "correct", "withdraw"):
        return False
    if len(build.present) < 2:  # noqa: PLR2004
        return False
    found: list[tuple[Item, tuple[Draft, ...]]] = []
    for number, part in _by_number(said):
        aim = aim_of(part, build.present, build.lines)
        if not aim.lines or number.start in aim.used:
            return False
        if any(not (f.weak or f.why) for one in aim.lines for f in one.of("quantity")):
            return False
        found.append((number, aim.lines))
    told = [line for _, lines in found for line in lines]
    if not found or len({id(line) for line in told}) != len(told):
        return False
    forms = [f for f in said.facts if f.name in ("form", "shape")]
    for number, lines in found:
        count = Fact("quantity", max(number.values), number.text, number.start, number.end, number)
        for line in lines:
            line.put([count])
            line.fill(forms, "where it is counted")
    return True


def _by_number(said: Said) -> list[tuple[Item, Said]]:
    """Part a sentence at its bare numbers, each with the words up to the next."""
    at = [
        n
        for n, item in enumerate(said.items)
        if item.whole
        and n not in said.dropped
        and "alloy" not in item.tags
        and not (n and "item" in said.items[n - 1].tags)
    ]
    parts = [(said.items[a], said.items[a:b]) for a, b in pairwise([*at, len(said.items)])]
    return [(number, Said(items=list(items))) for number, items in parts]


def fills_waiting(line: Draft, part: Said, rest: Sequence[Fact], counts: Sequence[Fact]) -> bool:
    """Give a count and its form to the line before, which so far says its cloth alone.

    "For the mill we keep the 0.5 mm aperture; wire 0.25 mm there, and three rectangles 640 x 280."
    """
    if line.gone or line.has("quantity", "form", "shape", "dim") or len(counts) != 1:
        return False
    names = {f.name for f in rest}
    of_it = all(fold(i.text) in _OF_IT for i in part.marks.get("cloth", []))
    if counts[0].weak or names & {*CLOTH, "pair"} or part.has("same", "all", "usual") or not of_it:
        return False
    if not names & {"form", "shape"} or not names & {"dim", "roll_length"}:
        return False
    if any(f.name in ("wire_diameter", "alloy", "weave") and line.has(f.name) for f in rest):
        return False
    line.put(counts)
    line.fill(rest, "")
    line.facts += [f for f in rest if f.name == "services"]
    return True


def clothes_waiting(
    build: Build, passage: Passage, part: Said, rest: Sequence[Fact], counts: Sequence[Fact]
) -> bool:
    """Give the cloth of a clause to the line before that is only sized; the next such clause is its like.

    "Each frame takes a piece of 1180 by 880. For the upper deck 4 mm …, for the lower 1.6 mm …"
    """  # noqa: E501
    last = build.opened[-1] if build.opened else None
    names = {f.name for f in rest}
    if last is None or last.gone or counts or not names & set(CLOTH) or names & {"dim", "pair"}:
        return False
    words = targets.own_words(part.items)
    if build.sized[0] == passage.start:
        facts = [f if f.origin else replace(f, origin="the line before") for f in build.sized[1]]
        line = replace(last, facts=facts, notes=[], doubts=[], words=words)
        build.lines.append(line)
        build.opened = [*build.opened, line]
    elif last.paragraph == passage.paragraph and last.has("dim") and not last.has(*FABRIC, "pair"):
        build.sized = (passage.start, list(last.facts))
        line = last
        line.words |= words
    else:
        return False
    line.fill([f for f in rest if f.name != "services"], "")
    line.facts += [f for f in rest if f.name == "services"]
    return True


#: What points at the cloth of the line before, which so far says no more.
_OF_IT = frozenset({"of it", "out of it", "from it", "of this", "davon", "daraus", "hiervon"})
#: How a sentence begins that says what counts for each come to.
_MAKES_UP = re.compile(
    r"(?:so |and |also |und |y |et )?(?:(?:that|this|it|which|das|dies|cela|ca|eso|esto) )?"
    r"(?:makes|gives|comes to|is|will be|macht|ergibt|sind|fait|donne|hacen|hace|son|suman)"
    r"(?: (?:in all|together|altogether|zusammen|insgesamt|en tout|au total|en total|a total of))?"
)
#: Such a sentence has no more words before its number (our choice).
_MOST_MAKES = 5


def makes_up(build: Build, passage: Passage, said: Said) -> bool:
    """Give the line before, whose count is for each of something, what it comes to: "That makes four."."""  # noqa: E501
    words = [i for i in said.items if i.kind not in ("mark", "nl")]
    at = next((n for n, i in enumerate(words) if i.whole), 0)
    told = {f.name for f in said.facts} <= {"quantity", "counted", "form", "shape"}
    if not 0 < at <= _MOST_MAKES or not told or len(words) > at + _MOST_MAKES:
        return False
    lead = " ".join(fold(i.text) for i in words[:at])
    line = build.opened[-1] if build.opened else None
    if line is None or line.gone or line.paragraph != passage.paragraph:
        return False
    open_count = all(f.why for f in line.of("quantity"))
    if not _MAKES_UP.fullmatch(lead) or not open_count or any(i.whole for i in words[at + 1 :]):
        return False
    one = words[at]
    line.put([Fact("quantity", max(one.values), one.text, one.start, one.end, one)])
    return True


def count_late(
    line: Draft | None, rest: Sequence[Fact], counts: Sequence[Fact], alone: bool = False
) -> bool:
    """Give the line before a count that says nothing of its own: "… in rolls. Quantity: 4 rolls"."""  # noqa: E501
    if line is None or line.gone or len(counts) != 1:
        return False
    if any(not f.weak for f in line.of("quantity")):
        return False
    names = {f.name for f in rest}
    if alone and "dim" in names and not line.has("dim", "form", "shape", "roll_length"):
        names -= {"dim"}  # "… wire 0.9 mm; 10 discs 300 mm": the cloth stood before
    if not names <= _COUNTS or counts[0].weak:
        return False
    for fact in rest:
        if line.has(fact.name) and line.value(fact.name) != fact.value:
            return False
    line.put(counts)
    line.fill(rest, "where it is counted")
    return True
