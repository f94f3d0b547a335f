"""Counts given to lines that stand: a price break, as many as another line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.passage import Passage


def count_again(build: Build, quantities: Sequence[Fact]) -> bool:
    """Give a row that only counts to the cloth above it: a price break."""
    last = next(
        (line for line in reversed(build.present) if line.section == len(build.heads) - 1), None
    )
    if last is None or not quantities:
        return False
    left = list(quantities)
    if not last.has("quantity"):
        last.put(left[:1])
        left = left[1:]
    kept = [f for f in last.facts if f.name != "quantity"]
    build.lines += [replace(last, facts=[*kept, one], notes=list(last.notes)) for one in left]
    return True


def _with(line: Draft, rest: Sequence[Fact], quantity: Fact) -> Draft:
    if line.gone:
        return line
    facts = [f for f in line.facts if f.name not in {one.name for one in rest} - {"services"}]
    return replace(line, facts=[*facts, *rest, quantity], notes=list(line.notes))


def break_down(
    build: Build, passage: Passage, part: Said, rest: Sequence[Fact], quantities: Sequence[Fact]
) -> bool:
    """Read "Each size for 500, 1,000 and 5,000": a price break of lines that have no quantity yet."""  # noqa: E501
    waiting = [line for line in build.present if not line.has("quantity")]
    if build.bases and build.bases[0] == passage.start and quantities:
        build.lines += [_with(line, rest, q) for line in build.bases[1] for q in quantities]
        return True
    if not waiting or not quantities or any(f.name in (*CLOTH, "wire_diameter") for f in rest):
        return False
    if any(f.name == "dim" for f in rest) and any(line.has("dim", "form") for line in waiting):
        return False
    if any(f.name == "dim" for f in rest) and not part.has("each", "all"):
        return False
    if (
        len(waiting) != len(build.present)
        or not (part.has("all") or len(quantities) > 1)
        or part.has("same", "cloth")
    ):
        return False
    build.bases = (passage.start, list(waiting))
    build.lines = [_with(line, rest, q) for line in build.lines for q in quantities]
    build.opened = list(build.lines)
    return True


def same_number(build: Build, made: Sequence[Draft], part: Said) -> None:
    """Give lines as many as the line before, twice or half as many, where the part says so."""
    before = build.present[-1] if build.present else None
    named = [one for one in made if one.has("quantity")]
    before = named[0] if named and part.has("double number") else before
    quantity = before.of("quantity") if before else []
    if not quantity:
        return
    fact = quantity[-1]
    times = 2.0 if part.has("double number") else 0.5 if part.has("half number") else 1.0
    value = float(fact.value) * times
    if value != int(value):
        return
    for line in made:
        if times == 1.0 and any(f.origin for f in line.of("quantity")):
            continue  # as many as the line that it is like
        line.put([replace(fact, value=value, text=f"{value:g}", origin="the line before")])
