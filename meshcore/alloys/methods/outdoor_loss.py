"""Metal lost in outdoor air: ISO 9223 categories, ISO 9224 loss over years, life of a wire.

Valid for unalloyed carbon steel, zinc, copper and aluminium in the open air, where the loss is
spread evenly. Aluminium pits instead, so that its life by even loss is only a sign. Wire is
assumed to be wetted and attacked all round; crossings hold dirt and water, and may go sooner.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from meshcore.alloys.methods.figures import figure
from meshcore.alloys.methods.verdicts import Fitness, verdict_where
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

METHOD = "outdoor air, metal loss (ISO 9223, ISO 9224)"

#: Metals in the order of their codes.
METALS: tuple[str, ...] = ("carbon steel", "zinc", "copper", "aluminium")
CARBON_STEEL, ZINC, COPPER, ALUMINIUM = range(len(METALS))
CATEGORIES: tuple[str, ...] = ("C1", "C2", "C3", "C4", "C5", "CX")
#: Density of aluminium, by which ISO 9223 turns its mass loss into depth [g/cm³].
_ALUMINIUM_DENSITY = 2.7
#: First-year loss at the upper end of each category [µm/a] (ISO 9223:2012 Table 2, from memory).
#: Aluminium is listed by mass [g/(m²·a)]: negligible in C1, without a ceiling in CX.
CATEGORY_UPPER_UM: FloatArray = np.array(
    [
        [1.3, 25.0, 50.0, 80.0, 200.0, 700.0],
        [0.1, 0.7, 2.1, 4.2, 8.4, 25.0],
        [0.1, 0.6, 1.3, 2.8, 5.6, 10.0],
        [0.0, *(np.array([0.6, 2.0, 5.0, 10.0]) / _ALUMINIUM_DENSITY), np.nan],
    ]
)
#: The same at the lower end: where the category below ends.
CATEGORY_LOWER_UM: FloatArray = np.hstack([np.zeros((len(METALS), 1)), CATEGORY_UPPER_UM[:, :-1]])
#: Time exponents b (ISO 9224:2012 Table 2, from memory).
EXPONENTS: FloatArray = np.array([0.523, 0.813, 0.667, 0.728])
#: Years after which the loss goes on at a steady rate (ISO 9224:2012).
STEADY_AFTER_YEARS = 20.0
#: Share of its section that a wire may lose before it counts as spent: the project's default.
DEFAULT_LOST_SHARE = 0.5

#: Least purity of the specimens that define the categories [%] (ISO 9226, from memory).
_PURE_PCT = 99.5
#: Most of each element in unalloyed steel [%] (EN 10020, from memory).
_UNALLOYED_PCT = {"Mn": 1.65, "Cr": 0.30, "Ni": 0.30, "Cu": 0.40, "Mo": 0.08, "Al": 0.30}
_STEEL_IRON_PCT = 95.0


def loss_um(first_year_um: FloatArray, exponent: FloatArray, years: FloatArray) -> FloatArray:
    """Depth lost after some years [µm]: a power of time to 20 years, steady after.

    Parameters
    ----------
    first_year_um
        Loss in the first year [µm/a].
    exponent
        Time exponent b [-].
    years
        Time in the open [a].

    References
    ----------
    .. [1] ISO 9224:2012 (from memory).

    Examples
    --------
    Carbon steel at the upper end of C2:

    >>> loss_um(np.array(25.0), np.array(0.523), np.array([2.0, 10.0, 20.0])).round().tolist()
    [36.0, 83.0, 120.0]
    """
    at_change = STEADY_AFTER_YEARS**exponent
    slope = exponent * STEADY_AFTER_YEARS ** (exponent - 1.0)
    beyond = np.maximum(years - STEADY_AFTER_YEARS, 0.0)
    early = np.minimum(years, STEADY_AFTER_YEARS) ** exponent
    return np.asarray(
        first_year_um * np.where(beyond > 0.0, at_change + slope * beyond, early), dtype=np.float64
    )


def years_to_lose(
    depth_um: FloatArray, first_year_um: FloatArray, exponent: FloatArray
) -> FloatArray:
    """Years until a depth is lost [a]: `loss_um` turned round in closed form.

    Infinite where nothing is lost in a year; NaN where the first-year loss is unknown.

    Examples
    --------
    >>> years_to_lose(np.array([83.36]), np.array(25.0), np.array(0.523)).round(2).tolist()
    [10.0]
    """
    rate = np.where(first_year_um > 0.0, first_year_um, np.nan)
    in_first_years = depth_um / rate
    at_change = STEADY_AFTER_YEARS**exponent
    slope = exponent * STEADY_AFTER_YEARS ** (exponent - 1.0)
    early = in_first_years ** (1.0 / exponent)
    late = STEADY_AFTER_YEARS + (in_first_years - at_change) / slope
    years = np.where(in_first_years <= at_change, early, late)
    return np.where(first_year_um == 0.0, np.inf, years)


def depth_for_share(diameter_m: FloatArray, lost_share: FloatArray) -> FloatArray:
    """Depth all round whose loss takes a share of a round wire's section [µm]."""
    return np.asarray(diameter_m / 2.0 * (1.0 - np.sqrt(1.0 - lost_share)) * 1e6, dtype=np.float64)


