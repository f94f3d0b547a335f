"""The coating that a line asks for, held against that of the alloy it is priced as."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.arrays import FloatArray, IntArray
from meshcore.messages import Message, MessageLog

#: Density of zinc [kg/m³] (handbook value, from memory).
ZINC_DENSITY = 7140.0
#: Records give a coating as a thickness in two figures: so far may its mass be off [-].
_TWO_FIGURES = 0.02
_M_IN_A_MICRON, _G_IN_A_KG = 1e-6, 1e3


def judge_coatings(
    coating_kg_m2: FloatArray, alloy: IntArray, alloys: Sequence[Alloy], log: MessageLog
) -> None:
    """Say of each line that states a coating whether its alloy has as much.

    Parameters
    ----------
    coating_kg_m2
        Coating that each line asks for, by the surface of the wire [kg/m²]; NaN where none.
    alloy
        Code of each line's alloy; -1 where unknown.
    alloys
        The alloys by their codes.
    log
        Receives a note, or a review where the alloy has less.
    """
    for row in np.flatnonzero(np.isfinite(coating_kg_m2) & (alloy >= 0)).tolist():
        of = alloys[int(alloy[row])]
        asked = float(coating_kg_m2[row]) * _G_IN_A_KG
        own = of.zinc_coating_um * _M_IN_A_MICRON * ZINC_DENSITY * _G_IN_A_KG
        log.add([row], _said(f"{asked:.3g} g/m²", of.designation, asked, own))


def _said(read: str, name: str, asked: float, own: float) -> Message:
    if not own:
        text = f"{name} is not coated. Write the coated wire that is meant, or leave the mass out."
        return Message("alloy", read, text, "review", code="coating.not_coated")
    priced = f"coating asked for; priced as {name}, reckoned with {own:.3g} g/m²."
    if asked > own * (1.0 + _TWO_FIGURES):
        text = f"{priced} That is less: hold the price against the wire that is bought."
        return Message("alloy", read, text, "review", code="coating.heavier")
    return Message("alloy", read, priced, "note", code="coating.stated")
