"""Named rules that rule an alloy out, or say what it depends on, whatever a ranking says."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.vetoes.heat import (
    COLD_VETOES,
    HOT_VETOES,
    HYDROGEN_VETOES,
    TEMPER_VETOES,
)
from meshcore.alloys.comparison.vetoes.liquids import (
    ACID_VETOES,
    CHLORIDE_VETOES,
    FLOW_VETOES,
    SULPHIDE_VETOES,
)
from meshcore.alloys.comparison.vetoes.terms import Veto
from meshcore.alloys.methods.families import families
from meshcore.alloys.methods.three_way import Maybe
from meshcore.alloys.methods.verdicts import NOT_ASKED, NOT_JUDGED, Fitness, VerdictArray
from meshcore.arrays import BoolArray

METHOD = "rules that rule out (each with its source)"
VETOES: tuple[Veto, ...] = (
    *CHLORIDE_VETOES, *ACID_VETOES, *SULPHIDE_VETOES, *FLOW_VETOES, *HOT_VETOES, *COLD_VETOES,
    *TEMPER_VETOES, *HYDROGEN_VETOES,
)  # fmt: skip


def judge(facts: AlloyFacts, columns: ConditionColumns) -> Fitness:
    """Judge alloys by every rule; what no rule speaks of is not asked.

    Parameters
    ----------
    facts, columns
        The alloys and the services.
    """
    verdict: VerdictArray = np.full((len(columns), len(facts)), NOT_ASKED, dtype=np.int8)
    heard: list[tuple[Veto, Maybe, BoolArray]] = []
    for veto in VETOES:
        where = veto.where(columns)
        if not where.possible.any():
            continue
        alloys = _spoken_of(veto, facts)
        heard.append((veto, where, alloys))
        _raise(verdict, where.certain, alloys, veto.verdict)
        if veto.rests_on:
            # What only might be never takes more away than it would if it were so.
            only = where.possible & ~where.certain
            _raise(verdict, only, alloys, min(veto.verdict, NOT_JUDGED))

    def say(service: int, alloy: int) -> str:
        own = verdict[service, alloy]
        return "; ".join(_said(service, alloy, own, heard))

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)


def _spoken_of(veto: Veto, facts: AlloyFacts) -> BoolArray:
    alloys = _families_of(veto.families)[facts.family]
    return alloys & facts.sensitises if veto.name == "sensitised by the weld" else alloys


@cache
def _families_of(names: tuple[str, ...]) -> BoolArray:
    """Whether each family of the file is one of some; the last is none."""
    return np.array([name in names for name in families()] + [False], dtype=np.bool_)


def _raise(verdict: VerdictArray, rows: BoolArray, columns: BoolArray, to: np.int8) -> None:
    here = np.flatnonzero(rows)
    if here.size:
        at = np.ix_(here, np.flatnonzero(columns))
        verdict[at] = np.maximum(verdict[at], to)


def _said(
    service: int, alloy: int, verdict: np.int8, heard: Sequence[tuple[Veto, Maybe, BoolArray]]
) -> list[str]:
    words = []
    for veto, where, alloys in heard:
        if not alloys[alloy]:
            continue
        if where.certain[service] and veto.verdict == verdict:
            words.append(f"{veto.name}: {veto.reason} ({veto.source})")
        elif (where.possible[service] and not where.certain[service] and veto.rests_on
              and min(veto.verdict, NOT_JUDGED) == verdict):  # fmt: skip
            words.append(f"{veto.name}: depends on {veto.rests_on}, not known: {veto.reason}")
    return list(dict.fromkeys(words))
