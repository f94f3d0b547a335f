"""What a passage says, set right once its words are read: counts and sizes that it corrects itself."""  # noqa: E501

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import last_word
from meshcore.reading.vocabulary import fold

_LENGTHS = frozenset({"mm", "cm", "m", "µm", "in", "ft", "yd", "thou"})


def told_apart(said: Said) -> None:
    """Ask about a count that the numbers after it add up to: "three pieces, one … and two …"."""
    counts = [f for f in said.of("quantity") if not f.weak]
    if not counts or said.shares:
        return
    one = counts[0]
    others = {f.start for f in counts[1:]}
    loose = {i.start for i in said.loose} | others
    told = [
        i
        for i in said.items
        if i.whole and i.start > one.end and i.start in loose and not i.tags.get("alloy")
        if len(i.text) > 1 or i.text.isdigit()
    ]
    told += [
        i
        for i, after in pairwise(said.items)
        if i.spelled
        and i.values == (1.0,)
        and after.kind == "num"
        and i.start > one.end
        and i not in told
        and len(i.text) > 1
    ]
    if len(told) > 1 and sum(max(i.values) for i in told) == one.value:
        shown = " + ".join(i.text for i in told)
        why = f'"{one.text}" are told apart as {shown}: which are which?'
        said.facts = [
            replace(f, why=why) if f is one else f for f in said.facts if f.start not in others
        ]


#: Between a count and the one that corrects it stand no more than these words.
_MOST_RECOUNTED = 5


def recounted(said: Said) -> None:
    """Drop a count that the next words correct: "five rolls sorry no four rolls"."""
    counts = [f for f in said.of("quantity") if not f.weak]
    for one, after in pairwise(counts):
        between = [i for i in said.items if one.end <= i.start < after.start]
        bracketed = any(i.text == "(" for i in between) and any("not" in i.tags for i in between)
        told = bracketed or any("correct" in i.tags for i in between)
        other = any(one.end <= f.start < after.start for f in said.facts if f.name not in _NOUNS)
        if told and not other and len(between) <= _MOST_RECOUNTED and one.group != after.group:
            said.facts = [f for f in said.facts if not one.start <= f.start < after.start]


_NOUNS = ("form", "shape", "counted")


def counted_anew(said: Said) -> None:
    """Put a bare number that a word of correction leads in the place of the count right before it.

    "Tres rollos... perdón, cuatro" asks for four rolls.
    """
    for mark in said.marks.get("correct", []):
        after = [i for i in said.items if i.start >= mark.end and i.text not in ",:"][:2]
        if not after or not after[0].whole or all(i is not after[0] for i in said.loose):
            continue
        if len(after) > 1 and after[1].kind not in ("mark", "nl"):
            continue
        before = [i for i in said.items if i.end <= mark.start and i.kind not in ("mark", "nl")]
        last = [f for f in said.of("quantity") if f.end <= mark.start and not f.why][-1:]
        near = {i.start for i in before[-2:]}
        bare = not any(i.kind == "num" for i in before[-1:]) or before[-1].whole
        if not last or not bare or last[0].start not in near:
            continue
        new, old = after[0], last[0]
        one = replace(old, value=max(new.values), text=new.text, start=new.start, end=new.end,
                      item=new, weak=False)  # fmt: skip
        said.facts = [one if f is old else f for f in said.facts]
        said.loose = [i for i in said.loose if i is not new]


#: What leads to the count of what was just described.
_WHICH = frozenset({"which", "those", "these", "denen", "davon", "dont", "cuales", "ellos"})


#: So many words may stand between it and the count: "of which we would like three".
_MOST_LIKING = 5


def pair_of_sizes(said: Said) -> None:
    """Take a bare pair for sizes of the form where opening and wire are told besides.

    "50 mm hole, 10 mm wire, 2.4 x 1.5" leaves the pair nothing else to be.
    """
    pairs = said.of("pair")
    if len(pairs) != 2 or not pairs[0].group:  # noqa: PLR2004
        return
    cloth = any(f.name in ("aperture", "pitch", "mesh_count") and not f.group for f in said.facts)
    if cloth and any(f.name == "wire_diameter" and not f.group for f in said.facts):
        said.facts = [replace(f, name="dim") if f.name == "pair" else f for f in said.facts]


def no_count_below_one(said: Said) -> None:
    """Take what follows a "mesh" for its wire where it is less than one: "1 in sq. mesh .162"."""
    wired = said.of("wire_diameter")
    for n, fact in enumerate(said.facts):
        item = fact.item
        if fact.name != "mesh_count" or item is None or max(item.values) >= 1.0 or wired:
            continue
        bare = replace(item, unit="")
        said.facts[n] = replace(fact, name="wire_diameter", item=bare)


def of_which(said: Said) -> None:
    """Count what an article names by the number after it: "a rectangle …, of which we want three"."""  # noqa: E501
    counts = said.of("quantity")
    if len(counts) != 1 or not counts[0].weak:
        return
    one = counts[0]
    at = [i for i in said.items if i.start > one.end and last_word(i) in _WHICH]
    after = [i for i in said.items if at and i.start > at[-1].start][: _MOST_LIKING + 1]
    number = next((i for i in after if i.kind == "num"), None)
    if number is None or not number.whole or all(i is not number for i in said.loose):
        return
    ahead = next((i for i in said.items if i.start >= number.end), None)
    if ahead is None or ahead.kind in ("mark", "nl"):
        new = replace(one, value=max(number.values), text=number.text, start=number.start,
                      end=number.end, item=number, weak=False)  # fmt: skip
        said.facts = [new if f is one else f for f in said.facts]
        said.loose = [i for i in said.loose if i is not number]


