"""What nobody knows of a service: judged by each of its answers, and no better than the worst.

An alloy meets only if it would whatever the answer is. One rule for all that is stated as "not
known": the fields that are yes or no, the years wanted, and the size of the wire.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
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
    "years_wanted": "the years wanted", "wire": "the size of the wire",
}  # fmt: skip
#: Wires between which a cloth that nobody has stated may lie [m] (project's own).
_WIRES_M = (0.02e-3, 5e-3)

#: Verdict of services with their wires, and the words of one service and alloy.
Words = Callable[[int, int], str]
Judge = Callable[[ConditionColumns, FloatArray, bool], tuple[VerdictArray, Words]]


@dataclass(frozen=True, slots=True)
class _Trial:
    """One answer to what is not known, in the services that do not know it."""

    field: str
    rows: IntArray
    columns: ConditionColumns
    wire_m: FloatArray


def judge(
    conditions: ConditionColumns, wire_m: FloatArray, silent: VerdictArray, by_all: Judge
) -> Fitness:
    """Judge what is not known by each of its answers.

    Parameters
    ----------
    conditions
        The services.
    wire_m
        Wire of each [m]; NaN where the cloth is not stated.
    silent
        Verdict of each without an answer.
    by_all
        Judges services by all other methods; asked without the finest wire drawn where it is the
        wire that nobody has stated.

    Returns
    -------
    Fitness that takes a better verdict back to the worst of the answers, and no further than to
    "not judged"; not asked elsewhere.
    """
    verdict: VerdictArray = np.full(silent.shape, NOT_ASKED, dtype=np.int8)
    heard: list[tuple[_Trial, VerdictArray, Words]] = []
    for trial in _trials(conditions, wire_m):
        found, words = by_all(trial.columns, trial.wire_m, trial.field == "wire")
        worst = np.minimum(found, NOT_JUDGED)
        lower = worst > silent[trial.rows]
        verdict[trial.rows] = np.where(lower, np.maximum(verdict[trial.rows], worst),
                                       verdict[trial.rows])  # fmt: skip
        heard.append((trial, found, words))

    def say(service: int, alloy: int) -> str:
        for trial, found, words in heard:
            for row in np.flatnonzero(trial.rows == service):
                if min(found[row, alloy], NOT_JUDGED) == verdict[service, alloy]:
                    at_worst = words(int(row), alloy)
                    return f"depends on {_WORDS[trial.field]}, not known; at worst: {at_worst}"
        return "nothing that is not known"

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)


def _trials(conditions: ConditionColumns, wire_m: FloatArray) -> Iterator[_Trial]:
    for field in THREE_WAY:
        rows = np.flatnonzero(conditions.doubted[field])
        for answer in (YES, NO) if rows.size else ():
            at = taken(conditions, rows)
            answers = {**at.three_way, field: np.full(len(rows), answer, dtype=np.int64)}
            yield _Trial(field, rows, replace(at, three_way=answers), wire_m[rows])
    rows = np.flatnonzero(conditions.doubted["years_wanted"])
    if rows.size:
        most = np.full(len(rows), windows()["years_wanted"].most)
        years = replace(taken(conditions, rows), years_wanted=most)
        yield _Trial("years_wanted", rows, years, wire_m[rows])
    rows = np.flatnonzero(np.isnan(wire_m))
    for wire in _WIRES_M if rows.size else ():
        yield _Trial("wire", rows, taken(conditions, rows), np.full(len(rows), wire))


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
