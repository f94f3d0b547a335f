"""From passages to lines: each is taken as a change, a head, or what opens and fills lines."""

from __future__ import annotations

from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.alloys import settle_alloys
from meshcore.reading.letters.alloys_anew import alloy_in_its_place
from meshcore.reading.letters.breaks import count_alternative, price_more
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.changes import change
from meshcore.reading.letters.chunks import cut_chunks, shared_facts
from meshcore.reading.letters.counting import clothes_waiting, count_late, fills_waiting, makes_up
from meshcore.reading.letters.distributing import distribute
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.heads import (
    alloys_for_words,
    doubt_alloy,
    names_cloths,
    note_exceptions,
    says_of_each,
    share_facts,
    take_head,
)
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.leading import is_head
from meshcore.reading.letters.left_over import late_length, length_left
from meshcore.reading.letters.making import open_lines
from meshcore.reading.letters.opening import opens
from meshcore.reading.letters.other_ways import price_in
from meshcore.reading.letters.parting import doubts_part, part_lines
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.recounting import adds_to_each, recounts, resizes
from meshcore.reading.letters.restating import alloy_anew, sums_up
from meshcore.reading.letters.withdrawing import says_anew
from meshcore.reading.letters.work_said import denies_work, limits_work, spares_lines
from meshcore.reading.vocabulary import fold


def take(  # noqa: PLR0911, PLR0912
    build: Build, passage: Passage, said: Said, followed: str = ""
) -> None:
    """Take one passage into the lines; `followed` says whether a list or its sub-items come next."""  # noqa: E501
    listed = passage.kind in ("item", "row")
    if said.has("other") and not (said.cloth() and (said.has("square") or _is_cloth(said))):
        name = said.marks["other"][0].tags["other"]
        build.aside.append((passage.start, passage.end, name))
        return
    if said.has("refuse") and not said.facts:
        return
    if _is_past(said) or _counts_known(build, said):
        return
    if _retracts_itself(said):
        build.unread.append((passage.start, passage.end, "not asked for, by its own words"))
        return

    counts = [f for f in said.of("quantity") if not f.weak]
    if said.has("correct") and len(counts) == 2:  # noqa: PLR2004 - one before it, one after it
        says_anew(said, said.marks["correct"][-1])
    if doubts_part(build, said) or limits_work(build, passage, said):
        return
    if spares_lines(build, passage, said) or denies_work(build, passage, said):
        return
    if recounts(build, passage, said) or resizes(build, passage, said):
        return
    if alloy_anew(build, passage, said) or sums_up(build, passage, said):
        return
    if adds_to_each(build, said) or makes_up(build, passage, said):
        return
    if distribute(build, passage, said) or fills_above(build, passage, said):
        return
    build.tabled += passage.kind == "row"
    if _describes_thing(build, passage, said):
        build.unread.append((passage.start, passage.end, "the size of a thing that cloth is for"))
        return
    if _is_of_some(build, passage, said) or price_more(build, passage, said):
        return
    if price_in(build, passage, said):
        return
    if alloy_in_its_place(build, passage, said):
        return
    if change(build, passage, said):
        if not build.open_clause:
            build.settled.add(passage.start)
        build.open_clause = False
        left, build.left = build.left, []
        for one in left:
            _open_parts(build, passage, one, listed=False)
        return
    if names_cloths(build, said) or alloys_for_words(build, said):
        return
    note_exceptions(build, said)
    each = not build.present and not listed and says_of_each(said)
    if each or (followed and is_head(passage, said, followed)):
        take_head(build, said, followed)
        return
    _open_parts(build, passage, said, listed)


def _counts_known(build: Build, said: Said) -> bool:
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


def _is_past(said: Said) -> bool:
    """Whether a sentence tells of earlier orders from its first word to its last."""
    told = [n for n, i in enumerate(said.items) if i.kind in ("word", "num")]
    whole = bool(told) and all(n in said.dropped for n in told)
    return whole and said.has_any("history") and not said.has("withdraw", "correct", "instead")


