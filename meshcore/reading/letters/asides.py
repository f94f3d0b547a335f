"""Sentences that order nothing: of the past, of things that cloth is for, of some of a line."""

from __future__ import annotations

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.passage import Passage
from meshcore.reading.vocabulary import fold


def counts_known(build: Build, said: Said) -> bool:
    """Ask about the count of a line whose pieces are counted again by their size: "1,000 of the 47s"."""  # noqa: E501
    sizes, counts = said.of("dim"), said.of("quantity")
    if len(sizes) != 1 or len(counts) != 1 or {f.name for f in said.facts} != {"dim", "quantity"}:
        return False
    if not said.has("the") or said.has("correct", "same", "also", "withdraw"):
        return False
    known = [line for line in build.present if targets.matches(line, sizes[0])]
    for line in known:
        if line.value("quantity") not in (None, counts[0].value):
            why = f'"{counts[0].text}" is said later: how many?'
            line.doubts = [*line.doubts, (frozenset({"quantity"}), why)]
        line.fill(counts, "")
    return bool(known)


def is_past(said: Said) -> bool:
    """Whether a sentence tells of earlier orders from its first word to its last."""
    told = [n for n, i in enumerate(said.items) if i.kind in ("word", "num")]
    whole = bool(told) and all(n in said.dropped for n in told)
    return whole and said.has_any("history") and not said.has("withdraw", "correct", "instead")


def retracts_itself(said: Said) -> bool:
    """Whether a sentence ends by taking back what it tells of: "a 900 mm ring, ignore that"."""
    marks = [i.start for i in said.items if "retract" in i.tags]
    sized = [f for f in said.facts if f.item is not None or f.name == "shape"]
    return bool(marks and sized) and max(f.start for f in said.facts) < marks[-1]


#: What a sentence says of a thing's size with.
_IS = frozenset({"is", "are", "measures", "measure", "ist", "sind", "misst", "hat", "est", "sont",
                 "mesure", "fait", "es", "son", "mide"})  # fmt: skip


#: A thing is named in so many words (our choice).
_NAMED_IN = 5


def describes_thing(build: Build, passage: Passage, said: Said) -> bool:
    """Whether a sentence tells how large a thing is that is no goods: "the deck itself is 5' x 16'"."""  # noqa: E501
    if passage.kind in ("item", "row") or said.cloth() or not said.of("dim"):
        return False
    if any(f.name in ("alloy", "wire_diameter", "weave", "services") for f in said.facts):
        return False
    words = said.items[: _NAMED_IN + 1]
    verb = next((n for n, i in enumerate(words) if fold(i.text) in _IS), 0)
    if not verb or "the" not in words[0].tags:
        return False
    goods = {"form", "shape", "one", "place", "narrow", "wide", "item", "edge", "size"}
    plain = not any(i.kind == "num" or goods & i.tags.keys() for i in words[1:verb])
    sized = any(line.has("dim") for line in build.present)
    known = aim_of(said, build.present, build.lines).lines
    return plain and sized and not known and said.of("dim")[0].start > words[verb].start


#: How "one of them …" goes on after its number.
_OF_THEM = ("of them", "of these", "of those", "davon", "d'entre eux", "de ellos")


def is_of_some(build: Build, passage: Passage, said: Said) -> bool:
    """Leave to be read by a person what is said of some pieces of a line: "one of them cut in three"."""  # noqa: E501
    first = [i for i in said.items if i.kind != "mark"][:3]
    if len(first) < 3 or first[0].kind != "num" or not build.present or said.cloth():  # noqa: PLR2004
        return False
    if passage.kind != "item" or not fold(first[1].text).startswith(_OF_THEM):
        return False
    build.unread.append((passage.start, passage.end, "said of some of the line before only"))
    build.present[-1].notes.append("more is said of some of it: see the letter")
    return True


def take_drawings(build: Build, passage: Passage, said: Said) -> bool:
    """Keep a piece for each drawing that a letter begins with: "see left.dxf and right.dxf"."""
    drawings = [i for i in said.items if "drawing" in i.tags]
    if not drawings or build.present or said.cloth() or said.of("quantity"):
        return False
    for item in drawings:
        fact = Fact("form", "piece", item.text, item.start, item.end)
        line = Draft([fact], start=item.start, end=item.end, section=len(build.heads) - 1,
                     mail=passage.mail, paragraph=passage.paragraph)  # fmt: skip
        line.notes.append(f"drawing {item.text}")
        build.lines.append(line)
    build.opened = list(build.lines[-len(drawings) :])
    return True
