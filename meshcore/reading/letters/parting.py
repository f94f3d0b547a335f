"""A count parted by work, alloy or size: "twelve panels: four with a hem, eight without"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.shares import Share, tells_part


def take_shares(said: Said, shares: Sequence[Share]) -> None:
    """Leave out of a passage what only says how its count is parted; `said.shares` keeps it."""
    low = said.items[shares[0].first].start
    high = said.items[shares[-1].last - 1].end
    said.facts = [f for f in said.facts if not low <= f.start < high]
    said.loose = [i for i in said.loose if not low <= i.start < high]
    said.shares = list(shares)


def part_lines(build: Build, lines: Sequence[Draft], shares: Sequence[Share]) -> None:
    """Part a line into its shares; where they do not add up to its count, this is asked."""
    counted = [line for line in lines if not line.gone and line.has("quantity")]
    if len(counted) == 1:
        shares = _counts_of(shares, float(counted[0].of("quantity")[-1].value))
    total = sum(share.count for share in shares)
    rests = [share for share in shares if not share.count]
    fits = [
        line
        for line in counted
        if (float(line.of("quantity")[-1].value) == total and not rests)
        or (len(rests) == 1 and float(line.of("quantity")[-1].value) > total)
    ]
    if len(fits) != 1 or not _whole(shares):
        _ask_shares(counted or list(lines), shares)
        return
    line = fits[0]
    whole = float(line.of("quantity")[-1].value)
    made = [_of_share(line, share, share.count or whole - total, shares) for share in shares]
    at = next(n for n, one in enumerate(build.lines) if one is line)
    build.lines[at : at + 1] = made
    build.opened = [one for one in build.opened if one is not line] + made


def _whole(shares: Sequence[Share]) -> bool:
    """Whether no share is a broken number: half of seven is none."""
    return all(share.count == int(share.count) for share in shares)


def _counts_of(shares: Sequence[Share], whole: float) -> list[Share]:
    """Return shares with the counts that are parts of the whole: half of ten is five."""
    return [
        replace(share, count=round(share.count * whole, 3)) if 0.0 < share.count < 1.0 else share
        for share in shares
    ]


def _sizes(line: Draft, share: Share, shares: Sequence[Share]) -> list[Fact]:
    """Return the sizes of a share; one without a word is what the words of the others say."""
    told = next((role for one in shares for _, role in one.sizes if role), "")
    out = []
    for item, role in share.sizes:
        place = role or (told if len(share.sizes) == 1 else "")
        why = ""
        if not place and len(share.sizes) == 1 and line.value("form") == "roll":
            places = {line.place_of(f) for f in line.of("dim")}
            place = "width" if places == {"length"} else "length" if places == {"width"} else ""
            why = "" if place else f'"{item.text}": the width or the length?'
            place = place or "width"
        fact = Fact("dim", "", item.text, item.start, item.end, item, place, why=why)
        out.append(replace(fact, group=share.first + 1 if len(share.sizes) > 1 else 0))
    return out


def _of_share(line: Draft, share: Share, count: float, shares: Sequence[Share]) -> Draft:
    number = share.number
    item = number if number.values else None
    quantity = Fact("quantity", count, number.text, number.start, number.end, item)
    work = [Fact("services", i.tags["service"], i.text, i.start, i.end) for i in share.work]
    alloy = share.alloy
    new = [Fact("alloy", alloy.tags["alloy"], alloy.text, alloy.start, alloy.end)] if alloy else []
    gone = {"quantity"} | ({"alloy"} if new else set())
    kept = [f for f in line.facts if f.name not in gone]
    old = [*line.old, *(f for f in line.facts if f.name in gone)]
    made = replace(line, facts=[*kept, quantity, *work, *new], notes=list(line.notes),
                   old=old, doubts=list(line.doubts))  # fmt: skip
    sizes = _sizes(made, share, shares)
    if sizes:
        made.put(sizes)
    return made


#: Marks of order, and how many lines there must be for them to name one.
_ORDERS = {"third": 3, "fourth": 4}


def doubts_part(build: Build, said: Said) -> bool:
    """Ask about a count of which a part is told otherwise, in words that tell no share of it."""
    if said.shares or any(not f.weak for f in said.of("quantity")):
        return False
    beyond = [name for name, order in _ORDERS.items() if said.has(name)
              and len(build.present) < order and said.has("correct", "instead")]  # fmt: skip
    if not tells_part(said.items) and not (beyond and said.facts):
        return False
    lines = [line for line in build.opened if not line.gone and line.has("quantity")]
    names = frozenset({"quantity", *(f.name for f in said.facts)})
    shown = " ".join(i.text for i in said.items if i.kind != "nl")
    for line in lines:
        line.doubts = [*line.doubts, (names, f'"{shown}": how many, and which?')]
    return bool(lines)


def _ask_shares(lines: Sequence[Draft], shares: Sequence[Share]) -> None:
    shown = ", ".join(f"{share.number.text}" for share in shares)
    for line in lines:
        why = f'"{shown}" of it are told apart: how many of each?'
        line.doubts = [*line.doubts, (frozenset({"quantity"}), why)]
