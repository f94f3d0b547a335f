"""Numbers that look like one thing and are another: "6 mesh panels", "the three oblong ones"."""

from __future__ import annotations

from itertools import pairwise

from meshcore.reading.letters.facts import CLOTH, Fact, Said
from meshcore.reading.letters.resolve import MM_OF

#: Opening and wire that differ from a count's pitch by more than this share of it contradict it.
_SLACK = 0.06


def no_count_of_mesh(said: Said) -> None:
    """Take the number of "6 mesh panels" for how many, where opening and wire speak against it."""
    counts = said.of("mesh_count")
    sizes = [said.of(name) for name in ("aperture", "wire_diameter")]
    if len(counts) != 1 or any(len(of) != 1 for of in sizes) or said.of("quantity"):
        return
    count, pair = counts[0], [of[0] for of in sizes]
    if count.item is None or count.why or not count.item.unit.startswith("/"):
        return
    after = next((b for a, b in pairwise(said.items) if a.start == count.start), None)
    if after is None or not {"shape", "form"} & after.tags.keys():
        return
    lengths = [
        min(f.item.values) * MM_OF[f.item.unit] for f in pair if f.item and f.item.unit in MM_OF
    ]
    number = min(count.item.values)
    per = MM_OF["in"] if count.item.unit == "/in" else MM_OF["cm"]
    if len(lengths) != len(pair) or number != int(number) or not number:
        return
    if abs(per / number - sum(lengths)) <= _SLACK * per / number:
        return
    said.facts[said.facts.index(count)] = Fact(
        "quantity", number, count.text, count.start, count.end, count.item, group=count.start + 1
    )


def without_pointed(said: Said) -> list[Fact]:
    """Leave out a number that only points at what was counted before: "hems on the three oblong ones"."""  # noqa: E501
    names = {f.name for f in said.facts}
    if "services" not in names or names & {*CLOTH, "dim", "alloy", "wire_diameter", "roll_length"}:
        return said.facts
    pointed = {b.start for a, b in pairwise(said.items) if "the" in a.tags}
    return [f for f in said.facts if f.name != "quantity" or f.start not in pointed]
