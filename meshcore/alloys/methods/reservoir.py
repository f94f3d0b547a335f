"""Chromium and aluminium of a thin wire used up by its own scale.

A scale of chromia or alumina feeds on one element of the alloy. A wire holds only so much of it,
by diameter: when the share has fallen so far that the scale no longer heals, the metal goes fast.
The mass taken grows as the square root of time, as the scale thickens (a parabola), and by heat as
Arrhenius has it. Spalling, cycling heat and gases other than air take it sooner.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.alloys.methods.heat import MOST_HOURS
from meshcore.alloys.methods.verdicts import Fitness, not_asked, verdict_where
from meshcore.arrays import BoolArray, FloatArray, ObjectArray

METHOD = "chromium or aluminium left in the wire (parabolic scale)"

_GAS_CONSTANT = 8.314
_ZERO_C_K = 273.15
_SECONDS_PER_HOUR = 3600.0
#: Temperature at which the rates are quoted [°C].
_QUOTED_C = 1000.0


@dataclass(frozen=True, slots=True)
class Scale:
    """How a scale grows, and what it feeds on.

    Parameters
    ----------
    element
        Symbol of what it takes from the metal.
    rate_1000
        Parabolic rate at 1,000 °C, of the oxygen taken up [kg²/(m⁴·s)].
    activation
        How it grows with heat [J/mol].
    per_oxygen
        Mass of the element taken for one of oxygen [-].
    least_pct
        Share of the element below which the scale no longer heals [%].
    """

    element: str
    rate_1000: float
    activation: float
    per_oxygen: float
    least_pct: float


#: Chromia on nickel-chromium and heat-resisting steel; alumina on iron-chromium-aluminium. Rates
#: and least shares are of handbooks on oxidation, from memory; Cr₂O₃ and Al₂O₃ by atomic masses.
#: They agree with the customary ladder of temperatures by wire size for 80/20 (a test holds them to
#: it).
CHROMIA = Scale("Cr", 3e-10, 250e3, 2 * 51.996 / (3 * 15.999), 10.0)
ALUMINA = Scale("Al", 1e-11, 300e3, 2 * 26.982 / (3 * 15.999), 1.3)
#: Share of the reservoir that may be used before it is said to be used up [-] (project's own).
KEPT_SHARE = 0.5


def taken_kg_m2(scale: Scale, temperature_c: FloatArray, hours: FloatArray) -> FloatArray:
    """Mass of the element that the scale takes from each area of wire [kg/m²].

    Examples
    --------
    Chromium after 1,000 h at 1,000 °C:

    >>> taken_kg_m2(CHROMIA, np.array([1000.0]), np.array([1000.0])).round(3).tolist()
    [0.071]
    """
    kelvin = np.maximum(temperature_c + _ZERO_C_K, 1.0)
    arrhenius = np.exp(
        scale.activation / _GAS_CONSTANT * (1.0 / (_QUOTED_C + _ZERO_C_K) - 1.0 / kelvin)
    )
    oxygen = np.sqrt(scale.rate_1000 * arrhenius * hours * _SECONDS_PER_HOUR)
    return np.asarray(scale.per_oxygen * oxygen, dtype=np.float64)


def held_kg_m2(
    scale: Scale, least_share_pct: FloatArray, density: FloatArray, wire_diameter_m: FloatArray
) -> FloatArray:
    """Mass of the element that a wire can spare, for each area of its surface [kg/m²].

    Parameters
    ----------
    least_share_pct, density
        Of the leanest alloy of the range [%], [kg/m³].
    wire_diameter_m
        [m]; volume over surface of a wire is a quarter of it.
    """
    spare = np.maximum(least_share_pct - scale.least_pct, 0.0) / 100.0
    return np.asarray(density * spare * wire_diameter_m / 4.0, dtype=np.float64)


def judge(
    asked: BoolArray,
    temperature_c: FloatArray,
    hours: FloatArray,
    wire_diameter_m: FloatArray,
    alloys: tuple[BoolArray, BoolArray, FloatArray, FloatArray, FloatArray],
    names: ObjectArray,
) -> Fitness:
    """Judge whether a wire outlives its reservoir: marginal from half of it on.

    Parameters
    ----------
    asked
        Services in hot air or gas that oxidises.
    temperature_c, hours, wire_diameter_m
        Of each service; NaN where unknown. Hours that nobody knows may be many, and then nothing
        is judged that many would take; without the others nothing is said.
    alloys
        Which grow chromia, and which alumina; their least chromium and aluminium [%], and density
        [kg/m³].
    names
        Designation of each alloy.
    """
    with_chromia, with_alumina, chromium, aluminium, density = alloys
    shape = (len(asked), len(names))
    known = asked & ~np.isnan(temperature_c) & ~np.isnan(wire_diameter_m)
    counted = np.where(np.isnan(hours), MOST_HOURS, hours)
    if not known.any():
        return not_asked(METHOD, shape)
    wire = wire_diameter_m[:, None]
    used = np.zeros(shape)
    for scale, of, share in (
        (CHROMIA, with_chromia, chromium),
        (ALUMINA, with_alumina, aluminium),
    ):
        taken = taken_kg_m2(scale, temperature_c, counted)[:, None]
        held = held_kg_m2(scale, share[None, :], density[None, :], wire)
        ratio = np.divide(taken, held, out=np.full(shape, np.inf), where=held > 0.0)
        used = np.where(of[None, :], ratio, used)
    grows = (with_chromia | with_alumina)[None, :]
    # Where too little is taken to matter, nothing is said.
    here = known[:, None] & grows & (used > _MATTERS)
    sure = ~np.isnan(hours)[:, None] | (used <= KEPT_SHARE)
    verdict = verdict_where(here, sure, used <= KEPT_SHARE, used < 1.0)

    def say(service: int, alloy: int) -> str:
        element = "aluminium" if with_alumina[alloy] else "chromium"
        share = float(used[service, alloy])
        amount = "all" if share >= 1.0 else f"{share:.0%}"
        return (
            f"in {counted[service]:g} h at {temperature_c[service]:g} °C the scale takes {amount} "
            f"of the {element} that a wire of {wire_diameter_m[service] * 1e3:.3g} mm can spare"
        )

    return Fitness(METHOD, verdict, np.broadcast_to(np.nan, shape), say)


#: Share of the reservoir below which it is not worth a word [-] (project's own).
_MATTERS = 0.1
