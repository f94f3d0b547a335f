"""From passages to lines: each is taken as a change, a head, or what opens and fills lines."""

from __future__ import annotations

from meshcore.reading.letters.alloys import settle_alloys
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.changes import change
from meshcore.reading.letters.chunks import cut_chunks, shared_facts
from meshcore.reading.letters.counting import count_late
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.heads import (
    is_head,
    names_cloths,
    note_exceptions,
    says_of_each,
    share_facts,
    take_head,
)
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.opening import length_left, open_lines, opens
from meshcore.reading.letters.passages import Passage


def take(build: Build, passage: Passage, said: Said, followed: str = "") -> None:
    """Take one passage into the lines; `followed` says whether a list or its sub-items come next."""  # noqa: E501
    listed = passage.kind in ("item", "row")
    if said.has("other") and not (said.has("square") and said.cloth()):
        name = said.marks["other"][0].tags["other"]
        build.aside.append((passage.start, passage.end, name))
        return
    if said.has("refuse") and not said.facts:
        return

    if change(build, passage, said):
        return
    if names_cloths(build, said):
        return
    note_exceptions(build, said)
    each = not build.present and not listed and says_of_each(said)
    if each or (followed and is_head(passage, said, followed)):
        take_head(build, said, followed)
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
    for line in build.lines[before:]:
        line.fill([f for f in common if f.name != "services"], "")
        line.facts += [f for f in common if f.name == "services"]


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
    for mark, marked in said.marks.items():
        part.marks[mark] = [item for item in marked if item.start in here]
    plain, variants = settle_alloys(part, said)
    quantities = [f for f in plain if f.name == "quantity"]
    rest = [f for f in plain if f.name != "quantity"]
    same = build.opened[-1] if build.opened else None
    beside = same is not None and same.paragraph == passage.paragraph and not listed
    if beside and same is not None and same.has(*CLOTH) and count_late(same, rest, quantities):
        return
    if shaped or opens(build, passage, part, rest, quantities, listed):
        open_lines(build, passage, part, rest, quantities, variants)
        return
    if len(quantities) > 1 and not build.present and not rest:
        build.heads[-1] += [f for f in quantities if not f.weak]
    if variants:
        build.variants = variants
        rest = [f for f in rest if f.name != "alloy"]
    if rest:
        length_left(part, rest)
        share_facts(build, passage, part, rest)
