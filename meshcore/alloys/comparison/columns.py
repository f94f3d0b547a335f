"""Services as columns: what the methods read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.alloys.comparison.conditions import (
    CHOICES,
    NOT_KNOWN,
    SERVICES,
    THREE_WAY,
    Conditions,
    is_doubted,
)
from meshcore.alloys.comparison.conditions import whole as whole_of
from meshcore.alloys.comparison.contradictions import contradictions
from meshcore.alloys.comparison.surroundings import ENVIRONMENTS, KINDS, UNNAMED, Environment
from meshcore.alloys.methods import galvanic, media, outdoor_loss, outdoor_stainless
from meshcore.arrays import BoolArray, FloatArray, IntArray

#: Codes of a three-way field.
YES, NO, UNKNOWN = 1, 0, -1
_AIR_FIELDS = ("distance_to_sea_m", "distance_to_salted_road_m", "so2_ug_m3")
#: ISO 9223 category that a place has at least, by distance from salted roads [m] and by sulphur
#: dioxide [µg/m³] (ISO 9223:2012 Annex C puts salt and 5, 30 and 90 µg/m³ so, from memory).
_ROAD_CATEGORIES = ((10.0, "C4"), (100.0, "C3"))
_SO2_CATEGORIES = ((90.0, "C5"), (30.0, "C4"), (5.0, "C3"))
_TUNNEL_CATEGORY = "C5"
#: The same by distance from the sea: that of each place by it.
_SEASIDE = tuple(
    (place.distance_to_sea_m, place.category)
    for place in ENVIRONMENTS.values()
    if np.isfinite(place.distance_to_sea_m) and place.in_annex and place.category
)


@dataclass(frozen=True, slots=True)
class ConditionColumns:
    """Services as columns, one row each; NaN or -1 where unknown. Fields as in `Conditions`.

    Parameters
    ----------
    in_air
        Services in the open or indoors, judged by the methods for air.
    is_wet
        Services in a liquid, or in wet ground.
    is_pool_hall
        Services in the air of an indoor pool.
    speaks_of_chloride
        Services of which it is said how much chloride there is, or might be.
    is_foreign
        Services in surroundings that are neither open air nor hot air, so that only the table of
        media can speak of them.
    kind
        Index into ``KINDS`` of the surroundings; -1 where none are named.
    medium
        Index into `media.MEDIA` of the rows that speak of the surroundings; -1 where none do.
    rows_of
        Name of those rows and the kind of surroundings, each empty where there is none.
    at_odds
        What of each service cannot be so together, in words; empty where nothing is.
    three_way
        Field of ``THREE_WAY`` → ``YES``, ``NO`` or ``UNKNOWN``.
    doubted
        The same fields, the years wanted and the lost share → services of which it is said that
        nobody knows.
    coating
        Index into `zinc.COATINGS`; -1 where none is named.
    stated_category
        Index into `outdoor_loss.CATEGORIES` where somebody named it; -1 elsewhere.
    metal_c
        Temperature of the metal in whatever surrounds it [°C].
    temperature_c
        Temperature of the metal in hot air [°C]; NaN where it is in something else.
    in_hot_air
        Services in which heat is asked of the metal, known or not.
    """

    in_air: BoolArray
    indoor: BoolArray
    in_annex: BoolArray
    is_wet: BoolArray
    is_pool_hall: BoolArray
    speaks_of_chloride: BoolArray
    is_foreign: BoolArray
    kind: IntArray
    medium: IntArray
    rows_of: tuple[tuple[str, str], ...]
    at_odds: tuple[str, ...]
    distance_to_sea_m: FloatArray
    distance_to_salted_road_m: FloatArray
    so2_ug_m3: FloatArray
    washing: IntArray
    sheltered_coast: BoolArray
    road_tunnel: BoolArray
    category: IntArray
    stated_category: IntArray
    metal_c: FloatArray
    temperature_c: FloatArray
    in_hot_air: BoolArray
    concentration_pct: FloatArray
    chloride_mg_l: FloatArray
    water_temperature_c: FloatArray
    ranked_chloride_mg_l: FloatArray
    ph: FloatArray
    chlorine_mg_l: FloatArray
    flow_m_s: FloatArray
    three_way: Mapping[str, IntArray]
    doubted: Mapping[str, BoolArray]
    hours: FloatArray
    years_wanted: FloatArray
    lost_share: FloatArray
    zinc_g_m2: FloatArray
    coating: IntArray
    temper: IntArray
    non_magnetic: BoolArray
    food_contact: BoolArray
    drinking_water: BoolArray
    services: Mapping[str, BoolArray]
    contact: IntArray

    def __len__(self) -> int:
        """Return the number of services."""
        return len(self.in_air)

    @property
    def in_open_air(self) -> BoolArray:
        """Services in air that is not that of an indoor pool."""
        return self.in_air & ~self.is_pool_hall


def _category(conditions: Conditions, place: Environment, *, worst: bool = True) -> str:
    """Return the category named; or the surroundings' own, or a graver one by salt and sulphur.

    What is not known counts as the worst, or not at all.
    """
    if conditions.corrosivity or not place.category or place.indoor:
        return conditions.corrosivity or place.category
    sea = _taken(conditions.distance_to_sea_m, 0.0 if worst else np.inf)
    graver = [c for reach, c in _SEASIDE if sea is not None and sea <= reach]
    road = _taken(conditions.distance_to_salted_road_m, 0.0 if worst else np.inf)
    so2 = _taken(conditions.so2_ug_m3, np.inf if worst else 0.0)
    graver += [c for reach, c in _ROAD_CATEGORIES if road is not None and road <= reach]
    graver += [c for least, c in _SO2_CATEGORIES if so2 is not None and so2 >= least]
    graver += [_TUNNEL_CATEGORY] if conditions.road_tunnel else []
    return max([place.category, *graver], key=outdoor_loss.CATEGORIES.index)


def _taken(value: float | None, unknown: float) -> float | None:
    return unknown if value is not None and np.isnan(value) else value


def condition_columns(conditions: Sequence[Conditions]) -> ConditionColumns:
    """Turn services into columns, filling each from its environment.

    Examples
    --------
    >>> columns = condition_columns([Conditions(environment="coastal"), Conditions()])
    >>> columns.distance_to_sea_m.tolist(), columns.in_air.tolist()
    ([800.0, nan], [True, False])
    """
    places = [ENVIRONMENTS.get(c.environment, UNNAMED) for c in conditions]
    whole = [whole_of(c) for c in conditions]

    def number(field: str) -> FloatArray:
        given = [getattr(c, field) for c in whole]
        return np.array([np.nan if g is None else g for g in given], dtype=np.float64)

    def typical_or(field: str) -> FloatArray:
        typical = [getattr(p, field) for p in places]
        given = [getattr(c, field) for c in whole]
        pairs = zip(given, typical, strict=True)
        return np.array([t if g is None else g for g, t in pairs], dtype=np.float64)

    def flag(field: str, owners: Sequence[object] = whole) -> BoolArray:
        return np.array([getattr(o, field) for o in owners], dtype=np.bool_)

    def choice(field: str, chosen: Sequence[str]) -> IntArray:
        code = {name: i for i, name in enumerate(CHOICES[field]) if name != NOT_KNOWN}
        return np.array([code.get(c, -1) for c in chosen], dtype=np.int64)

    def three(field: str) -> IntArray:
        code = {"yes": YES, "no": NO}
        return np.array([code.get(getattr(c, field), UNKNOWN) for c in whole], dtype=np.int64)

    def doubted(field: str) -> BoolArray:
        return np.array([is_doubted(getattr(c, field)) for c in whole], dtype=np.bool_)

    share = number("lost_share")

    categories = [_category(c, p) for c, p in zip(conditions, places, strict=True)]
    described = np.logical_or.reduce([~np.isnan(number(f)) for f in _AIR_FIELDS])
    named = np.array([bool(c) for c in categories], dtype=np.bool_)
    kind = np.array([KINDS.index(p.kind) if p is not UNNAMED else -1 for p in places], np.int64)
    pool = np.array([c.environment == _POOL_HALL for c in conditions], dtype=np.bool_)
    in_air = (described | named | flag("road_tunnel") | pool) & np.isin(kind, (-1, _AIR))
    wet = np.isin(kind, [KINDS.index(k) for k in ("water", "chemical", "ground")])
    hot, water_c, chloride = (
        number(f) for f in ("temperature_c", "water_temperature_c", "chloride_mg_l")
    )
    # Water is as hot as what it wets, and of two temperatures the hotter counts.
    has_water_c = np.array([c.water_temperature_c is not None for c in whole], dtype=np.bool_)
    named_c = np.array([c.temperature_c is not None for c in whole], dtype=np.bool_)
    of_metal = np.where(np.isnan(water_c), hot, np.maximum(hot, water_c))
    hottest = np.where(named_c, of_metal, water_c)
    # Chloride typed without surroundings is a water too, beside whatever the air is.
    of_water = np.where(wet | has_water_c, hottest, water_c)
    is_ranked = np.isin(kind, _RANKED) & ~np.isnan(chloride)
    unheated = ~named_c & ~has_water_c
    rows_of = _rows_of(conditions, places, categories)
    wetted = wet | (is_ranked & ~np.isnan(water_c))
    return ConditionColumns(
        in_air=in_air,
        indoor=flag("indoor", places),
        in_annex=flag("in_annex", places),
        is_wet=wetted,
        speaks_of_chloride=np.isin(kind, _RANKED) | _assumes(places, "chloride_mg_l"),
        is_pool_hall=pool,
        is_foreign=pool | ~np.isin(kind, _IN_HOT_AIR),
        kind=kind,
        medium=np.array([media.index_of(rows) for rows, _ in rows_of], dtype=np.int64),
        # Water that nobody named is water all the same.
        rows_of=tuple(
            ("", "water") if is_wet and code < 0 else one
            for one, code, is_wet in zip(rows_of, kind, wetted, strict=True)
        ),
        at_odds=tuple("; ".join(map(str, contradictions(c))) for c in conditions),
        distance_to_sea_m=typical_or("distance_to_sea_m"),
        distance_to_salted_road_m=typical_or("distance_to_salted_road_m"),
        so2_ug_m3=typical_or("so2_ug_m3"),
        washing=choice("washing", [c.washing for c in whole]),
        sheltered_coast=flag("sheltered_coast"),
        road_tunnel=flag("road_tunnel"),
        category=choice(
            "corrosivity",
            [
                worst if worst == _category(c, p, worst=False) else ""
                for c, p, worst in zip(conditions, places, categories, strict=True)
            ],
        ),
        stated_category=choice("corrosivity", [c.corrosivity for c in conditions]),
        metal_c=_metal_c(kind, hottest, unheated),
        temperature_c=np.where(np.isin(kind, _IN_HOT_AIR) & ~pool, hot, np.nan),
        in_hot_air=(kind == _HOT_AIR) | (np.isin(kind, _IN_HOT_AIR) & ~pool & named_c),
        concentration_pct=number("concentration_pct"),
        chloride_mg_l=chloride,
        water_temperature_c=of_water,
        ranked_chloride_mg_l=np.where(is_ranked, chloride, np.nan),
        ph=number("ph"),
        chlorine_mg_l=number("chlorine_mg_l"),
        flow_m_s=number("flow_m_s"),
        three_way={field: three(field) for field in THREE_WAY},
        doubted={f: doubted(f) for f in (*THREE_WAY, "years_wanted", "lost_share")},
        hours=number("hours"),
        years_wanted=number("years_wanted"),
        lost_share=np.where(np.isnan(share), outdoor_loss.DEFAULT_LOST_SHARE, share),
        zinc_g_m2=number("zinc_g_m2"),
        coating=choice("coating", [c.coating for c in whole]),
        temper=choice("temper", [c.temper for c in whole]),
        non_magnetic=flag("non_magnetic"),
        food_contact=flag("food_contact"),
        drinking_water=flag("drinking_water"),
        services={name: flag(name) for name in SERVICES},
        contact=choice("contact_metal", [c.contact_metal for c in whole]),
    )


_POOL_HALL = "pool hall"
_AIR = KINDS.index("air")
_HOT_AIR = KINDS.index("hot air")
_IN_HOT_AIR = (-1, _AIR, _HOT_AIR)
#: Kinds whose chloride the ranking in water speaks of.
_RANKED = (-1, _AIR, KINDS.index("water"))
#: What the metal is taken to be where nothing heats it [°C].
_AMBIENT_C = 20.0


def _metal_c(kind: IntArray, hottest: FloatArray, unheated: BoolArray) -> FloatArray:
    """Temperature of the metal; ambient where nobody named one, which is not "not known"."""
    return np.where(np.isin(kind, (-1, _AIR)) & unheated, _AMBIENT_C, hottest)


def _assumes(places: Sequence[Environment], field: str) -> BoolArray:
    return np.array([field in place.assumed for place in places], dtype=np.bool_)


def _rows_of(
    conditions: Sequence[Conditions], places: Sequence[Environment], categories: Sequence[str]
) -> list[tuple[str, str]]:
    """Name the rows that speak of each service: by category in the open, by name elsewhere."""
    return [
        (
            f"air {category}"
            if category and place.kind == "air" and c.environment != _POOL_HALL
            else place.rows or c.environment,
            place.kind if place is not UNNAMED else "",
        )
        for c, place, category in zip(conditions, places, categories, strict=True)
    ]


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
    wet = columns.is_wet | columns.is_pool_hall | (columns.category >= severe)
    harsh = wet | (np.nan_to_num(chloride_factor) <= near_salt)
    dry = columns.indoor & (columns.category <= mild) & ~columns.is_pool_hall
    names = galvanic.SURROUNDINGS
    return np.select(
        [harsh, dry], [names.index("harsh"), names.index("dry")], names.index("outdoor")
    ).astype(np.int64)
