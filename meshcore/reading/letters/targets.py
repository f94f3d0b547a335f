"""Which lines a passage speaks of: by number, by order, or by what they are."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item, last_word
from meshcore.reading.vocabulary import fold

_ORDINALS = {"former": 0, "latter": 1, "third": 2, "fourth": 3, "last": -1}
_LETTERS = re.compile(r"^[a-z]\d{0,2}$")


def named_labels(items: Sequence[Item], lines: Sequence[Draft]) -> list[tuple[int, list[str], int]]:
    """Labels that a passage names, with where each begins and ends: "items 2-4", "A+B", "pos. 3"."""  # noqa: E501
    out: list[tuple[int, list[str], int]] = []
    known = {line.label for line in lines if line.label}
    letters = any(_LETTERS.match(label) for label in known)
    n = 0
    while n < len(items):
        after = n + 1
        counted = bool(n) and bool(_ORDINALS.keys() & items[n - 1].tags.keys())
        if "item" in items[n].tags and items[n].kind != "num" and not counted:
            while after < len(items) and items[after].text in ".:#(":
                after += 1
            labels, stop = _labels(items, after, known)
            if labels:
                out.append((n, labels, stop))
                n = stop
                continue
        elif _as_number(items, n, known):
            out.append((n, [label_of(items[n + 1])], n + 2))
            n += 2
            continue
        elif _bracketed(items, n, known):
            out.append((n, [fold(items[n + 1].text)], n + 3))
            n += 3
            continue
        elif _drawn_from(items, n, known):
            out.append((n, [fold(items[n].text)], n + 2))
            n += 2
            continue
        elif items[n].text == "(" and n and {"as", "same"} & items[n - 1].tags.keys():
            labels, stop = _labels(items, n + 1, known)
            if labels:
                out.append((n, labels, stop))
                n = stop
                continue
        elif letters and (
            n == 0
            or items[n - 1].text in "(.,;"
            or "not" in items[n - 1].tags
            or "the" in items[n - 1].tags
            or fold(items[n - 1].text) in ("in", "en", *_OF)
            or (fold(items[n - 1].text) in _GIVEN and items[n].text.isupper())
            or fold(items[n - 1].text).split()[-1:] in [[one] for one in _OF]
            or {"as", "same", "cloth"} & items[n - 1].tags.keys()
            or owns_cloth(items, n + 1)
            or _of_stuff(items, n)
        ):
            labels, stop = _labels(items, n, known)
            joined = stop - n > 1
            if (
                labels
                and all(_LETTERS.match(one) for one in labels)
                and (
                    (joined and len(labels) > 1)
                    or (n and items[n - 1].text == "(")
                    or _of_stuff(items, n)
                    or _stands_for_line(items, n, stop)
                )
            ):
                out.append((n, labels, stop))
                n = stop
                continue
        n += 1
    return out


def _bracketed(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether a bracket holds the label of a line: "the (i) cloth", "price (iv) also"."""
    three = items[n : n + 3]
    if len(three) < 3 or three[0].text != "(" or three[2].text != ")":  # noqa: PLR2004
        return False
    if fold(three[1].text) not in known:
        return False
    before = items[n - 1] if n else None
    told = before is None or bool(
        {"as", "same", "the", "quote", "for", "cloth", "item", "and"} & before.tags.keys()
    )
    return told or not three[1].whole or (before is not None and fold(before.text) in _OF)


