"""Contact with another metal: a caution from the difference of anodic index.

The index ranks metals by their potential in salt water; a difference above what the surroundings
allow calls for insulation, a coating or another metal. It knows nothing of area: a small wire
against a large noble frame goes much faster than the index suggests.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.alloys.methods.verdicts import Fitness, not_asked, verdict_where
from meshcore.arrays import FloatArray, IntArray, ObjectArray

METHOD = "contact with another metal (anodic index)"

#: Anodic index [V] of each group, nobler first (MIL-STD-889 and handbooks, from memory).
ANODIC_INDEX_V: Mapping[str, float] = {
    "titanium": 0.30,
    "nickel alloy": 0.30,
    "copper": 0.35,
    "brass": 0.40,
    "bronze": 0.45,
    "austenitic stainless steel": 0.50,
    "chromium steel": 0.60,
    "carbon steel": 0.85,
    "aluminium": 0.90,
    "galvanized steel": 1.20,
    "zinc": 1.25,
}
GROUPS: tuple[str, ...] = tuple(ANODIC_INDEX_V)
_INDEX_V: FloatArray = np.array([*ANODIC_INDEX_V.values(), np.nan])
#: Difference allowed in harsh (salt, wet), ordinary outdoor and dry controlled surroundings [V]
#: (handbooks, from memory).
SURROUNDINGS: tuple[str, ...] = ("harsh", "outdoor", "dry")
ALLOWED_V: FloatArray = np.array([0.15, 0.25, 0.50])
#: Least share that makes an alloy one of the metal [%]; project's own reading of the groups.
_MAIN_PCT = 50.0
_NEARLY_PURE_PCT = 97.0
_STAINLESS_CR_PCT, _AUSTENITIC_NI_PCT, _BRASS_ZN_PCT, _BRONZE_PCT = 10.5, 4.0, 5.0, 2.5
_NICKEL_BASE_PCT = 30.0


def groups_of(least_pct: dict[str, FloatArray], zinc_coating_um: FloatArray) -> IntArray:
    """Index into ``GROUPS`` of each alloy by its composition; -1 where the index lists none."""
    nothing = np.zeros_like(zinc_coating_um)
    of = {
        e: least_pct.get(e, nothing) for e in ("Al", "Ti", "Cu", "Zn", "Sn", "Si", "Ni", "Cr", "Fe")
    }
    copper_base = of["Cu"] >= _MAIN_PCT
    chromium = of["Cr"] >= _STAINLESS_CR_PCT
    ordered = {
        "galvanized steel": zinc_coating_um > 0.0,
        "aluminium": of["Al"] >= _MAIN_PCT,
        "titanium": of["Ti"] >= _MAIN_PCT,
        "brass": copper_base & (of["Zn"] >= _BRASS_ZN_PCT),
        "bronze": copper_base & (of["Sn"] + of["Si"] >= _BRONZE_PCT),
        "copper": copper_base,
        "nickel alloy": of["Ni"] >= _NICKEL_BASE_PCT,
        "austenitic stainless steel": chromium & (of["Ni"] >= _AUSTENITIC_NI_PCT),
        "chromium steel": chromium,
        "carbon steel": of["Fe"] >= _NEARLY_PURE_PCT,
    }
    return np.select(list(ordered.values()), [GROUPS.index(name) for name in ordered], -1).astype(
        np.int64
    )


def judge(
    contact: IntArray, surroundings: IntArray, group: IntArray, names: ObjectArray
) -> Fitness:
    """Caution against pairs of metals; a pair is never worse than marginal here.

    Parameters
    ----------
    contact
        Index into ``GROUPS`` of the other metal of each service; -1 where there is none.
    surroundings
        Index into ``SURROUNDINGS`` of each service.
    group
        Index into ``GROUPS`` of each alloy; -1 where unlisted.
    names
        Designation of each alloy.
    """
    if not (contact >= 0).any():
        return not_asked(METHOD, (len(contact), len(group)))
    apart = _INDEX_V[group][None, :] - _INDEX_V[contact][:, None]
    allowed = ALLOWED_V[surroundings][:, None]
    asked = (contact >= 0)[:, None]
    meets = np.abs(apart) <= allowed + 1e-9
    verdict = verdict_where(asked, ~np.isnan(apart), meets, np.array(True))

    def say(service: int, alloy: int) -> str:
        if np.isnan(apart[service, alloy]):
            return f"the anodic index does not list {names[alloy]}"
        volts, other = apart[service, alloy], GROUPS[contact[service]]
        measured = f"{abs(volts):.2f} V apart, {allowed[service, 0]:.2f} V allowed"
        if meets[service, alloy]:
            return f"close enough to {other} ({measured})"
        goes = "the mesh goes first" if volts > 0.0 else f"the {other} goes first"
        return f"insulate from {other}: {goes} ({measured})"

    margin = np.where(asked, (allowed - np.abs(apart)) / ALLOWED_V[0], np.nan)
    return Fitness(METHOD, verdict, margin, say)
