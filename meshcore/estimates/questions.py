"""What an enquiry leaves open, as questions to send back, in the order in which a mill asks."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from meshcore.arrays import ObjectArray
from meshcore.estimates.open_points import enquiry_texts, open_points
from meshcore.estimates.question_texts import FIELDS, Question, unreadable
from meshcore.messages import Message, MessageLog
from meshcore.reading.cells import Cells
from meshcore.reading.intake import read_enquiries
from meshcore.reading.texts import is_blank, tidy
from meshcore.supply.policy import SupplyPolicy, default_supply_policy

__all__ = ["Question", "QuestionList", "questions"]

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True, slots=True)
class QuestionList:
    """Questions of a whole list.

    Parameters
    ----------
    labels
        What each line is called: its own line text, or its place in the list.
    lines
        Questions of each line, in the order in which a mill asks.
    """

    labels: tuple[str, ...]
    lines: tuple[tuple[Question, ...], ...]

    def text(self, row: int) -> str:
        """Questions of one line as text ready to send; empty where nothing is open."""
        needed = [q for q in self.lines[row] if q.needed]
        others = [q for q in self.lines[row] if not q.needed]
        return _letter(
            (f"To price line {self.labels[row]} we need to know:", [(q, "") for q in needed]),
            (_CONFIRM, [(q, "") for q in others]),
        )

    def text_for_all(self) -> str:
        """Questions of the whole list as text ready to send, each asked once for its lines."""
        asked: dict[Question, list[int]] = defaultdict(list)
        for row, found in enumerate(self.lines):
            for question in found:
                asked[question].append(row)
        entries = [
            (question, self._which(asked[question]))
            for question in sorted(asked, key=lambda q: FIELDS.index(q.field))
        ]
        return _letter(
            ("To price your enquiry we need to know:", [e for e in entries if e[0].needed]),
            (_CONFIRM, [e for e in entries if not e[0].needed]),
        )

    def _which(self, rows: Sequence[int]) -> str:
        if len(rows) == len(self.lines):
            return "All lines: " if len(rows) > 1 else ""
        runs = [
            [self.labels[row] for _, row in run]
            for _, run in groupby(enumerate(rows), key=lambda pair: pair[1] - pair[0])
        ]
        named = [_run_text(labels) for labels in runs]
        return f"{'Line' if len(rows) == 1 else 'Lines'} {', '.join(named)}: "

    def frame(self) -> pd.DataFrame:
        """Return the questions as a table, one row a question."""
        import pandas as pd  # noqa: PLC0415 - heavy, and not needed to ask

        rows = [
            (label, q.field, q.ask, q.why, q.usual, q.needed)
            for label, questions in zip(self.labels, self.lines, strict=True)
            for q in questions
        ]
        return pd.DataFrame(rows, columns=["line", "field", "ask", "why", "usual", "needed"])


#: Lines in a row that are named by the first and the last of them.
_RUN = 3
_CONFIRM = "Please confirm these too, or tell us otherwise:"


def _run_text(labels: Sequence[str]) -> str:
    """Name lines that follow one another: from the first to the last where they are many."""
    return f"{labels[0]} to {labels[-1]}" if len(labels) >= _RUN else ", ".join(labels)


def _letter(*parts: tuple[str, Sequence[tuple[Question, str]]]) -> str:
    """Numbered questions under their headings; parts without questions are left out."""
    lines: list[str] = []
    number = 0
    for heading, entries in parts:
        if not entries:
            continue
        lines += [*([""] if lines else []), heading]
        for question, which in entries:
            number += 1
            usual = f" Usual: {question.usual}." if question.usual else ""
            lines.append(f"{number}. {which}{question.ask} {question.why}{usual}")
    return "\n".join(lines)


def questions(
    enquiries: pd.DataFrame,
    refusals: Mapping[int, Sequence[Message]] | None = None,
    supply_policy: SupplyPolicy | None = None,
) -> QuestionList:
    """List what each line of an enquiry leaves open.

    Parameters
    ----------
    enquiries
        Enquiry list, with the columns of an enquiry list or customary other headings.
    refusals
        Messages of each line from its estimate (``MessageLog.by_line``), so that what was
        contradictory or not understood is asked about too. Without it, only cells that cannot
        be read are.
    supply_policy
        For the usual widths and lengths; without it the customary ones.

    Returns
    -------
    The questions, line for line.

    Examples
    --------
    >>> import pandas as pd
    >>> asked = questions(pd.DataFrame([{"mesh": "10 / in", "alloy": "304", "form": "roll"}]))
    >>> [question.field for question in asked.lines[0]][:4]
    ['wire_diameter', 'weave', 'width', 'length']
    """
    policy = supply_policy if supply_policy is not None else default_supply_policy()
    log = MessageLog(len(enquiries))
    # Alloys and services are read by their plugins, in the estimate; here it is enough that
    # something was written.
    read = read_enquiries(enquiries, lambda _: 0, (), _roll_words(policy), log)
    if refusals is None:
        refusals = {
            row: [m for m in found if m.field not in ("alloy", "services")]
            for row, found in log.by_line().items()
        }
    typed = enquiry_texts(Cells(enquiries, read.headings, log), read, policy)
    lines = tuple(
        _in_order(list(open_points(typed, row)), refusals.get(row, ()))
        for row in range(len(enquiries))
    )
    return QuestionList(_labels(typed.texts["line"]), lines)


def _labels(texts: ObjectArray) -> tuple[str, ...]:
    return tuple(
        str(number) if is_blank(text) else tidy(text) for number, text in enumerate(texts, start=1)
    )


def _roll_words(policy: SupplyPolicy) -> dict[str, float]:
    full, half = policy.full_length_m, min(policy.half_lengths_m, default=policy.full_length_m)
    return {"full roll": full, "full": full, "half roll": half, "half": half}


def _in_order(found: Sequence[Question], messages: Sequence[Message]) -> tuple[Question, ...]:
    """Add what was not understood to what is missing, once a field."""
    asked = {question.field for question in found}
    wrong = [
        unreadable(message)
        for message in messages
        if message.severity == "refused" and message.read and message.field in FIELDS
    ]
    every = [*found, *(question for question in wrong if question.field not in asked)]
    return tuple(sorted(dict.fromkeys(every), key=lambda q: FIELDS.index(q.field)))
