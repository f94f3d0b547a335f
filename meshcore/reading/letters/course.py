"""Where the reading of a letter has come to, and its passages cut to items."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from meshcore.reading.letters.accounting import Account
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.own_names import named_goods, own_names
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.letters.stacks import rows_alike, stacked_sizes
from meshcore.reading.vocabulary import fold


@dataclass(slots=True)
class Course:
    """Where the reading of a letter has come to."""

    body: str
    words: Lexicon
    spaced: bool
    capitals: bool
    build: Build
    account: Account
    every: list[Item]
    above: dict[int, list[Fact]]
    question: list[Item]
    beside: dict[int, int] = field(default_factory=dict)
    restated: dict[int, list[Draft]] = field(default_factory=dict)
    named: frozenset[str] = frozenset()
    labels: frozenset[str] = frozenset()
    pending: list[Fact] = field(default_factory=list)
    itself: list[tuple[Passage, Said]] = field(default_factory=list)
    own: dict[str, str] = field(default_factory=dict)
    alike: dict[int, int] = field(default_factory=dict)


def listed(course: Course, passages: list[Passage]) -> list[Passage]:
    """Take lines that each name a cloth, one under another, for items of a list without marks."""
    items = [items_of(course, one) for one in passages]
    course.own = own_names(items)
    course.alike = rows_alike(passages, items)
    named = [
        one.kind == "note" and not one.speaker and not one.label and _names_cloth(of)
        for one, of in zip(passages, items, strict=True)
    ]
    out = stacked_sizes(passages, items, named)
    for n, one in enumerate(passages):
        beside = [k for k in (n - 1, n + 1) if 0 <= k < len(passages)]
        if named[n] and any(named[k] and passages[k].paragraph == one.paragraph for k in beside):
            out[n] = replace(one, kind="item")
    return out


def _names_cloth(items: list[Item]) -> bool:
    said = read_passage(items)
    return said.cloth() and bool(said.of("wire_diameter")) and not said.has("correct", "withdraw")


#: Before what lines are called, where something holds for each of them.
_PER = frozenset({"per", "pro", "je", "par", "por", "for each", "on each", "each"})


def _for_each_named(items: list[Item], named: frozenset[str]) -> list[Item]:
    """Take "two panels per deck" for two of each, where the lines are called decks."""
    out: list[Item] = []
    for item in items:
        before = out[-1] if out else None
        if before is not None and fold(before.text) in _PER and fold(item.text) in named:
            out[-1] = replace(before, tags={"each": "each", "all": "all"})
            continue
        out.append(item)
    return out


def items_of(course: Course, passage: Passage) -> list[Item]:
    """Cut a passage to items, with what the letter itself calls lines and goods."""
    low = max(passage.body, passage.start)
    items = cut_items(course.body, course.words, low, passage.end, course.spaced, course.capitals)
    if course.named:
        items = _for_each_named(items, course.named)
        labels = {line.label for line in course.build.lines}
        for n, item in enumerate(items[:-1]):
            if fold(item.text) in course.named and fold(items[n + 1].text) in labels:
                items[n] = replace(item, tags={"item": "is"})
    return named_goods(items, course.own) if course.own else items
