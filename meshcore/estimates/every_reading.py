"""Lines with a doubtful cell, priced in each of its readings: whether any of them can stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import product
from typing import TYPE_CHECKING

from meshcore.costing.book.price_book import PriceBook
from meshcore.estimates.open_points import OpenPoint
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.question_texts import Question, no_reading_stands, one_reading_stands
from meshcore.estimates.trials import TRIALS, answered, with_answers
from meshcore.messages import Message
from meshcore.reading.doubts import readings_named
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.policy import SupplyPolicy

if TYPE_CHECKING:
    import pandas as pd

#: Most ways in which one line is tried [-].
_MOST_WAYS = 64


def said_of_readings(
    enquiries: pd.DataFrame,
    read: EnquiryColumns,
    refusals: Mapping[int, Sequence[Message]],
    open_lines: Mapping[int, Sequence[OpenPoint]],
    book: PriceBook | None,
    policy: SupplyPolicy,
) -> dict[int, dict[str, str]]:
    """Say of each doubtful cell whether any of its readings can stand with the rest of its line.

    Parameters
    ----------
    enquiries, read
        The list, as it came and as it was read.
    refusals
        Messages of each line, by row.
    open_lines
        What each line leaves open, by row; it is tried with several answers.
    book, policy
        What to price with.

    Returns
    -------
    Row → field → what is to be said beside the question; nothing where all readings can stand.
    """
    ways: list[tuple[int, dict[str, str]]] = []
    for row, own in refusals.items():
        ways += [(row, way) for way in _ways(own, open_lines.get(row, ()), read, row)]
    if not ways:
        return {}
    tried = with_answers(enquiries, read.headings, ways)
    priced = estimate_list(tried, book, policy, lines_apart=True)
    outcomes: dict[int, list[tuple[dict[str, str], list[Message]]]] = {}
    for place, (row, way) in enumerate(ways):
        against = _against(priced.messages.get(place, ()), refusals[row], open_lines.get(row, ()))
        outcomes.setdefault(row, []).append((way, against))
    return {
        row: {field: said for field, said in _verdicts(refusals[row], found) if said}
        for row, found in outcomes.items()
    }


def _ways(
    own: Sequence[Message], points: Sequence[OpenPoint], read: EnquiryColumns, row: int
) -> Iterator[dict[str, str]]:
    """Every set of readings of a line's doubtful cells, with answers to what it leaves open."""
    doubtful = _doubtful(own)
    trials = range(TRIALS) if any(p.trials for p in points) else range(1)
    sets = list(product(*doubtful.values())) if doubtful else []
    if len(sets) * len(trials) > _MOST_WAYS:
        return
    for chosen, trial in product(sets, trials):
        yield {**answered(points, trial, read, row), **dict(zip(doubtful, chosen, strict=True))}


def _doubtful(own: Sequence[Message]) -> dict[str, tuple[str, ...]]:
    named = {m.field: readings_named(m) for m in own if m.severity == "refused"}
    return {field: texts for field, texts in named.items() if len(texts) > 1}


def _against(
    said: Sequence[Message], own: Sequence[Message], points: Sequence[OpenPoint]
) -> list[Message]:
    """Refusals of a way that the line did not have without it, and that no answer mends."""
    had = {(m.field, m.read, m.code) for m in own}
    is_open = {point.question.field for point in points if point.question.needed}
    return [
        m
        for m in said
        if m.severity == "refused"
        and m.field not in is_open
        and (m.field, m.read, m.code) not in had
    ]


def _verdicts(
    own: Sequence[Message], found: Sequence[tuple[dict[str, str], list[Message]]]
) -> Iterator[tuple[str, str]]:
    """Say of each doubtful field what became of its readings."""
    for field, texts in _doubtful(own).items():
        stand = [t for t in texts if any(way[field] == t and not bad for way, bad in found)]
        if not stand:
            way, against = found[0]
            yield field, no_reading_stands(field, way[field], against[0])
        elif len(stand) == 1:
            yield field, one_reading_stands(stand[0])


def with_readings(question: Question, said: Mapping[str, str]) -> Question:
    """Return a question of what was written, with what became of its readings."""
    more = said.get(question.field, "")
    return replace(question, ask=f"{question.ask} {more}") if more else question