def _retracts_itself(said: Said) -> bool:
    """Whether a sentence ends by taking back what it tells of: "a 900 mm ring, ignore that"."""
    marks = [i.start for i in said.items if "retract" in i.tags]
    sized = [f for f in said.facts if f.item is not None or f.name == "shape"]
    return bool(marks and sized) and max(f.start for f in said.facts) < marks[-1]


def _open_parts(build: Build, passage: Passage, said: Said, listed: bool) -> None:
    """Open and fill lines from the parts of a passage."""
    if _take_drawings(build, passage, said):
        return
    if said.shares and not said.of("quantity"):
        for line in list(build.opened) if said.has("each") else build.opened[-1:]:
            part_lines(build, [line], said.shares)
        for line in build.opened:
            line.fill(said.facts, "", ("dim", "roll_length", *FABRIC))
            line.facts += said.of("services")
        return
    chunks = cut_chunks(said)
    common = shared_facts(said, chunks)
    before = len(build.lines)
    shaped = len(chunks) > 1 and not said.of("quantity")
    apart = {id(f) for f in common}
    for facts, items in chunks:
        _take_chunk(
            build, passage, said, [f for f in facts if id(f) not in apart], items, listed, shaped
        )
    lead = _lead_words(said)
    if said.cloth():
        alone = len(build.lines) == before
        words = targets.own_words(said.items) if alone else frozenset()
        build.topic = (passage.paragraph, words)
    for line in build.lines[before:]:
        line.words |= lead
    _share_tail(build, build.lines[before:])
    for line in build.lines[before:]:
        line.fill([f for f in common if f.name != "services"], "")
        line.facts += [f for f in common if f.name == "services"]
    if said.shares:
        part_lines(build, build.lines[before:], said.shares)


def fills_above(build: Build, passage: Passage, said: Said) -> bool:
    """Give the lines above it the cloth that an entry tells of all: "all 12 mesh, 0.7 mm, 316"."""
    first = said.items[0] if said.items else None
    if first is None or "all" not in first.tags or not said.cloth() or said.of("quantity"):
        return False
    if said.has("same", "cloth", "correct", "withdraw", "except"):
        return False
    bare = [line for line in build.present if not line.has(*CLOTH) and line.mail == passage.mail]
    if not bare or build.heads[-1]:
        return False
    for line in bare:
        line.fill([f for f in said.facts if f.name != "services"], "what is said of all above")
        line.facts += said.of("services")
    return True


#: What a sentence says of a thing's size with.
_IS = frozenset({"is", "are", "measures", "measure", "ist", "sind", "misst", "hat", "est", "sont",
                 "mesure", "fait", "es", "son", "mide"})  # fmt: skip
#: A thing is named in so many words (our choice).
_NAMED_IN = 5


def _describes_thing(build: Build, passage: Passage, said: Said) -> bool:
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


def _is_of_some(build: Build, passage: Passage, said: Said) -> bool:
    """Leave to be read by a person what is said of some pieces of a line: "one of them cut in three"."""  # noqa: E501
    first = [i for i in said.items if i.kind != "mark"][:3]
    if len(first) < 3 or first[0].kind != "num" or not build.present or said.cloth():  # noqa: PLR2004
        return False
    if passage.kind != "item" or not fold(first[1].text).startswith(_OF_THEM):
        return False
    build.unread.append((passage.start, passage.end, "said of some of the line before only"))
    build.present[-1].notes.append("more is said of some of it: see the letter")
    return True


def _take_drawings(build: Build, passage: Passage, said: Said) -> bool:
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


def _lead_words(said: Said) -> frozenset[str]:
    """Own words before the first number that counts: "for the windows: five … and one …"."""
    first = min((f.start for f in said.of("quantity") if not f.weak), default=0)
    return targets.own_words([i for i in said.items if i.start < first])


def _is_cloth(said: Said) -> bool:
    """Whether goods that are named are made of the cloth asked for: "belts of mesh, 5 mesh 1.2 mm wire"."""  # noqa: E501
    general = all(i.tags["other"] == "other goods" for i in said.marks["other"])
    counted = any(not f.weak for f in said.of("quantity"))
    return general and counted and bool(said.of("wire_diameter"))


