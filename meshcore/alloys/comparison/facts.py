"""What the methods need to know of each alloy, as columns worked out from the records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.methods import (
    chloride_water,
    galvanic,
    magnetism,
    media,
    outdoor_loss,
    outdoor_stainless,
    row_ranges,
    zinc,
)
from meshcore.alloys.methods.thin_scale import ThinScale, thin_scale
from meshcore.alloys.record import Alloy
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray, frozen

#: Elements that the methods read.
_ELEMENTS = (
    "Fe", "Cr", "Ni", "Mo", "N", "C", "Si", "Mn", "Cu", "Nb", "W", "Al", "Ti", "Zn", "Sn", "Pb",
)  # fmt: skip
#: Most carbon of a low-carbon grade [%] (EN 10088-1).
_LOW_CARBON_PCT = 0.03


@dataclass(frozen=True, slots=True)
class AlloyFacts:
    """Alloys as columns, one row each.

    Parameters
    ----------
    alloys, names, en
        Records, designations and EN numbers.
    least_pct
        Element symbol → least share [%].
    most_lead_pct
        Most lead that it may hold [%].
    metal, zinc_um, zinc_class
        Index into `outdoor_loss.METALS` (-1: none), zinc on the wire [µm] as its record gives it,
        and index into `zinc.CLASSES` (-1: none).
    resists_as, medium_group, family
        Family in the table of media, by name and by index (-1: none), and its index in the file of
        families (one beyond it: none).
    annex_class
        Class 1 to 5 of EN 1993-1-4 that it is counted in; 0 where it has none.
    density
        [kg/m³].
    sensitises
        Whether carbon takes its chromium beside a weld: over 0.03 % and not stabilised.
    ceiling_c
        Customary ceiling in air [°C].
    thin_scale
        What is known of its scale where that does not set the ceiling.
    crevice_c, pren
        G48 starting temperature [°C] and PREN [-] at the least and at the middle of the
        composition range; NaN where not covered.
    outlasts_brine
        Whether no natural brine starts what ferric chloride does in that test.
    group
        Index into `galvanic.GROUPS`; -1 where unlisted.
    magnetic, md30_c, curie_c
        Whether a magnet holds it; temperature at which drawing makes it magnetic [°C], -inf where
        it does not apply; Curie point [°C], -inf where it has none that counts.
    finest_wire_m
        Finest wire usually drawn [m].
    """

    alloys: tuple[Alloy, ...]
    names: ObjectArray
    en: tuple[str, ...]
    least_pct: dict[str, FloatArray]
    most_lead_pct: FloatArray
    metal: IntArray
    zinc_um: FloatArray
    zinc_class: IntArray
    resists_as: ObjectArray
    medium_group: IntArray
    family: IntArray
    annex_class: IntArray
    density: FloatArray
    sensitises: BoolArray
    ceiling_c: FloatArray
    thin_scale: ThinScale
    crevice_c: tuple[FloatArray, FloatArray]
    pren: tuple[FloatArray, FloatArray]
    outlasts_brine: BoolArray
    group: IntArray
    magnetic: BoolArray
    md30_c: FloatArray
    curie_c: FloatArray
    finest_wire_m: FloatArray

    def __len__(self) -> int:
        """Return the number of alloys."""
        return len(self.alloys)


#: What was worked out last: one registry is asked for over and over.
_LAST: list[AlloyFacts] = []


def alloy_facts(alloys: Sequence[Alloy]) -> AlloyFacts:
    """Return the columns of some alloys, which nobody may write to."""
    known = next((facts for facts in _LAST if facts.alloys == tuple(alloys)), None)
    if known is None:
        known = frozen(_facts(alloys))
        _LAST[:] = [known]
    return known


def _facts(alloys: Sequence[Alloy]) -> AlloyFacts:
    """Work out the columns of some alloys."""
    least, most = (_shares(alloys, end) for end in (0, 1))
    middle = {element: (least[element] + most[element]) / 2.0 for element in _ELEMENTS}
    lean = {element: 0.75 * least[element] + 0.25 * most[element] for element in _ELEMENTS}
    resists_as = [a.resists_as for a in alloys]
    en = tuple(a.en for a in alloys)
    as_stainless, as_nickel = chloride_water.ranked_as(least, most)
    zinc_um = np.array([a.zinc_coating_um for a in alloys], dtype=np.float64)
    magnetic = np.array([a.magnetic for a in alloys], dtype=np.bool_)
    return AlloyFacts(
        alloys=tuple(alloys),
        names=np.array([a.designation for a in alloys], dtype=object),
        en=en,
        least_pct=least,
        most_lead_pct=most["Pb"],
        metal=outdoor_loss.metal_of(least, most),
        zinc_um=zinc_um,
        zinc_class=np.array(
            [zinc.CLASSES.index(a.zinc_class) if a.zinc_class else -1 for a in alloys],
            dtype=np.int64,
        ),
        resists_as=np.array(resists_as, dtype=object),
        medium_group=media.groups_of(resists_as),
        family=row_ranges.family_index(resists_as),
        annex_class=outdoor_stainless.classes_counted(en, resists_as),
        density=np.array([a.density_kg_m3 for a in alloys], dtype=np.float64),
        sensitises=(most["C"] > _LOW_CARBON_PCT) & (least["Ti"] + least["Nb"] == 0.0),
        ceiling_c=np.array([a.max_air_temperature_c for a in alloys], dtype=np.float64),
        thin_scale=thin_scale(resists_as),
        crevice_c=(
            _crevice(least, as_stainless, as_nickel),
            _crevice(middle, as_stainless, as_nickel),
        ),
        pren=(_pren(least, as_stainless), _pren(middle, as_stainless)),
        outlasts_brine=as_nickel & (least["Mo"] >= chloride_water.OUTLASTS_BRINE_MO_PCT),
        group=galvanic.groups_of(least, zinc_um),
        magnetic=magnetic,
        md30_c=np.where(as_stainless & ~magnetic, magnetism.md30_c(lean), -np.inf),
        curie_c=np.array([-np.inf if a.curie_c is None else a.curie_c for a in alloys]),
        finest_wire_m=np.array([a.finest_wire_mm for a in alloys], dtype=np.float64) / 1e3,
    )


def _shares(alloys: Sequence[Alloy], end: int) -> dict[str, FloatArray]:
    """Element symbol → one end of its range in each alloy [%]; 0 where it is not named."""
    absent = (0.0, 0.0)
    return {
        element: np.array(
            [a.composition_pct.get(element, absent)[end] for a in alloys], dtype=np.float64
        )
        for element in _ELEMENTS
    }


def _crevice(
    share: Mapping[str, FloatArray], as_stainless: BoolArray, as_nickel: BoolArray
) -> FloatArray:
    stainless = chloride_water.crevice_start_c(share["Cr"], share["Mo"], share["N"])
    nickel = chloride_water.nickel_crevice_start_c(
        share["Cr"], share["Mo"], share["Nb"], share["W"]
    )
    return np.where(as_stainless, stainless, np.where(as_nickel, nickel, np.nan))


def _pren(share: Mapping[str, FloatArray], as_stainless: BoolArray) -> FloatArray:
    return np.where(as_stainless, chloride_water.pren(share["Cr"], share["Mo"], share["N"]), np.nan)
