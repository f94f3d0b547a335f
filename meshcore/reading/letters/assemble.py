"""From passages to lines: who opens a line, who adds to it, who changes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from meshcore.reading.letters import targets
from meshcore.reading.letters.alloys import settle_alloys
from meshcore.reading.letters.draft import SCOPES, Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.items import Item
from meshcore.reading.letters.lexicon import fold
from meshcore.reading.letters.passages import Passage


@dataclass(slots=True)
class Build:
    """The lines so far, and what is shared."""

    lines: list[Draft] = field(default_factory=list)
    heads: list[list[Fact]] = field(default_factory=lambda: [[]])
    general: list[tuple[Fact, frozenset[int]]] = field(default_factory=list)
    variants: list[Fact] = field(default_factory=list)
    doubtful: list[tuple[frozenset[str], str]] = field(default_factory=list)
    aside: list[tuple[int, int, str]] = field(default_factory=list)
    unread: list[tuple[int, int, str]] = field(default_factory=list)
    opened: list[Draft] = field(default_factory=list)
    awaits: bool = False
    each: bool = False
    cloths: dict[str, list[Fact]] = field(default_factory=dict)
    absent: list[str] = field(default_factory=list)
    excepted: list[tuple[str, frozenset[str], Fact]] = field(default_factory=list)

    @property
    def present(self) -> list[Draft]:
        """Lines that are not withdrawn."""
        return [line for line in self.lines if not line.gone]


def take(build: Build, passage: Passage, said: Said, followed: str = "") -> None:
    """Take one passage into the lines; `followed` says whether a list or its sub-items come next."""
    listed = passage.kind in ("item", "row")
    if said.has("other") and not (said.has("square") and said.cloth()):
        name = said.marks["other"][0].tags["other"]
        build.aside.append((passage.start, passage.end, name))
        return
    if said.has("refuse") and not said.facts:
        return
    from meshcore.reading.letters.changes import change  # noqa: PLC0415 - the two call each other

    if change(build, passage, said):
        return
    if _names_cloths(build, said):
        return
    _except(build, said)
    spread = not build.present and not listed and _spread(said)
    if spread or followed and _heads(passage, said, followed):
        _head(build, said, followed)
        return
    chunks = cut_chunks(said)
    shared = _shared(said, chunks)
    before = len(build.lines)
    shaped = len(chunks) > 1 and not said.of("quantity")
    apart = {id(f) for f in shared}
    for facts, items in chunks:
        _take_chunk(build, passage, said, [f for f in facts if id(f) not in apart], items, listed, shaped)
    for line in build.lines[before:]:
        line.fill([f for f in shared if f.name != "services"], "")
        line.facts += [f for f in shared if f.name == "services"]


def _spread(said: Said) -> bool:
    """Whether a passage says how many of each is to follow: "all 1 m wide, one roll each"."""
    counts = said.of("quantity")
    if len(counts) != 1 or said.cloth() or not said.has("each"):
        return False
    last = said.marks["each"][-1]
    return counts[0].start < last.start and not any(f.start > last.start for f in said.facts)


def _names_cloths(build: Build, said: Said) -> bool:
    """Keep two cloths that are named before they are ordered: "the coarser is…, the finer is…"."""
    if said.of("quantity") or len(said.of("mesh_count") + said.of("aperture")) < 2 or not (
            said.has("former") and said.has("latter")):  # fmt: skip
        return False
    first, second = said.marks["former"][0].start, said.marks["latter"][0].start
    low, high = min(first, second), max(first, second)
    build.heads[-1] += [f for f in said.facts if f.start < low]
    parts = ([f for f in said.facts if low < f.start < high], [f for f in said.facts if f.start > high])
    build.cloths = dict(zip(("former", "latter") if first < second else ("latter", "former"), parts, strict=True))
    return True


def _except(build: Build, said: Said) -> None:
    """Keep what is said of an exception: "all 316L except the last, which is brass"."""
    for mark in said.marks.get("except", []):
        after = [i for i in said.items if i.start > mark.end]
        which = next((name for name in ("last", "former", "latter", "third", "fourth") for i in after if name in i.tags), "")
        alloys = [f for f in said.of("alloy") if f.start > mark.end]
        if which and alloys:
            build.excepted.append((which, frozenset(), alloys[0]))
        elif alloys:
            build.excepted.append(("", targets.own_words([i for i in after if i.start < alloys[0].start]), alloys[0]))


def _heads(passage: Passage, said: Said, followed: str) -> bool:
    """Whether a passage is the head of the list that follows it, and no line of its own."""
    if any(f.name in CLOTH for f in said.facts) and said.of("quantity"):
        return False
    if followed == "sub":
        return True
    counts = [f for f in said.of("quantity") if not f.weak]
    if not followed:
        return False
    if not passage.ends_colon or passage.kind in ("item", "row"):
        return False
    return bool(counts) and (said.has("each") or len(counts) > 1) or bool(counts) and any(
        f.name == "dim" for f in said.facts)


def _head(build: Build, said: Said, followed: str) -> None:
    facts, variants = settle_alloys(said, said)
    each = said.has("each") or len([f for f in facts if f.name == "quantity"]) > 1
    facts = [f for f in facts if f.name != "quantity" or each]
    build.each = said.has("each")
    if variants:
        build.variants = variants
    if followed == "sub" or build.present:
        build.heads.append([*build.heads[0], *facts])
    else:
        build.heads[-1] += facts


def _shared(said: Said, chunks: Sequence[tuple[list[Fact], list[Item]]]) -> list[Fact]:
    """What stands after a "both" or "all" in a passage of several lines is said of each."""
    if len(chunks) < 2 or not said.has("all"):  # noqa: PLR2004
        return []
    last = chunks[-1][0]
    marks = [i for i in said.marks["all"] if last and i.start > last[0].start]
    if not marks:
        return []
    own = [f for f in last if f.start < marks[0].start]
    return [f for f in last if f.start > marks[0].start and f.name not in ("quantity", "form", "shape")
            and not (f.name in CLOTH and any(o.name == f.name for o in own))]  # fmt: skip


def cut_chunks(said: Said) -> list[tuple[list[Fact], list[Item]]]:
    """Part a passage at its quantities, so that each part speaks of one line or price break."""
    anchors: list[int] = []
    groups: list[int] = []
    again = _again(said)
    strong = [f for f in said.of("quantity") if not f.weak]
    for fact in said.of("quantity"):
        if fact.weak and strong and not _own_noun(said, fact, strong):
            continue
        if fact.group not in groups:
            groups.append(fact.group)
            anchors.append(fact.start)
    facts = [f for f in said.facts if not (f.name == "quantity" and f.weak and f.group not in groups)]
    if not anchors:
        anchors = _shape_anchors(said)
    anchors = sorted({*anchors, *again})
    if len(anchors) < 2:  # noqa: PLR2004
        return [(facts, list(said.items))]
    bounds = _bounds(facts, anchors, said)
    out = []
    for k, low in enumerate(bounds):
        high = bounds[k + 1] if k + 1 < len(bounds) else 1 << 60
        out.append(([f for f in facts if low <= f.start < high], [i for i in said.items if low <= i.start < high]))
    return out


def _again(said: Said) -> list[int]:
    """Where a "same again" amid a passage opens another line, as its cloth differs."""
    out = []
    for mark in said.marks.get("same", []):
        before = {f.name for f in said.facts if f.start < mark.start}
        later = [f.start for f in said.of("quantity") if f.start > mark.end]
        if "again" in mark.tags and not before and later and any(
                i.kind == "mark" and i.text in ",;" or "also" in i.tags for i in said.items if mark.end <= i.start < later[0]):  # fmt: skip
            out.append(mark.start)
            continue
        after = [f for f in said.facts if f.start > mark.start]
        counted = any(f.name in ("quantity", "dim") and f.start < mark.start for f in said.facts)
        lead = [i for i in said.items if i.end <= mark.start][-5:]
        if counted and any("also" in i.tags for i in lead) and any(f.name in CLOTH and f.name in before for f in after[:2]):
            out.append(mark.start)
    return out


def _own_noun(said: Said, fact: Fact, strong: Sequence[Fact]) -> bool:
    """Whether an article opens a line of its own beside plain numbers: a form with sizes."""
    after = [f for f in said.facts if f.start > fact.start]
    later = min((f.start for f in strong if f.start > fact.start), default=1 << 60)
    return any(f.name in ("roll_length", "dim", *CLOTH) and f.start < later for f in after)


def _shape_anchors(said: Said) -> list[int]:
    """Shapes that each bring their own size open a line each: "disc 58 mm and disc 51.5 mm"."""
    shapes = [f for f in said.facts if f.name == "shape"]
    sizes = [f.start for f in said.of("dim")]
    each = [s for k, s in enumerate(shapes) if any(
        s.start < d < (shapes[k + 1].start if k + 1 < len(shapes) else 1 << 60) for d in sizes)]  # fmt: skip
    return [s.start for s in each] if len(each) > 1 and len(each) == len(shapes) else []


def _bounds(facts: Sequence[Fact], anchors: Sequence[int], said: Said) -> list[int]:
    """Where each part begins: at its number, or after the number where numbers come last."""
    first, last = anchors[0], anchors[-1]
    ends = [f for f in facts if f.start > last and f.name not in ("form", "shape", "quantity", "services", "roll_length")]
    heads = [f for f in facts if f.start < first and f.name in (*CLOTH, "dim")]
    if heads and not ends:
        bounds = [0]
        for n, at in enumerate(anchors[:-1]):
            after = [i.start for i in said.items if i.start > at and i.kind in ("mark", "nl") and i.text in ",;.\n"
                     or i.start > at and "and" in i.tags]  # fmt: skip
            bounds.append(min([*after, anchors[n + 1]]))
        return bounds
    return [0, *anchors[1:]]


def _take_chunk(
    build: Build, passage: Passage, said: Said, facts: list[Fact], items: list[Item], listed: bool, shaped: bool
) -> None:
    here = {i.start for i in items}
    part = Said(facts, {}, [i for i in said.loose if i.start in here], items, said.dropped)
    for mark, marked in said.marks.items():
        part.marks[mark] = [item for item in marked if item.start in here]
    plain, variants = settle_alloys(part, said)
    quantities = [f for f in plain if f.name == "quantity"]
    rest = [f for f in plain if f.name != "quantity"]
    if shaped or opens(build, passage, part, rest, quantities, listed):
        _open(build, passage, part, rest, quantities, variants)
        return
    if variants:
        build.variants = variants
        rest = [f for f in rest if f.name != "alloy"]
    if rest:
        _share(build, passage, part, rest)


def opens(
    build: Build, passage: Passage, part: Said, rest: Sequence[Fact], quantities: Sequence[Fact], listed: bool
) -> bool:
    """Whether a part opens a line: it counts something, or is an item that says which cloth."""
    cloth = any(f.name in CLOTH for f in rest)
    formed = any(f.name in ("form", "shape", "roll_length", "dim") for f in rest)
    if build.cloths and part.has("former", "latter") and not cloth:
        return True
    if part.has("again") or build.each and passage.kind == "note" and cloth:
        return True
    refers = part.has("same", "cloth", "same size", "usual", "same number", "half number", "ditto")
    if any(not f.weak for f in quantities):
        return bool(cloth or formed or refers or build.heads[-1] or listed)
    if quantities:
        return bool((cloth or refers) and formed or any(f.name == "roll_length" for f in rest))
    if listed and passage.label and refers and (formed or cloth or rest):
        return True
    if listed:
        return cloth and not passage.ends_colon
    if cloth and build.present and build.opened:
        last = build.opened[-1]
        known = Draft([*last.facts, *build.heads[last.section]])
        return known.has(*CLOTH) and not any(targets.matches(known, f) for f in rest if f.name in CLOTH)
    if passage.kind == "note" and cloth and any(f.name == "wire_diameter" or f.name == "alloy" for f in rest) and formed:
        return True
    shapes = [f for f in rest if f.name == "shape"]
    return len(_shape_anchors(Said(list(part.facts)))) > 1 or bool(
        shapes and any(f.name == "dim" for f in rest) and build.heads[-1] and len(build.lines) and not cloth
        and listed)  # fmt: skip


def _open(
    build: Build, passage: Passage, part: Said, rest: list[Fact], quantities: list[Fact], variants: list[Fact]
) -> None:
    _same_in(part, rest)
    if part.has("usual"):
        mark = part.marks["usual"][0]
        rest.append(Fact("papers", "", mark.text, mark.start, mark.end))
    words = targets.own_words(part.items)
    base = Draft(list(rest), passage.label, passage.start, passage.end, words, len(build.heads) - 1,
                 passage.mail, passage.paragraph)  # fmt: skip
    if _break_down(build, part, rest, quantities):
        return
    widen(part)
    sources = _sources(build, passage, part, base)
    made: list[Draft] = []
    for source in sources or [None]:
        one = replace(base, facts=list(base.facts), notes=[])
        for name, facts in build.cloths.items():
            if part.has(name):
                one.fill(facts, "the cloths named before")
        if source is not None:
            _refer(one, source, part, bool(build.cloths))
        elif not one.has(*CLOTH) and (known := _known_by_article(build, part, one)):
            one.fill(known.facts, "the line it names", FABRIC)
        elif not one.has(*CLOTH) and build.opened and build.opened[-1].start == passage.start and not one.has("pair"):
            alike = one.value("form") == build.opened[-1].value("form") and not one.has("dim", "roll_length")
            one.fill(build.opened[-1].facts, "the line before", (*FABRIC, "dim", "shape") if alike else FABRIC)
        for quantity in quantities or [None]:
            line = replace(one, facts=list(one.facts), notes=list(one.notes))
            if quantity is not None:
                line.put([quantity])
            made += [replace(line, facts=[*[f for f in line.facts if f.name != "alloy"], alloy], notes=list(line.notes))
                     for alloy in variants] or [line]  # fmt: skip
    if not quantities and part.has("same number", "half number"):
        _same_number(build, made, part)
    build.lines += made
    build.awaits = passage.ends_colon
    same = bool(build.opened) and build.opened[-1].start == passage.start
    build.opened = (build.opened if same else []) + made
    if not quantities and not sources and len(made) == 1:
        return


def _known_by_article(build: Build, part: Said, line: Draft) -> Draft | None:
    """The line that a part names by its alloy or size with the article: "of the galvanised"."""
    for n, item in enumerate(part.items[1:], 1):
        if "the" not in part.items[n - 1].tags:
            continue
        if any(item is one for one in part.loose):
            sized = [one for one in build.present if any(
                f.item is not None and f.item.unit == item.unit and f.item.values == item.values for f in one.of("dim"))]  # fmt: skip
            if sized:
                line.fill([f for f in sized[-1].of("dim") if f.item and f.item.values == item.values], "the line it names")
                return sized[-1]
        named = [f for f in line.facts if f.start == item.start and f.name in FABRIC]
        found = targets.by_facts(named, build.lines)
        if found:
            return found[-1]
    return None


def _break_down(build: Build, part: Said, rest: Sequence[Fact], quantities: Sequence[Fact]) -> bool:
    """"Each size for 500, 1,000 and 5,000": a price break of lines that have no quantity yet."""
    waiting = [line for line in build.present if not line.has("quantity")]
    if not waiting or not quantities or any(f.name in (*CLOTH, "dim", "wire_diameter") for f in rest):
        return False
    if len(waiting) != len(build.present) or not (part.has("all") or len(quantities) > 1) or part.has("same", "cloth"):
        return False
    build.lines = [replace(line, facts=[*line.facts, q], notes=list(line.notes)) for line in build.lines for q in quantities]
    build.opened = list(build.lines)
    return True


#: What the words after "the same" limit it to.
_SCOPE_OF = {"size": "same size", "kind": "same alloy", "width": "same width", "wire": "same wire", "diameter": "same size"}


def widen(part: Said) -> None:
    """Take "the same alloy and roll size" for what it names, and not for the whole line."""
    for n, item in enumerate(part.items):
        if not {"same", "cloth", "same alloy", "same size", "same width", "same number"} & item.tags.keys():
            continue
        named = False
        for after in part.items[n + 1 : n + 7]:
            role = after.tags.get("size", "")
            if role in _SCOPE_OF:
                part.marks.setdefault(_SCOPE_OF[role], []).append(after)
                named = True
            elif not ("and" in after.tags or "form" in after.tags or "shape" in after.tags and not named or after.text == ","):
                break
        if named and "same" in item.tags:
            part.marks["same"] = [i for i in part.marks.get("same", []) if i is not item]


#: Widths that rolls are offered in [mm]: what "the same again in 1.5 m" can mean (common practice).
_OFFERED_MM = (300.0, 3000.0)
_MM_OF = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8}


def _same_in(part: Said, rest: list[Fact]) -> None:
    """Take "same again in 1.5 m" for another width."""
    loose = [i for i in part.loose if i.unit in _MM_OF and _OFFERED_MM[0] <= i.values[0] * _MM_OF[i.unit] <= _OFFERED_MM[1]]
    if part.has("same") and len(loose) == 1 and not any(f.name == "dim" for f in rest):
        one = loose[0]
        rest.append(Fact("dim", "", one.text, one.start, one.end, one, "width"))


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


def _sources(build: Build, passage: Passage, part: Said, base: Draft) -> list[Draft]:
    """Lines that a new one refers to."""
    if not build.present or not part.has("same", "cloth", "same size", "same width", "same alloy", "same wire", "ditto", "former", "latter"):
        return []
    named = targets.named_labels(part.items, build.lines)
    for _, labels, _ in named:
        found = targets.by_label([one for one in labels if one != passage.label], build.lines)
        if found:
            return found
    if any(one != passage.label for _, labels, _ in named for one in labels):
        return []
    ordered = targets.by_order(part, build.present) if part.has("former", "latter") and not build.cloths and not part.has("item") else []
    if ordered:
        return ordered
    if part.has("cloth") and not part.has("same"):
        fabric = [f for f in base.facts if f.name in FABRIC]
        found = targets.by_facts(fabric, build.lines)
        if found:
            return found[-1:]
        if not any("cloth" in i.tags and len(fold(i.text).split()) > 1 for i in part.items):
            return targets.by_words(base.words, build.lines)[-1:] if not base.has(*CLOTH) else []
        found = targets.by_words(base.words, build.lines)
        if found:
            return found[-1:]
        if base.has(*CLOTH) and not any(fold(i.text).startswith(_SAME) for i in part.items if "cloth" in i.tags):
            return []
    shape = [f for f in base.facts if f.name == "shape"]
    if part.has("cloth", "same") and len(shape) > 1:
        found = [line for line in build.present if line.value("shape") == shape[-1].value]
        if found:
            base.facts = [f for f in base.facts if f is not shape[-1]]
            return found[-1:]
    return build.present[-1:]


#: How "the same cloth" begins, in each language.
_SAME = ("same", "gleich", "selb", "demselben", "dasselbe", "mem", "la mem", "dans la mem", "de la mem", "mism", "de la mism", "del mism", "la mism")


def _refer(line: Draft, source: Draft, part: Said, build_cloths: bool) -> None:
    """Carry over what a reference carries: the whole line, or only its cloth, size, width."""
    origin = f"line {source.label}" if source.label else "an earlier line"
    whole = part.has("same", "ditto") and not part.has("cloth")
    for mark, names in SCOPES.items():
        if part.has(mark):
            line.fill(source.facts, origin, names)
    if part.has("same size") and not part.has("same", "ditto") and not line.has(*CLOTH):
        line.fill(source.facts, origin, FABRIC)
    if part.has("same number") and not line.has("quantity"):
        line.fill(source.facts, origin, ("quantity",))
    if whole or part.has("former", "latter") and not build_cloths and not line.has(*CLOTH):
        same_form = not line.has("form") or line.value("form") == source.value("form")
        names = {f.name for f in source.facts} - (set() if same_form else {"form", "shape", "dim", "roll_length", "quantity", "services"})
        if line.value("shape") not in (None, source.value("shape")):
            names -= {"quantity", "dim"}
        line.fill(source.facts, origin, names)
    line.notes.append(f"as {origin}")


def _share(build: Build, passage: Passage, part: Said, rest: list[Fact]) -> None:
    """Facts that open no line: a shared head, a shared tail, or more of the line just opened."""
    names = {f.name for f in rest}
    if passage.kind == "prose" and (names <= {"form", "shape", "counted"} or not build.present and names <= {"dim", "counted"}
                                    and not passage.ends_colon and not part.has("all", "cloth", "quote")):  # fmt: skip
        return
    if not build.present:
        build.heads[-1] += rest
        return
    everything = part.has("all", "rest")
    if passage.ends_colon or passage.kind == "item" and passage.ends_colon:
        build.heads.append(list(rest))
        return
    if everything:
        build.general += [(f, frozenset()) for f in rest]
        return
    near = build.opened if build.opened and build.opened[-1].paragraph == passage.paragraph else []
    if build.awaits:
        near = build.opened
    cloth = any(f.name in CLOTH for f in rest)
    if near and (build.awaits or not (passage.kind == "note" and len(near) > 1)):
        for line in near:
            line.fill([f for f in rest if f.name != "services"], "")
            line.facts += [f for f in rest if f.name == "services"]
    elif passage.kind == "item":
        build.heads.append(list(rest))
    elif not cloth:
        bare = [line for line in build.opened if not line.has(*CLOTH)]
        if bare and not near:
            for line in bare:
                line.fill(rest, "")
        else:
            build.general += [(f, frozenset()) for f in rest]
    else:
        headed = any(f.name in CLOTH for f in build.heads[-1])
        opened = [line for line in build.opened if not line.has(*CLOTH) and not headed]
        for line in opened:
            line.fill(rest, "")
