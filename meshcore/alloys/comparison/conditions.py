"""The service that an alloy must stand: what is known of it, and named surroundings."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.methods import galvanic, outdoor_loss, outdoor_stainless
from meshcore.arrays import BoolArray, FloatArray, IntArray


@dataclass(frozen=True, slots=True)
class Environment:
    """Named surroundings: typical values, each of which a service may give better.

    Parameters
    ----------
    about
        What it describes, in words.
    category
        ISO 9223 category.
    distance_to_sea_m, distance_to_salted_road_m
        [m]; infinite where there is none near.
    so2_ug_m3
        Yearly mean of sulphur dioxide [µg/m³].
    indoor
        Internally controlled air.
    in_annex
        Whether EN 1993-1-4 Annex A speaks of such air.
    """

    about: str
    category: str
    distance_to_sea_m: float = np.inf
    distance_to_salted_road_m: float = np.inf
    so2_ug_m3: float = 5.0
    indoor: bool = False
    in_annex: bool = True


#: Named surroundings; categories after the descriptions of ISO 9223:2012 Annex C (from memory),
#: distances and sulphur dioxide the project's own reading of them.
ENVIRONMENTS: Mapping[str, Environment] = {
    "indoor": Environment("heated, dry, clean rooms", "C1", indoor=True),
    "rural": Environment("open country, clean air, no sea or salted road near", "C2"),
    "urban": Environment("town air, a salted road 50 m away", "C3", np.inf, 50.0, 15.0),
    "industrial": Environment("polluted industrial air inland", "C4", np.inf, 50.0, 60.0),
    "coastal": Environment("800 m from the sea, no spray, clean air", "C4", 800.0),
    "shore": Environment("100 m from the sea, clean air", "C5", 100.0),
    "offshore": Environment("at sea or in the splash zone", "CX", 0.0, in_annex=False),
    "pool hall": Environment("air above an indoor pool", "C4", indoor=True, in_annex=False),
}
#: Chloride of named waters [mg/l]: sea water of salinity 35 (from memory); drinking water at the
#: indicator limit of EU Directive 98/83/EC (from memory).
WATERS_MG_L: Mapping[str, float] = {"drinking water": 250.0, "sea water": 19_400.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """One service. What is left out is filled from the environment, or stays unknown.

    Parameters
    ----------
    environment
        One of ``ENVIRONMENTS``, or empty.
    distance_to_sea_m, distance_to_salted_road_m, so2_ug_m3, washing, sheltered_coast, road_tunnel
        As for `meshcore.alloys.methods.outdoor_stainless`; ``washing`` is ``rain``, ``cleaned`` or
        ``neither``.
    corrosivity
        ISO 9223 category, ``"C1"`` to ``"CX"``.
    temperature_c
        Hottest continuous temperature of the metal in air [°C].
    chloride_mg_l, water_temperature_c
        Of the water that wets the mesh [mg/l, °C].
    years_wanted
        Life wanted in the open [a].
    lost_share
        Share of the wire's section that may be lost by then [-].
    non_magnetic, food_contact, weld, form, anneal, coat
        What the alloy must be, or must take after weaving.
    contact_metal
        Metal of frame or fasteners, one of `galvanic.GROUPS`, or empty.

    Raises
    ------
    ValueError
        If a choice is not one of those named, or a number is out of its range; text from a user
        goes through `read_conditions`, which never raises.
    """

    environment: str = ""
    distance_to_sea_m: float | None = None
    distance_to_salted_road_m: float | None = None
    so2_ug_m3: float | None = None
    washing: str = "rain"
    sheltered_coast: bool = False
    road_tunnel: bool = False
    corrosivity: str = ""
    temperature_c: float | None = None
    chloride_mg_l: float | None = None
    water_temperature_c: float | None = None
    years_wanted: float | None = None
    lost_share: float = outdoor_loss.DEFAULT_LOST_SHARE
    non_magnetic: bool = False
    food_contact: bool = False
    weld: bool = False
    form: bool = False
    anneal: bool = False
    coat: bool = False
    contact_metal: str = ""

    def __post_init__(self) -> None:
        for field, choices in CHOICES.items():
            chosen = getattr(self, field)
            if chosen and chosen not in choices:
                raise ValueError(f"{field}: {chosen!r} is none of {', '.join(choices)}")
        for field in _AMOUNTS:
            amount = getattr(self, field)
            if amount is not None and not amount >= 0.0:
                raise ValueError(f"{field}: {amount} must be 0 or more")
        if not 0.0 < self.lost_share < 1.0:
            raise ValueError(f"lost_share: {self.lost_share} must lie between 0 and 1")


#: What each field that is a choice may be.
CHOICES: Mapping[str, tuple[str, ...]] = {
    "environment": tuple(ENVIRONMENTS),
    "washing": outdoor_stainless.WASHINGS,
    "corrosivity": outdoor_loss.CATEGORIES,
    "contact_metal": galvanic.GROUPS,
}
_AMOUNTS = (
    "distance_to_sea_m",
    "distance_to_salted_road_m",
    "so2_ug_m3",
    "chloride_mg_l",
    "years_wanted",
)


@dataclass(frozen=True, slots=True)
class ConditionColumns:
    """Services as columns, one row each; NaN or -1 where unknown. Fields as in `Conditions`."""

    in_air: BoolArray
    indoor: BoolArray
    in_annex: BoolArray
    distance_to_sea_m: FloatArray
    distance_to_salted_road_m: FloatArray
    so2_ug_m3: FloatArray
    washing: IntArray
    sheltered_coast: BoolArray
    road_tunnel: BoolArray
    category: IntArray
    temperature_c: FloatArray
    chloride_mg_l: FloatArray
    water_temperature_c: FloatArray
    years_wanted: FloatArray
    lost_share: FloatArray
    non_magnetic: BoolArray
    food_contact: BoolArray
    services: Mapping[str, BoolArray]
    contact: IntArray

    def __len__(self) -> int:
        """Return the number of services."""
        return len(self.in_air)


#: What air is taken to be where only single values are given: the open, with nothing known.
_UNNAMED = Environment("", "", np.nan, np.nan, np.nan)
_AIR_FIELDS = ("distance_to_sea_m", "distance_to_salted_road_m", "so2_ug_m3")
#: Services after weaving that a condition may ask for.
SERVICES: tuple[str, ...] = ("weld", "form", "anneal", "coat")


def _category(conditions: Conditions, place: Environment) -> str:
    """Return the category named; or the surroundings' own, or a graver one so near to the sea."""
    if conditions.corrosivity or not place.category or place.indoor:
        return conditions.corrosivity or place.category
    distance = conditions.distance_to_sea_m
    seaside = [e for e in ENVIRONMENTS.values() if np.isfinite(e.distance_to_sea_m) and e.in_annex]
    near = [e.category for e in seaside if distance is not None and distance <= e.distance_to_sea_m]
    return max([place.category, *(c for c in near if not place.indoor)])


