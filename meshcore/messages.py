"""What is said about a line: notes, things to review, refusals.

A refusal is a value. Computing code adds messages to a log with the rows they concern and goes
on; nothing is raised for what a user typed.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, overload

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

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


@dataclass(frozen=True, slots=True)
class AlikeMessages(Sequence[Message]):
    """Messages of one kind about many lines, kept as columns.

    A list may have a note about each of a million lines, each with its own figures. The sentence
    of a line is made when it is read.

    Parameters
    ----------
    field, severity, code
        As of :class:`Message`, the same for all.
    read
        What was read there, by message.
    template
        The sentence, with a named replacement field for each of `figures`, as of ``str.format``.
    figures
        What stands in the sentence, by message.

    Examples
    --------
    >>> told = AlikeMessages("length", np.array(["170 ft"], dtype=object),
    ...                      "arrives with a part roll of {rest:.2f} m.",
    ...                      {"rest": np.array([6.096])}, "note", "supply.part_roll")
    >>> print(told[0])
    length: read "170 ft" — arrives with a part roll of 6.10 m.
    """

    field: str
    read: ObjectArray
    template: str
    figures: Mapping[str, FloatArray | ObjectArray]
    severity: Severity
    code: str

    def __len__(self) -> int:
        return len(self.read)

    @overload
    def __getitem__(self, position: int) -> Message: ...
    @overload
    def __getitem__(self, position: slice) -> list[Message]: ...
    def __getitem__(self, position: int | slice) -> Message | list[Message]:
        """Make one message, or those of a slice."""
        if isinstance(position, slice):
            return [self[one] for one in range(len(self))[position]]
        text = self.template.format(**{name: made[position] for name, made in self.figures.items()})
        read = str(self.read[position])
        return Message(self.field, read, text, self.severity, code=self.code)


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
    #: Gravest of what is said of each line, kept up to date: it is asked for at every stage.
    _ranks: IntArray = dataclasses.field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Rank what is already said."""
        self._ranks = np.zeros(self.lines, dtype=np.int64)
        for rows, messages in self._entries:
            self._raise_ranks(rows, messages)

    def add(self, rows: Sequence[int] | IntArray | BoolArray, message: Message) -> None:
        """Say the same of every row in `rows` (row numbers, or a mask over all lines)."""
        numbers = np.asarray(rows)
        if numbers.dtype == np.bool_:
            numbers = np.flatnonzero(numbers)
        if numbers.size:
            self._enter(numbers.astype(np.int64), (message,))

    def add_each(self, rows: Sequence[int] | IntArray, messages: Sequence[Message]) -> None:
        """Say ``messages[i]`` of ``rows[i]``."""
        if len(rows) != len(messages):
            raise ValueError(f"{len(rows)} rows for {len(messages)} messages")
        if len(rows):
            alike = isinstance(messages, AlikeMessages)
            kept = messages if alike else tuple(messages)
            self._enter(np.asarray(rows, dtype=np.int64), kept)

    def _enter(self, rows: IntArray, messages: Sequence[Message]) -> None:
        self._entries.append((rows, messages))
        self._raise_ranks(rows, messages)

    def _raise_ranks(self, rows: IntArray, messages: Sequence[Message]) -> None:
        if isinstance(messages, AlikeMessages):
            ranks = np.array([_RANK[messages.severity]])
        else:
            ranks = np.array([_RANK[m.severity] for m in messages])
        if len(ranks) > 1:
            # A row may stand among them more than once.
            np.maximum.at(self._ranks, rows, ranks)
        elif ranks[0]:
            self._ranks[rows] = np.maximum(self._ranks[rows], ranks[0])

    def take_in(self, part: MessageLog, start: int) -> None:
        """Say of the lines from number `start` on what a log of those lines says."""
        self._entries += [(rows + start, messages) for rows, messages in part._entries]
        own = self._ranks[start : start + part.lines]
        np.maximum(own, part._ranks, out=own)

    def copy(self) -> MessageLog:
        """Return a log that says the same so far, and may go on by itself."""
        twin = MessageLog(self.lines)
        twin._entries, twin._ranks = list(self._entries), self._ranks.copy()
        return twin

    def rank(self) -> IntArray:
        """0 for ok, 1 for review, 2 for refused, by line."""
        return self._ranks.copy()

    def refused(self) -> BoolArray:
        """Mask of lines refused so far."""
        stopped: BoolArray = self._ranks == _RANK["refused"]
        return stopped

    def status(self) -> ObjectArray:
        """``ok``, ``review`` or ``refused`` for each line."""
        return np.array(STATUSES, dtype=object)[self._ranks]

    def by_line(self) -> dict[int, list[Message]]:
        """Messages of each line that has any, gravest first."""
        gathered: dict[int, list[Message]] = {}
        for rows, messages in self._entries:
            shared = len(messages) == 1
            for position, row in enumerate(rows.tolist()):
                gathered.setdefault(row, []).append(messages[0 if shared else position])
        for messages in gathered.values():
            if len(messages) > 1:
                messages.sort(key=lambda m: -_RANK[m.severity])
        return gathered
