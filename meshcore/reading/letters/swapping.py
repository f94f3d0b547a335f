"""Two lines whose sizes or counts are to change places: "swap the widths of 2 and 3"."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.reading.letters import targets
from meshcore.reading.letters.aims import aim_of
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import CLOTH, FABRIC, Fact, Said
from meshcore.reading.letters.item import Item, first_word
from meshcore.reading.letters.passage import Passage
from meshcore.reading.letters.reading import read_passage
from meshcore.reading.vocabulary import fold

#: How words begin that exchange.
_SWAPS = ("swap", "exchang", "interchang", "switch", "transpos", "vertausch", "tausch", "permut",
          "interver", "echang", "intercambi")  # fmt: skip
#: How a word for what is exchanged begins → names of the facts.
_WHAT = {
    "width": ("width",), "breit": ("width",), "largeur": ("width",), "ancho": ("width",),
    "anchura": ("width",), "length": ("length",), "lang": ("length",), "longueur": ("length",),
    "largo": ("length",), "longitud": ("length",), "size": ("dim",), "mass": ("dim",),
    "dimension": ("dim",), "medida": ("dim",), "diameter": ("dim",), "durchmesser": ("dim",),
    "diametre": ("dim",), "diametro": ("dim",),
    "quantit": ("quantity",), "number": ("quantity",), "count": ("quantity",),
    "menge": ("quantity",), "stuckzahl": ("quantity",), "cantidad": ("quantity",),
    "wire": ("wire_diameter",), "draht": ("wire_diameter",), "fil": ("wire_diameter",),
    "hilo": ("wire_diameter",), "alloy": ("alloy",), "grade": ("alloy",), "material": ("alloy",),
    "metal": ("alloy",), "werkstoff": ("alloy",), "matiere": ("alloy",), "mesh": CLOTH,
    "aperture": ("aperture",), "opening": ("aperture",), "masche": CLOTH, "cloth": FABRIC,
    "gewebe": FABRIC,
}  # fmt: skip
#: Marks at which a clause ends; a colon leads from the lines to what is said of them.
_ENDS = frozenset(".;!?\n")


def swaps(build: Build, passage: Passage, said: Said) -> tuple[Said, int, int] | None:
    """Let two lines exchange what a clause names, and return the rest of the passage.

    Returns
    -------
    What is left to be read, perhaps nothing, and where the words stand that exchange; None where
    none do. Where they do not tell which two lines are meant, what is to be exchanged is asked.
    """
    items = said.items
    verb = next((n for n, i in enumerate(items) if _begins(i, _SWAPS)), None)
    if verb is None or not build.present:
        return None
    ends = [n for n in range(len(items)) if items[n].text in _ENDS and not _abbreviates(items, n)]
    low = max((n + 1 for n in ends if n < verb), default=0)
    high = next((n for n in ends if n > verb), len(items))
    names = _named(items[low:high])
    if not names or any(fold(i.text) in _BY for i in items[verb:high]):
        return None  # "swap the 316 of item 3 for 304" names what is to stand in its place
    high = _end_of(items, verb, high)
    lines = _two_lines(build, passage, items[low:high])
    if len(lines) == 2:  # noqa: PLR2004
        _exchange(lines[0], lines[1], names)
    else:
        shown = " ".join(i.text for i in items[verb:high])
        asked = frozenset({"dim"} if {"width", "length"} & set(names) else names)
        build.doubtful.append((asked, f'"{shown}": of which lines?'))
    left = read_passage([*items[:low], *items[high:]])
    return left, items[low].start, items[high - 1].end


#: Before what is to stand in the place of something else.
_BY = frozenset({"for", "by", "with", "durch", "gegen", "par", "por", "mit"})


def _abbreviates(items: Sequence[Item], n: int) -> bool:
    """Whether a full stop ends no sentence: "Pos. 1"."""
    return n > 0 and items[n].text == "." and "item" in items[n - 1].tags


def _begins(item: Item, words: Sequence[str]) -> bool:
    return item.kind == "word" and first_word(item).startswith(tuple(words))


def _named(items: Sequence[Item]) -> tuple[str, ...]:
    for item in items:
        for word in fold(item.text).split():
            for begin, names in _WHAT.items():
                if item.kind == "word" and word.startswith(begin):
                    return names
    return ()


def _end_of(items: Sequence[Item], verb: int, high: int) -> int:
    """Where the clause ends: at a comma that no further line follows."""
    for n in range(verb, high):
        after = items[n + 1] if n + 1 < high else None
        if items[n].text == "," and not (after is not None and after.whole):
            return n
    return high


def _two_lines(build: Build, passage: Passage, items: Sequence[Item]) -> list[Draft]:
    """Lines that a clause names by number, by order or by what they are."""
    labels = [one for _, found, _ in targets.named_labels(items, build.lines) for one in found]
    bare = [i.text for i in items if i.whole and not i.spelled and not i.tags.get("alloy")]
    for told in (labels, bare, [passage.label] if passage.label else []):
        found = targets.by_label(told, build.lines) if told else []
        if len(found) == 2:  # noqa: PLR2004
            return found
    pointed = list(aim_of(Said(items=list(items)), build.present, build.lines).lines)
    if len(pointed) == 2 or bare or labels:  # noqa: PLR2004
        return pointed if len(pointed) == 2 else []  # noqa: PLR2004
    return build.present if len(build.present) == 2 else []  # noqa: PLR2004


def _exchange(one: Draft, other: Draft, names: Sequence[str]) -> None:
    mine, theirs = _facts(one, names), _facts(other, names)
    if not mine or not theirs:
        why = "to change places with another line: which value holds?"
        for line in (one, other):
            line.doubts = [*line.doubts, (frozenset(f.name for f in mine + theirs), why)]
        return
    for line, gone, new in ((one, mine, theirs), (other, theirs, mine)):
        at = min(n for n, f in enumerate(line.facts) if any(f is g for g in gone))
        kept = [f for f in line.facts if not any(f is g for g in gone)]
        line.facts = [*kept[:at], *new, *kept[at:]]
        line.old += gone
        line.notes.append(f"corrected: {', '.join(f.text for f in new)}")


def _facts(line: Draft, names: Sequence[str]) -> list[Fact]:
    if {"width", "length"} & set(names):
        return [f for f in line.of("dim") if line.place_of(f) in names]
    return [f for f in line.facts if f.name in names]
