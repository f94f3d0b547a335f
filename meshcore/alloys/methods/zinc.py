"""Zinc on wire: its mass by class and wire diameter, and what a coating is worth.

Before weaving by EN 10244-2; wire bears no more than its heaviest class, for more flakes off when
it is bent. After weaving by EN ISO 1461, thickness of zinc by that of the steel, whatever the class
of the wire.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from meshcore.arrays import FloatArray, IntArray

#: Density of zinc [kg/m³] (handbook value, from memory): a mass in g/m² over it is µm.
ZINC_DENSITY = 7140.0
#: How wire may be coated.
COATINGS: tuple[str, ...] = (
    "zinc",
    "zinc after weaving",
    "zinc-aluminium",
    "polymer over zinc",
)
AFTER_WEAVING, POLYMER = COATINGS.index("zinc after weaving"), COATINGS.index("polymer over zinc")
#: How many times longer each lasts in the open than as much zinc [-]: 5 % aluminium in zinc about
#: doubles it (common practice, no source). A polymer is counted as nothing: it is cut at
#: crossings and edges, and nobody publishes its life on mesh; so that what the zinc alone would not
#: last is not judged.
WORTH: Mapping[str, float] = {
    "zinc": 1.0,
    "zinc after weaving": 1.0,
    "zinc-aluminium": 2.0,
    "polymer over zinc": 1.0,
}
#: Classes of EN 10244-2 that records name.
CLASSES: tuple[str, ...] = ("A", "AB", "B", "C", "D")
#: Least mass of zinc [g/m²] from each diameter [mm] up, in the classes A, AB, B, C, D
#: (EN 10244-2:2009 Table 1, from memory); NaN where the class starts at thicker wire.
_TABLE: FloatArray = np.array(
    [
        [0.15, np.nan, np.nan, 15, np.nan, 10], [0.20, 30, 20, 20, 20, 15],
        [0.25, 45, 30, 30, 25, 15], [0.32, 60, 30, 30, 25, 15], [0.40, 85, 55, 40, 30, 15],
        [0.50, 100, 70, 50, 35, 20], [0.60, 115, 80, 60, 40, 20], [0.70, 130, 90, 60, 45, 20],
        [0.80, 145, 100, 70, 50, 20], [0.90, 155, 110, 70, 55, 25],
        [1.00, 165, 115, 80, 60, 25], [1.20, 180, 125, 90, 65, 25],
        [1.40, 195, 135, 100, 70, 30], [1.65, 205, 145, 100, 75, 30],
        [1.85, 215, 155, 115, 80, 40], [2.15, 230, 170, 125, 85, 45],
        [2.50, 245, 185, 125, 95, 45], [2.80, 255, 195, 135, 100, 50],
        [3.20, 265, 210, 135, 105, 60], [3.80, 275, 220, 135, 110, 60],
        [4.40, 280, 220, 150, 110, 70], [5.20, 290, np.nan, np.nan, 110, 80],
        [8.20, 300, np.nan, np.nan, 110, 80],
    ],
    dtype=np.float64,
)  # fmt: skip
#: Steel from each thickness up [mm] and the least that a dip leaves on it, locally [µm]
#: (EN ISO 1461:2009 Table 3, from memory).
_DIPPED: FloatArray = np.array([[0.0, 35.0], [1.5, 45.0], [3.0, 55.0], [6.0, 70.0]])
#: The same as a mean over the piece, the most that is counted [g/m²] (EN ISO 1461:2009 Table 3,
#: from memory): more is asked of the galvanizer.
_DIPPED_MEAN_G_M2: FloatArray = np.array([325.0, 395.0, 505.0, 610.0])
#: Diameter at which each class begins [mm].
_FIRST_MM: FloatArray = _TABLE[np.isfinite(_TABLE[:, 1:]).argmax(axis=0), 0]


def class_mass_g_m2(zinc_class: IntArray, wire_diameter_m: FloatArray) -> FloatArray:
    """Least zinc of a class on a wire [g/m²]; NaN where the table gives none.

    Parameters
    ----------
    zinc_class
        Index into ``CLASSES``; -1 for none.
    wire_diameter_m
        Diameter [m]; NaN where unknown. The shapes broadcast.

    Examples
    --------
    >>> wire = np.array([0.4e-3, 0.9e-3, 2.0e-3])
    >>> class_mass_g_m2(np.array([0]), wire).tolist()
    [85.0, 155.0, 215.0]
    """
    known = np.nan_to_num(wire_diameter_m * 1e3, nan=-1.0)
    row = np.searchsorted(_TABLE[:, 0], known + 1e-9, side="right") - 1
    mass = _TABLE[np.maximum(row, 0), np.maximum(zinc_class, 0) + 1]
    return np.where((row >= 0) & (zinc_class >= 0), mass, np.nan)


def thickness_um(mass_g_m2: FloatArray) -> FloatArray:
    """Thickness of zinc [µm] of a mass by the wire's surface [g/m²].

    Examples
    --------
    >>> thickness_um(np.array([71.4])).tolist()
    [10.0]
    """
    return mass_g_m2 / (ZINC_DENSITY * 1e-3)


def borne_g_m2(wire_diameter_m: FloatArray) -> FloatArray:
    """Zinc that wire bears before weaving [g/m²]: that of its heaviest class, less when finer.

    Examples
    --------
    >>> borne_g_m2(np.array([0.1e-3, 0.4e-3, 2.5e-3])).tolist()
    [15.0, 85.0, 245.0]
    """
    heaviest = np.zeros(np.shape(wire_diameter_m), dtype=np.int64)
    first_m = _FIRST_MM[0] / 1e3
    finer = class_mass_g_m2(np.array(0), np.array(first_m)) * wire_diameter_m / first_m
    mass = class_mass_g_m2(heaviest, wire_diameter_m)
    return np.where(wire_diameter_m < first_m, finer, mass)


def dipped_um(wire_diameter_m: FloatArray) -> FloatArray:
    """Zinc that a dip leaves on woven cloth by its wire [µm]; NaN where the wire is not known.

    Examples
    --------
    >>> dipped_um(np.array([0.9e-3, 2.0e-3, np.nan])).tolist()
    [35.0, 45.0, nan]
    """
    return _of_dip(wire_diameter_m, _DIPPED[:, 1])


def dip_bears_g_m2(wire_diameter_m: FloatArray) -> FloatArray:
    """Zinc that a dip leaves on woven cloth as a mean [g/m²]: no more is counted.

    Examples
    --------
    >>> dip_bears_g_m2(np.array([0.2e-3, 2.0e-3])).tolist()
    [325.0, 395.0]
    """
    return _of_dip(wire_diameter_m, _DIPPED_MEAN_G_M2)


def _of_dip(wire_diameter_m: FloatArray, by_thickness: FloatArray) -> FloatArray:
    """Look up what a dip leaves, for each thickness of `_DIPPED`; NaN where it is not known."""
    known = np.nan_to_num(wire_diameter_m * 1e3)
    row = np.searchsorted(_DIPPED[:, 0], known + 1e-9, side="right") - 1
    return np.where(np.isnan(wire_diameter_m), np.nan, by_thickness[row])


def zinc_on_wire_um(
    stated_g_m2: FloatArray,
    wire_diameter_m: FloatArray,
    coating: IntArray,
    zinc_class: IntArray,
    record_um: FloatArray,
) -> FloatArray:
    """Zinc on the wire [µm], services down and alloys across; 0 on metals without zinc.

    Parameters
    ----------
    stated_g_m2, wire_diameter_m, coating
        Of each service: the mass asked for [g/m²], NaN where none, the wire [m], and index into
        ``COATINGS``, -1 where it is not named. No more is counted than such wire bears.
    zinc_class, record_um
        Of each alloy: its class, and the thickness that its record gives where the class or the
        wire says nothing [µm].
    """
    wire = wire_diameter_m[:, None]
    mass = class_mass_g_m2(zinc_class[None, :], wire)
    # On wire finer than its class begins at there is no more zinc than on that, by diameter.
    first_m = _FIRST_MM[np.maximum(zinc_class, 0)][None, :] / 1e3
    finer = (zinc_class >= 0)[None, :] & (wire < first_m)
    at_first = class_mass_g_m2(zinc_class[None, :], first_m)
    by_class = thickness_um(np.where(finer, at_first * wire / first_m, mass))
    own = np.where(np.isnan(by_class), record_um[None, :], by_class)
    is_dipped = (coating == AFTER_WEAVING)[:, None]
    dipped = dipped_um(wire_diameter_m)[:, None]
    own = np.where(is_dipped & ~np.isnan(dipped), dipped, own)
    by_dip = dip_bears_g_m2(wire_diameter_m)[:, None]
    borne = np.where(is_dipped, by_dip, borne_g_m2(wire_diameter_m)[:, None])
    stated = thickness_um(np.fmin(stated_g_m2[:, None], borne))
    stated = np.where(np.isnan(stated_g_m2)[:, None], np.nan, stated)
    coated = (record_um > 0.0)[None, :]
    zinc = np.where(np.isnan(stated), own, stated)
    # There is no more zinc on a wire than the wire is thick.
    most = np.where(np.isnan(wire), np.inf, wire / 2.0 * 1e6)
    return np.where(coated, np.minimum(zinc, most), 0.0)
