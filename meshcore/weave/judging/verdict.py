"""The verdict on a list: what is outside a limit is said, with the weave that takes the sizes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from meshcore.arrays import IntArray, ObjectArray
from meshcore.messages import MessageLog
from meshcore.weave.cloth import ClothColumns, WeaveRule, take_cloth
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, NOT_JUDGED, Practicality, assess
from meshcore.weave.judging.purpose import GENERAL, recommend
from meshcore.weave.judging.verdict_messages import report


def judge(
    cloth: ClothColumns,
    rules: Sequence[tuple[str, WeaveRule]],
    log: MessageLog,
    typed: Mapping[str, ObjectArray] | None = None,
) -> Practicality:
    """Judge every line by every rule, and say what is outside a limit.

    Parameters
    ----------
    cloth, rules
        As for `assess`.
    log
        Receives a message for each line outside a limit, with the rule's severity.
    typed
        Enquiry column → cells as typed, for the messages; where absent or blank, the completed
        value is shown.

    Returns
    -------
    The verdicts, with the judgements behind them, and the weave that takes the sizes of each line
    that cannot be woven as it is.
    """
    practicality = assess(cloth, rules)
    remedy = _remedies(cloth, rules, practicality.verdict)
    for result in practicality.results:
        outside = np.flatnonzero(result.outside)
        report(result.rule, result.judgement, outside, cloth, log, typed or {}, remedy)
    return replace(practicality, remedy=remedy)


def _remedies(
    cloth: ClothColumns, rules: Sequence[tuple[str, WeaveRule]], verdict: IntArray
) -> IntArray:
    """Weave that every rule lets through in the sizes of each line that is outside one."""
    remedy = np.full(len(verdict), -1, dtype=np.int64)
    rows = np.flatnonzero((verdict != CAN_BE_WOVEN) & (verdict != NOT_JUDGED))
    if len(rows):
        purpose = np.full(len(rows), GENERAL, dtype=np.int64)
        advised = recommend(take_cloth(cloth, rows), purpose, rules)
        good = (advised.verdict == CAN_BE_WOVEN) & (advised.weave != cloth.weave[rows])
        remedy[rows] = np.where(good, advised.weave, -1)
    return remedy
