"""Samples that a mill has weighed, by which the mass of its cloth is put right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.reading.entries import Entries
from meshcore.supply.on_hand import cloth_entry

#: Samples of a weave from which its factor is taken; fewer show no spread worth the name (our
#: choice).
LEAST_SAMPLES = 3
#: How far a sample may be from what is reckoned before it is taken for a slip [-]: our choice.
FARTHEST = 0.25


@dataclass(frozen=True, slots=True)
class WeighedSample:
    """One sample of cloth that was weighed.

    Parameters
    ----------
    pitch_m, wire_diameter_m, weave, alloy
        Which cloth it is [m]; the weave's name, and the alloy's designation.
    mass_per_area_kg_m2
        What it weighed [kg/m²].
    """

    pitch_m: float
    wire_diameter_m: float
    weave: str
    alloy: str
    mass_per_area_kg_m2: float


@dataclass(frozen=True, slots=True)
class MassFactors:
    """What the mass of each weave is to be multiplied by, in the order of ``WEAVES``.

    Parameters
    ----------
    factor
        Weighed over reckoned, the geometric mean [-]; 1 where too few were weighed.
    spread
        Standard deviation of one sample about it [-]; NaN where too few were weighed.
    samples
        How many were weighed and are used.
    left_out
        Each sample that is not used: its place from 0, and its mass over the reckoned [-], NaN
        where that cannot be reckoned.
    """

    factor: FloatArray
    spread: FloatArray
    samples: IntArray
    left_out: tuple[tuple[int, float], ...] = ()


def read_weighed(data: Mapping[str, Any], entries: Entries) -> tuple[WeighedSample, ...]:
    """Read the ``[[weighed]]`` entries of a supply policy; what is wrong goes to `entries`."""
    rows = data.get("weighed", [])
    if not isinstance(rows, list):
        entries.wrong.append("weighed: a list of tables is due, [[weighed]].")
        return ()
    return tuple(_entry(row, f"weighed[{n}]", entries) for n, row in enumerate(rows, 1))


def _entry(row: Mapping[str, Any], where: str, entries: Entries) -> WeighedSample:
    mass = row.get("kg_per_m2")
    if isinstance(mass, bool) or not isinstance(mass, int | float) or not mass > 0:
        entries.wrong.append(f"{where}.kg_per_m2: read {mass!r}; a number above zero is due.")
        mass = np.nan
    return WeighedSample(*cloth_entry(row, where, entries), mass_per_area_kg_m2=mass * 1.0)


def mass_factors(samples: Sequence[WeighedSample], reckoned_kg_m2: FloatArray) -> MassFactors:
    """Take the factor of each weave from samples.

    Parameters
    ----------
    samples
        What was weighed.
    reckoned_kg_m2
        What the mass of each is reckoned at [kg/m²]; NaN where it cannot be.

    Returns
    -------
    The factors. A sample more than a quarter off is taken for a slip and left out, and so is one
    whose mass cannot be reckoned; `left_out` names them.

    Examples
    --------
    >>> plain = [WeighedSample(2.54e-3, 0.635e-3, "plain", "304", kg) for kg in (2.05, 2.06, 2.07)]
    >>> found = mass_factors(plain, np.full(3, 2.04))
    >>> round(float(found.factor[0]), 4), round(float(found.spread[0]), 4), int(found.samples[0])
    (1.0098, 0.0049, 3)
    """
    weighed = np.array([one.mass_per_area_kg_m2 for one in samples])
    weave = np.array([WEAVES.index(one.weave) for one in samples], dtype=np.int64)
    with np.errstate(invalid="ignore", divide="ignore"):
        off = np.log(weighed / reckoned_kg_m2)
    good = np.abs(off) <= np.log1p(FARTHEST)
    factor, spread = np.ones(len(WEAVES)), np.full(len(WEAVES), np.nan)
    count = np.bincount(weave[good], minlength=len(WEAVES)).astype(np.int64)
    for code in np.flatnonzero(count >= LEAST_SAMPLES).tolist():
        of_weave = off[good & (weave == code)]
        factor[code], spread[code] = np.exp(of_weave.mean()), of_weave.std(ddof=1)
    left_out = tuple((n, float(np.exp(off[n]))) for n in np.flatnonzero(~good).tolist())
    return MassFactors(factor, spread, count, left_out)