def wire_life_years(
    metal: IntArray,
    zinc_coating_um: FloatArray,
    wire_diameter_m: FloatArray,
    category: IntArray,
    lost_share: FloatArray,
    end: Literal["upper", "lower"] = "upper",
    zinc_worth: FloatArray | float = 1.0,
) -> FloatArray:
    """Years until a share of the wire's section is lost from all round [a].

    Parameters
    ----------
    metal
        Index into ``METALS`` of the wire, or of its core; -1 where none applies.
    zinc_coating_um
        Zinc on the wire [µm]; it goes first, and the core starts afresh when it is gone.
    wire_diameter_m
        Diameter over the zinc [m].
    category
        Index into ``CATEGORIES``; -1 where unknown.
    lost_share
        Share of the core's section that may be lost [-]; 0 < share < 1.
    end
        Which end of the category's first-year loss: ``upper`` gives the shorter life.
    zinc_worth
        How much slower the coating goes than as much zinc [-].

    Returns
    -------
    Life [a], the broadcast shape of all; NaN where metal or category is unknown.

    Examples
    --------
    1 mm steel wire in C3, bare and with 32 µm of zinc:

    >>> one = np.array([CARBON_STEEL]), np.array([0.0, 32.0])
    >>> wire_life_years(*one, np.array([1e-3]), np.array([2]), np.array([0.5])).round(1).tolist()
    [7.8, 35.1]
    """
    rates = CATEGORY_UPPER_UM if end == "upper" else CATEGORY_LOWER_UM
    known = (metal >= 0) & (category >= 0)
    core_m = np.maximum(wire_diameter_m - 2e-6 * zinc_coating_um, 0.0)
    depth_um = depth_for_share(core_m, lost_share)
    core_years = years_to_lose(depth_um, rates[metal, category], EXPONENTS[metal])
    zinc_years = years_to_lose(
        zinc_coating_um, rates[ZINC, category] / zinc_worth, EXPONENTS[[ZINC]]
    )
    life = core_years + np.where(zinc_coating_um > 0.0, zinc_years, 0.0)
    return np.where(known, life, np.nan)


def metal_of(least_pct: dict[str, FloatArray], most_pct: dict[str, FloatArray]) -> IntArray:
    """Index into ``METALS`` of each alloy by its composition; -1 where ISO 9223 covers none.

    Parameters
    ----------
    least_pct, most_pct
        Element symbol → its least and most share in each alloy [%].
    """
    nothing = np.zeros_like(least_pct["Fe"])
    unalloyed = np.logical_and.reduce(
        [most_pct.get(element, nothing) <= limit for element, limit in _UNALLOYED_PCT.items()]
    )
    return np.select(
        [
            unalloyed & (least_pct["Fe"] >= _STEEL_IRON_PCT),
            least_pct.get("Cu", nothing) >= _PURE_PCT,
            least_pct.get("Al", nothing) >= _PURE_PCT,
        ],
        [CARBON_STEEL, COPPER, ALUMINIUM],
        -1,
    ).astype(np.int64)


def judge(
    asked: BoolArray,
    category: IntArray,
    years_wanted: FloatArray,
    life: tuple[FloatArray, FloatArray],
    metal: IntArray,
    names: ObjectArray,
) -> Fitness:
    """Judge wires by their life in the category against the years wanted.

    Parameters
    ----------
    asked
        Services in air.
    category
        Index into ``CATEGORIES`` of each service; -1 where unknown.
    years_wanted
        Of each service [a]; NaN where none are named.
    life
        Life at the upper and at the lower end of the category, shape (services, alloys) [a].
    metal, names
        Metal code and designation of each alloy.

    Returns
    -------
    Fitness: meets if even the upper end leaves the years wanted, marginal if only the lower end
    does. One step of margin is a doubling of life. Aluminium is marginal at best outside C1 and
    has no margin there, since it pits.
    """
    shortest, longest = life
    wanted = years_wanted[:, None]
    timed = ~np.isnan(shortest) & ~np.isnan(wanted)
    pits = (metal == ALUMINIUM)[None, :] & (category > 0)[:, None]
    # What pits is marginal however few the years.
    untimed = pits & np.isnan(wanted)
    # In CX aluminium has no ceiling; what is too short at the lower end is too short all the same.
    gone = np.isnan(shortest) & (longest < wanted)
    covered = timed | untimed | gone
    meets = (shortest >= wanted) & ~pits
    verdict = verdict_where(asked[:, None], covered, meets, (longest >= wanted) | untimed)
    measured = timed & ~pits & (shortest > 0.0) & asked[:, None]
    margin = np.log2(np.where(measured, shortest, np.nan) / np.where(wanted > 0.0, wanted, np.nan))

    def say(service: int, alloy: int) -> str:
        if metal[alloy] < 0:
            return f"ISO 9223 does not cover {names[alloy]}"
        if category[service] < 0:
            return "ISO 9223: no corrosivity category is named"
        if metal[alloy] != ALUMINIUM and np.isnan(shortest[service, alloy]):
            return "ISO 9223: no life is reckoned for a wire whose size is not known"
        if np.isnan(shortest[service, alloy]) and not gone[service, alloy]:
            return f"ISO 9223 gives no ceiling for {METALS[metal[alloy]]} in CX"
        where = CATEGORIES[category[service]]
        note = "; aluminium pits, so even loss flatters it" if pits[service, alloy] else ""
        span = _span(shortest[service, alloy], longest[service, alloy])
        if np.isnan(years_wanted[service]):
            return f"{span} in {where}; name the years wanted{note}"
        return f"{span} in {where}, {figure(years_wanted[service])} years wanted{note}"

    return Fitness(METHOD, verdict, margin, say)


def _span(shortest: float, longest: float) -> str:
    """Word a life from the category's upper to its lower end."""
    if np.isnan(shortest):
        return f"life {figure(longest)} years at the most"
    if np.isinf(shortest):
        return "no loss that counts"
    if np.isinf(longest):
        return f"life {figure(shortest)} years or more"
    return f"life {figure(shortest)}–{figure(longest)} years"
