"""Insects and small things that an aperture keeps out, and the light and view that it leaves."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray

#: To stand beside every figure from this module.
CAUTION = (
    "An animal squeezes through less than its name suggests, and young ones through less again; "
    "edges and doors let in more than cloth does. Where disease is carried, follow the health "
    "authority."
)
_PRACTICE = "common practice, no source"
_GLASSHOUSE = "hole sizes for pests of glasshouse crops, Bethke and Paine, 1991 (from memory)"

_FRUIT_FLY = "mesh against Drosophila suzukii, Kawase and Uchino, 2005 (from memory)"
_RODENTS = (
    "openings of 1/4 in and 1/2 in that rodents enter: Prevention and Control of Wildlife Damage, "
    "1994 (from memory)"
)

_RABBITS = "mesh of 31 mm for fences against rabbits, guidance of British forestry (from memory)"


@dataclass(frozen=True, slots=True)
class KeptOut:
    """What an aperture keeps out.

    Parameters
    ----------
    name
        As it is asked for.
    aperture_m
        Largest square aperture that keeps it out [m].
    origin
        Where that comes from.
    """

    name: str
    aperture_m: float
    origin: str


KEPT_OUT: tuple[KeptOut, ...] = (
    KeptOut("thrips", 0.19e-3, _GLASSHOUSE),
    KeptOut("whiteflies", 0.24e-3, _GLASSHOUSE),
    KeptOut("aphids", 0.34e-3, _GLASSHOUSE),
    KeptOut("leaf miners", 0.61e-3, _GLASSHOUSE),
    KeptOut("biting midges", 0.75e-3, _PRACTICE),
    KeptOut("fruit flies", 0.98e-3, _FRUIT_FLY),
    KeptOut("mosquitoes", 1.31e-3, _PRACTICE),
    KeptOut("flies", 1.7e-3, _PRACTICE),
    KeptOut("wasps", 3.0e-3, _PRACTICE),
    KeptOut("bees", 3.5e-3, _PRACTICE),
    KeptOut("mice", 6.0e-3, _RODENTS),
    KeptOut("rats and bats", 12.0e-3, _RODENTS),
    KeptOut("cage birds", 12.5e-3, f"finches and budgerigars, {_PRACTICE}"),
    KeptOut("small birds", 19.0e-3, _PRACTICE),
    KeptOut("chickens", 25.0e-3, f"grown ones, {_PRACTICE}; chicks and what hunts them pass it"),
    KeptOut("rabbits", 31.0e-3, _RABBITS),
)


def kept_out_by(aperture_m: float) -> tuple[KeptOut, ...]:
    """Return what a square aperture keeps out, the smallest first.

    Examples
    --------
    >>> [one.name for one in kept_out_by(2.9e-3)][:2]
    ['wasps', 'bees']
    """
    return tuple(one for one in KEPT_OUT if aperture_m <= one.aperture_m)


def light_passed(
    aperture_m: FloatArray | float, wire_m: FloatArray | float, angle_rad: FloatArray | float = 0.0
) -> FloatArray:
    """Share of light, or of a view, that passes cloth at an angle.

    Parameters
    ----------
    aperture_m, wire_m
        Sizes [m].
    angle_rad
        Between the ray and the normal, in the plane of one set of wires [rad]; 0 to below 90°.

    Returns
    -------
    Share [-], 0 where the wires cover one another; NaN outside the range of angles.

    Notes
    -----
    By shadow alone: (1 − d/p)·(1 − d/(p·cos θ)). What the wires reflect is left out, which is
    right for dull wire and a little low for bright wire.

    Examples
    --------
    >>> light_passed(1.3e-3, 0.3e-3).round(3), light_passed(1.3e-3, 0.3e-3, np.deg2rad(60)).round(3)
    (np.float64(0.66), np.float64(0.508))
    """
    aperture, wire, angle = np.broadcast_arrays(aperture_m, wire_m, angle_rad)
    shade = wire / (aperture + wire)
    across = np.clip(1.0 - shade / np.cos(angle), 0.0, None)
    good = (angle >= 0) & (angle < 0.5 * np.pi) & (aperture > 0) & (wire > 0)
    passed: FloatArray = np.where(good, (1.0 - shade) * across, np.nan)
    return passed[()]
