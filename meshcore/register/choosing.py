"""Which old line a text means: a label's text, a number of ours, the buyer's, or words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from meshcore.documents.orders import Order
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, entry, entry_of
from meshcore.register.errors import RecordsError
from meshcore.register.finding import Found, find
from meshcore.register.orders import CANCELLED, ordered
from meshcore.register.words import folded, numbers_among

#: Kinds of things that lead to an old line; those that a buyer's reference names as a whole.
_KINDS = ("label", "order", "quotation", "bill", "estimate")
_WHOLES = ("order", "quotation", "estimate")
#: What a number among other signs is looked up as, first to last: a label tells its order's too.
_SCANNED = (("label",), ("bill",), ("order",), ("quotation", "estimate"))
#: Things that are looked at, to tell whether they lead to one line or to several.
_MOST_FOUND = 50
#: A label tells its order and line: "A2026-000001 / 2".
_ORDER_LINE = re.compile(r"\b(A\d{4}-\d+)\s*/\s*(\S+)")


@dataclass(frozen=True, slots=True)
class OldLine:
    """What a text means: the thing found, where it was priced, and what of it.

    Parameters
    ----------
    found
        What was found by the text.
    source
        The quotation or estimate on file that it came from.
    opened
        The order on it, where the thing is one or came of one; None otherwise.
    label
        The line that is meant; empty for all lines.
    """

    found: Found
    source: Entry
    opened: Entry | None
    label: str

    @property
    def order(self) -> Order | None:
        """What was ordered, where it was."""
        return ordered(self.opened) if self.opened else None


class SeveralError(RecordsError):
    """Several lines on file agree with a text.

    Parameters
    ----------
    text
        As it was typed.
    found
        One thing for each line, best first.
    at_least
        Whether there may be more than were looked at.
    """

    def __init__(self, text: str, found: Sequence[Found], *, at_least: bool = False) -> None:
        self.found = tuple(found)
        told = "; ".join(
            f"{one.number}{f', line {one.label}' if one.label else ''} ({one.sender or '–'}, "
            f"{one.day})"
            for one in found[:_MOST_TOLD]
        )
        more = f"; and {len(found) - _MOST_TOLD} more" if len(found) > _MOST_TOLD else ""
        super().__init__(
            f"{'at least ' if at_least else ''}{len(found)} lines on file agree with "
            f'"{" ".join(text.split())}": {told}{more}. Say which.'
        )


#: Lines that are told by name where several agree.
_MOST_TOLD = 6


def old_line(register: Register, text: str, item: int | None = None) -> OldLine:
    """Return the old line that a text means.

    Parameters
    ----------
    register, text
        Where, and as it was typed or scanned.
    item
        Id of what was chosen among several.

    Raises
    ------
    SeveralError
        If several lines agree; it lists them.
    RecordsError
        If nothing on file agrees, or what does was never priced here.
    """
    if not text.strip():
        raise RecordsError(
            "nothing was typed. Write a label's text, a number of ours or the buyer's, or words."
        )
    if item is None:
        if named := _named(register, text):
            return named
    else:
        chosen = [one for one in _candidates(register, text) if one.found.id == item]
        return chosen[0] if chosen else _by_id(register, item)
    lines = _candidates(register, text)
    if len(lines) == 1:
        return lines[0]
    if lines:
        raise SeveralError(text, [one.found for one in lines], at_least=len(lines) >= _MOST_FOUND)
    raise RecordsError(f'nothing on file agrees with "{" ".join(text.split())}".')


def _named(register: Register, text: str) -> OldLine | None:
    """Return what bears a number in the text, or the buyer's reference that the text is."""
    for words in dict.fromkeys((text, *text.splitlines())):
        if exact := _sole(register, _bearing(register, words, _KINDS)):
            return exact
    for number, label in _ORDER_LINE.findall(text):
        for one in _bearing(register, number, ("order",)):
            led = _led(register, replace(one, label=label))
            if led and led.order and label in {line.label for line in led.order.lines}:
                return led
    for kinds in _SCANNED:
        told = [one for n in numbers_among(text) for one in _bearing(register, n, kinds)]
        if exact := _sole(register, told):
            return exact
    return _theirs(register, text)


