"""What the whole letter says, given to each line at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact
from meshcore.reading.letters.targets import by_label, by_words

#: What is done to the edges of pieces: said of all, it is not said of the rolls among them.
OF_PIECES = frozenset({"hemmed", "hooked", "bound edges", "deburred"})


def settle(build: Build) -> None:  # noqa: PLR0912
    """Give each line what its head and the whole letter say, and drop what is no line."""
    head = build.heads[0]
    untaken = (
        build.lines
        and len(build.heads) == 1
        and any(f.name in CLOTH for f in head)
        and any(f.name in ("dim", "form") for f in head)
        and all(line.has(*CLOTH) for line in build.present)
    )
    if not build.lines or untaken:
        _head_alone(build)
        if untaken:
            build.heads[0] = []
    for line in build.present:
        line.gone = line.label in build.absent and bool(line.label)
    _join_counts(build)
    for which, words, fact in build.excepted:
        places = {"last": -1, "former": 0, "latter": 1, "third": 2, "fourth": 3}
        if which.startswith("label "):
            for line in by_label([which.removeprefix("label ")], build.lines):
                line.put([fact])
        elif which.startswith(("form ", "shape ")):
            _except_kind(build, which, words, fact)
        elif not which:
            found = by_words(words, build.lines)
            if len(found) > 1 and len(found) == len(build.present):
                why = f'"{fact.text}" is for some of it: for which?'
                for line in found:
                    line.doubts = [*line.doubts, (frozenset({"alloy"}), why)]
                continue
            for line in found:
                line.put([fact])
        elif build.present and places[which] < len(build.present):
            build.present[places[which]].put([fact])
    for line in build.present:
        head = build.heads[line.section]
        papers = line.has("papers")
        own = line.has(*CLOTH, "pair") or papers
        keep = [f for f in head if not (own and f.name in (*CLOTH, "wire_diameter", "pair"))]
        keep = [f for f in keep if not (papers and f.name in FABRIC)]
        line.fill([f for f in keep if f.name != "quantity"], "the shared head")
        rolled = line.value("form") == "roll"
        line.facts += [
            replace(f, origin="the shared head")
            for f in head
            if f.name == "services" and not (rolled and f.value in OF_PIECES)
        ]
        shared = [f for f, _ in build.general if f.name != "services"]
        _doubt_two(line, shared)
        line.fill([f for f in shared if not (own and f.name in CLOTH)], "what is said of all")
        _refine_steel(line, build)
        line.facts += [
            replace(f, origin="what is said of all")
            for f, _ in build.general
            if f.name == "services" and not (line.value("form") == "roll" and f.value in OF_PIECES)
        ]
    _work_of_alloys(build)
    _multiply(build)
    if build.variants:
        build.lines = [one for line in build.lines for one in _each(line, build.variants)]
    for line in build.present:
        drawn = any(note.startswith("drawing ") for note in line.notes)
        if drawn and not line.has("quantity"):
            line.gone = True
        if {f.name for f in line.facts} <= {"pair", "services"}:
            line.gone = True
        elif not line.has(*CLOTH, "alloy", "wire_diameter", "papers", "drawn") and not line.notes:
            line.gone = not (
                line.has("shape", "roll_length")
                or (line.has("quantity") and line.has("form", "counted") and line.has("dim"))
            )


def _work_of_alloys(build: Build) -> None:
    """Give what is said of an alloy to the lines of it; to all where none is of it."""
    for alloy, work in build.of_alloy:
        lines = [line for line in build.present if line.value("alloy") == alloy.value]
        for line in lines or build.present:
            line.facts.append(replace(work, origin="what is said of its alloy"))


def _doubt_two(line: Draft, shared: Sequence[Fact]) -> None:
    """Ask about what is said of all in two ways, where the line does not say it itself."""
    for name in ("alloy", "weave", "wire_diameter"):
        said = [f for f in shared if f.name == name and not f.why]
        values = {f.value or f.text for f in said}
        general = {"stainless steel", "bronze"} & values
        if len(values - general) > 1 and not line.has(name):
            shown = " and ".join(dict.fromkeys(f'"{f.text}"' for f in said))
            line.doubts = [*line.doubts, (frozenset({name}), f"{shown} are said of all: which?")]


def _multiply(build: Build) -> None:
    """Give the lines without a quantity those of their head: each is a price break."""
    out: list[Draft] = []
    for line in build.lines:
        quantities = [f for f in build.heads[line.section] if f.name == "quantity" and not f.weak]
        if line.has("quantity") or not quantities or line.gone:
            out.append(line)
            continue
        out += [
            replace(
                line,
                facts=[*line.facts, replace(q, origin="the shared head")],
                notes=list(line.notes),
            )
            for q in quantities
        ]
    build.lines = out


def _refine_steel(line: Draft, build: Build) -> None:
    """Put the grade that is said of all in the place of a "stainless" alone."""
    if line.value("alloy") != "stainless steel":
        return
    graded = [f for f, _ in build.general if f.name == "alloy" and str(f.value)[:1] in "234"]
    if len(graded) == 1 and not graded[0].why:
        line.put([replace(graded[0], origin="what is said of all")])


#: A line of no more than these says how many and how large, and leaves the cloth to the next.
_COUNTS = frozenset({"quantity", "form", "shape", "counted"})
_SIZES = _COUNTS | {"dim", "services"}


def _except_kind(build: Build, which: str, words: frozenset[str], fact: Fact) -> None:
    """Give an exception's alloy to what it names: "except the drain discs", "except the strips"."""
    name, kind = which.split(" ", 1)
    found = by_words(words, build.lines) or [
        line
        for line in build.present
        if line.value(name) == kind
        or (kind == "rectangle" and line.value("form") == "piece" and not line.has("shape"))
    ]
    for line in found:
        line.put([fact])
    if not found:
        why = f'"{fact.text}" is for some of it: for which?'
        for line in build.present:
            line.doubts = [*line.doubts, (frozenset({"alloy"}), why)]


