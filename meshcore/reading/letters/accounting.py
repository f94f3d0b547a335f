"""The account of a letter: each amount and each word of the trade ends somewhere, or is unread."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass, field

from meshcore.reading.letters import targets
from meshcore.reading.letters.build import Build
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.passage import Passage

Span = tuple[int, int, str]

_AMOUNT = re.compile(r"\d(?:[\d.,/']*\d)?|[¼½¾⅛⅜⅝⅞]")
#: Kinds of word that say what is ordered; a word of another kind alone orders nothing.
_ORDERS = ("alloy", "weave", "shape", "form", "service", "roll_length", "other")
_LABEL = "the number of an item"
#: A passage longer than this is shown from its first open amount to its last.
_LONGEST_SHOWN = 160


@dataclass(slots=True)
class Account:
    """What became of each sign of a letter.

    Parameters
    ----------
    taken
        One mark for each sign that a field, a question or an ignore has taken.
    ignored
        What is left out on purpose, each with why.
    read
        The passages as read, for the words of the trade in them.
    """

    taken: bytearray
    ignored: list[Span] = field(default_factory=list)
    read: list[tuple[Passage, Said]] = field(default_factory=list)

    def ignore(self, start: int, end: int, why: str) -> None:
        """Leave out a stretch on purpose."""
        if start < end:
            self.ignored.append((start, end, why))
            self.take(start, end)

    def take(self, start: int, end: int) -> None:
        """Mark a stretch as dealt with."""
        if start < end:
            self.taken[start:end] = b"\x01" * (min(end, len(self.taken)) - start)

    def is_taken(self, start: int, end: int) -> bool:
        """Whether any sign of a stretch is dealt with."""
        return any(self.taken[start:end])


def ignore_blanked(account: Account, before: str, after: str, why: str) -> None:
    """Leave out what one step of preparing blanked, a line at a time."""
    at = 0
    for old, new in zip(before.split("\n"), after.split("\n"), strict=True):
        if old != new:
            places = [n for n, (a, b) in enumerate(zip(old, new, strict=True)) if a != b]
            account.ignore(at + places[0], at + places[-1] + 1, why)
        at += len(old) + 1


def ignore_said(account: Account, passage: Passage, said: Said, labels: Set[str]) -> None:
    """Leave out what a passage takes back, tells of the past, or only counts its lines by."""
    account.read.append((passage, said))
    if passage.body > passage.start:
        account.ignore(passage.start, passage.body, "the item's number, or who speaks")
    for cell in passage.cells:
        if cell.column == "label":
            account.ignore(cell.start, cell.end, _LABEL)
    runs = sorted(n for n in said.dropped if n < len(said.items))
    for first, last in _runs(runs):
        account.ignore(said.items[first].start, said.items[last].end, "taken back, or of the past")
    for n, item in enumerate(said.items):
        if item.unit == "process" or (
            item.kind == "num"
            and n + 1 < len(said.items)
            and "process" in said.items[n + 1].tags
            and not item.unit
        ):
            account.ignore(item.start, item.end, "no size of cloth")
        elif item.kind == "code":
            account.ignore(item.start, item.end, "a code")
        elif "item" in item.tags and n + 1 < len(said.items):
            after = said.items[n + 1]
            if after.kind == "num" and after.text.casefold() in labels:
                account.ignore(after.start, after.end, _LABEL)


def _runs(places: Sequence[int]) -> Iterable[tuple[int, int]]:
    start = previous = None
    for n in places:
        if previous is not None and n != previous + 1 and start is not None:
            yield start, previous
            start = n
        start = n if start is None else start
        previous = n
    if start is not None and previous is not None:
        yield start, previous


def find_unread(
    account: Account, plain: str, build: Build, facts: Iterable[Fact], passages: Sequence[Passage]
) -> list[Span]:
    """Return the passages with amounts or words of the trade that nothing took, each with why."""
    _take_lines(account, build, facts)
    open_ones = [
        (hit.start(), hit.end())
        for hit in _AMOUNT.finditer(plain)
        if not account.is_taken(hit.start(), hit.end())
    ]
    known = _known(build)
    for _, said in account.read:
        for item in said.items:
            if item.kind == "num" and not item.spelled:
                continue
            if item.kind == "num" and not item.unit and item.values == (1.0,):
                continue
            told = item.kind == "num" or any(
                kind in item.tags and not is_known(item.tags[kind], kind, known) for kind in _ORDERS
            )
            if told and not account.is_taken(item.start, item.end):
                open_ones.append((item.start, item.end))
    return _by_passage(plain, sorted(set(open_ones)), passages)


def _take_lines(account: Account, build: Build, facts: Iterable[Fact]) -> None:
    for fact in facts:
        account.take(fact.start, fact.end)
    for line in build.lines:
        for fact in line.old:
            if not account.is_taken(fact.start, fact.end):
                account.ignore(fact.start, fact.end, "corrected since")
        if line.gone:
            account.ignore(line.start, line.end, "withdrawn, or no line of its own")
    for start, end, _ in (*build.aside, *build.unread):
        account.take(start, end)
    for _, said in account.read:
        for first, _, stop in targets.named_labels(said.items, build.lines):
            account.ignore(said.items[first].start, said.items[stop - 1].end, _LABEL)


def _known(build: Build) -> set[tuple[str, str]]:
    return {(f.name, str(f.value)) for line in build.lines for f in line.facts}


def is_known(meaning: str, kind: str, known: set[tuple[str, str]]) -> bool:
    """Whether some line says the same: a word said again asks for nothing more."""
    name = {"service": "services"}.get(kind, kind)
    if (name, meaning) in known:
        return True
    if kind == "alloy":
        general = meaning.split(maxsplit=1)[0]
        return any(
            n == "alloy" and (general in v or (general == "stainless" and v[:1] in "23459"))
            for n, v in known
        )
    return kind in ("form", "shape") and any(n in ("form", "shape") for n, _ in known)


def _by_passage(
    plain: str, open_ones: Sequence[tuple[int, int]], passages: Sequence[Passage]
) -> list[Span]:
    ordered = sorted(passages, key=lambda one: one.start)
    starts = [one.start for one in ordered]
    rows: dict[int, list[tuple[int, int]]] = {}
    for start, end in open_ones:
        rows.setdefault(bisect_right(starts, start) - 1, []).append((start, end))
    out: list[Span] = []
    for n, spans in rows.items():
        low, high = spans[0][0], spans[-1][1]
        inside = n >= 0 and high <= ordered[n].end
        if inside and ordered[n].end - ordered[n].start <= _LONGEST_SHOWN:
            low, high = ordered[n].start, ordered[n].end
        shown = ", ".join(dict.fromkeys(f'"{plain[a:b]}"' for a, b in spans[:_MOST_SHOWN]))
        out.append((low, high, f"no field took {shown}"))
    return out


#: So many open amounts of a passage are named.
_MOST_SHOWN = 8