def _theirs(register: Register, text: str) -> OldLine | None:
    """Return what bears the buyer's reference: the order or the quotation, not each label of it.

    A reference may be typed in part. An order that was cancelled counts where there is no other.
    """
    plain = folded(text)
    held = [
        one
        for one in find(register, text, kinds=_WHOLES, limit=_MOST_FOUND, strict=True)
        if plain and folded(one.reference).startswith(plain)
    ]
    theirs = [one for one in held if folded(one.reference) == plain] or held
    theirs = [one for one in theirs if one.kind == "order"] or theirs
    theirs = [one for one in theirs if one.state != CANCELLED] or theirs
    lines = _different(register, [replace(one, label="") for one in theirs])
    if len(lines) > 1:
        raise SeveralError(text, [one.found for one in lines])
    return lines[0] if lines else None


def _bearing(register: Register, words: str, kinds: Sequence[str]) -> list[Found]:
    if not words.strip():
        return []
    found = find(register, words, kinds=kinds, limit=_MOST_FOUND, strict=True)
    return [one for one in found if folded(one.number) == folded(words)]


def _sole(register: Register, found: Sequence[Found]) -> OldLine | None:
    lines = _different(register, found)
    return lines[0] if len(lines) == 1 else None


def _candidates(register: Register, text: str) -> list[OldLine]:
    """Return the lines that agree with the words; of a torn label, with the most of its lines."""
    parts = [part for part in text.splitlines() if part.strip()]
    held = _agreeing(register, " ".join(text.split()))
    if held or len(parts) == 1:
        return held
    left: list[OldLine] = []
    for part in parts:
        agreeing = _agreeing(register, part)
        keys = {_key(one) for one in agreeing}
        narrowed = [one for one in left if _key(one) in keys]
        left = narrowed or left or agreeing
    return left


def _agreeing(register: Register, words: str) -> list[OldLine]:
    return _different(register, find(register, words, kinds=_KINDS, limit=_MOST_FOUND, strict=True))


def _different(register: Register, found: Iterable[Found]) -> list[OldLine]:
    """Return one thing for each line that those found lead to: as ordered, where it was."""
    by_line: dict[tuple[int, int, str], OldLine] = {}
    for one in found:
        led = _led(register, one)
        if led is not None:
            by_line.setdefault(_key(led), led)
    was_ordered = {(place, label) for place, order, label in by_line if order}
    return [
        one
        for (place, order, label), one in by_line.items()
        if order or (place, label) not in was_ordered
    ]


def _key(one: OldLine) -> tuple[int, int, str]:
    return one.source.id, one.opened.id if one.opened else 0, one.label


def _by_id(register: Register, item: int) -> OldLine:
    opened = entry_of(register, item)
    found = find(register, opened.number, kinds=(opened.kind,), limit=_MOST_FOUND, strict=True)
    exact = [one for one in found if one.id == item]
    led = _led(register, replace(exact[0], label="")) if exact else None
    if led is None:
        raise RecordsError(f"{opened.kind} {opened.number} was not priced here; nothing to repeat.")
    return led


def _led(register: Register, one: Found) -> OldLine | None:
    """Return where a thing leads to; None if it was not priced here."""
    opened = entry_of(register, one.id)
    label = str(opened.body.get("line", "")) if opened.kind == "label" else one.label
    order: Entry | None = None
    while opened.kind in ("label", "order", "bill") and opened.parent is not None:
        if opened.kind == "order":
            order = opened
        opened = entry_of(register, opened.parent)
    if opened.kind not in ("quotation", "estimate"):
        return None
    if order is not None:
        opened = _as_ordered(register, opened, ordered(order))
    return OldLine(one, opened, order, label)


def _as_ordered(register: Register, opened: Entry, order: Order) -> Entry:
    """Return a quotation at the revision that was ordered."""
    if opened.kind != "quotation" or opened.head.revision == order.revision:
        return opened
    return entry(register, "quotation", opened.number, order.revision)