def _join_counts(build: Build) -> None:
    """Give a bare count to the lines after it that count nothing: "8 panels. Panel 1830 x…"."""
    present = build.present
    for n, line in enumerate(present[:-1]):
        names = {f.name for f in line.facts}
        if not names <= _SIZES or "quantity" not in names or line.notes:
            continue
        sized = not names <= _COUNTS
        for after in present[n + 1 :]:
            if after.has("quantity") or after.mail != line.mail or not _alike(line, after):
                break
            if not after.has(*CLOTH, "dim") or (sized and after.has("dim")):
                break
            if sized and not after.has(*CLOTH):
                break
            after.facts += [
                replace(f, origin="the item before") for f in line.facts if not after.has(f.name)
            ]
            line.gone = True
            if not sized:
                break


def _alike(line: Draft, after: Draft) -> bool:
    """Whether two lines do not differ in form or shape."""
    return all(
        line.value(name) is None
        or after.value(name) is None
        or line.value(name) == after.value(name)
        for name in ("form", "shape")
    )


def _each(line: Draft, variants: Sequence[Fact]) -> list[Draft]:
    if line.has("alloy"):
        return [line]
    return [replace(line, facts=[*line.facts, alloy], notes=list(line.notes)) for alloy in variants]


def _head_alone(build: Build) -> None:
    """Hold that a letter that counts nothing but says which cloth is one line, its quantity to be asked."""  # noqa: E501
    head = build.heads[0]
    names = {f.name for f in head}
    vague = any(f.why for f in head)
    if names & {*CLOTH, "wire_diameter"} and (names & {"form", "shape", "alloy", "dim"} or vague):
        rest = [f for f in head if f.name != "quantity"]
        for quantity in [[f] for f in head if f.name == "quantity"] or [[]]:
            facts = [*rest, *quantity]
            build.lines.append(Draft(facts, start=head[0].start, end=head[-1].end))