def _share_next(build: Build, lines: list[Draft]) -> None:
    """Give a roll that says no more the cloth and size of the next: "one full and one half roll of 14 mesh"."""  # noqa: E501
    headed = any(f.name in CLOTH for f in build.heads[-1])
    for one, after in reversed(list(pairwise(lines))):
        bare = not one.has(*FABRIC, "dim", "pair") and not one.notes
        rolls = one.value("form") == after.value("form") == "roll"
        if headed or not bare or not rolls or not after.has(*CLOTH):
            continue
        facts = [f for f in after.facts if not f.origin or f.origin == "the next one"]
        one.fill(facts, "the next one", (*FABRIC, "dim"))


def _share_tail(build: Build, lines: list[Draft]) -> None:
    """Give the cloth that ends a sentence to all its lines: "400 discs 82 mm and 60 discs 140 mm, 16 mesh"."""  # noqa: E501
    _share_next(build, lines)
    if len(lines) < 2 or not lines[-1].has(*CLOTH):  # noqa: PLR2004
        return
    headed = any(f.name in CLOTH for f in build.heads[-1])
    bare = not any(one.has(*CLOTH, "pair", "wire_diameter") or one.notes for one in lines[:-1])
    if headed or not bare:
        return
    for line in lines[:-1]:
        line.fill([f for f in lines[-1].facts if not f.origin], "the end of the sentence", FABRIC)


def _count_by_article(build: Build, rest: list[Fact], quantities: list[Fact]) -> None:
    """Count by its article what was added to a line: "… 316, a roll of 1.2 m x 15 m"."""
    line = build.opened[-1] if build.opened else None
    if line is None or line.gone or line.has("quantity") or len(quantities) != 1:
        return
    told = {f.start for f in rest if f.name in ("form", "shape", "dim")}
    sized = any(f.name == "dim" and f.start > quantities[0].start for f in rest)
    if sized and told and told <= {f.start for f in line.facts}:
        line.put(quantities)


def _is_alone(build: Build, passage: Passage, part: Said) -> bool:
    """Whether only one line of a paragraph waits for its count."""
    waiting = [
        line
        for line in build.present
        if line.paragraph == passage.paragraph and not line.has("quantity")
    ]
    return len(waiting) == 1 and not part.has("each", "all", "same", "cloth")


def _take_chunk(
    build: Build,
    passage: Passage,
    said: Said,
    facts: list[Fact],
    items: list[Item],
    listed: bool,
    shaped: bool,
) -> None:
    here = {i.start for i in items}
    part = Said(facts, {}, [i for i in said.loose if i.start in here], items, said.dropped)
    part.silent, part.apart = said.silent, said.apart
    for mark, marked in said.marks.items():
        part.marks[mark] = [item for item in marked if item.start in here]
    plain, variants = settle_alloys(part, said)
    quantities = [f for f in plain if f.name == "quantity"]
    rest = [f for f in plain if f.name != "quantity"]
    same = build.opened[-1] if build.opened else None
    beside = same is not None and same.paragraph == passage.paragraph and not listed
    if (
        beside
        and same is not None
        and same.has(*CLOTH)
        and count_late(same, rest, quantities, _is_alone(build, passage, part))
    ):
        return
    if beside and same is not None and fills_waiting(same, part, rest, quantities):
        return
    if part.apart and clothes_waiting(build, passage, part, rest, quantities):
        return
    alternative = "or" in {tag for i in said.items for tag in i.tags}
    if alternative and beside and count_alternative(build, part, rest, quantities):
        return
    if shaped or opens(build, passage, part, rest, quantities, listed):
        open_lines(build, passage, part, rest, quantities, variants)
        return
    if not rest and not quantities and build.opened and late_length(build.opened[-1], part):
        return
    if len(quantities) > 1 and not build.present and not rest:
        build.heads[-1] += [f for f in quantities if not f.weak]
    if variants:
        build.variants = variants
        rest = [f for f in rest if f.name != "alloy"]
    if rest:
        length_left(part, rest)
        share_facts(build, passage, part, rest)
        _count_by_article(build, rest, quantities)
        doubt_alloy(build, passage, part, rest)
