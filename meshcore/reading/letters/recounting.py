"""Counts and sizes said again of the lines just spoken of: "but we need six rolls of it"."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.item import first_word
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold

_ORIGIN = "a correction"
#: What stands for goods just spoken of.
_OF_IT = frozenset({"of it", "of them", "of those", "of these", "of that", "davon", "von denen",
                    "de celle-ci", "de celui-ci", "d'entre eux", "de ellos", "de esa",
                    "de eso"})  # fmt: skip
#: How somebody begins who takes up what was said, and changes it.
_TURNS = frozenset({"yes", "yeah", "yep", "no", "but", "ok", "okay", "well", "hmm", "sorry", "nope",
                    "ja", "nein", "aber", "doch", "nee", "oui", "non", "mais", "si", "sí", "pero",
                    "perdon", "ah", "oh", "right", "correct", "genau", "stimmt",
                    "exact", "exacto", "vale"})  # fmt: skip
#: What only names or counts.
_BARE = frozenset({"form", "shape", "counted", "quantity", "services"})


def recounts(build: Build, passage: Passage, said: Said) -> bool:
    """Take a count for that of the line just spoken of; False where it is of a line of its own.

    "Yes but 4 pieces" in a chat, and in a mail "but we need six rolls of it", after a sentence
    that changed this line.
    """
    counts = [f for f in said.of("quantity") if not f.weak]
    if {f.name for f in said.facts} - _BARE or passage.kind in ("item", "row"):
        return False
    if passage.speaker and _counts_pointed(build, passage, said):
        return True
    if len(counts) != 1:
        return False
    if passage.speaker and build.corrects == (passage.mail, passage.speaker):
        last = [one for one in build.opened[-1:] if not one.gone and one.has("quantity")]
        if last and _is_such(last[0], said) and not said.has("also"):
            last[0].put([replace(counts[0], origin=_ORIGIN)])  # "no hang on", "2 rolls"
            last[0].notes.append(f"corrected: {counts[0].text}")
            build.corrects = None
            return True
    lines = _spoken_of(build, passage, said)
    if passage.speaker and any("only" in i.tags for i in said.items[:3]):
        formed = any(f.name in ("form", "shape") for f in said.facts)
        lines = build.present if formed else lines  # "and only 1 roll"
    fits = [line for line in lines if line.has("quantity") and _is_such(line, said)]
    if len(fits) != 1:
        return False
    fits[0].put([replace(counts[0], origin=_ORIGIN)])
    fits[0].notes.append(f"corrected: {counts[0].text}")
    return True


def _counts_pointed(build: Build, passage: Passage, said: Said) -> bool:
    """Count anew the lines that a number in a chat is told of: "44 of the big ones"."""
    two = said.items[:2]
    if len(two) < 2 or not two[0].whole or fold(two[1].text) not in _OF:  # noqa: PLR2004
        return False
    count, others = two[0], [f for f in said.of("quantity") if f.start != two[0].start]
    aim = aim_of(said, build.present, build.lines)
    lines = [line for line in aim.lines if line.speaker in ("", passage.speaker)]
    if others or not lines or len(lines) == len(build.present):
        return False
    if not all(line.has("quantity") for line in lines):
        return False
    new = Fact("quantity", max(count.values), count.text, count.start, count.end, count)
    for line in lines:
        line.put([replace(new, origin=_ORIGIN)])
        line.notes.append(f"corrected: {count.text}")
    return True


_OF = frozenset({"of", "von", "de", "of the", "von den", "des", "de las", "de los"})


def _spoken_of(build: Build, passage: Passage, said: Said) -> list[Draft]:
    words = [i for i in said.items if i.kind in ("word", "num")]
    turns = bool(words) and first_word(words[0]) in _TURNS
    also = any("also" in i.tags and first_word(i) not in _TURNS for i in words[:3])
    if also or said.has("same"):
        return []
    if passage.speaker and turns and not said.has("cloth"):
        return [line for line in build.opened[-1:] if not line.gone]
    text = " ".join(i.text.casefold() for i in said.items)
    if any(one in text for one in _OF_IT) and (turns or passage.mail > newest(build)):
        return [line for line in build.pointed if not line.gone]
    return []


def newest(build: Build) -> int:
    """Return the number of the newest mail that a line stands in."""
    return max((line.mail for line in build.present), default=0)


def _is_such(line: Draft, said: Said) -> bool:
    """Whether a line is of the form and shape that a count names."""
    return all(
        line.value(f.name) in (None, f.value) for f in said.facts if f.name in ("form", "shape")
    )


def resizes(  # noqa: PLR0911
    build: Build, passage: Passage, said: Said
) -> bool:
    """Take sizes alone for those of the line just opened, or ask; False where they are no such.

    "Size is 900 x 450. No, wait." "910 x 460": after a word of correction the new sizes hold;
    without one both are asked about.
    """
    told, build.corrects = build.corrects, None
    named = {f.name for f in said.facts} <= {"form", "shape"}
    if said.has("correct") and named and not said.loose:
        build.corrects = (passage.mail, passage.speaker)
        return False
    sizes = said.of("dim")
    if not sizes or len(sizes) != len(said.facts) or passage.kind in ("item", "row"):
        build.corrects = told if not said.facts and not said.loose else None
        return False
    line = next((one for one in build.opened[-1:] if not one.gone), None)
    if line is None or len(line.of("dim")) != len(sizes) or said.has("same", "cloth", "all"):
        return False
    if any(f.role not in ("", old.role) for f, old in zip(sizes, line.of("dim"), strict=True)):
        return False
    if told == (passage.mail, passage.speaker) or said.has("correct"):
        new = [
            replace(old, item=f.item, text=f.text, start=f.start, end=f.end, origin=_ORIGIN)
            for f, old in zip(sizes, line.of("dim"), strict=True)
        ]
        line.old += line.of("dim")
        line.facts = [f for f in line.facts if f.name != "dim"] + new
        line.notes.append(f"corrected: {', '.join(f.text for f in sizes)}")
        return True
    if passage.speaker and passage.paragraph == line.paragraph and line.has(*CLOTH):
        shown = " x ".join(f.text for f in sizes)
        why = f'"{shown}" is said later: which sizes hold?'
        line.doubts.append((frozenset({"dim"}), why))
        return True
    return False


def adds_to_each(build: Build, said: Said) -> bool:
    """Count more of each line: "please add one spare piece to each"; False where it says no such thing."""  # noqa: E501
    counts = said.of("quantity")
    if len(counts) != 1 or {f.name for f in said.facts} - _BARE or said.of("services"):
        return False
    if any(fold(i.text) in _PRICES for i in said.items):
        return False  # "add the price of 300 of each size"
    words = " ".join(fold(i.text) for i in said.items).split()
    at = next((n for n, i in enumerate(said.items) if i.start == counts[0].start), 0)
    added = any(_ADD & set(fold(i.text).split()) for i in said.items[:at])
    each = any(a in _TO and b in _EACH for a, b in pairwise(words))
    lines = [line for line in build.present if line.has("quantity")]
    told = each and not added and bool(_SPARE & set(words))
    if lines and told and not any(i.whole for i in said.loose):
        shown = " ".join(i.text for i in said.items if i.kind != "nl")
        for line in lines:
            why = f'"{shown}": more of each, or as many as said?'
            line.doubts = [*line.doubts, (frozenset({"quantity"}), why)]
        return True
    if not added or not each or not lines:
        return False
    for line in lines:
        old = line.of("quantity")[-1]
        total = float(old.value) + float(counts[0].value)
        line.put(
            [replace(old, value=total, text=f"{total:g}", origin="one more of each", item=None)]
        )
        line.notes.append(f"{old.text} and {counts[0].text} more")
    return True


_SPARE = frozenset({"spare", "spares", "ersatz", "reserve", "rechange", "repuesto", "recambio"})
_PRICES = frozenset({"price", "prices", "quote", "quotation", "cost", "preis", "preise", "prix",
                     "precio", "precios"})  # fmt: skip
#: How a letter begins that wants more of each line, and for what.
_ADD = frozenset({"add", "plus", "allow", "zuzuglich", "dazu", "ajoutez", "ajouter", "anadir",
                  "anadan", "agreguen", "sumen"})  # fmt: skip
_TO = frozenset({"to", "for", "of", "on", "zu", "fur", "pour", "a", "para", "por"})
_EACH = frozenset(
    {"each", "every", "jeder", "jedem", "jede", "chaque", "chacun", "chacune", "cada"}
)


def point(build: Build, lines: list[Draft]) -> None:
    """Keep which lines a change spoke of, for the next sentence that says "it"."""
    if lines:
        build.pointed = lines
