"""Work that is said of some lines only, denied, or asked and answered by the letter itself."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item, first_word, last_word
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.refused_work import declines, only_talks
from meshcore.reading.vocabulary import fold

_NAMES = frozenset({"form", "shape", "counted", "services", "quantity"})
#: A certificate named alone is the one that the letter names elsewhere.
_PAPERS = ("certificate", "certificates", "certs", "cert", "zeugnis", "zeugnisse", "certificat",
           "certificats", "certificado", "certificados", "prufzeugnis")  # fmt: skip
#: Words that leave out the rest, folded.
ONLY = frozenset({"only", "just", "nur", "ausschliesslich", "lediglich", "seulement",
                   "uniquement",
                    "solo", "solamente", "unicamente", "but not", "bloss",
                   "exclusively"})  # fmt: skip
#: What a denial may reach over without pointing at any line.
_ALL = frozenset({"anything", "any", "all", "nothing", "nichts", "irgendetwas", "alles", "rien",
                  "nada", "todo", "tout", "none", "any of them", "everything"})  # fmt: skip


def limits_work(build: Build, passage: Passage, said: Said) -> bool:
    """Apply work that a passage wants on some lines only; False where it says no such thing.

    "Certificates only for lines 1 and 3", "hooks on the 4 pcs only".
    """
    if not build.present or passage.kind == "row" or said.has("withdraw", "same"):
        return False
    if said.has("cloth") and not said.has("total"):
        return False  # "for all of it" takes up no cloth
    others = said.has_any("not") and (said.has("rest") or any(_is_other(i) for i in said.items))
    contrasted = bool(_spared(build, said, passage.label))
    if not others and not contrasted and not any(_is_only(i) for i in said.items):
        return False
    work = said.of("services") or _papers(build, said)
    aim = aim_of(said, build.present, build.lines, passage.label)
    besides = {f.name for f in aim.rest(said.facts)} - _NAMES
    if not work or (besides and not said.has("all")):
        return False
    spared = _spared(build, said, passage.label)
    lines = [line for line in aim.lines if not line.gone and id(line) not in spared]
    if not lines or len(lines) == len(build.present):
        return False
    give_only(build, lines, work)
    said.facts = [f for f in said.facts if f.name != "services"]
    return not besides


def _spared(build: Build, said: Said, own: str) -> set[int]:
    """Lines of a stretch that says no more than "not": "panels hemmed, the small ones not"."""
    out: set[int] = set()
    stretch: list[Item] = []
    for item in [*said.items, None]:
        if item is not None and item.text not in (",", ";", "."):
            stretch.append(item)
            continue
        worked = any("service" in i.tags for i in stretch)
        if stretch and not worked and any(_is_none(i) for i in stretch):
            aim = aim_of(Said(items=stretch), build.present, build.lines, own)
            out |= {id(line) for line in (*aim.lines, *_named_by_kind(build, stretch))}
        stretch = []
    return out


def _named_by_kind(build: Build, stretch: Sequence[Item]) -> list[Draft]:
    """Lines that several words name by what they are: "the triangles and strips need none"."""
    kinds = {str(i.tags[kind]) for i in stretch for kind in ("shape", "form") if kind in i.tags}
    if len(kinds) < 2:  # noqa: PLR2004 - one is what the words point at as a whole
        return []
    return [line for line in build.present if {line.value("shape"), line.value("form")} & kinds]


def spares_lines(build: Build, passage: Passage, said: Said) -> bool:
    """Take the work said last off lines that need none of it: "the triangles need none".

    False where the passage says anything else.
    """
    if {f.name for f in said.facts} - _NAMES or said.of("services") or not build.present:
        return False
    if not any(last_word(i) in _NONE for i in said.items) or said.of("quantity"):
        return False
    spared = _spared(build, said, passage.label)
    every = [f for line in build.present for f in line.of("services")]
    every += [f for f, _ in build.general if f.name == "services"]
    if not spared or not every:
        return False
    last = max(every, key=lambda f: f.end)
    having = [line for line in build.present if id(line) not in spared]
    if any(f.name == "services" and f.value == last.value for f, _ in build.general):
        give_only(build, having, [last])
    _take_off(
        build, {last.value}, [li for li in build.present if id(li) in spared], everywhere=False
    )
    return True


#: Words for nothing of what was said of others, folded.
_NONE = frozenset({"none", "neither", "keine", "keines", "keins", "keinen", "aucun", "aucune",
                   "ninguno", "ninguna"})  # fmt: skip


def _is_none(item: Item) -> bool:
    return "not" in item.tags or last_word(item) in _NONE


def give_only(build: Build, lines: Sequence[Draft], work: Sequence[Fact]) -> None:
    """Give work to some lines, and take it from all others and from what is said of all."""
    _take_off(build, {f.value for f in work}, build.present, everywhere=True)
    for line in lines:
        line.facts += list(work)
        line.notes.append(f"{', '.join(str(f.value) for f in work)} on this one only")


def denies_work(build: Build, passage: Passage, said: Said) -> bool:
    """Take off lines the work that a passage denies and says no more: "do not anneal anything"."""
    if said.facts or not build.present or passage.kind in ("item", "row"):
        return False
    work: set[str | float] = {
        said.items[n].tags["service"]
        for n in said.dropped
        if "service" in said.items[n].tags and _is_denied(said, n)
    }
    if not work or said.has("withdraw"):
        return False
    aim = aim_of(Said(items=list(said.items)), build.present, build.lines, passage.label)
    wide = any(first_word(i) in _ALL for i in said.items)
    if aim.lines and not wide:
        _take_off(build, work, aim.lines, everywhere=False)
        return True
    having = [line for line in build.present if any(f.value in work for f in line.of("services"))]
    general = any(f.name == "services" and f.value in work for f, _ in build.general)
    headed = any(f.name == "services" and f.value in work for head in build.heads for f in head)
    other = any(_is_other(i) for i in said.items)
    if other:
        return True  # "nothing else gets hooks": what has them keeps them
    if not (having or general or headed):
        return False
    _take_off(build, work, build.present, everywhere=True)
    return True


def _is_denied(said: Said, n: int) -> bool:
    """Whether a word stands under a "not", and is not only told of the past."""
    while n in said.dropped:
        if "not" in said.items[n].tags:
            return True
        n -= 1
    return False


def _take_off(
    build: Build, work: set[str | float], lines: Sequence[Draft], everywhere: bool
) -> None:
    for line in lines:
        line.old += [f for f in line.of("services") if f.value in work]
        line.facts = [f for f in line.facts if f.name != "services" or f.value not in work]
    if everywhere:
        build.general = [
            (f, w) for f, w in build.general if f.name != "services" or f.value not in work
        ]
        for head in build.heads:
            head[:] = [f for f in head if f.name != "services" or f.value not in work]


def _is_only(item: Item) -> bool:
    return fold(item.text) in ONLY


def _is_other(item: Item) -> bool:
    """Whether a word names all lines besides those named: "on no others"."""
    return last_word(item) in _OTHERS


_OTHERS = frozenset({"others", "other", "else", "anderen", "ubrigen", "anderes", "sonst", "autres",
                     "autre", "demas", "otros", "otras", "rest", "reste", "resto"})  # fmt: skip


def _papers(build: Build, said: Said) -> list[Fact]:
    """Certificates named alone: those that the letter names elsewhere, else those of 3.1."""
    named = next((i for i in said.items if fold(i.text) in _PAPERS), None)
    if named is None:
        return []
    every = [f for line in build.lines for f in line.of("services")]
    every += [f for head in build.heads for f in head if f.name == "services"]
    every += [f for f, _ in build.general if f.name == "services"]
    kinds = {str(f.value) for f in every if str(f.value).startswith("certificate")}
    if len(kinds) != 1:
        return []
    return [Fact("services", kinds.pop(), named.text, named.start, named.end)]


_NO = frozenset({"no", "nein", "non", "not", "nope", "nee"})
_YES = frozenset({"yes", "ja", "oui", "si", "yep", "sure", "please", "bitte"})


def asks_itself(said: Said, words: str) -> bool:
    """Whether a passage only asks for work, to be answered by the next: "both with hems?"."""
    names = {f.name for f in said.facts}
    asked = words.rstrip().endswith("?") or only_talks(words)
    return asked and "services" in names and not names - _NAMES


def answers_itself(build: Build, asked: Said, said: Said, words: str) -> bool:
    """Apply the answer to a letter's own question; False where the next passage is none.

    "Both lots with welded edges? No - only the panels."
    """
    first = next((i for i in said.items if i.kind == "word"), None)
    if first is None or {f.name for f in said.facts} - _NAMES:
        return False
    if fold(first.text) not in _NO and fold(first.text) not in ONLY and not declines(words):
        return False
    rest = [i for i in said.items if i.start > first.start]
    tail = Said(items=rest)
    aim = aim_of(tail, build.present, build.lines)
    if aim.lines:
        give_only(build, aim.lines, asked.of("services"))
    else:
        _take_off(build, {f.value for f in asked.of("services")}, build.present, everywhere=True)
    return True
