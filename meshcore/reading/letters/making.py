"""The lines that a part opens: one for each quantity, alloy and line that it refers to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters import targets
from meshcore.reading.letters.broken_down import break_down, count_again, same_number
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.denials import denied_sizes, denied_work, had_before
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.known import known_by_article, known_by_cloth, known_by_pair
from meshcore.reading.letters.left_over import fill_named_size, length_left, roll_of_roll, same_in
from meshcore.reading.letters.one_more import (
    ABOVE,
    JUST_NAMED,
    both_rolls,
    cloth_above,
    is_one_more,
    is_one_more_size,
    of_it,
)
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.pointing import mark_stuff
from meshcore.reading.letters.references import (
    find_sources,
    mark_labels,
    refer_to,
    widen,
)
from meshcore.reading.letters.tables import is_price_break
from meshcore.reading.vocabulary import fold


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
        and count_again(build, quantities)
    ):
        return
    if not (build.present and part.has("same", "ditto")):
        same_in(part, rest)
    length_left(part, rest)
    unknown = "again" if part.has("again") and not build.present else "usual"
    if part.has(unknown):
        mark = part.marks[unknown][0]
        rest.append(Fact("papers", "", mark.text, mark.start, mark.end))
    elif not any(f.name in CLOTH for f in rest) and (had := had_before(part)) is not None:
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
    if break_down(build, passage, part, rest, quantities):
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
        if source is None and not build.present and of_it(part):
            one.fill([f for f in build.heads[-1] if f.name in FABRIC], "the cloth just named")
            build.heads[-1] = [f for f in build.heads[-1] if f.name not in JUST_NAMED]
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
                if both_rolls(one, build.opened[-1])
                else FABRIC,
            )
        elif not one.has(*FABRIC, "pair") and (known := cloth_above(build, passage, one)):
            one.fill(known.facts, ABOVE, FABRIC)
        if source is None and is_one_more(part, one) and build.present:
            names = [
                f.name for f in build.present[-1].facts if f.name not in ("quantity", "services")
            ]
            one.fill(build.present[-1].facts, "the line before", names)
            one.notes.append("otherwise as the line before")
        if (
            source is None
            and not passage.speaker
            and is_one_more_size(passage, part, one, build.present)
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
    denied = denied_work(part)
    unsaid = denied_sizes(part)
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
        same_number(build, made, part)
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
