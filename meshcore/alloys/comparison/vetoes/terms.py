"""What a rule that rules out is made of: families, where it speaks, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns
from meshcore.alloys.comparison.conditions import TEMPERS
from meshcore.alloys.comparison.surroundings import KINDS
from meshcore.alloys.methods import media, outdoor_stainless
from meshcore.alloys.methods.families import all_of
from meshcore.alloys.methods.outdoor_loss import CATEGORIES
from meshcore.alloys.methods.three_way import (
    Maybe,
    above,
    below,
    between,
    both,
    either,
    is_so,
    sure,
)
from meshcore.alloys.methods.verdicts import FAILS
from meshcore.arrays import BoolArray

#: Source of what every corrosion handbook says.
HANDBOOKS = "corrosion handbooks, from memory"
#: Source of what is said of metals when hot.
HOT_METALS = "AISI and Nickel Institute 9004 (from memory)"

Where = Callable[[ConditionColumns], Maybe]


@dataclass(frozen=True, slots=True)
class Veto:
    """One rule.

    Parameters
    ----------
    name
        What it is about.
    groups
        Families that it speaks of, or their kin, as the file of families has them.
    where
        Services that it speaks of: certain, and possible as far as anybody knows.
    reason, source
        Why, and who says so.
    verdict
        What it comes to where it is certain; where it is only possible, nothing is judged.
    rests_on
        What to find out where it is only possible.
    """

    name: str
    groups: tuple[str, ...]
    where: Where
    reason: str
    source: str
    verdict: np.int8 = FAILS
    rests_on: str = ""

    @property
    def families(self) -> tuple[str, ...]:
        """Every family that it speaks of."""
        return all_of(*self.groups)


def _among(codes: Sequence[int], count: int) -> BoolArray:
    """Whether each code is one of some; the last is of what has none (-1)."""
    mask = np.zeros(count + 1, dtype=np.bool_)
    mask[[code for code in codes if code >= 0]] = True
    return mask


_IN_NO_WATER = _among([KINDS.index("chemical"), KINDS.index("ground")], len(KINDS))


def in_kind(*names: str) -> Where:
    """Surroundings of some kinds."""
    among = _among([KINDS.index(name) for name in names], len(KINDS))
    return lambda c: sure(among[c.kind])


def in_medium(*names: str) -> Where:
    """Media by name."""
    among = _among([media.index_of(name) for name in names], len(media.media()))
    return lambda c: sure(among[c.medium])


def wet(c: ConditionColumns) -> Maybe:
    """In a liquid, or in wet ground."""
    return sure(c.is_wet)


def dry(c: ConditionColumns) -> Maybe:
    """In air or gas, and in no liquid nor wet ground."""
    return sure(~c.is_wet)


def in_water(c: ConditionColumns) -> Maybe:
    """In water, and in no chemical."""
    return sure(c.is_wet & ~_IN_NO_WATER[c.kind])


def not_dry(c: ConditionColumns) -> Maybe:
    """In a liquid or in the air, which is moist."""
    return sure(c.is_wet | (c.kind == KINDS.index("air")))


#: Reach of salt from the sea and from roads [m] (EN 1993-1-4 Table A.1, from memory), and the ISO
#: 9223 category from which air is taken to be salty where somebody has stated it.
_SEA_REACH_M, _ROAD_REACH_M = 10_000.0, 100.0
_SALTY = CATEGORIES.index("C4")


def salty_air(c: ConditionColumns) -> Maybe:
    """Air that brings salt from the sea or from roads; possible where no distance is known."""
    here = sure(c.in_open_air)
    sea, road = (
        below(m, reach)
        for m, reach in (
            (c.distance_to_sea_m, _SEA_REACH_M + 1.0),
            (c.distance_to_salted_road_m, _ROAD_REACH_M + 1.0),
        )
    )
    near = both(either(sea, road), sure(~c.indoor))
    return both(here, either(near, sure(c.road_tunnel | (c.stated_category >= _SALTY))))


def not_washed_by_rain(c: ConditionColumns) -> Maybe:
    """Where rain does not wash salt away; possible where nobody knows the washing."""
    rain = outdoor_stainless.WASHINGS.index("rain")
    return Maybe(c.washing > rain, c.washing != rain)


def chlorine_above(limit_mg_l: float) -> Where:
    """Water with more free chlorine than so much [mg/l]."""
    return every(in_water, lambda c: above(c.chlorine_mg_l, limit_mg_l))


def acid_below(limit: float) -> Where:
    """Water of a lower pH."""
    return every(in_water, lambda c: below(c.ph, limit))


def flowing_above(limit_m_s: float, liquid: Where = in_water) -> Where:
    """Water, or another liquid, that runs faster [m/s]."""
    return every(liquid, lambda c: above(c.flow_m_s, limit_m_s))


def stronger(limit_pct: float) -> Where:
    """Liquid that is stronger by mass, or may be [%]."""
    return lambda c: above(c.concentration_pct, limit_pct)


def yes(field: str) -> Where:
    """Where a field that is yes, no or not known says yes."""
    return lambda c: is_so(c.three_way[field])


def said_yes(field: str) -> Where:
    """Where somebody said yes: what is asked for takes nothing away while nobody has said it."""
    return lambda c: sure(is_so(c.three_way[field]).certain)


def hotter(limit_c: float) -> Where:
    """Metal above a temperature [°C]."""
    return lambda c: above(c.metal_c, limit_c)


def colder(limit_c: float) -> Where:
    """Metal that is known to be below a temperature [°C]."""
    return lambda c: sure(c.metal_c < limit_c)


def cooler(limit_c: float) -> Where:
    """Metal that is below a temperature, or may be [°C]."""
    return lambda c: below(c.metal_c, limit_c)


def hot_between(least_c: float, most_c: float) -> Where:
    """Metal in hot air or gas between two temperatures [°C]."""
    gas = in_kind("gas", "hot air")
    return lambda c: both(
        sure(gas(c).certain | ~np.isnan(c.temperature_c)), between(c.metal_c, least_c, most_c)
    )


def under_load_above(limit_c: float) -> Where:
    """Metal above a temperature and under a load that somebody named [°C]."""
    return every(said_yes("load"), lambda c: sure(c.metal_c > limit_c))


def of_temper(*names: str) -> Where:
    """Wire of a temper that is named."""
    among = _among([TEMPERS.index(name) for name in names], len(TEMPERS))
    return lambda c: sure(among[c.temper])


def may_be_of_temper(*names: str) -> Where:
    """Wire of a temper that is named; possible where none is, and hard wire is what cracks."""
    among = _among([TEMPERS.index(name) for name in names], len(TEMPERS))
    return lambda c: Maybe(among[c.temper], among[c.temper] | (c.temper < 0))


def every(*parts: Where) -> Where:
    """Where all hold; what comes after a part that holds nowhere is not asked."""
    first, *rest = parts

    def where(c: ConditionColumns) -> Maybe:
        held = first(c)
        for part in rest:
            if not held.possible.any():
                break
            held = both(held, part(c))
        return held

    return where


def some(*parts: Where) -> Where:
    """Where any holds."""
    return lambda c: either(*(part(c) for part in parts))
