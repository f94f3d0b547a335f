"""One passage read: items to facts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.besides import (
    bolt_holes,
    had_elsewhere,
    holders,
    mishaps,
    own_work,
    prices,
    profiles,
    rooms,
    things_sized,
)
from meshcore.reading.letters.binding import bind
from meshcore.reading.letters.count_facts import take_counts
from meshcore.reading.letters.counted_again import no_count_of_mesh, without_pointed
from meshcore.reading.letters.counted_otherwise import counted_otherwise
from meshcore.reading.letters.each_or_all import each_or_all
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.holes import holed
from meshcore.reading.letters.item import Item, first_word
from meshcore.reading.letters.many_sizes import shape_each, size_one
from meshcore.reading.letters.naming import read_words
from meshcore.reading.letters.other_sides import ask_other_side
from meshcore.reading.letters.parting import take_shares
from meshcore.reading.letters.past import in_brackets, of_the_past
from meshcore.reading.letters.quantities import find_quantities
from meshcore.reading.letters.said_right import set_counts_right, set_sizes_right, told_apart
from meshcore.reading.letters.scope import clause_end, denied
from meshcore.reading.letters.shares import find_shares
from meshcore.reading.letters.signs import set_right
from meshcore.reading.letters.sizing import read_sizes
from meshcore.reading.letters.under_if import asked_under_an_if
from meshcore.reading.letters.vague import guessed
from meshcore.reading.vocabulary import fold

#: Marks that a passage is searched for.
MARKS = (
    "and",
    "or",
    "both",
    "correct",
    "withdraw",
    "same",
    "cloth",
    "same size",
    "same width",
    "all",
    "same number",
    "half number",
    "double number",
    "same alloy",
    "rest",
    "item",
    "the",
    "former",
    "latter",
    "last",
    "third",
    "fourth",
    "narrow",
    "wide",
    "also",
    "usual",
    "choice",
    "ditto",
    "except",
    "ask",
    "refuse",
    "other",
    "about",
    "history",
    "later",
    "unlike",
    "quote",
    "square",
    "edge",
    "not",
    "instead",
    "each",
    "as",
    "because",
    "again",
    "total",
    "drawn",
    "beside",
)


#: What finds places that speak of something besides what is ordered.
_BESIDES = (own_work, profiles, rooms, things_sized, holders, had_elsewhere, mishaps, prices)


def read_passage(items: Sequence[Item], listed: bool = False, hint: str = "") -> Said:
    """Read one passage.

    Parameters
    ----------
    items
        As cut.
    listed
        Whether it is an item of a list.
    hint
        The enquiry column that it stands in, for a cell of a table.
    """
    items = set_right(items, hint)
    said = Said(items=items)
    said.dropped = denied(items)
    past = of_the_past(items, said.dropped)
    told = {n for n, i in enumerate(items) if "withdraw" in i.tags and in_brackets(items, n, past)}
    said.dropped |= past | set().union(*(told_of(items) for told_of in _BESIDES))
    bolts = bolt_holes(items)
    for n, item in enumerate(items):
        for mark in MARKS:
            if mark in item.tags and _says_other(items, n, mark, past, told):
                continue
            if mark in item.tags and (
                n not in said.dropped
                or mark in ("withdraw", "unlike", "refuse", "not", "correct", "item")
            ):
                said.marks.setdefault(mark, []).append(item)
    for n, item in enumerate(items[:-1]):
        bracketed = items[n + 1].text == "(" and n + 3 < len(items) and items[n + 3].text == ")"
        if (
            "as" in item.tags
            and n not in said.dropped
            and ("item" in items[n + 1].tags or bracketed or _lettered(items, n + 1))
        ):
            said.marks.setdefault("same", []).append(item)
    for n, item in enumerate(items):
        if "refuse" in item.tags:
            said.dropped |= set(_refused(items, n))
    shares = find_shares(items)
    if shares:
        said.dropped |= set(range(shares[0].first, shares[-1].last))
    counted = find_quantities(items, said.dropped, listed)
    take_counts(said, counted)
    taken = {n for c in counted for n in range(c.first, c.last + 1)}
    starts = {one.start for c in counted for one in c.numbers}
    numbers = {n for n, item in enumerate(items) if item.start in starts}
    read_words(said, taken)
    nouns = {items[c.noun].start for c in counted}
    if any(f.start in nouns for f in said.facts if f.name in ("form", "shape")):
        said.facts = [
            replace(f, weak=True) if f.name in ("form", "shape") and f.start not in nouns else f
            for f in said.facts
        ]
    amounts = [
        n
        for n in range(len(items))
        if n not in numbers and n not in said.dropped | bolts and _sized(items, n)
    ]
    read_sizes(said, bind(items, amounts, said.dropped | bolts), amounts, hint)
    said.facts.sort(key=lambda fact: fact.start)
    set_sizes_right(said)
    shape_each(said)
    size_one(said)
    holed(said)
    no_count_of_mesh(said)
    told_apart(said)
    said.facts = without_pointed(said)
    set_counts_right(said)
    counted_otherwise(said)
    each_or_all(said)
    said.facts = asked_under_an_if(said)
    ask_other_side(said)
    if shares:
        take_shares(said, shares)
    guessed(said)
    said.silent = frozenset(items[n].start for n in said.dropped)
    return said


#: A number of two parts, as points of minutes are numbered.
_DOTTED = re.compile(r"^\d{1,2}\.\d{1,2}$")


def _lettered(items: Sequence[Item], n: int) -> bool:
    """Whether the label of an item stands here: "as a) but"."""
    if n + 1 < len(items) and items[n + 1].text == ")" and len(items[n].text) <= 2:  # noqa: PLR2004
        return True
    one = items[n].text
    lettered = len(one) == 1 and one.isalpha()
    numbered = items[n].whole or bool(_DOTTED.match(one))
    after = items[n + 1] if n + 1 < len(items) else None
    if lettered and after is not None and after.text == ",":
        return True
    return (numbered or lettered) and after is not None and "but" in after.tags


def _says_other(items: Sequence[Item], n: int, mark: str, past: set[int], told: set[int]) -> bool:
    """Whether a word is no mark here: "do all three", "was" of the past, "dropped" in brackets."""
    if mark in ("same", "ditto"):
        return _is_verb(items, n) or _quotes(items, n)
    if mark == "unlike":
        return n in past and fold(items[n].text) == "was"
    return mark == "withdraw" and n in told


def _quotes(items: Sequence[Item], n: int) -> bool:
    """Whether a sign encloses words, and is no ditto: "12 mm mesh" in quotes."""
    beside = n + 1 < len(items) and items[n + 1].glued
    return items[n].text == '"' and bool(beside or items[n].glued)


def _is_verb(items: Sequence[Item], n: int) -> bool:
    """Whether a "do" is a verb, and no ditto: "do all three in 304", "can you do"."""
    if fold(items[n].text) != "do":
        return False
    beside = [items[k] for k in (n - 1, n + 1) if 0 <= k < len(items)]
    return any(one.kind == "word" and "but" not in one.tags for one in beside)


def _refused(items: Sequence[Item], n: int) -> range:
    """Return what a refusal refuses: its sentence; after a comma a "not the" refuses its clause.

    "We take eight rolls, not the usual ten": the eight are asked for.
    """
    whole = _sentence(items, n)
    lead = items[n - 1] if n else None
    if "not" in first_word(items[n]) and lead is not None and lead.text in ",(-" and n - 1 in whole:
        return range(n, clause_end(items, n, frozenset(",;:.!?()\n")))
    return whole


def _sentence(items: Sequence[Item], n: int) -> range:
    """Return the sentence or line around an item."""
    ends = [
        k for k, i in enumerate(items) if i.kind == "nl" or (i.kind == "mark" and i.text in ".;!?")
    ]
    return range(
        max([k + 1 for k in ends if k < n], default=0),
        min([k for k in ends if k > n], default=len(items)),
    )


def _sized(items: Sequence[Item], n: int) -> bool:
    item = items[n]
    if item.kind != "num" or not item.values or item.unit == "process" or item.tags.get("alloy"):
        return False
    after = items[n + 1] if n + 1 < len(items) else None
    if after is not None and (
        ("edge" in after.tags and "size" not in after.tags)
        or ("process" in after.tags and not item.unit)
    ):
        return False
    before = items[n - 1] if n else None
    if not item.unit and item.whole and before is not None and "item" in before.tags:
        return False
    return not (item.spelled and not item.unit and item.values[0] == 1.0)


def carried(fact: Fact, origin: str) -> Fact:
    """Return a fact as carried over from elsewhere in the letter."""
    return replace(fact, origin=fact.origin or origin)
