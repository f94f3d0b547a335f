"""A sentence of several subjects, parted into clauses of one each.

"For the upper deck 4 mm with 1.4 mm wire and for the lower one 1.6 mm with 0.7 mm wire" says one
thing of each deck; read as a whole its sizes would be of one line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.aims import is_article
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.item import Item, last_word
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.vocabulary import fold

#: Before what a clause is about.
_BEFORE = frozenset({"for", "on", "in", "at", "of", "fur", "auf", "bei", "im", "am", "an", "pour",
                     "sur", "dans", "au", "aux", "a", "para", "en", "al", "los", "las", "all of",
                     "of the", "for the", "on the", "in the", "at the"})  # fmt: skip
#: What tells one subject from another.
_TELLS = ("place", "narrow", "wide", "former", "latter", "third", "fourth", "last", "rest", "one",
          "other")  # fmt: skip
#: What sets something, before its subject: "leave the 32s at four".
_SETS = frozenset({"leave", "keep", "lass", "lassen", "laissez", "dejen", "then", "but"})
#: A subject has no more words than this (our choice).
_LONGEST = 6
#: Words that belong to no subject: the clause says what follows of it.
_SAYS = frozenset({"be", "is", "are", "should", "can", "may", "must", "shall", "will", "gets",
                   "get", "takes", "take", "soll", "sollen", "kann", "wird", "werden", "ist",
                   "sind", "bekommt", "sera", "seront", "est", "sont", "es", "son", "seran",
                   "debe", "deben", "in", "en", "to"})  # fmt: skip


def by_subject(passage: Passage, said: Said, lines: int) -> list[Said]:
    """Part what a sentence says by its subjects; the sentence itself where it has one.

    Only a sentence whose clauses each name what they are about, and each say of it what another
    clause says otherwise, is parted; by order, "the first … and the last", only where there are
    `lines` to be told apart by it.
    """
    whole = [said]
    if passage.kind in ("item", "row") or said.shares or said.has("withdraw", "same", "except"):
        return whole
    parts = _clauses(said.items)
    if len(parts) < 2:  # noqa: PLR2004
        return whole
    ordered = any(_ORDERED & i.tags.keys() for i in said.items)
    if ordered and lines < 2:  # noqa: PLR2004
        return whole
    told = [read_passage(part) for part in parts]
    for before, one in pairwise(told):
        _others_counted(before, one)
        _stands_for_it(before, one)
        _like_before(before, one)
    if not all(_states(one) for one in told) or not _differ(told):
        return whole
    _share_tail(told)
    return [replace(one, apart=True) for one in told]


def _share_tail(told: Sequence[Said]) -> None:
    """Give each clause what the last says of all: "deck 1: 6 mesh, deck 2: 10 mesh, both 304"."""
    last = told[-1]
    marks = [i for i in last.marks.get("all", []) if last.facts and i.start > last.facts[0].start]
    if not marks:
        return
    tail = [f for f in last.facts if f.start > marks[0].start and f.name in ("alloy", "services")]
    for one in told[:-1]:
        have = {f.name for f in one.facts}
        one.facts += [f for f in tail if f.name == "services" or f.name not in have]


def _states(said: Said) -> bool:
    told = (*CLOTH, "alloy", "wire_diameter", "services", "dim", "quantity")
    return any(f.name in told for f in said.facts) or bool(_bare(said))


def _bare(said: Said) -> list[Item]:
    """Bare whole numbers that end what is said: "leave the 32s at four"."""
    last = [i for i in said.items if i.kind not in ("mark", "nl") and "and" not in i.tags][-1:]
    return [i for i in last if i.whole and any(i is one for one in said.loose)]


def _differ(told: Sequence[Said]) -> bool:
    """Whether the clauses say the same kind of thing, each in its own way."""
    names = [{f.name for f in one.facts} - {"form", "shape", "counted"} for one in told]
    names = [
        of | ({"quantity"} if _bare(one) else set()) for of, one in zip(names, told, strict=True)
    ]
    values = [
        {(f.name, f.value, f.text) for f in one.facts}
        | {("quantity", i.text, "") for i in _bare(one)}
        for one in told
    ]
    return all(a & b for a, b in pairwise(names)) and all(a != b for a, b in pairwise(values))


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    """Cut a sentence where a new subject begins; one piece where its first clause has none."""
    first = 0 if _subject(items, 0) else _after_lead(items)
    if first < 0:
        return [list(items)]
    cuts = [first]
    for n in range(first + 1, len(items)):
        joint = items[n - 1]
        parted = joint.text in (",", ";", ".", "-") or "and" in joint.tags or "but" in joint.tags
        free = n - cuts[-1] > _subject(items, cuts[-1])
        if parted and free and _subject(items, n) and _tells(items, cuts[-1], n):
            cuts.append(n)
    parts = [list(items[a:b]) for a, b in pairwise([*cuts, len(items)])]
    return parts if _tells(items, cuts[-1], len(items)) else [list(items)]


def _after_lead(items: Sequence[Item]) -> int:
    """Where the first clause begins after words that say nothing: "had a think. leave the 32s …"."""  # noqa: E501
    for n, item in enumerate(items[:-1]):
        counts = item.kind == "num" and not (item.spelled and item.values == (1.0,))
        if counts or {"alloy", "service"} & item.tags.keys():
            return -1
        if item.text == "." and _subject(items, n + 1):
            return n + 1
    return -1


def _tells(items: Sequence[Item], a: int, b: int) -> bool:
    """Whether a stretch says something after its subject."""
    rest = items[a + _subject(items, a) : b]
    return any(i.kind == "num" or {"alloy", "service"} & i.tags.keys() for i in rest)


def _subject(items: Sequence[Item], at: int) -> int:
    """Length of the words from `at` on that name what a clause is about; 0 where none do."""
    n = at
    while n < len(items) and (
        "and" in items[n].tags
        or items[n].text in ",."
        or {"put"} & items[n].tags.keys()
        or fold(items[n].text) in _SETS
    ):
        n += 1
    if n < len(items) and _of_them(items, n):
        return n + 2 - at
    if n < len(items) and fold(items[n].text) in _BEFORE and not is_article(items[n]):
        n += 1
    if _labelled(items, n):
        return n + 2 - at
    if n >= len(items) or not (is_article(items[n]) or "rest" in items[n].tags):
        return 0
    named = "rest" in items[n].tags
    n += 1
    if (
        n + 1 < len(items)
        and items[n].whole
        and fold(items[n + 1].text) == "s"
        and items[n + 1].glued
    ):
        return n + 2 - at  # "the 32s"
    stop = min(n + _LONGEST, len(items))
    while n < stop and items[n].kind == "word" and fold(items[n].text) not in _SAYS:
        tags = items[n].tags
        if {"alloy", "service", "size", "count", "same", "weave"} & tags.keys():
            break
        named = named or any(one in tags for one in _TELLS)
        named = (
            named or bool({"form", "shape"} & tags.keys()) or not tags.keys() - {"process", "own"}
        )
        n += 1
    if n < stop and items[n].whole and any(last_word(i) in _OTHER for i in items[at:n]):
        n += 1  # "the other eight"
    return n - at if named else 0


def _labelled(items: Sequence[Item], n: int) -> bool:
    """Whether a thing is named by a letter or a number: "alternative B is …", "cyclone 2 gets …"."""  # noqa: E501
    if n + 2 >= len(items):
        return False
    word, label = items[n], items[n + 1]
    plain = word.kind == "word" and not word.tags.keys() - {"process", "or", "quote", "own"}
    letter = len(label.text) == 1 and label.text.isupper()
    named = letter or (label.kind == "code" and len(label.text) <= 2)  # noqa: PLR2004
    return plain and len(word.text) > 3 and named  # noqa: PLR2004


def _of_them(items: Sequence[Item], n: int) -> bool:
    """Whether a number and an "of them" stand here: "four of them get …"."""
    after = items[n + 1] if n + 1 < len(items) else None
    return items[n].whole and after is not None and fold(after.text) in _THEM


_THEM = frozenset({"of them", "of these", "of those", "davon", "d'entre eux", "d'entre elles",
                   "de ellos", "de ellas"})  # fmt: skip


_ORDERED = frozenset({"former", "latter", "third", "fourth", "last"})
_OTHER = frozenset({"other", "others", "remaining", "anderen", "ubrigen", "restlichen", "autres",
                    "otros", "otras", "demas"})  # fmt: skip


def _others_counted(before: Said, one: Said) -> None:
    """Count the others after some of them: "four of them get …, the other eight …"."""
    counted = any(_of_them(before.items, n) for n in range(len(before.items)))
    if not counted or one.of("quantity"):
        return
    for n, item in enumerate(one.items):
        if n and item.whole and last_word(one.items[n - 1]) in _OTHER:
            one.facts.insert(
                0, Fact("quantity", max(item.values), item.text, item.start, item.end, item)
            )
            one.loose = [i for i in one.loose if i is not item]
            return


def _stands_for_it(before: Said, one: Said) -> None:
    """Hold that the "one" of a later clause counts nothing: "a lining of 20 mesh and … one of 30"."""  # noqa: E501
    if any(not f.weak for f in before.of("quantity")):
        return
    for n, item in enumerate(one.items[:-1]):
        if fold(item.text) == "one" and fold(one.items[n + 1].text) == "of":
            one.facts = [f for f in one.facts if f.start != item.start]


def _like_before(before: Said, one: Said) -> None:
    """Give bare sizes the places of those of the clause before: "…, the other eight 0.8 and 0.25"."""  # noqa: E501
    bare = [i for i in one.loose if i.kind == "num" and not i.tags.get("alloy")]
    like = [f for f in before.facts if f.item is not None and f.name != "quantity"]
    if (
        not bare
        or len(bare) != len(like)
        or any(f.item is not None and f.name != "quantity" for f in one.facts)
    ):
        return
    if any(
        f.item is None or i.unit not in ("", f.item.unit) for i, f in zip(bare, like, strict=True)
    ):
        return
    for item, fact in zip(bare, like, strict=True):
        unit = item.unit or (fact.item.unit if fact.item is not None else "")
        one.facts.append(Fact(fact.name, "", item.text, item.start, item.end,
                              replace(item, unit=unit), fact.role))  # fmt: skip
    one.loose = [i for i in one.loose if i not in bare]
    one.facts.sort(key=lambda f: f.start)
