"""Shielding: cloth against electromagnetic waves."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import PLAIN, TWILLED, WELDED
from meshcore.uses.figures import Figure
from meshcore.uses.plain import plain
from meshcore.uses.relations import shielding
from meshcore.uses.statement import (
    EQUAL,
    OPEN_AREA,
    PRACTICE,
    Demand,
    Figures,
    Measure,
    Metal,
    Statement,
    Wanted,
    number,
    open_area_measure,
    open_wish,
)
from meshcore.weave.cloth import ClothColumns

#: How much more attenuation than wanted is worth offering [dB]: a judgement, no source.
_MORE_DB = 15.0


def _attenuation(cloth: ClothColumns, figures: Figures, metal: Metal) -> FloatArray:
    conductivity = shielding.conductivity_of(metal.family)
    return shielding.grid_attenuation(
        cloth.pitch_m, cloth.wire_diameter_m, number(figures, "frequency"), conductivity
    )


def _ask_shielding(figures: Figures, metal: Metal) -> Wanted:
    wanted, frequency = number(figures, "attenuation"), number(figures, "frequency")
    wave = shielding.LIGHT_M_S / frequency

    longest = shielding.LARGEST_PITCH_TO_WAVELENGTH * wave

    def worth(cloth: ClothColumns) -> BoolArray:
        near: BoolArray = _attenuation(cloth, figures, metal) <= wanted + _MORE_DB
        return near

    return Wanted(
        (0.0, longest),
        (0.0, np.inf),
        (
            (PLAIN, "every wire touches at every crossing"),
            (WELDED, "welded crossings conduct best"),
            (TWILLED, "the wire is too heavy for its pitch to be plain woven"),
        ),
        (
            Demand(
                f"{plain(wanted)} dB or more at {plain(frequency / 1e6, 4)} MHz, a plane wave at "
                "right angles (Casey 1988, from memory)",
                lambda cloth: _attenuation(cloth, figures, metal) >= wanted - EQUAL,
            ),
            Demand(
                f"the pitch is a tenth of the wavelength of {plain(wave * 1e3, 4)} mm at most, "
                "where the formula holds",
                lambda cloth: cloth.pitch_m <= longest * (1.0 + EQUAL),
            ),
            *open_wish(figures),
        ),
        lambda cloth: (
            (_attenuation(cloth, figures, metal) - wanted) / _MORE_DB
            + 0.5 * (1.0 - cloth.open_area)
        ),
        worth,
        ("the wires must touch well at the crossings: bright, tinned or welded",),
    )


def _shield_measures(cloth: ClothColumns, figures: Figures, metal: Metal) -> tuple[Measure, ...]:
    return (
        Measure("attenuation", _attenuation(cloth, figures, metal), "dB",
                "Casey 1988 (from memory); conductivity by family (from memory)",
                "the formula holds from 30 MHz, and to a pitch of a tenth of the wavelength, which "
                "this is above"),
        open_area_measure(cloth),
    )  # fmt: skip


SHIELDING = Statement(
    "shielding",
    "Shielding",
    (
        Figure(
            "frequency",
            "Frequency",
            "frequency",
            "1 GHz",
            needed=True,
            of_range="greatest",
            least=shielding.LEAST_FREQUENCY_HZ,
            usual=(30e6, 40e9),
            note="from 30 MHz, where a wave is plane",
            why=": below 30 MHz the source is near and its wave not plane, and of its magnetic "
            "field a grid stops far less than the formula says; ask a laboratory",
        ),
        Figure(
            "attenuation",
            "Attenuation at least",
            "decibel",
            "40 dB",
            needed=True,
            usual=(3.0, 120.0),
        ),
        OPEN_AREA,
    ),
    _ask_shielding,
    _shield_measures,
    ("copper", "phosphor bronze 5 %", "304"),
    shielding.CAUTION,
    ("K. F. Casey, IEEE Trans. Electromagnetic Compatibility 30, 1988 (from memory)",),
    f"it conducts best of what is woven ({PRACTICE})",
)
