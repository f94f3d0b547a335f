"""What an enquiry leaves open, as questions to send back, in the order in which a mill asks."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from meshcore.alloys.records.customary import MOST_NAMED, likely_few
from meshcore.alloys.records.naming import normalise
from meshcore.alloys.records.registry import Registry, installed_registry
from meshcore.alloys.records.spotting import names_alloy
from meshcore.arrays import ObjectArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.demo import policy_in_use
from meshcore.enquiry import Enquiry, as_table
from meshcore.estimates.every_reading import said_of_readings, with_readings
from meshcore.estimates.open_points import (
    EnquiryTexts,
    OpenPoint,
    Usual,
    enquiry_texts,
    open_points,
)
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.question_texts import (
    CHECK_IT,
    FIELDS,
    ROLL_WIDTH,
    Question,
    general_alloy,
    hopeless,
    left_open,
    unreadable,
)
from meshcore.estimates.trials import Trials, try_answers
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.cells import Cells
from meshcore.reading.tables.filling import fill_cells
from meshcore.reading.tables.intake import read_enquiries
from meshcore.reading.texts import is_blank, tidy
from meshcore.supply.policy import SupplyPolicy

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
        if len(self.lines) == 1:
            return ""
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
            (label, q.field, q.ask, q.why, q.usual, q.needed, q.answer, q.kind)
            for label, questions in zip(self.labels, self.lines, strict=True)
            for q in questions
        ]
        columns = ["line", "field", "ask", "why", "usual", "needed", "answer", "kind"]
        return pd.DataFrame(rows, columns=columns)


#: Code of a size that two others leave open.
LEFT_OPEN = "specification.left_open"
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
    enquiries: pd.DataFrame | Sequence[Enquiry],
    refusals: Mapping[int, Sequence[Message]] | None = None,
    supply_policy: SupplyPolicy | None = None,
    price_book: PriceBook | None = None,
) -> QuestionList:
    """List what each line of an enquiry leaves open.

    Parameters
    ----------
    enquiries
        Enquiry list, with the columns of an enquiry list or customary other headings; or a
        sequence of `Enquiry`.
    refusals
        Messages of each line from its estimate (``EstimateSet.messages``), so that it is not
        priced again. Without it, the list is priced here.
    supply_policy, price_book
        As for `estimate_list`; for the usual answers too.

    Returns
    -------
    The questions, line for line.

    Notes
    -----
    A line with something open is priced with several sets of answers put in. What is said
    against the rest of it is asked about only if it is said with all of them; a usual answer is
    offered only if nothing is said against it. A cell that may mean several things is tried in
    each: where the line can be made in none, or in one alone, the question says so.

    Examples
    --------
    >>> import pandas as pd
    >>> asked = questions(pd.DataFrame([{"mesh": "10 / in", "alloy": "304", "form": "roll"}]))
    >>> [question.field for question in asked.lines[0]][:4]
    ['wire_diameter', 'weave', 'width', 'length']
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    if not isinstance(enquiries, pd.DataFrame):
        enquiries = as_table(enquiries)
    policy = supply_policy if supply_policy is not None else policy_in_use()
    registry = installed_registry()
    typed = _typed(enquiries, registry, policy)
    if refusals is None:
        refusals = estimate_list(enquiries, price_book, policy).messages
    points = {row: list(open_points(typed, row)) for row in range(len(enquiries))}
    opened = {row: found for row, found in points.items() if found}
    likely = {row: _likely_alloy(refusals.get(row, ()), registry) for row in opened}
    stand_ins = {row: {"alloy": name} for row, name in likely.items() if name}
    tried = try_answers(enquiries, typed.read, opened, price_book, policy, stand_ins)
    readings = said_of_readings(enquiries, typed.read, refusals, opened, price_book, policy)
    lines = tuple(
        tuple(
            with_readings(question, readings.get(row, {}))
            for question in _of_a_line(found, refusals.get(row, ()), tried.get(row), registry)
        )
        for row, found in points.items()
    )
    return QuestionList(_labels(typed.texts["line"]), lines)


#: Refusals of what is priced by hand alone, whatever else the line leaves open.
_BY_HAND = frozenset({"mesh.not_square", "weave.other", "wire.two_sizes"})
_GENERAL = frozenset({"alloy.general_name", "alloy.ambiguous"})


def _likely_alloy(own: Sequence[Message], registry: Registry) -> str:
    """Return the likeliest alloy of a general name that a line was refused for; empty if none."""
    names = [
        registry.alloys[index].designation
        for message in own
        if message.code in _GENERAL
        for index in registry.shared_names.get(normalise(message.read), ())
    ]
    return likely_few(names)[0][0] if names else ""


