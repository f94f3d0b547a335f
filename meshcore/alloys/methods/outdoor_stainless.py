"""Stainless steel in outdoor air: the corrosion resistance factor of EN 1993-1-4, Annex A.

The edition used (2006 with A1:2015) is superseded; its procedure is the widely published one.
It was written for load-bearing parts in European air. It does not cover splash and immersion,
chemical process air, or indoor pools, where stress corrosion has brought ceilings down.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from meshcore.alloys.methods.verdicts import Fitness, verdict_where
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

METHOD = "outdoor air, stainless (EN 1993-1-4 Annex A)"

#: F1, exposure to chlorides (EN 1993-1-4 Table A.1, from memory): farthest distance from the
#: sea [m] at which each value still holds; beyond the last, 0.
SEA_STEPS_M: tuple[tuple[float, float], ...] = ((1_000.0, -7.0), (10_000.0, -3.0))
#: Nearer than this the coast is counted as very high [m].
SHORE_M = 250.0
SHORE_FACTOR, SHELTERED_SHORE_FACTOR = -15.0, -10.0
#: The same by distance from roads with de-icing salt [m].
ROAD_STEPS_M: tuple[tuple[float, float], ...] = ((10.0, -7.0), (100.0, -3.0))
TUNNEL_FACTOR = -10.0
INDOOR_FACTOR = 1.0
#: F2, exposure to sulphur dioxide (Table A.1, from memory): bounds [µg/m³] and values.
SO2_MEDIUM, SO2_HIGH, SO2_MOST = 10.0, 90.0, 250.0
SO2_FACTORS = (0.0, -5.0, -10.0)
#: F3, cleaning regime or washing by rain (Table A.1, from memory), in the order of WASHINGS.
WASHINGS: tuple[str, ...] = ("rain", "cleaned", "neither")
WASHING_FACTORS = np.array([0.0, -2.0, -7.0])

#: Class I to V as 1 to 5; 0 is none.
CLASSES: tuple[str, ...] = ("none", "I", "II", "III", "IV", "V")
#: CRF at which classes II and III end (they exclude it) and IV ends (it includes it).
CLASS_FLOORS = (-7.0, -15.0, -20.0)
#: Grades of each class (Table A.3, from memory).
GRADES: Mapping[int, tuple[str, ...]] = {
    1: ("1.4003", "1.4016", "1.4512"),
    2: (
        "1.4301", "1.4306", "1.4307", "1.4311", "1.4318", "1.4541", "1.4567", "1.4482",
    ),
    3: (
        "1.4401", "1.4404", "1.4429", "1.4432", "1.4435", "1.4571", "1.4578", "1.4062",
        "1.4162", "1.4362", "1.4662",
    ),
    4: ("1.4439", "1.4462", "1.4539"),
    5: ("1.4410", "1.4501", "1.4507", "1.4529", "1.4547", "1.4565"),
}  # fmt: skip
_CLASS_OF_GRADE = {grade: level for level, grades in GRADES.items() for grade in grades}


def chloride_factor(
    distance_to_sea_m: FloatArray,
    distance_to_salted_road_m: FloatArray,
    indoor: BoolArray,
    road_tunnel: BoolArray,
    sheltered_coast: BoolArray,
) -> FloatArray:
    """F1, exposure to chlorides from the sea or from de-icing salt [-].

    Parameters
    ----------
    distance_to_sea_m, distance_to_salted_road_m
        Distances [m]; infinite where there is no such thing near, NaN where unknown.
    indoor
        Internally controlled air.
    road_tunnel
        Road tunnels where salt is spread or carried in by vehicles.
    sheltered_coast
        The German North Sea coast and the Baltic coasts, which Annex A counts milder.

    Returns
    -------
    The graver of the two sources; NaN where a distance is unknown.

    Examples
    --------
    >>> far, no = np.array([np.inf]), np.array([False])
    >>> chloride_factor(np.array([250.0]), far, no, no, no).tolist()
    [-15.0]
    """
    shore = np.where(sheltered_coast, SHELTERED_SHORE_FACTOR, SHORE_FACTOR)
    sea = np.where(distance_to_sea_m <= SHORE_M, shore, _stepped(distance_to_sea_m, SEA_STEPS_M))
    road = np.where(road_tunnel, TUNNEL_FACTOR, _stepped(distance_to_salted_road_m, ROAD_STEPS_M))
    return np.where(indoor, INDOOR_FACTOR, np.minimum(sea, road))


def _stepped(distance_m: FloatArray, steps: tuple[tuple[float, float], ...]) -> FloatArray:
    """Value of the first step that reaches as far as the distance; NaN stays NaN."""
    reached = np.select(
        [distance_m <= reach for reach, _ in steps], [value for _, value in steps], 0.0
    )
    return np.where(np.isnan(distance_m), np.nan, reached)


def sulphur_factor(so2_ug_m3: FloatArray) -> FloatArray:
    """F2, exposure to sulphur dioxide [-], from its yearly mean [µg/m³].

    NaN above 250 µg/m³, where the table ends, and where the value is unknown.

    Examples
    --------
    >>> sulphur_factor(np.array([9.9, 10.0, 90.0, 90.1])).tolist()
    [0.0, -5.0, -5.0, -10.0]
    """
    return np.select(
        [so2_ug_m3 < SO2_MEDIUM, so2_ug_m3 <= SO2_HIGH, so2_ug_m3 <= SO2_MOST],
        SO2_FACTORS,
        np.nan,
    )


def washing_factor(washing: IntArray, chloride_and_sulphur: FloatArray) -> FloatArray:
    """F3, washing [-], from its index into ``WASHINGS``; 0 where F1 + F2 ≥ 0.

    Where nobody knows the washing (-1), it is the worst: `best_factor` tells what rain would make.
    """
    return np.where(chloride_and_sulphur >= 0.0, 0.0, WASHING_FACTORS[washing])


def best_factor(resistance: FloatArray, washing: IntArray) -> FloatArray:
    """CRF if rain washes what nobody knows to be washed [-].

    Examples
    --------
    >>> best_factor(np.array([-14.0, -7.0]), np.array([-1, 0])).tolist()
    [-7.0, -7.0]
    """
    lowered = (washing < 0) & (resistance < 0.0)
    return np.where(lowered, resistance - WASHING_FACTORS[-1], resistance)


def resistance_factor(
    distance_to_sea_m: FloatArray,
    distance_to_salted_road_m: FloatArray,
    so2_ug_m3: FloatArray,
    washing: IntArray,
    indoor: BoolArray,
    road_tunnel: BoolArray,
    sheltered_coast: BoolArray,
) -> FloatArray:
    """CRF = F1 + F2 + F3 [-]; NaN where the tables do not reach.

    Examples
    --------
    A coast 800 m away, clean air, washed by rain:

    >>> no = np.array([False])
    >>> resistance_factor(np.array([800.0]), np.array([np.inf]), np.array([5.0]),
    ...                   np.array([0]), no, no, no).tolist()
    [-7.0]
    """
    f1 = chloride_factor(
        distance_to_sea_m, distance_to_salted_road_m, indoor, road_tunnel, sheltered_coast
    )
    so_far = f1 + sulphur_factor(so2_ug_m3)
    return so_far + washing_factor(washing, so_far)


def class_needed(resistance: FloatArray) -> IntArray:
    """Class 1 to 5 that a CRF asks for (Table A.2, from memory); 0 where it is NaN.

    Examples
    --------
    >>> class_needed(np.array([1.0, 0.0, -7.0, -15.0, -20.0, -21.0])).tolist()
    [1, 2, 3, 4, 4, 5]
    """
    floor_ii, floor_iii, floor_iv = CLASS_FLOORS
    return np.select(
        [
            resistance > 0.0,
            resistance > floor_ii,
            resistance > floor_iii,
            resistance >= floor_iv,
            resistance < floor_iv,
        ],
        [1, 2, 3, 4, 5],
        0,
    ).astype(np.int64)


def class_of_grades(en_numbers: Sequence[str]) -> IntArray:
    """Class 1 to 5 of each EN number; 0 where Table A.3 does not list it.

    Examples
    --------
    >>> class_of_grades(["1.4404", "1.0304"]).tolist()
    [3, 0]
    """
    return np.array([_CLASS_OF_GRADE.get(en.strip(), 0) for en in en_numbers], dtype=np.int64)


#: Class that a family's grade is counted in where Table A.3 does not list it: that of the listed
#: grade of its kind, 304 for 302 and 305 (project's own reading).
_CLASS_OF_KIN: Mapping[str, int] = {
    "cr12": 1, "cr17": 1, "crheat": 1, "aust": 2, "heataust": 2, "ni330": 2, "austmo": 3,
    "leanduplex": 3, "duplex": 4, "superaust": 4, "superduplex": 5, "sixmo": 5,
}  # fmt: skip


def classes_counted(en_numbers: Sequence[str], families: Sequence[str]) -> IntArray:
    """Class 1 to 5 of each grade: its own, or that of its kind; 0 where it has neither.

    Examples
    --------
    >>> classes_counted(["1.4301", "1.4300", "1.0304"], ["aust", "aust", "carbon"]).tolist()
    [2, 2, 0]
    """
    of_kin = np.array([_CLASS_OF_KIN.get(name, 0) for name in families], dtype=np.int64)
    own = class_of_grades(en_numbers)
    return np.where(own > 0, own, of_kin)


def judge(
    asked: BoolArray,
    resistance: FloatArray,
    en_numbers: Sequence[str],
    names: ObjectArray,
    washing: IntArray | None = None,
    at_best: FloatArray | None = None,
    classes: IntArray | None = None,
) -> Fitness:
    """Judge grades by their class against the class that each service needs.

    Parameters
    ----------
    asked
        Services in air [shape (services,)].
    resistance
        CRF of each service [-]; NaN where the annex does not reach. Where the washing is not
        known, with the worst.
    en_numbers, names
        EN number and designation of each alloy.
    washing
        Index into ``WASHINGS`` of each service, -1 where nobody knows; rain by default.
    at_best
        CRF of each service with the best of what nobody knows besides the washing; `resistance` by
        default.
    classes
        Class that each grade is counted in, from `classes_counted`; only those listed by default.

    Returns
    -------
    Fitness of shape (services, alloys); one step of margin is one class. The table knows no
    marginal grade. What depends on washing that nobody knows is not judged.
    """
    washed = np.zeros(len(resistance), dtype=np.int64) if washing is None else washing
    listed = class_of_grades(en_numbers)
    needed = class_needed(resistance)[:, None]
    has = (listed if classes is None else classes)[None, :]
    best = best_factor(resistance if at_best is None else at_best, washed)
    least = class_needed(best)[:, None]
    meets, depends = has >= needed, (has < needed) & (has >= least)
    # What falls short of the best falls short, also where the tables do not reach the worst.
    short = (has > 0) & (has < least)
    covered = ((needed > 0) & (has > 0)) | short
    verdict = verdict_where(asked[:, None], covered & ~depends, meets & ~short, np.array(False))

    def worded(service: int, alloy: int) -> str:
        if not needed[service, 0] and not short[service, alloy]:
            return "EN 1993-1-4: the service lies outside its tables"
        if not has[0, alloy]:
            return f"EN 1993-1-4 Annex A does not list {names[alloy]}"
        if short[service, alloy] and not needed[service, 0]:
            return (
                f"class {CLASSES[has[0, alloy]]} falls short of class {CLASSES[least[service, 0]]} "
                "at the end of its tables, and the service lies beyond"
            )
        if depends[service, alloy] and washed[service] >= 0:
            return (
                f"class {CLASSES[has[0, alloy]]} is enough at the best (class "
                f"{CLASSES[least[service, 0]]}) and too low at the worst (class "
                f"{CLASSES[needed[service, 0]]}): say how far sea and salted roads are, and how "
                "much sulphur dioxide there is"
            )
        if depends[service, alloy]:
            return (
                f"class {CLASSES[has[0, alloy]]} is enough if rain washes it (class "
                f"{CLASSES[least[service, 0]]}) and too low if nothing does (class "
                f"{CLASSES[needed[service, 0]]}): say what washes it"
            )
        relation = "covers" if has[0, alloy] >= needed[service, 0] else "falls short of"
        worst = ", if nothing washes it" if washed[service] < 0 else ""
        return (
            f"class {CLASSES[has[0, alloy]]} {relation} class {CLASSES[needed[service, 0]]} "
            f"needed (CRF {resistance[service]:.0f}{worst})"
        )

    def say(service: int, alloy: int) -> str:
        is_kin = has[0, alloy] and not listed[alloy]
        note = f"{names[alloy]} is not listed, and counted as its kind: " if is_kin else ""
        return note + worded(service, alloy)

    margin = np.where(covered & asked[:, None], (has - needed).astype(np.float64), np.nan)
    return Fitness(METHOD, verdict, margin, say)
