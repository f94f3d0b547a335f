"""Stainless steel in the air of an indoor pool: EN 1993-1-4, Table A.4, from memory.

Chloramines and salt that dries on warm metal crack ordinary austenitic steel under tension; roofs
and ceilings have come down. The table is for load-bearing parts: class III or IV without the lean
duplex grades where they are cleaned regularly, class V without the superduplex grades where they
are not. Crimped wire holds stress of its own, so cloth in tension is marginal even when cleaned.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.alloys.methods.outdoor_stainless import WASHINGS, class_of_grades
from meshcore.alloys.methods.verdicts import FAILS, Fitness, not_asked, verdict_where
from meshcore.arrays import BoolArray, IntArray, ObjectArray

METHOD = "indoor pool air, stainless (EN 1993-1-4 Table A.4)"

#: Grades that Table A.4 leaves out of class III, and of class V (from memory).
LEAN = frozenset({"1.4162", "1.4662", "1.4362", "1.4062"})
SUPERDUPLEX = frozenset({"1.4410", "1.4501", "1.4507"})
_CLEANED = WASHINGS.index("cleaned")
_LEAST_CLEANED, _LEAST_UNCLEANED = 3, 5


def judge(
    asked: BoolArray,
    washing: IntArray,
    load: IntArray,
    en_numbers: Sequence[str],
    names: ObjectArray,
) -> Fitness:
    """Judge grades of Table A.3 by Table A.4; other metals are not judged by it.

    Parameters
    ----------
    asked
        Services in the air of an indoor pool.
    washing
        Index into `outdoor_stainless.WASHINGS`; -1 where nobody knows. Rain does not reach it.
    load
        1 in tension, 0 not, -1 where nobody knows.
    en_numbers, names
        EN number and designation of each alloy.
    """
    if not asked.any():
        return not_asked(METHOD, (len(asked), len(names)))
    level = class_of_grades(en_numbers)
    lean = np.array([en in LEAN for en in en_numbers], dtype=np.bool_)
    superduplex = np.array([en in SUPERDUPLEX for en in en_numbers], dtype=np.bool_)
    always = (level >= _LEAST_UNCLEANED) & ~superduplex
    if_cleaned = (level >= _LEAST_CLEANED) & ~lean & ~superduplex & ~always
    cleaned = (washing == _CLEANED)[:, None]
    unknown = (washing < 0)[:, None]
    loose = (load == 0)[:, None]
    listed = (level > 0)[None, :]
    meets = always[None, :] | (if_cleaned[None, :] & cleaned & loose)
    marginal = if_cleaned[None, :] & cleaned
    depends = if_cleaned[None, :] & unknown
    verdict = verdict_where(asked[:, None], listed & ~depends, meets, marginal)

    def say(service: int, alloy: int) -> str:
        if not level[alloy]:
            return f"EN 1993-1-4 Table A.4 does not list {names[alloy]}"
        if always[alloy]:
            return "named by EN 1993-1-4 Table A.4 for parts that carry load and are not cleaned"
        if depends[service, alloy]:
            return "indoor pool air: fit only where it is cleaned regularly: say what washes it"
        if verdict[service, alloy] == FAILS:
            return (
                "indoor pool air cracks it under tension (EN 1993-1-4 Table A.4; roofs have come "
                "down)"
            )
        if marginal[service, alloy] and not meets[service, alloy]:
            return "cleaned regularly it is listed, but crimped wire in tension may still crack"
        return "listed by EN 1993-1-4 Table A.4 where it is cleaned regularly"

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)
