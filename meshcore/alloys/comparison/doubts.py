"""What nobody knows of a service: judged by each of its answers, and no better than the worst.

An alloy meets only if it would whatever the answer is. One rule for all that is stated as "not
known": the fields that are yes or no, the years wanted, the share of its section that a wire may
lose, and the size of the wire.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from meshcore.alloys.comparison.columns import NO, YES, ConditionColumns
from meshcore.alloys.comparison.conditions import THREE_WAY
from meshcore.alloys.comparison.windows import windows
from meshcore.alloys.methods.verdicts import NOT_ASKED, NOT_JUDGED, Fitness, VerdictArray
from meshcore.arrays import FloatArray, IntArray

METHOD = "what is not known, by each of its answers"
#: What each field is called where it is not known.
_WORDS = {
    "oxidisers": "oxidising ions", "h2s": "hydrogen sulphide", "ammonia": "ammonia",
    "stagnant": "standing still", "abrasion": "abrasion", "load": "being in tension",
    "years_wanted": "the years wanted", "lost_share": "the share of the section that may be lost",
    "wire": "the size of the wire",
}  # fmt: skip
#: Wires between which a cloth that nobody has stated may lie [m] (project's own).
_WIRES_M = (0.02e-3, 5e-3)


@dataclass(frozen=True, slots=True)
class Trial:
    """One answer to what is not known, in the services that do not know it.

    Parameters
    ----------
    field
        One of ``THREE_WAY``, ``years_wanted``, ``lost_share`` or ``wire``.
    rows
        Services that do not know it.
    value
        The answer: ``YES`` or ``NO``, years [a], share of the section [-], or the diameter of the
        wire [m].
    """

    field: str
    rows: IntArray
    value: float


def trials(conditions: ConditionColumns, wire_m: FloatArray) -> tuple[Trial, ...]:
    """Return every answer to be tried; none where everything is known.

    Parameters
    ----------
    conditions
        The services.
    wire_m
        Wire of each [m]; NaN where the cloth is not stated.
    """
    return tuple(trial for trial in _answers(conditions, wire_m) if trial.rows.size)


def _answers(conditions: ConditionColumns, wire_m: FloatArray) -> Iterator[Trial]:
    for field in THREE_WAY:
        rows = np.flatnonzero(conditions.doubted[field])
        yield from (Trial(field, rows, answer) for answer in (YES, NO))
    rows = np.flatnonzero(conditions.doubted["years_wanted"])
    yield Trial("years_wanted", rows, windows()["years_wanted"].most)
    rows = np.flatnonzero(conditions.doubted["lost_share"])
    yield Trial("lost_share", rows, windows()["lost_share"].least)
    rows = np.flatnonzero(np.isnan(wire_m))
    yield from (Trial("wire", rows, wire) for wire in _WIRES_M)


def with_answers(
    conditions: ConditionColumns, wire_m: FloatArray, tried: Sequence[Trial]
) -> tuple[ConditionColumns, FloatArray]:
    """Return the services and below them those with each answer, so that all are judged at once.

    Parameters
    ----------
    conditions, wire_m
        The services, and the wire of each [m].
    tried
        What `trials` returns of them.
    """
    if not tried:
        return conditions, wire_m
    rows = np.concatenate([np.arange(len(conditions)), *(trial.rows for trial in tried)])
    columns, wires = taken(conditions, rows), wire_m[rows]
    for trial, at in _places(len(conditions), tried):
        if trial.field == "wire":
            wires[at] = trial.value
        elif trial.field == "years_wanted":
            columns.years_wanted[at] = trial.value
        elif trial.field == "lost_share":
            columns.lost_share[at] = trial.value
        else:
            columns.three_way[trial.field][at] = trial.value
    return columns, wires


def _places(count: int, tried: Sequence[Trial]) -> Iterator[tuple[Trial, slice]]:
    """Each answer, and the rows below the services that hold it."""
    start = count
    for trial in tried:
        yield trial, slice(start, start + len(trial.rows))
        start += len(trial.rows)


def judge(
    count: int,
    tried: Sequence[Trial],
    every: VerdictArray,
    but_wire: VerdictArray,
    words: Callable[[int, int], str],
) -> Fitness:
    """Judge what is not known by each of its answers.

    Parameters
    ----------
    count
        Number of services.
    tried
        What `trials` returns of them.
    every
        Gravest verdict of every other method, of the services and their answers as
        `with_answers` stacks them.
    but_wire
        The same without the finest wire drawn: of what nobody stated nothing is asked.
    words
        Words of one of those services and one alloy.

    Returns
    -------
    Fitness that takes a better verdict back to the worst of the answers, and no further than to
    "not judged"; not asked elsewhere.
    """
    silent = every[:count]
    verdict: VerdictArray = np.full(silent.shape, NOT_ASKED, dtype=np.int8)
    places = tuple(_places(count, tried))
    for trial, at in places:
        worst = np.minimum(_found(trial, every, but_wire)[at], NOT_JUDGED)
        before = verdict[trial.rows]
        lower = worst > silent[trial.rows]
        verdict[trial.rows] = np.where(lower, np.maximum(before, worst), before)

    def say(service: int, alloy: int) -> str:
        for trial, at in places:
            found = _found(trial, every, but_wire)
            for row in at.start + np.flatnonzero(trial.rows == service):
                if min(found[row, alloy], NOT_JUDGED) == verdict[service, alloy]:
                    at_worst = words(int(row), alloy)
                    return f"depends on {_WORDS[trial.field]}, not known; at worst: {at_worst}"
        return "nothing that is not known"

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)


def _found(trial: Trial, every: VerdictArray, but_wire: VerdictArray) -> VerdictArray:
    return but_wire if trial.field == "wire" else every


def taken(columns: ConditionColumns, rows: IntArray) -> ConditionColumns:
    """Return some of the services.

    Examples
    --------
    >>> from meshcore.alloys.comparison.columns import condition_columns
    >>> from meshcore.alloys.comparison.conditions import Conditions
    >>> two = condition_columns([Conditions(environment="rural"), Conditions()])
    >>> len(taken(two, np.array([0])))
    1
    """

    def some(value: object) -> object:
        if isinstance(value, np.ndarray):
            return value[rows]
        if isinstance(value, tuple):
            return tuple(value[i] for i in rows)
        assert isinstance(value, Mapping)
        return {key: part[rows] for key, part in value.items()}

    held = {f.name: some(getattr(columns, f.name)) for f in fields(columns)}
    return replace(columns, **held)  # type: ignore[arg-type]