def _drawn_from(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether a number with a bracket is a label that something is taken from: "from 1)"."""
    if not n:
        return False
    dotted = "." in items[n].text and items[n].kind == "num" and not items[n].unit
    if dotted and fold(items[n].text) in known:
        return last_word(items[n - 1]) in _OF
    if n + 1 >= len(items) or items[n + 1].text != ")" or not items[n].whole:
        return False
    return fold(items[n].text) in known and last_word(items[n - 1]) in _OF


def _as_number(items: Sequence[Item], n: int, known: set[str]) -> bool:
    """Whether an "as 4" names a line: a number that is one's label, with no more to it."""
    if not {"as", "same"} & items[n].tags.keys() or n + 1 >= len(items):
        return False
    number, after = items[n + 1], items[n + 2] if n + 2 < len(items) else None
    alone = after is None or after.kind in ("mark", "nl") or "but" in after.tags
    alone = alone or (after is not None and fold(after.text) in _CHANGES)
    told = number.kind == "num" and not number.unit and label_of(number) in known
    return told and alone and not number.tags


#: What a line is to have otherwise than the one it is like: "same as 2 in 316".
_CHANGES = frozenset({"in", "with", "mit", "aus", "en", "avec", "con", "only", "except"})


def label_of(item: Item) -> str:
    """Return a number as the label that it may be: "02" is 2, "4.2" stands."""
    return fold(item.text).lstrip("0") or fold(item.text)


def _stands_for_line(  # noqa: PLR0911
    items: Sequence[Item], n: int, stop: int
) -> bool:
    """Whether a single letter names a line: "C hemmed", "as a) but"; an "A" may be an article."""
    after = items[n + 1] if n + 1 < len(items) else None
    if n and {"as", "same"} & items[n - 1].tags.keys():
        if items[stop - 1].text == ")" or (after is not None and after.text == ")"):
            return True
        return after is None or after.kind in ("mark", "nl") or "but" in after.tags
    if n and fold(items[n - 1].text) in _OF[:6] and items[n].text.isupper():
        return after is None or after.kind in ("mark", "nl") or "and" in after.tags
    if n and fold(items[n - 1].text) in _GIVEN and items[n].text.isupper():
        return after is None or after.kind in ("mark", "nl")
    if items[n].text.isupper() and owns_cloth(items, stop):
        return True
    if n and "the" in items[n - 1].tags and after is not None and stop == n + 1:
        clothed = "cloth" in after.tags or fold(after.text) in _STUFF
        if clothed:
            return True
    if n and "cloth" in items[n - 1].tags:
        return after is None or after.kind in ("mark", "nl")
    told = after
    if after is not None and fold(after.text) in ("in", "aus", "en") and n + 2 < len(items):
        told = items[n + 2]  # "D in 304 please"
    return (
        n == 0
        and items[n].text.isupper()
        and told is not None
        and bool({"service", "alloy", "weave"} & told.tags.keys())
    )


def _of_stuff(items: Sequence[Item], n: int) -> bool:
    """Whether the label of a line with its bracket stands after a word for cloth: "la malla a)"."""
    bracketed = n + 1 < len(items) and items[n + 1].text == ")"
    return bracketed and n > 0 and fold(items[n - 1].text) in _STUFF


def owns_cloth(items: Sequence[Item], stop: int) -> bool:
    """Whether what stands before has a cloth: "A's mesh in strips"."""
    three = items[stop : stop + 3]
    if len(three) < 3 or three[0].text != "'" or fold(three[1].text) != "s":  # noqa: PLR2004
        return False
    return "cloth" in three[2].tags or fold(three[2].text) in _STUFF


#: Words for the cloth of a line: "the a mesh".
_STUFF = frozenset({"mesh", "material", "one", "gewebe", "toile", "tela", "malla", "stuff"})
#: Words before a label that is counted or cut from: "two of A", "each of B".
_OF = ("of", "von", "de", "from", "aus", "ex", "than", "like", "as", "zu", "wie", "comme", "como")


#: Words between what is given and whom it is given to.
_GIVEN = frozenset({"for", "fur", "pour", "para", "on", "bei", "auf", "sur", "en"})
#: Kinds of word after a number that is a count, and no label.
_COUNTED = frozenset({"form", "shape", "roll_length", "counts_pieces"})


def _labels(items: Sequence[Item], n: int, known: set[str]) -> tuple[list[str], int]:
    labels: list[str] = []
    ranged = False
    while n < len(items):
        item = items[n]
        text = fold(item.text)
        if (
            item.kind == "num" and not item.unit and item.whole and re.fullmatch(r"\d{1,3}", text)
        ) or (re.fullmatch(r"[a-z]\d{0,2}", text) and text in known):
            after = items[n + 1] if n + 1 < len(items) else None
            if labels and after is not None and _COUNTED & after.tags.keys():
                break  # "change item 2 to 4 rolls": the second number counts
            if labels and after is not None and fold(after.text) in _GIVEN and text not in known:
                break  # "60 for lines 1 to 3 and 75 for line 4"
            one = text.lstrip("0") or text
        elif labels and (item.text in "-+,&/)(" or {"and", "range"} & item.tags.keys()):
            ranged = item.text == "-" or "range" in item.tags
            n += 1
            continue
        else:
            break
        if (
            ranged
            and labels
            and labels[-1].isdigit()
            and one.isdigit()
            and int(one) - int(labels[-1]) < 100  # noqa: PLR2004
        ):
            labels += [str(k) for k in range(int(labels[-1]) + 1, int(one) + 1)]
        else:
            labels.append(one)
        ranged = False
        n += 1
    return labels, n


def by_label(labels: Sequence[str], lines: Sequence[Draft]) -> list[Draft]:
    """Return the lines of these labels; an unnumbered list is counted."""
    present = [line for line in lines if not line.gone]
    found = [line for line in present if line.label in labels]
    if not found and not any(line.label for line in lines):
        found = [
            lines[int(one) - 1] for one in labels if one.isdigit() and 0 < int(one) <= len(lines)
        ]
        found = [line for line in found if not line.gone]
    return found


def by_order(said: Said, lines: Sequence[Draft]) -> list[Draft]:
    """Return the line named by its place: "the first one", "the last"."""
    for mark, place in _ORDINALS.items():
        if said.has(mark) and -len(lines) <= place < len(lines):
            return [lines[place]]
    return []


def matches(line: Draft, fact: Fact) -> bool:
    """Whether a line says what a fact says."""
    for own in line.of(fact.name):
        if fact.item is not None and own.item is not None:
            if set(fact.item.values) & set(own.item.values):
                return True
        elif own.value == fact.value or (
            fact.name == "alloy"
            and str(fact.value) == "stainless steel"
            and str(own.value)[:1] == "3"
        ):
            return True
    return False


def by_facts(facts: Sequence[Fact], lines: Sequence[Draft]) -> list[Draft]:
    """Return the lines that say all of these facts; empty where none does or there are none."""
    telling = [f for f in facts if f.name not in ("services", "quantity")]
    if not telling:
        return []
    return [line for line in lines if not line.gone and all(matches(line, f) for f in telling)]


def by_width(said: Said, lines: Sequence[Draft]) -> list[Draft]:
    """Return the narrow or the wide ones of two widths."""
    want = "narrow" if said.has("narrow") else "wide" if said.has("wide") else ""
    if not want:
        return []
    widths = [
        (math.prod(f.item.values[0] for f in line.of("dim") if f.item), line)
        for line in lines
        if line.of("dim")
    ]
    if len({w for w, _ in widths}) < 2:  # noqa: PLR2004
        return []
    edge = min(w for w, _ in widths) if want == "narrow" else max(w for w, _ in widths)
    return [line for w, line in widths if w == edge]


#: Words this short name nothing.
_SHORT = 2


#: After these a plural takes an "es": "presses", "boxes", "benches".
_SIBILANTS = ("sses", "xes", "ches", "shes")


def stem(word: str) -> str:
    """Return a word as it is compared: "windows" and "window" are one."""
    folded = fold(word)
    if folded.endswith(_SIBILANTS):
        return folded.removesuffix("es")
    return folded.removesuffix("s") if len(folded) > 3 else folded  # noqa: PLR2004


def own_words(items: Sequence[Item]) -> frozenset[str]:
    """Words of a passage that are none of the trade's: by them it may be named again."""
    return frozenset(
        stem(i.text)
        for i in items
        if i.kind == "word"
        and len(i.text) > _SHORT
        and (
            "place" in i.tags
            or not i.tags.keys() - {"process", "stop", "quote", "edge", "mill", "own"}
        )
        and "stop" not in i.tags
    )


def by_words(words: frozenset[str], lines: Sequence[Draft]) -> list[Draft]:
    """Return the lines that share most of their own words with a passage."""
    scores = [len(words & line.words) for line in lines if not line.gone]
    best = max(scores, default=0)
    if best == 0:
        return []
    present = [line for line in lines if not line.gone]
    return [line for line, score in zip(present, scores, strict=True) if score == best]
