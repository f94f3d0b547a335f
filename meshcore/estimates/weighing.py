"""The mass of cloth as it is reckoned, put right by what a mill has weighed."""

from __future__ import annotations

import numpy as np

from meshcore.alloys.records.registry import Registry, resolve
from meshcore.arrays import FloatArray
from meshcore.enquiry import WEAVES
from meshcore.messages import Message, MessageLog
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.weighed import (
    FARTHEST,
    LEAST_SAMPLES,
    MassFactors,
    WeighedSample,
    mass_factors,
)
from meshcore.uses.plain import plain
from meshcore.weave.cloth import ClothColumns
from meshcore.weave.geometry.mass import mass_per_area
from meshcore.weave.geometry.path import PathModel, cloth_path


def weighed_mass(
    cloth: ClothColumns,
    reckoned_kg_m2: FloatArray,
    policy: SupplyPolicy,
    registry: Registry,
    path_model: PathModel,
    log: MessageLog,
) -> FloatArray:
    """Put the mass of each line right by the samples of its weave, and say so.

    Parameters
    ----------
    cloth, reckoned_kg_m2
        The lines, and their mass as reckoned [kg/m²].
    policy
        What was weighed.
    registry
        For the density of the samples.
    path_model
        As the lines were reckoned.
    log
        Receives a note for each line whose mass is weighed, with factor, spread and samples, and
        one for each sample of its weave that is left out.

    Returns
    -------
    Mass per area [kg/m²]; as reckoned where nothing was weighed, or too little.
    """
    if not policy.weighed:
        return reckoned_kg_m2
    factors = mass_factors(policy.weighed, _reckoned(policy, registry, path_model))
    for code in sorted({WEAVES.index(one.weave) for one in policy.weighed}):
        lines = (cloth.weave == code) & ~np.isnan(reckoned_kg_m2)
        log.add(lines, _said(factors, code))
        for place, share in factors.left_out:
            if policy.weighed[place].weave == WEAVES[code]:
                log.add(lines, _left_out(place, share, policy.weighed[place]))
    mass: FloatArray = reckoned_kg_m2 * factors.factor[cloth.weave]
    return mass


def _said(factors: MassFactors, code: int) -> Message:
    number = int(factors.samples[code])
    if number < LEAST_SAMPLES:
        text = (
            f"mass as reckoned: {number} of {WEAVES[code]} weighed so far, and {LEAST_SAMPLES} are "
            "needed."
        )
    else:
        text = (
            f"mass by {number} weighed samples of {WEAVES[code]}: {factors.factor[code]:.3f} of "
            f"the reckoned, one sample ± {factors.spread[code]:.1%}."
        )
    return Message("weave", "", text, "note", code="mass.weighed")


def _left_out(place: int, share: float, sample: WeighedSample) -> Message:
    why = (
        f"its alloy {sample.alloy} is not known here."
        if np.isnan(share)
        else f"{plain(share)} of the reckoned, outside {1 / (1 + FARTHEST):.3g} to "
        f"{1 + FARTHEST:.3g}, so it is taken for a slip. Weigh it again, or mend the entry."
    )
    text = f"weighed[{place + 1}] of the supply policy is left out: {why}"
    read = f"{sample.mass_per_area_kg_m2:.4g} kg/m²"
    return Message("weave", read, text, "note", code="mass.sample_left_out")


def _reckoned(policy: SupplyPolicy, registry: Registry, path_model: PathModel) -> FloatArray:
    """Mass of each sample as reckoned [kg/m²]; NaN of an alloy that is not known any more."""
    samples = policy.weighed
    pitch, wire = (
        np.array([getattr(one, name) for one in samples]) for name in ("pitch_m", "wire_diameter_m")
    )
    weave = np.array([WEAVES.index(one.weave) for one in samples], dtype=np.int64)
    found = [resolve(registry, one.alloy) for one in samples]
    density = np.array(
        [registry.alloys[f].density_kg_m3 if isinstance(f, int) else np.nan for f in found]
    )
    ratio = cloth_path(weave, wire, pitch, path_model=path_model).path_ratio
    return mass_per_area(wire, pitch, ratio, density)