def condition_columns(conditions: Sequence[Conditions]) -> ConditionColumns:
    """Turn services into columns, filling each from its environment.

    Examples
    --------
    >>> columns = condition_columns([Conditions(environment="coastal"), Conditions()])
    >>> columns.distance_to_sea_m.tolist(), columns.in_air.tolist()
    ([800.0, nan], [True, False])
    """
    places = [ENVIRONMENTS.get(c.environment, _UNNAMED) for c in conditions]

    def number(field: str) -> FloatArray:
        given = [getattr(c, field) for c in conditions]
        return np.array([np.nan if g is None else g for g in given], dtype=np.float64)

    def filled(field: str) -> FloatArray:
        typical = np.array([getattr(p, field) for p in places], dtype=np.float64)
        given = number(field)
        return np.where(np.isnan(given), typical, given)

    def flag(field: str, owners: Sequence[object] = conditions) -> BoolArray:
        return np.array([getattr(o, field) for o in owners], dtype=np.bool_)

    def choice(field: str, chosen: Sequence[str]) -> IntArray:
        code = {name: i for i, name in enumerate(CHOICES[field])}
        return np.array([code.get(c, -1) for c in chosen], dtype=np.int64)

    categories = [_category(c, p) for c, p in zip(conditions, places, strict=True)]
    described = np.logical_or.reduce([~np.isnan(number(f)) for f in _AIR_FIELDS])
    named = np.array([bool(c) for c in categories], dtype=np.bool_)
    return ConditionColumns(
        in_air=described | named | flag("road_tunnel"),
        indoor=flag("indoor", places),
        in_annex=flag("in_annex", places),
        distance_to_sea_m=filled("distance_to_sea_m"),
        distance_to_salted_road_m=filled("distance_to_salted_road_m"),
        so2_ug_m3=filled("so2_ug_m3"),
        washing=choice("washing", [c.washing for c in conditions]),
        sheltered_coast=flag("sheltered_coast"),
        road_tunnel=flag("road_tunnel"),
        category=choice("corrosivity", categories),
        temperature_c=number("temperature_c"),
        chloride_mg_l=number("chloride_mg_l"),
        water_temperature_c=number("water_temperature_c"),
        years_wanted=number("years_wanted"),
        lost_share=number("lost_share"),
        non_magnetic=flag("non_magnetic"),
        food_contact=flag("food_contact"),
        services={name: flag(name) for name in SERVICES},
        contact=choice("contact_metal", [c.contact_metal for c in conditions]),
    )


def surroundings(columns: ConditionColumns, chloride_factor: FloatArray) -> IntArray:
    """Index into `galvanic.SURROUNDINGS` of each service, for contact between metals.

    Parameters
    ----------
    columns
        The services.
    chloride_factor
        F1 of each service [-]; NaN where unknown.
    """
    severe = outdoor_loss.CATEGORIES.index("C4")
    mild = outdoor_loss.CATEGORIES.index("C2")
    near_salt = outdoor_stainless.ROAD_STEPS_M[0][1]
    wet = ~np.isnan(columns.chloride_mg_l) | (columns.category >= severe)
    harsh = wet | (np.nan_to_num(chloride_factor) <= near_salt)
    dry = columns.indoor & (columns.category <= mild)
    names = galvanic.SURROUNDINGS
    return np.select(
        [harsh, dry], [names.index("harsh"), names.index("dry")], names.index("outdoor")
    ).astype(np.int64)
