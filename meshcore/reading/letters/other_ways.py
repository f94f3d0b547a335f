"""Lines that stand, priced in another alloy as well: "also price the first in 316L"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.passage import Passage

#: What a passage that asks for another alloy may say besides.
_NAMES = frozenset({"alloy", "form", "shape", "counted"})


def price_in(build: Build, passage: Passage, said: Said) -> bool:
    """Offer lines in further alloys; False where a passage asks for no such thing.

    "Also price the first in 316L as an alternative" adds a line; "quote item 2 twice: once in 310
    and once in 316" leaves one line for each alloy named.
    """
    alloys = [f for f in said.of(_way(said)) if not f.why]
    own = passage.kind in ("item", "row") and (passage.label or passage.cells)
    if not build.present or not alloys or own or not _asks(said):
        return False
    aim = aim_of(said, build.present, build.lines, passage.label)
    told = aim.rest(said.facts)
    alloys = [f for f in told if f in alloys]
    if not alloys or {f.name for f in told} - _NAMES - {alloys[0].name}:
        return False
    lines = list(aim.lines) or (build.present if said.has("all") else _last(build, passage))
    if not lines or not all(line.has("quantity") for line in lines):
        return False
    for line in lines:
        _price(build, line, alloys, each=said.has("both") or len(alloys) > 1)
    return True


def _asks(said: Said) -> bool:
    """Whether a passage asks for a price beside the one that stands."""
    if said.has("withdraw", "correct", "unlike", "instead", "same", "cloth", "except"):
        return False
    if said.has("beside") or (said.has("quote") and said.has("both")):
        return _way(said) == "alloy" or said.has("quote")
    return said.has("quote") and not said.has("or", "ask") and _joined(said)


def _way(said: Said) -> str:
    """Return what lines are priced in several of: alloys, or weaves where no alloy is named."""
    weaves = {f.value for f in said.of("weave")}
    return "weave" if len(weaves) > 1 and not said.of("alloy") else "alloy"


def _joined(said: Said) -> bool:
    """Whether two alloys or weaves are named with an "and" between: "a price in 304 and in 316"."""
    facts = [f for f in said.of(_way(said)) if not f.weak]
    if len({f.value for f in facts}) < 2 or any(f.why for f in facts):  # noqa: PLR2004
        return False
    return all(
        any("and" in i.tags and a.end <= i.start < b.start for i in said.items)
        for a, b in pairwise(facts)
    )


def _last(build: Build, passage: Passage) -> list[Draft]:
    near = [line for line in build.opened if line.paragraph == passage.paragraph and not line.gone]
    return near[-1:] or (build.present if len(build.present) == 1 else [])


def _price(build: Build, line: Draft, alloys: Sequence[Fact], each: bool) -> None:
    """Put beside a line its like in each alloy; where each is named, in its place."""
    named = {str(f.value) for f in alloys}
    own = str(line.value(alloys[0].name) or "")
    at = next(n for n, one in enumerate(build.lines) if one is line)
    fresh = [_in(line, f) for f in alloys if str(f.value) != own]
    kept = [line] if own in named or not each else []
    build.lines[at : at + 1] = [*kept, *fresh]


def _in(line: Draft, alloy: Fact) -> Draft:
    facts = [f if f.origin else replace(f, origin="the line it is priced beside")
             for f in line.facts if f.name != alloy.name]  # fmt: skip
    note = f"priced in another {alloy.name}"
    return replace(line, facts=[*facts, alloy], notes=[*line.notes, note])
