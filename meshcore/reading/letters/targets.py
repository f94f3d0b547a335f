"""Which lines a passage speaks of: by number, by order, or by what they are."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.label_places import (
    GIVEN,
    OF,
    as_number,
    bracketed,
    drawn_from,
    label_of,
    of_stuff,
    owns_cloth,
    stands_for_line,
)
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
        elif as_number(items, n, known):
            out.append((n, [label_of(items[n + 1])], n + 2))
            n += 2
            continue
        elif bracketed(items, n, known):
            out.append((n, [fold(items[n + 1].text)], n + 3))
            n += 3
            continue
        elif drawn_from(items, n, known):
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
            or fold(items[n - 1].text) in ("in", "en", *OF)
            or (fold(items[n - 1].text) in GIVEN and items[n].text.isupper())
            or fold(items[n - 1].text).split()[-1:] in [[one] for one in OF]
            or {"as", "same", "cloth"} & items[n - 1].tags.keys()
            or owns_cloth(items, n + 1)
            or of_stuff(items, n)
        ):
            labels, stop = _labels(items, n, known)
            joined = stop - n > 1
            if (
                labels
                and all(_LETTERS.match(one) for one in labels)
                and (
                    (joined and len(labels) > 1)
                    or (n and items[n - 1].text == "(")
                    or of_stuff(items, n)
                    or stands_for_line(items, n, stop)
                )
            ):
                out.append((n, labels, stop))
                n = stop
                continue
        n += 1
    return out


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
            if labels and after is not None and fold(after.text) in GIVEN and text not in known:
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
