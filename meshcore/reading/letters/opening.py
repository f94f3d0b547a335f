"""Which part of a passage opens a line, and how it is filled."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.chunks import shape_anchors
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.nouns import of_them
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.resolve import MM_OF
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
    if part.apart and cloth and _opens_apart(build, passage):
        return True
    if part.has("again") or (build.each and passage.kind == "note" and cloth):
        return True
    refers = part.has("same", "cloth", "same size", "usual", "ditto")
    refers = refers or part.has("same number", "half number", "double number")
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
    if quantities and (_one_beside(build, passage, rest) or _also_one(build, part, rest)):
        return True
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
    if wanted and cloth and _is_whole(part, rest):
        return True
    return len(shape_anchors(Said(list(part.facts)))) > 1 or bool(
        shapes
        and any(f.name == "dim" for f in rest)
        and build.heads[-1]
        and len(build.lines)
        and not cloth
        and listed
    )


def _is_whole(part: Said, rest: Sequence[Fact]) -> bool:
    """Whether pieces are told whole, and how many for each of something: "two screens per machine"."""  # noqa: E501
    if not any(fold(i.text) in ("per", "pro", "par", "por", "je") for i in part.items):
        return False
    sides = [f for f in rest if f.name == "dim" and f.role not in ("length", "radius")]
    return any(f.name == "wire_diameter" for f in rest) and len(sides) == 2  # noqa: PLR2004


def _one_beside(build: Build, passage: Passage, rest: Sequence[Fact]) -> bool:
    """Whether an article counts one thing with its sizes beside others: "12 pieces …, and a roll of 5 m"."""  # noqa: E501
    last = build.opened[-1] if build.opened else None
    if last is None or last.start != passage.start or not any(f.name == "dim" for f in rest):
        return False
    forms = {f.value for f in rest if f.name in ("form", "shape")}
    other = forms - {last.value("form"), last.value("shape")}
    return bool(forms) and (bool(other) or last.has("dim"))


def _also_one(build: Build, part: Said, rest: Sequence[Fact]) -> bool:
    """Whether an "also" leads to one more of the cloth: "also a roll 3 ft wide, 50 ft"."""
    words = [i for i in part.items if i.kind in ("word", "num")]
    also = bool(words) and "also" in words[0].tags and fold(words[0].text) not in ("and", "&")
    clothed = bool(build.present) and build.present[-1].has(*CLOTH)
    names = {f.name for f in rest}
    return also and clothed and {"form", "dim"} <= names and not names & {"alloy", "pair"}


def _opens_apart(build: Build, passage: Passage) -> bool:
    """Whether a clause with its own subject opens a line: where none before it has its cloth."""
    near = [line for line in build.present if line.paragraph == passage.paragraph]
    same = bool(build.opened) and build.opened[-1].start == passage.start
    return same or not any(line.has(*CLOTH) for line in near)


def _counts_others(part: Said, quantities: Sequence[Fact]) -> bool:
    """Whether a number counts what was named, and no goods: "ovens run hot, three of them"."""
    starts = {f.start for f in quantities}
    at = [n for n, item in enumerate(part.items) if item.start in starts]
    return all(of_them(part.items, n) for n in at)


#: Words that stand before a thing that is known already.
_KNOWN = frozenset({"your", "our", "my", "its", "their", "su", "sus", "tu", "mi", "nuestro",
                    "votre", "vos", "notre", "son", "ihre", "ihrer", "unsere",
                    "seine"})  # fmt: skip


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