def resized(said: Said) -> None:
    """Put a size that a word of correction leads in the place of the last of its unit.

    "18 mm holes … no make that 12 mm" speaks of holes of 12 mm.
    """
    for mark in said.marks.get("correct", []):
        after = [i for i in said.items if i.start >= mark.end][:2]
        new = next((i for i in after if i.kind == "num"), None)
        if new is None or new.unit not in _LENGTHS or all(i is not new for i in said.loose):
            continue
        ahead = next((i for i in said.items if i.start >= new.end), None)
        if ahead is not None and ahead.kind not in ("mark", "nl"):
            continue
        before = [f for f in said.facts if f.end <= mark.start and f.item is not None]
        sizes = [f for f in before if f.name != "quantity"]
        if not sizes or sizes[-1].item is None or sizes[-1].item.unit != new.unit:
            continue
        old = sizes[-1]
        one = replace(old, item=new, text=new.text, start=new.start, end=new.end, group=0)
        said.facts = [one if f is old else f for f in said.facts]
        said.facts.sort(key=lambda fact: fact.start)
        said.loose = [i for i in said.loose if i is not new]


#: What leads from counts to what they come to: "eight, and one to spare, so nine".
_COMES_TO = frozenset({"so", "makes", "making", "therefore", "altogether", "hence", "macht", "also",
                       "zusammen", "insgesamt", "donc", "soit", "total", "luego", "o sea",
                       "en total", "au total", "that makes", "mithin"})  # fmt: skip


def each_comes_to(said: Said) -> None:
    """Put what counts for each come to in their place: "one disc and one strip, so 15 discs and 15 strips"."""  # noqa: E501
    lead = next((i for i in said.items if fold(i.text) in _COMES_TO and i.kind == "word"), None)
    if lead is None:
        return
    counts = [f for f in said.of("quantity") if not f.weak]
    first = [f for f in counts if f.start < lead.start and f.why]
    later = [f for f in counts if f.start > lead.start]
    if len(first) < 2 or len(first) != len(later):  # noqa: PLR2004 - one alone is `comes_to`'s
        return
    kinds = [_kinds(said, counts, f) for f in first]
    if kinds != [_kinds(said, counts, f) for f in later] or len(set(kinds)) < len(kinds):
        return
    end = later[-1].end
    told = [f for f in said.facts if lead.start < f.start < end and f.name in ("dim", "alloy")]
    if told:
        return
    stop = min((f.start for f in said.facts if f.start > end and f.name not in _NOUNS), default=end)
    new = {id(old): replace(one, why="") for old, one in zip(first, later, strict=True)}
    kept = [f for f in said.facts if not lead.start < f.start < max(end, stop)]
    moved = [
        replace(f, value=new[id(f)].value, text=new[id(f)].text, item=new[id(f)].item, why="")
        if id(f) in new
        else f
        for f in kept
    ]
    said.facts = moved


def _kinds(said: Said, counts: list[Fact], count: Fact) -> frozenset[str]:
    """Forms and shapes that are counted by one of several counts."""
    stop = min((f.start for f in counts if f.start > count.start), default=1 << 60)
    return frozenset(
        str(f.value)
        for f in said.facts
        if f.name in ("form", "shape") and count.start < f.start < stop
    )


def comes_to(said: Said) -> None:
    """Put what counts come to in their place: "two for each: eight, and one to spare, so nine"."""
    words = [i for i in said.items if i.kind not in ("mark", "nl")]
    last = words[-2:]
    if len(last) < 2 or last[0].kind != "word" or fold(last[0].text) not in _COMES_TO:  # noqa: PLR2004
        return
    one = last[1]
    counts = [f for f in said.of("quantity") if f.start < one.start]
    if not counts or not one.whole or all(i is not one for i in said.loose):
        return
    if len({f.group for f in counts if not f.weak and not f.why}) > 1:
        return
    told = next((f for f in counts if not f.weak), counts[0])
    new = replace(told, value=max(one.values), text=one.text, start=one.start, end=one.end,
                  item=one, weak=False, why="")  # fmt: skip
    said.facts = [f for f in said.facts if f.name != "quantity"] + [new]
    said.facts.sort(key=lambda fact: fact.start)
    loose = {i.start for i in words if i.whole and counts[0].start < i.start}
    said.loose = [i for i in said.loose if i.start not in loose]


def set_sizes_right(said: Said) -> None:
    """Set right what sizes are by what else the passage says."""
    pair_of_sizes(said)
    no_count_below_one(said)


def set_counts_right(said: Said) -> None:
    """Set right counts and sizes that the passage corrects, parts or tells of later."""
    recounted(said)
    counted_anew(said)
    each_comes_to(said)
    comes_to(said)
    of_which(said)
    resized(said)
