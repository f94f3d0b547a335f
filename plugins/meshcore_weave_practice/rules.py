"""Weave rules made from a capability table."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.weave.cloth import PLAIN, ClothColumns, Judgement, WeaveRule
from meshcore.weave.judging.limits import at_least, at_most, by_code
from meshcore_weave_practice.capability import Capability, PlainWeaveRange, WeaveLimit, WidthLimit

#: Gives the limit of one weave rule for each line; NaN where there is none.
Judge = Callable[[ClothColumns], Judgement]


def capability_rules(capability: Capability) -> tuple[WeaveRule, ...]:
    """Make the rules that hold cloth against a mill's capability.

    Parameters
    ----------
    capability
        The mill's limits.

    Returns
    -------
    One rule a limit; lines outside are for review, since a mill may know how to weave them.

    Examples
    --------
    >>> from meshcore_weave_practice import customary_capability
    >>> [rule.name for rule in capability_rules(customary_capability())][:2]
    ['wire-to-pitch window', 'sleaziness']
    """
    plain = capability.plain_weave
    return (
        _rule(
            "wire-to-pitch window",
            "wire_diameter",
            capability.most_wire_to_pitch,
            _heavy,
            code="weave.wire_heavy_for_pitch",
        ),
        _rule(
            "sleaziness",
            "wire_diameter",
            capability.least_wire_to_pitch,
            _light,
            code="weave.sleazy",
        ),
        _rule(
            "intermediate crimp for light wire",
            "weave",
            capability.least_before_intermediate_crimp,
            _shifting,
            code="weave.wire_shifts",
        ),
        _rule(
            "finest wire of the weave",
            "wire_diameter",
            capability.finest_wire_m,
            _fine,
            code="weave.wire_finer_than_usual",
        ),
        _rule(
            "heaviest wire of the weave",
            "wire_diameter",
            capability.heaviest_wire_m,
            _thick,
            code="weave.wire_heavier_than_usual",
        ),
        _review(
            "coarsest plain weave",
            "weave",
            plain.origin,
            _plain_aperture(plain),
            code="weave.plain_too_coarse",
        ),
        _review(
            "heaviest plain weave wire",
            "weave",
            plain.origin,
            _plain_wire(plain),
            code="weave.plain_wire_too_heavy",
        ),
        _review(
            "widest cloth",
            "width",
            capability.widest_cloth.origin,
            _widest(capability.widest_cloth),
            code="weave.too_wide",
        ),
    )


def _review(name: str, field: str, origin: str, judge: Judge, *, code: str) -> WeaveRule:
    severity: Literal["review"] = "review"
    return WeaveRule(name, field, origin, severity, judge, code=code)


def _rule(
    name: str,
    field: str,
    limit: WeaveLimit,
    judge: Callable[[ClothColumns, FloatArray], Judgement],
    *,
    code: str,
) -> WeaveRule:
    return _review(
        name,
        field,
        limit.origin,
        lambda cloth: judge(cloth, by_code(limit.values, cloth.weave)),
        code=code,
    )


def _heavy(cloth: ClothColumns, limit: FloatArray) -> Judgement:
    return at_most(
        cloth.wire_diameter_m / cloth.pitch_m,
        limit,
        "wire/pitch",
        "A lighter wire or a larger aperture weaves more readily.",
    )


def _light(cloth: ClothColumns, limit: FloatArray) -> Judgement:
    return at_least(
        cloth.wire_diameter_m / cloth.pitch_m,
        limit,
        "wire/pitch",
        "So light a cloth is sleazy: a heavier wire or a smaller aperture holds its shape.",
    )


def _shifting(cloth: ClothColumns, limit: FloatArray) -> Judgement:
    return at_least(
        cloth.wire_diameter_m / cloth.pitch_m,
        limit,
        "wire/pitch",
        "Light wire over a large aperture shifts: a heavier wire or a smaller aperture holds.",
    )


def _fine(cloth: ClothColumns, limit: FloatArray) -> Judgement:
    return at_least(
        cloth.wire_diameter_m,
        limit,
        "m",
        "Finer wire than this weave usually has.",
    )


def _thick(cloth: ClothColumns, limit: FloatArray) -> Judgement:
    return at_most(
        cloth.wire_diameter_m,
        limit,
        "m",
        "Heavier wire than this weave usually has.",
    )


def _plain_aperture(plain: PlainWeaveRange) -> Judge:
    def judge(cloth: ClothColumns) -> Judgement:
        return at_most(
            cloth.aperture_m,
            plain.coarsest_aperture_m,
            "m",
            "Plain weave is not usual so coarse.",
            (cloth.weave == PLAIN) & (cloth.pitch_m > plain.usual_to_pitch_m),
        )

    return judge


def _plain_wire(plain: PlainWeaveRange) -> Judge:
    def judge(cloth: ClothColumns) -> Judgement:
        return at_most(
            cloth.wire_diameter_m,
            plain.heaviest_wire_m,
            "m",
            "So heavy a wire has to be pre-crimped.",
            cloth.weave == PLAIN,
        )

    return judge


def _widest(widest: WidthLimit) -> Judge:
    advice = "Too wide for one loom width: take two narrower widths and have them joined."
    steps = np.append(widest.width_m, np.nan)

    def judge(cloth: ClothColumns) -> Judgement:
        asked = ~np.isnan(cloth.width_m)
        if not asked.any():
            return at_most(cloth.width_m, np.nan, "m", advice)
        # side="left": a wire of exactly a step's diameter belongs to that step.
        limit = steps[np.searchsorted(widest.wire_up_to_m, cloth.wire_diameter_m, side="left")]
        return at_most(cloth.width_m, limit, "m", advice, asked & ~np.isnan(limit))

    return judge
