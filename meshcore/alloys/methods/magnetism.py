"""Whether cloth stays non-magnetic: austenite that drawing turns, and Curie points.

Wire is drawn by tens of per cent and bent at every crossing, so austenite that is not stable
turns to magnetic martensite, if it is not annealed afterwards. The leaner end of a grade's range
counts, for nobody sells the middle of it.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.alloys.methods.verdicts import Fitness, not_asked, verdict_where
from meshcore.arrays import BoolArray, FloatArray

METHOD = "non-magnetic (austenite stability and Curie point)"

#: Md30 of the lean grade [°C] up to which austenite stays through drawing and weaving, and up to
#: which it stays fairly so (project's own: 310S lies far below the first, 305 and 316L between,
#: 302, 304 and 321 above the second).
STABLE_MD30_C, FAIR_MD30_C = -100.0, -20.0
#: How far above its Curie point a metal must be kept [K]: points scatter with composition
#: (project's own).
CURIE_MARGIN_K = 20.0
#: Iron in a copper alloy from which a magnet may feel it [%]: copper-nickel 90/10 has a
#: permeability of 1.01 to over 1.2 by how fast it was cooled, 70/30 with less iron hardly any
#: (Copper Development Association, physical properties of copper-nickel, read).
IRON_IN_COPPER_PCT = 1.0
#: Least copper of a copper alloy [%].
_COPPER_BASE_PCT = 50.0


def md30_c(share_pct: Mapping[str, FloatArray]) -> FloatArray:
    """Temperature at which 30 % strain turns half the austenite to martensite [°C].

    Parameters
    ----------
    share_pct
        Mass share of C, N, Si, Mn, Cr, Ni, Cu, Mo and Nb in each alloy [%].

    Notes
    -----
    Md30 = 551 − 462(C+N) − 9.2 Si − 8.1 Mn − 13.7 Cr − 29(Ni+Cu) − 18.5 Mo − 68 Nb; for grades
    far richer than 18/8 it only says "stable".

    References
    ----------
    .. [1] K. Nohara, Y. Ono and N. Ohashi, Tetsu-to-Hagané 63 (1977) 772 (from memory), after
       T. Angel, J. Iron Steel Inst. 177 (1954) 165 (from memory).

    Examples
    --------
    >>> grade = dict(C=0.05, N=0.04, Si=0.5, Mn=1.0, Cr=18.5, Ni=9.0, Cu=0.0, Mo=0.0, Nb=0.0)
    >>> md30_c({element: np.array([share]) for element, share in grade.items()}).round(1).tolist()
    [-17.7]
    """
    s = share_pct
    return (
        551.0 - 462.0 * (s["C"] + s["N"]) - 9.2 * s["Si"] - 8.1 * s["Mn"] - 13.7 * s["Cr"]
        - 29.0 * (s["Ni"] + s["Cu"]) - 18.5 * s["Mo"] - 68.0 * s["Nb"]
    )  # fmt: skip


def irony_copper(least_pct: Mapping[str, FloatArray]) -> BoolArray:
    """Which alloys are copper with so much iron that a magnet may feel it."""
    return (least_pct["Cu"] > _COPPER_BASE_PCT) & (least_pct["Fe"] >= IRON_IN_COPPER_PCT)


def judge(
    asked: BoolArray,
    annealed: BoolArray,
    metal_c: FloatArray,
    magnetic: BoolArray,
    md30: FloatArray,
    curie_c: FloatArray,
    irony: BoolArray,
) -> Fitness:
    """Judge whether cloth stays non-magnetic.

    Parameters
    ----------
    asked, annealed, metal_c
        Services that must be non-magnetic; whether the cloth is annealed after weaving and not
        formed again; temperature of the metal [°C], NaN where unknown.
    magnetic, md30, curie_c
        Alloys that a magnet holds when annealed; Md30 of austenitic steel [°C], -inf for other
        metals; Curie point [°C], -inf where there is none.
    irony
        Which alloys `irony_copper` names.
    """
    if not asked.any():
        return not_asked(METHOD, (len(asked), len(magnetic)))
    warm = metal_c[:, None] >= curie_c + CURIE_MARGIN_K
    depends = (np.isnan(metal_c)[:, None] & (curie_c > -np.inf)[None, :]) & ~magnetic[None, :]
    holds = magnetic[None, :] | ((curie_c > -np.inf)[None, :] & ~warm)
    steady, fair = (md30 <= STABLE_MD30_C)[None, :], (md30 <= FAIR_MD30_C)[None, :]
    restored = annealed[:, None]
    meets = ~holds & ~irony[None, :] & (steady | (fair & restored))
    marginal = ~holds & (fair | restored)
    verdict = verdict_where(asked[:, None], ~depends, meets, marginal)

    def say(service: int, alloy: int) -> str:  # noqa: PLR0911 - one for each thing to say
        if magnetic[alloy]:
            return "a magnet holds it"
        if holds[service, alloy]:
            return f"its Curie point lies at about {curie_c[alloy]:.0f} °C: a magnet holds it below"
        if irony[alloy]:
            return "iron in it makes it slightly magnetic, unless it was cooled fast"
        if np.isinf(md30[alloy]):
            return "non-magnetic, drawn or annealed"
        about = f"(Md30 of its lean range about {md30[alloy]:.0f} °C)"
        if steady[0, alloy]:
            return f"stays non-magnetic when drawn and woven {about}"
        if restored[service, 0]:
            return f"annealed after weaving it is non-magnetic, until it is bent again {about}"
        if fair[0, alloy]:
            return f"drawing and weaving make it slightly magnetic {about}"
        return f"non-magnetic when annealed, but drawing and weaving make it magnetic {about}"

    return Fitness(METHOD, verdict, np.full(verdict.shape, np.nan), say)
