"""Weave rules that follow from geometry and from the wire's alloy, whatever the mill."""

from __future__ import annotations

import numpy as np

from meshcore.weave.cloth import WEAVES, ClothColumns, Judgement, WeaveRule
from meshcore.weave.geometry.path import jam_wire_to_pitch
from meshcore.weave.judging.limits import at_least, at_most, by_code

#: Alloy records hold the finest wire in millimetres.
_M_PER_MM = 1e-3
#: Wire over pitch at which each weave jams, in the order of ``WEAVES``.
_JAM = np.array([jam_wire_to_pitch(code) for code in range(len(WEAVES))])


def _jam(cloth: ClothColumns) -> Judgement:
    return at_most(
        cloth.wire_diameter_m / cloth.pitch_m,
        by_code(_JAM, cloth.weave),
        "wire/pitch",
        "The wires would have to pass through one another: take a lighter wire or a larger "
        "aperture.",
    )


def _finest_of_alloy(cloth: ClothColumns) -> Judgement:
    # The last place answers for an unknown alloy (-1), which has no limit.
    finest = np.array([alloy.finest_wire_mm * _M_PER_MM for alloy in cloth.alloys] + [np.nan])
    return at_least(
        cloth.wire_diameter_m,
        by_code(finest, cloth.alloy),
        "m",
        "Wire of this alloy is not usually drawn so fine: take a heavier wire or another alloy.",
    )


GEOMETRY_RULES: tuple[WeaveRule, ...] = (
    WeaveRule(
        name="geometric jam",
        field="wire_diameter",
        origin="derived: the wire's path has no straight part left",
        severity="refused",
        judge=_jam,
        code="weave.jammed",
    ),
    WeaveRule(
        name="finest wire of the alloy",
        field="wire_diameter",
        origin="the alloy's record: finest wire usually drawn",
        severity="review",
        judge=_finest_of_alloy,
        code="alloy.wire_not_drawn_so_fine",
    ),
)
