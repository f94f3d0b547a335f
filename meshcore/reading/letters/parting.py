"""A count parted by the work done to pieces: "twelve panels: four with a hem, eight without"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.build import Build
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.shares import Share


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
    total = sum(share.count for share in shares)
    rests = [share for share in shares if not share.count]
    fits = [
        line
        for line in counted
        if (float(line.of("quantity")[-1].value) == total and not rests)
        or (len(rests) == 1 and float(line.of("quantity")[-1].value) > total)
    ]
    if len(fits) != 1:
        _ask_shares(counted or list(lines), shares)
        return
    line = fits[0]
    whole = float(line.of("quantity")[-1].value)
    made = [_of_share(line, share, share.count or whole - total) for share in shares]
    at = next(n for n, one in enumerate(build.lines) if one is line)
    build.lines[at : at + 1] = made
    build.opened = [one for one in build.opened if one is not line] + made


def _of_share(line: Draft, share: Share, count: float) -> Draft:
    number = share.number
    item = number if number.values else None
    quantity = Fact("quantity", count, number.text, number.start, number.end, item)
    work = [Fact("services", i.tags["service"], i.text, i.start, i.end) for i in share.work]
    alloy = share.alloy
    new = [Fact("alloy", alloy.tags["alloy"], alloy.text, alloy.start, alloy.end)] if alloy else []
    gone = {"quantity"} | ({"alloy"} if new else set())
    kept = [f for f in line.facts if f.name not in gone]
    return replace(line, facts=[*kept, quantity, *work, *new], notes=list(line.notes),
                   old=list(line.old), doubts=list(line.doubts))  # fmt: skip


def _ask_shares(lines: Sequence[Draft], shares: Sequence[Share]) -> None:
    shown = ", ".join(f"{share.number.text}" for share in shares)
    for line in lines:
        why = f'"{shown}" of it are told apart: how many of each?'
        line.doubts = [*line.doubts, (frozenset({"quantity"}), why)]
