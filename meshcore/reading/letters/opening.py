"""Which part of a passage opens a line, and how it is filled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.chunks import shape_anchors
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.left_over import fill_named_size, length_left, same_in
from meshcore.reading.letters.nouns import of_them
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.pointing import mark_stuff
from meshcore.reading.letters.references import (
    find_sources,
    known_by_article,
    known_by_pair,
    mark_labels,
    refer_to,
    widen,
)
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.tables import is_price_break
from meshcore.reading.vocabulary import fold


def opens(  # noqa: PLR0911, PLR0912
    build: Build,
    passage: Passage,
    part: Said,
    rest: Sequence[Fact],
    quantities: Sequence[Fact],
    listed: bool,
) -> bool:
    """Whether a part opens a line: it counts something, or is an item that says which cloth."""
    cloth = any(f.name in CLOTH for f in rest)
    formed = any(f.name in ("form", "shape", "roll_length", "dim") for f in rest)
    if build.cloths and part.has("former", "latter") and not cloth:
        return True
    if part.has("again") or (build.each and passage.kind == "note" and cloth):
        return True
    refers = part.has("same", "cloth", "same size", "usual", "same number", "half number", "ditto")
    if part.has("total") and not cloth and any(line.has("quantity") for line in build.present):
        return bool(any(f.name == "dim" for f in rest))
    if any(not f.weak for f in quantities):
        waiting = build.present and not any(line.has("quantity") for line in build.present)
        more = build.bases is not None and build.bases[0] == passage.start
        if part.has("each") and (waiting or more):
            return True
        others = build.present and not passage.speaker
        if (
            others
            and not (cloth or formed or refers or listed)
            and _counts_others(part, quantities)
        ):
            return False
        return bool(cloth or formed or refers or build.heads[-1] or listed)
    if any(f.why for f in quantities) and formed and any(f.name == "dim" for f in rest):
        return True
    if quantities and _is_mention(build, part):
        return False
    if quantities:
        return bool(
            ((cloth or refers) and formed)
            or (any(f.name == "roll_length" for f in rest) and not build.awaits)
        )
    sized = any(i.unit in MM_OF for i in part.loose)
    if listed and passage.label and refers and (formed or cloth or rest or sized):
        return True
    shaped = {"shape", "dim"} <= {f.name for f in rest}
    if (listed or passage.speaker) and part.has("same", "cloth") and shaped and build.present:
        return True
    if listed:
        sized = any(f.name == "dim" for f in rest) and any(f.name == "shape" for f in rest)
        headed = bool(build.present) or any(f.name in CLOTH for f in build.heads[-1])
        rolled = any(f.name == "form" and f.value == "roll" for f in rest)
        alloyed = any(f.name in ("alloy", "pair") for f in rest)
        if _is_size_of_head(build, rest) and not passage.ends_colon:
            return True
        if rolled and alloyed and any(f.name == "dim" for f in rest) and not passage.ends_colon:
            return True
        return (cloth or bool(passage.label and sized and headed)) and not passage.ends_colon
    if cloth and build.present and build.opened:
        last = build.opened[-1]
        known = Draft([*last.facts, *build.heads[last.section]])
        return known.has(*CLOTH) and not any(
            targets.matches(known, f) for f in rest if f.name in CLOTH
        )
    if (
        passage.kind == "note"
        and cloth
        and any(f.name == "wire_diameter" or f.name == "alloy" for f in rest)  # noqa: PLR1714
        and formed
    ):
        return True
    shapes = [f for f in rest if f.name == "shape"]
    wanted = part.has("quote") and not passage.ends_colon and passage.kind == "prose"
    long = any(f.name == "roll_length" or f.role == "length" for f in rest)
    if wanted and cloth and long and any(f.name == "form" for f in rest) and not build.present:
        return True
    return len(shape_anchors(Said(list(part.facts)))) > 1 or bool(
        shapes
        and any(f.name == "dim" for f in rest)
        and build.heads[-1]
        and len(build.lines)
        and not cloth
        and listed
    )


def _counts_others(part: Said, quantities: Sequence[Fact]) -> bool:
    """Whether a number counts what was named, and no goods: "ovens run hot, three of them"."""
    starts = {f.start for f in quantities}
    at = [n for n, item in enumerate(part.items) if item.start in starts]
    return all(of_them(part.items, n) for n in at)


#: Words that stand before a thing that is known already.
_KNOWN = frozenset({"your", "our", "my", "its", "their", "su", "sus", "tu", "mi", "nuestro",
                    "votre", "vos", "notre", "son", "ihre", "ihrer", "unsere",
                    "seine"})  # fmt: skip


def _denied_work(part: Said) -> set[str | float]:
    """Work that a part denies: what a reference carries over of it is taken off."""
    return {i.tags["service"] for i in part.items if "service" in i.tags and i.start in part.silent}


def _is_mention(build: Build, part: Said) -> bool:
    """Whether a roll only names one that is asked for already: "as long as your half roll is"."""
    for n, item in enumerate(part.items):
        if "roll_length" not in item.tags:
            continue
        before = part.items[n - 1] if n else None
        known = before is not None and ("the" in before.tags or fold(before.text) in _KNOWN)
        asked = any(line.value("roll_length") == item.tags["roll_length"] for line in build.present)
        return known and asked
    return False


def _is_size_of_head(build: Build, rest: Sequence[Fact]) -> bool:
    """Whether an item is one more size of the shape and the cloth that its head names."""
    head = {f.name for f in build.heads[-1]}
    sized = {f.name for f in rest} <= {"dim", "form", "shape"} and any(
        f.name == "dim" for f in rest
    )
    return sized and "shape" in head and bool(head & set(CLOTH))


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
    if part.has("usual"):
        mark = part.marks["usual"][0]
        rest.append(Fact("papers", "", mark.text, mark.start, mark.end))
    elif part.has("drawn"):
        mark = part.marks["drawn"][0]
        rest.append(Fact("drawn", "", mark.text, mark.start, mark.end))
    words = targets.own_words([i for i in part.items if i.start not in part.silent])
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
        if source is not None and source is twin:
            one.fill(source.facts, "the line of its count and wire", FABRIC)
        elif source is not None:
            refer_to(one, source, part, bool(build.cloths))
        elif not one.has(*CLOTH) and (known := known_by_article(build, part, one)):
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
        if source is None and _is_one_more(part, one) and build.present:
            names = [
                f.name for f in build.present[-1].facts if f.name not in ("quantity", "services")
            ]
            one.fill(build.present[-1].facts, "the line before", names)
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
    for line in made if denied else ():
        line.facts = [f for f in line.facts if not (f.origin and f.value in denied)]
    if not quantities and part.has("same number", "half number"):
        _same_number(build, made, part)
    build.lines += made
    build.awaits = passage.ends_colon or not any(line.has(*CLOTH) or line.notes for line in made)
    same = bool(build.opened) and build.opened[-1].start == passage.start
    build.opened = (build.opened if same else []) + made
    if not quantities and not sources and len(made) == 1:
        return


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
    quantity = before.of("quantity") if before else []
    if not quantity:
        return
    fact = quantity[-1]
    half = part.has("half number")
    value = float(fact.value) / 2 if half else float(fact.value)
    if value != int(value):
        return
    for line in made:
        line.put([replace(fact, value=value, text=f"{value:g}", origin="the line before")])
