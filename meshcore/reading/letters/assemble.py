"""From passages to lines: each is taken as a change, a head, or what opens and fills lines."""

from __future__ import annotations

from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.alloys import settle_alloys
from meshcore.reading.letters.alloys_anew import alloy_in_its_place
from meshcore.reading.letters.asides import (
    counts_known,
    describes_thing,
    is_of_some,
    is_past,
    retracts_itself,
    take_drawings,
)
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
from meshcore.reading.letters.once_more import once_more
from meshcore.reading.letters.opening import opens
from meshcore.reading.letters.other_ways import price_in
from meshcore.reading.letters.parting import doubts_part, part_lines
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.recounting import adds_to_each, recounts, resizes
from meshcore.reading.letters.restating import alloy_anew, sums_up
from meshcore.reading.letters.withdrawing import says_anew
from meshcore.reading.letters.work_said import denies_work, limits_work, spares_lines


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
    if is_past(said) or counts_known(build, said):
        return
    if retracts_itself(said):
        build.unread.append((passage.start, passage.end, "not asked for, by its own words"))
        return

    counts = [f for f in said.of("quantity") if not f.weak]
    if said.has("correct") and len(counts) == 2:  # noqa: PLR2004 - one before it, one after it
        says_anew(said, said.marks["correct"][-1])
    if once_more(build, passage, said):
        return
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
    if describes_thing(build, passage, said):
        build.unread.append((passage.start, passage.end, "the size of a thing that cloth is for"))
        return
    if is_of_some(build, passage, said) or price_more(build, passage, said):
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


def _open_parts(build: Build, passage: Passage, said: Said, listed: bool) -> None:
    """Open and fill lines from the parts of a passage."""
    if take_drawings(build, passage, said):
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
