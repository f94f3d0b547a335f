"""What is said about a line: notes, things to review, refusals.

A refusal is a value. Computing code adds messages to a log with the rows they concern and goes
on; nothing is raised for what a user typed.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from meshcore.arrays import BoolArray, IntArray, ObjectArray

Severity = Literal["note", "review", "refused"]
#: What has become of a line.
Status = Literal["ok", "review", "refused"]

_RANK: dict[Severity, int] = {"note": 0, "review": 1, "refused": 2}
#: What becomes of a line, by the rank of its gravest message.
STATUSES: tuple[Status, ...] = ("ok", "review", "refused")


#: As much of a cell as a message shows, of a message as it says, and of its end what is kept
#: [letters] (our choice).
MOST_READ, MOST_TEXT, _MEND_KEPT = 400, 1500, 300


@dataclass(frozen=True, slots=True)
class Message:
    """One thing to say about one field of a line.

    Parameters
    ----------
    field
        The enquiry column concerned, such as ``"wire_diameter"``.
    read
        What was read there, as typed; empty when the cell was blank.
    text
        Why it cannot stand, and what would mend it.
    severity
        ``"refused"`` stops the line, ``"review"`` asks for a look, ``"note"`` only tells.
    code
        What is the matter, as ``room.thing``, for programs: it stays the same when the words are
        mended. Messages are equal that say the same, whatever their codes.

    Examples
    --------
    >>> print(Message("quantity", "0", "nothing is ordered. Write a count of 1 or more."))
    quantity: read "0" — nothing is ordered. Write a count of 1 or more.
    """

    field: str
    read: str
    text: str
    severity: Severity = "refused"
    code: str = dataclasses.field(default="", compare=False, kw_only=True)

    def __post_init__(self) -> None:
        """Keep a message readable, whatever a cell holds: the cell itself stays in the list."""
        if len(self.read) > MOST_READ:
            object.__setattr__(self, "read", f"{self.read[:MOST_READ]}…")
        if len(self.text) > MOST_TEXT:
            # What would mend it stands last.
            head, tail = self.text[: MOST_TEXT - _MEND_KEPT], self.text[-_MEND_KEPT:]
            object.__setattr__(self, "text", f"{head} … {tail}")

    def __str__(self) -> str:
        read = f'read "{self.read}"' if self.read else "blank"
        return f"{self.field}: {read} — {self.text}"


def writable(text: str) -> str:
    r"""Return text without lone surrogates, which broken text holds and no encoding can write.

    Examples
    --------
    >>> writable("crate \ud800"), writable("crate µ")
    ('crate ?', 'crate µ')
    """
    return text if text.isascii() else text.encode("utf-8", "replace").decode("utf-8")


def rule_code(name: str) -> str:
    """Return the code of what a rule says that gives none of its own.

    Examples
    --------
    >>> rule_code("Fine inspection, by hand")
    'rule.fine_inspection_by_hand'
    """
    return f"rule.{re.sub('[^a-z0-9]+', '_', name.casefold()).strip('_')}"


@dataclass(slots=True)
class MessageLog:
    """Messages gathered while a table is computed, each with its rows.

    Examples
    --------
    >>> log = MessageLog(3)
    >>> log.add([1], Message("quantity", "0", "nothing is ordered.", "refused"))
    >>> log.status().tolist()
    ['ok', 'refused', 'ok']
    """

    lines: int
    _entries: list[tuple[IntArray, Sequence[Message]]] = dataclasses.field(default_factory=list)

    def add(self, rows: Sequence[int] | IntArray | BoolArray, message: Message) -> None:
        """Say the same of every row in `rows` (row numbers, or a mask over all lines)."""
        numbers = np.asarray(rows)
        if numbers.dtype == np.bool_:
            numbers = np.flatnonzero(numbers)
        if numbers.size:
            self._entries.append((numbers.astype(np.int64), (message,)))

    def add_each(self, rows: Sequence[int] | IntArray, messages: Sequence[Message]) -> None:
        """Say ``messages[i]`` of ``rows[i]``."""
        if len(rows) != len(messages):
            raise ValueError(f"{len(rows)} rows for {len(messages)} messages")
        if len(rows):
            self._entries.append((np.asarray(rows, dtype=np.int64), tuple(messages)))

    def take_in(self, part: MessageLog, start: int) -> None:
        """Say of the lines from number `start` on what a log of those lines says."""
        self._entries += [(rows + start, messages) for rows, messages in part._entries]

    def copy(self) -> MessageLog:
        """Return a log that says the same so far, and may go on by itself."""
        return MessageLog(self.lines, list(self._entries))

    def rank(self) -> IntArray:
        """0 for ok, 1 for review, 2 for refused, by line."""
        rank = np.zeros(self.lines, dtype=np.int64)
        for rows, messages in self._entries:
            ranks = np.array([_RANK[m.severity] for m in messages])
            np.maximum.at(rank, rows, ranks if len(ranks) > 1 else ranks[0])
        return rank

    def refused(self) -> BoolArray:
        """Mask of lines refused so far."""
        stopped: BoolArray = self.rank() == _RANK["refused"]
        return stopped

    def status(self) -> ObjectArray:
        """``ok``, ``review`` or ``refused`` for each line."""
        return np.array(STATUSES, dtype=object)[self.rank()]

    def by_line(self) -> dict[int, list[Message]]:
        """Messages of each line that has any, gravest first."""
        gathered: dict[int, list[Message]] = {}
        for rows, messages in self._entries:
            shared = len(messages) == 1
            for position, row in enumerate(rows.tolist()):
                gathered.setdefault(row, []).append(messages[0 if shared else position])
        for messages in gathered.values():
            messages.sort(key=lambda m: -_RANK[m.severity])
        return gathered
