"""Many findings to one verdict and one margin."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from meshcore.alloys.methods.verdicts import (
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    VerdictArray,
    gravest,
    together,
)
from meshcore.arrays import FloatArray, ObjectArray


def settle(findings: Sequence[Fitness]) -> VerdictArray:
    """Settle what several methods find of one aspect, none better than at its nearest point."""
    verdict = findings[0].verdict
    for finding in findings[1:]:
        verdict = together(verdict, finding.verdict)
    for finding in findings:
        if finding.at_least is not None:
            verdict = np.maximum(verdict, finding.at_least)
    return verdict


def overall(aspects: Mapping[str, VerdictArray], of_no_service: Sequence[str]) -> VerdictArray:
    """Take the gravest aspect; those that are no service met judge nothing alone.

    Parameters
    ----------
    aspects
        Aspect → its verdict.
    of_no_service
        Aspects that are asked of every alloy, such as whether its wire can be drawn.
    """
    others = np.maximum.reduce([v for name, v in aspects.items() if name not in of_no_service])
    return np.where(others == NOT_ASKED, NOT_JUDGED, gravest(list(aspects.values()))).astype(
        np.int8
    )


def corrosion_margin(
    findings: Mapping[str, Sequence[Fitness]],
    aspects: Mapping[str, VerdictArray],
    names: Sequence[str],
) -> tuple[FloatArray, ObjectArray]:
    """Margin of the gravest corrosion aspect, by the method that gave it; never of two methods.

    Parameters
    ----------
    findings, aspects
        Of every aspect.
    names
        The aspects that have a margin.
    """
    corrosion = [aspects[name] for name in names]
    worst = np.maximum.reduce(corrosion)
    margin = np.full(worst.shape, np.nan)
    code = np.full(worst.shape, -1, dtype=np.int8)
    methods: list[str] = []
    undecided = worst != NOT_ASKED
    for name, verdict in zip(names, corrosion, strict=True):
        if (verdict == NOT_ASKED).all():
            continue
        here = undecided & (verdict == worst)
        for finding in findings[name]:
            if not finding.margin.strides[0]:
                continue
            at = here & (finding.verdict == worst) & ~np.isnan(finding.margin)
            np.copyto(margin, finding.margin, where=at)
            np.copyto(code, np.int8(len(methods)), where=at)
            methods.append(finding.method)
            here &= ~at
        undecided &= verdict != worst
    return margin, np.array([*methods, ""], dtype=object)[code]
