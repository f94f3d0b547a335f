"""The lines that a part opens: one for each quantity, alloy and line that it refers to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.left_over import fill_named_size, length_left, roll_of_roll, same_in
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.placing import SIZES
from meshcore.reading.letters.pointing import mark_stuff
from meshcore.reading.letters.references import (
    find_sources,
    known_by_article,
    known_by_cloth,
    known_by_pair,
    mark_labels,
    refer_to,
    widen,
)
from meshcore.reading.letters.tables import is_price_break
from meshcore.reading.vocabulary import fold


def _denied_work(part: Said) -> set[str | float]:
    """Work that a part denies: what a reference carries over of it is taken off."""
    return {i.tags["service"] for i in part.items if "service" in i.tags and i.start in part.silent}


def _had_before(part: Said) -> Item | None:
    """Return the word that says that goods were had before: "4 more of the covers we had last year"."""  # noqa: E501
    for n, item in enumerate(part.items):
        if "history" in item.tags and item.start in part.silent:
            more = [fold(i.text) for i in part.items[:n]]
            return item if {"more", "further", "weitere"} & set(more) else None
    return None


def _denied_sizes(part: Said) -> set[str]:
    """Sizes that a part denies by name: "as item 2 but … and no mesh number given"."""
    out: set[str] = set()
    for n, item in enumerate(part.items):
        bare = n == 0 or part.items[n - 1].kind != "num"
        if item.start in part.silent and bare and item.kind == "word":
            out |= {"mesh_count"} if "count" in item.tags else set()
            out |= {SIZES[item.tags["size"]]} if item.tags.get("size") in SIZES else set()
    return out


def open_lines(  # noqa: PLR0912, PLR0915
    build: Build,
    passage: Passage,
    part: Said,
    rest: list[Fact],
    quantities: list[Fact],
    variants: list[Fact],
) -> None:
    """Open the lines of a part: one for each quantity, alloy and line that it refers to."""
    if (
        passage.cells
        and is_price_break(passage.cells)
        and not rest
        and _count_again(build, quantities)
    ):
        return
    if not (build.present and part.has("same", "ditto")):
        same_in(part, rest)
    length_left(part, rest)
    unknown = "again" if part.has("again") and not build.present else "usual"
    if part.has(unknown):
        mark = part.marks[unknown][0]
        rest.append(Fact("papers", "", mark.text, mark.start, mark.end))
    elif not any(f.name in CLOTH for f in rest) and (had := _had_before(part)) is not None:
        rest.append(Fact("papers", "", had.text, had.start, had.end))
    elif part.has("drawn"):
        mark = part.marks["drawn"][0]
        rest.append(Fact("drawn", "", mark.text, mark.start, mark.end))
    words = targets.own_words([i for i in part.items if i.start not in part.silent])
    if build.topic[0] == passage.paragraph and not any(f.name in CLOTH for f in rest):
        words |= build.topic[1]
    base = Draft(
        list(rest),
        passage.label,
        passage.start,
        passage.end,
        words,
        len(build.heads) - 1,
        passage.mail,
        passage.paragraph,
        speaker=passage.speaker.split("(")[0].strip(),
    )
    if _break_down(build, passage, part, rest, quantities):
        return
    widen(part)
    mark_stuff(part)
    mark_labels(build, passage, part)
    twin = known_by_pair(build, base)
    sources = [twin] if twin is not None else find_sources(build, passage, part, base)
    if part.has("usual") and not part.has("same", "ditto"):
        sources = []
    made: list[Draft] = []
    for source in (*sources,) or (None,):
        one = replace(base, facts=list(base.facts), notes=[])
        for name, facts in build.cloths.items():
            if part.has(name):
                one.fill(facts, "the cloths named before")
        if source is None and not build.present and _of_it(part):
            one.fill([f for f in build.heads[-1] if f.name in FABRIC], "the cloth just named")
            build.heads[-1] = [f for f in build.heads[-1] if f.name not in _JUST_NAMED]
        if source is not None and source is twin:
            one.fill(source.facts, "the line of its count and wire", FABRIC)
        elif source is not None:
            refer_to(one, source, part, bool(build.cloths))
            roll_of_roll(one, source, part, build.present)
        elif (known := known_by_cloth(build, part, one)) is not None or (
            not one.has(*CLOTH) and (known := known_by_article(build, part, one))
        ):
            one.fill(known.facts, "the line it names", FABRIC)
        elif (
            not one.has(*CLOTH)
            and build.opened
            and build.opened[-1].start == passage.start
            and not one.has("pair")
        ):
            alike = one.value("form") == build.opened[-1].value("form") and not one.has(
                "dim", "roll_length"
            )
            one.fill(
                build.opened[-1].facts,
                "the line before",
                (*FABRIC, "dim", "shape")
                if alike
                else (*FABRIC, "dim")
                if _both_rolls(one, build.opened[-1])
                else FABRIC,
            )
        elif not one.has(*FABRIC, "pair") and (known := _cloth_above(build, passage, one)):
            one.fill(known.facts, _ABOVE, FABRIC)
        if source is None and _is_one_more(part, one) and build.present:
            names = [
                f.name for f in build.present[-1].facts if f.name not in ("quantity", "services")
            ]
            one.fill(build.present[-1].facts, "the line before", names)
            one.notes.append("otherwise as the line before")
        if (
            source is None
            and not passage.speaker
            and _is_one_more_size(passage, part, one, build.present)
        ):
            formed = () if one.has("form", "shape") else ("form", "shape")
            one.fill(build.present[-1].facts, "the line before", (*FABRIC, *formed))
            one.notes.append("otherwise as the line before")
        if source is None and one.has(*CLOTH):
            fill_named_size(one, build.present, part)
        for quantity in (*quantities,) or (None,):
            line = replace(one, facts=list(one.facts), notes=list(one.notes))
            if quantity is not None:
                line.put([quantity])
            made += [
                replace(
                    line,
                    facts=[*[f for f in line.facts if f.name != "alloy"], alloy],
                    notes=list(line.notes),
                )
                for alloy in variants
            ] or [line]
    denied = _denied_work(part)
    unsaid = _denied_sizes(part)
    for line in made if denied or unsaid else ():
        line.facts = [
            f for f in line.facts if not (f.origin and (f.value in denied or f.name in unsaid))
        ]
    loose = _uncounted(build, part)
    for line in made if loose and not quantities else ():
        if any(f.origin for f in line.of("quantity")):
            why = f'"{loose[0].text}" or as many as the line it is like?'
            line.doubts = [*line.doubts, (frozenset({"quantity"}), why)]
    _doubt_finer(made, part)
    if not quantities and part.has("same number", "half number", "double number"):
        _same_number(build, made, part)
    build.lines += made
    headed = any(f.name in CLOTH for f in build.heads[-1])
    build.awaits = passage.ends_colon or not (
        headed or any(line.has(*CLOTH) or line.notes for line in made)
    )
    same = bool(build.opened) and build.opened[-1].start == passage.start
    build.opened = (build.opened if same else []) + made
    if not quantities and not sources and len(made) == 1:
        return


#: A bare number of so many digits counts nothing (our choice).
_LONG = 5
#: What differs from the cloth named before, with no number: "a finer one for the porcelain".
_FINER = frozenset({"finer", "coarser", "closer", "feiner", "feineres", "feinere", "grober",
                    "groberes", "grobere", "plus fin", "plus fine", "plus fins", "mas fina",
                    "mas fino", "mas gruesa"})  # fmt: skip
_SOME = frozenset({"a", "an", "one", "something", "another", "much", "ein", "eine", "einen",
                   "etwas", "un", "une", "una", "algo", "slightly", "bit"})  # fmt: skip


def _uncounted(build: Build, part: Said) -> list[Item]:
    """Bare numbers of a part that may count, and that nothing took."""
    labels = {
        part.items[n].start
        for first, _, stop in targets.named_labels(part.items, build.lines)
        for n in range(first, stop)
    }
    return [
        i
        for i in part.loose
        if i.whole and not i.tags.get("alloy") and len(i.text) < _LONG and i.start not in labels
    ]


def _doubt_finer(made: Sequence[Draft], part: Said) -> None:
    """Ask which cloth a line is of that is only said to be finer or coarser than another."""
    for before, item in pairwise(part.items):
        two = f"{fold(before.text)} {fold(item.text)}"
        told = fold(item.text) in _FINER and fold(before.text) in _SOME
        if not told and two not in _FINER:
            continue
        for line in made:
            if not line.has(*CLOTH) or any(f.origin for name in CLOTH for f in line.of(name)):
                names = frozenset({*CLOTH, "wire_diameter"})
                line.doubts = [*line.doubts, (names, f'"{item.text}": which mesh?')]


def _cloth_above(build: Build, passage: Passage, one: Draft) -> Draft | None:
    """Return the line above that names its cloth before it counts: "16 mesh, 304: 20 pcs"."""
    last = build.opened[-1] if build.opened else None
    if last is None or last.gone or passage.kind != "note" or last.paragraph != passage.paragraph:
        return None
    if passage.speaker or build.heads[-1] or not one.has("dim"):
        return None
    cloth = [
        f.start for f in last.facts if f.name in CLOTH and (not f.origin or f.origin == _ABOVE)
    ]
    counts = [f.start for f in last.of("quantity")]
    first = bool(cloth and counts) and min(cloth) < min(counts)
    return last if first else None


_ABOVE = "the line above"
#: What belongs to a cloth that is named before it is counted: the next one named has its own.
_JUST_NAMED = frozenset({*CLOTH, "wire_diameter", "pair"})
_IT = frozenset({"of it", "of this", "of that", "davon", "hiervon", "de celle-ci", "de ella",
                 "de esta", "of which"})  # fmt: skip


def _of_it(part: Said) -> bool:
    """Whether goods are counted of the cloth just named: "of it we take two rolls"."""
    return any(fold(i.text) in _IT for i in part.items[:6] if "cloth" in i.tags)


def _both_rolls(one: Draft, other: Draft) -> bool:
    """Whether two rolls of one sentence differ in their length only: "a full and a half roll"."""
    return (
        one.value("form") == other.value("form") == "roll"
        and one.has("roll_length")
        and other.has("roll_length")
        and not one.has("dim")
    )


def _count_again(build: Build, quantities: Sequence[Fact]) -> bool:
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


def _is_one_more(part: Said, line: Draft) -> bool:
    """Whether a part counts more of the line before in another cloth: "und noch 1 in Masche 16"."""
    first = [i for i in part.items if i.kind != "mark"][:2]
    return (
        any("also" in i.tags for i in first)
        and line.has(*CLOTH)
        and not line.has("form", "shape", "dim", "roll_length")
    )


def _is_one_more_size(passage: Passage, part: Said, line: Draft, lines: Sequence[Draft]) -> bool:
    """Whether a part counts more of the line before in another size: "also 50 of dia 140"."""
    first = [i for i in part.items if i.kind != "mark"][:2]
    also = bool(lines) and any("also" in i.tags for i in first)
    if line.has("form", "shape") and (
        (lines[-1:] and lines[-1].paragraph != passage.paragraph) or line.has("services")
    ):
        return False
    return also and line.has("dim") and not line.has(*FABRIC, "roll_length", "pair")


def _with(line: Draft, rest: Sequence[Fact], quantity: Fact) -> Draft:
    if line.gone:
        return line
    facts = [f for f in line.facts if f.name not in {one.name for one in rest} - {"services"}]
    return replace(line, facts=[*facts, *rest, quantity], notes=list(line.notes))


def _break_down(
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


def _same_number(build: Build, made: Sequence[Draft], part: Said) -> None:
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