def _of_a_line(
    points: Sequence[OpenPoint],
    own: Sequence[Message],
    tried: Trials | None,
    registry: Registry,
) -> tuple[Question, ...]:
    """Ask all of one line; of one that is priced by hand alone, or hopeless, no more than that."""
    by_hand = [m for m in own if m.severity == "refused" and m.code in _BY_HAND]
    if by_hand:
        return _in_order([], [_asked(message, registry) for message in by_hand])
    stated = _stated(points, own, tried, registry)
    found = _offered(points, tried)
    if any(question.ask.endswith(CHECK_IT) for question in stated):
        found = [question.with_usual("") for question in found if question.needed]
    return _in_order(found, stated)


def _typed(enquiries: pd.DataFrame, registry: Registry, policy: SupplyPolicy) -> EnquiryTexts:
    log = MessageLog(len(enquiries))

    def names(text: str) -> bool:
        return names_alloy(registry, text)

    # Alloys and services are read by their plugins, in the estimate; here it is enough that
    # something was written.
    read = read_enquiries(enquiries, lambda _: 0, (), _roll_words(policy), log, names)
    cells, _, _ = fill_cells(Cells(enquiries, read.headings, log), names)
    return enquiry_texts(cells, read, policy)


def _labels(texts: ObjectArray) -> tuple[str, ...]:
    """Name each line; lines of one name are told apart by their place."""
    named = [
        str(number) if is_blank(text) else tidy(text) for number, text in enumerate(texts, start=1)
    ]
    times = Counter(named)
    return tuple(
        f"{name} (place {number})" if times[name] > 1 else name
        for number, name in enumerate(named, start=1)
    )


def _roll_words(policy: SupplyPolicy) -> dict[str, float]:
    full, half = policy.full_length_m, min(policy.half_lengths_m, default=policy.full_length_m)
    return {"full roll": full, "full": full, "half roll": half, "half": half}


def _offered(points: Sequence[OpenPoint], tried: Trials | None) -> list[Question]:
    """Ask each open point, with the usual answer that was accepted."""
    return [
        point.question
        if not point.usual or tried is None
        else _with_answer(point.question, tried.accepted[point.question.field])
        for point in points
    ]


def _with_answer(question: Question, accepted: Sequence[Usual]) -> Question:
    if not accepted:
        return question
    first = accepted[0]
    if question is ROLL_WIDTH:
        widths = ", ".join(usual.text for usual in accepted)
        return question.with_usual(f"one of the stock widths, {widths}", first.answer)
    return question.with_usual(first.text, first.answer)


def _stated(
    points: Sequence[OpenPoint],
    own: Sequence[Message],
    tried: Trials | None,
    registry: Registry,
) -> list[Question]:
    """Ask about what was written and cannot stand: of an open line, in every trial."""
    open_fields = {point.question.field for point in points if point.question.needed}
    if not open_fields or tried is None:
        return [_asked(message, registry) for message in _refusals(own, set())]
    first, *others = (_refusals(said, open_fields) for said in tried.tried)
    # A refusal of the line as it came speaks of what was written alone; words of a trial may
    # speak of what was tried.
    as_it_came = {(m.field, m.read): m for m in _refusals(own, open_fields)}
    stated = [
        _asked(message, registry)
        for message in own
        if message.code in _GENERAL and message.field not in open_fields
    ]
    for message in first:
        cell = (message.field, message.read)
        if all(message in said for said in others):
            stated.append(_asked(message, registry))
        elif all(cell in {(m.field, m.read) for m in said} for said in others):
            known = as_it_came.get(cell)
            stated.append(hopeless(message) if known is None else _asked(known, registry))
    return stated


def _refusals(messages: Sequence[Message], open_fields: set[str]) -> list[Message]:
    """Refusals of something that was written, or of a size that what was written leaves open."""
    return [
        m
        for m in messages
        if m.severity == "refused"
        and m.field in FIELDS
        and m.field not in open_fields
        and (m.read or m.code == LEFT_OPEN)
    ]


def _asked(message: Message, registry: Registry) -> Question:
    if message.code == LEFT_OPEN:
        return left_open(message)
    meant = registry.shared_names.get(normalise(message.read), ())
    if message.code == "alloy.general_name" and len(meant) > MOST_NAMED + 1:
        few, others = likely_few([registry.alloys[index].designation for index in meant])
        return general_alloy(message, few, others)
    return unreadable(message)


def _in_order(found: Sequence[Question], stated: Sequence[Question]) -> tuple[Question, ...]:
    """Add what cannot stand to what is missing, once a field."""
    asked = {question.field for question in found}
    every = list(found)
    for question in stated:
        if question.field not in asked:
            asked.add(question.field)
            every.append(question)
    return tuple(sorted(every, key=lambda q: FIELDS.index(q.field)))
