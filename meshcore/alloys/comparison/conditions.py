"""The service that an alloy must stand: what is known of it, and what is not."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, fields, replace
from dataclasses import field as dataclass_field

from meshcore.alloys.comparison import salt
from meshcore.alloys.comparison.surroundings import (
    ENVIRONMENTS,
    UNNAMED,
    WATERS_MG_L,
    Environment,
)
from meshcore.alloys.comparison.windows import windows
from meshcore.alloys.methods import galvanic, outdoor_loss, outdoor_stainless, zinc
from meshcore.alloys.methods.tempers import TEMPERS
from meshcore.messages import Message

__all__ = [
    "CHOICES", "ENVIRONMENTS", "NOT_KNOWN", "SERVICES", "TEMPERS", "THREE_WAY", "WATERS_MG_L",
    "Conditions", "Held", "held", "whole",
]  # fmt: skip

#: What a three-way field says of what nobody knows.
NOT_KNOWN = "not known"
_THREE = ("yes", "no", NOT_KNOWN)
#: Fields that are yes, no, or not known.
THREE_WAY: tuple[str, ...] = (
    "oxidisers", "h2s", "ammonia", "stagnant", "abrasion", "load",
)  # fmt: skip
#: Services after weaving that a condition may ask for.
SERVICES: tuple[str, ...] = ("weld", "form", "anneal", "coat")


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """One service. What is left out is filled from the surroundings, or stays unknown.

    Parameters
    ----------
    environment
        One of ``ENVIRONMENTS`` (air by place, waters, chemicals, gases, ground), or empty.
    distance_to_sea_m, distance_to_salted_road_m, so2_ug_m3, washing, sheltered_coast, road_tunnel
        As for `meshcore.alloys.methods.outdoor_stainless`; ``washing`` is ``rain``, ``cleaned``,
        ``neither`` or ``not known``.
    corrosivity
        ISO 9223 category, ``"C1"`` to ``"CX"``.
    temperature_c
        Hottest continuous temperature of the metal [°C], in whatever surrounds it; without
        surroundings, in clean air.
    concentration_pct
        Strength of an acid, alkali or salt solution by mass [%].
    chloride_mg_l, water_temperature_c, ph, chlorine_mg_l
        Of the water that wets the mesh [mg/l, °C, -, mg/l]; chlorine is what is dosed and free.
    oxidisers, h2s, ammonia, stagnant, abrasion, load
        Whether there are oxidising ions, hydrogen sulphide or ammonia, whether the liquid stands
        still, rubs, and whether the cloth is in tension: ``yes``, ``no`` or ``not known``.
    flow_m_s
        Speed of the water past the wire [m/s].
    hours
        Hours at temperature [h].
    years_wanted
        Life wanted [a].
    lost_share
        Share of the wire's section that may be lost by then [-].
    zinc_g_m2, coating
        Zinc on the wire, by its surface [g/m²], and how it is coated, one of `zinc.COATINGS`.
    temper
        State of the wire in the cloth, one of ``TEMPERS``.
    non_magnetic, food_contact, drinking_water, weld, form, anneal, coat
        What the alloy must be, or must take after weaving.
    contact_metal
        Metal of frame or fasteners, one of `galvanic.GROUPS`, or empty.
    said
        How texts were read that could mean another; nothing is judged by it.

    A number that is NaN is not known, and nothing is assumed in its place.

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
    washing: str = ""
    sheltered_coast: bool = False
    road_tunnel: bool = False
    corrosivity: str = ""
    temperature_c: float | None = None
    concentration_pct: float | None = None
    chloride_mg_l: float | None = None
    water_temperature_c: float | None = None
    ph: float | None = None
    chlorine_mg_l: float | None = None
    oxidisers: str = ""
    h2s: str = ""
    ammonia: str = ""
    stagnant: str = ""
    abrasion: str = ""
    load: str = ""
    flow_m_s: float | None = None
    hours: float | None = None
    years_wanted: float | None = None
    lost_share: float = outdoor_loss.DEFAULT_LOST_SHARE
    zinc_g_m2: float | None = None
    coating: str = ""
    temper: str = ""
    non_magnetic: bool = False
    food_contact: bool = False
    drinking_water: bool = False
    weld: bool = False
    form: bool = False
    anneal: bool = False
    coat: bool = False
    contact_metal: str = ""
    said: tuple[Message, ...] = dataclass_field(default=(), compare=False, repr=False)

    def __post_init__(self) -> None:
        for field in THREE_WAY:
            given: object = getattr(self, field)
            if isinstance(given, bool):
                object.__setattr__(self, field, "yes" if given else "no")
        for field, choices in CHOICES.items():
            chosen = getattr(self, field)
            if chosen and chosen not in choices:
                raise ValueError(f"{field}: {chosen!r} is none of {', '.join(choices)}")
        for field, window in windows().items():
            amount = getattr(self, field)
            if amount is not None and not window.holds(amount):
                raise ValueError(f"{field}: {amount} must lie {window}")


#: What each field that is a choice may be.
CHOICES: Mapping[str, tuple[str, ...]] = {
    "environment": tuple(ENVIRONMENTS),
    "washing": (*outdoor_stainless.WASHINGS, NOT_KNOWN),
    "corrosivity": outdoor_loss.CATEGORIES,
    "contact_metal": galvanic.GROUPS,
    "coating": zinc.COATINGS,
    "temper": TEMPERS,
} | dict.fromkeys(THREE_WAY, _THREE)


@dataclass(frozen=True, slots=True)
class Held:
    """What one field of a service is taken to be, and by whose word.

    Parameters
    ----------
    field
        Of `Conditions`.
    value
        A number, a word, or None where nobody knows.
    assumed
        Whether the surroundings say so, and nobody else.
    """

    field: str
    value: float | str | None
    assumed: bool


def held(conditions: Conditions) -> tuple[Conditions, tuple[Held, ...]]:
    """Fill a service from its surroundings, and say what was filled in.

    Returns
    -------
    The service whole, and every value that is assumed in it or not known.

    Examples
    --------
    >>> whole, said = held(Conditions(environment="drinking water", temperature_c=12.0))
    >>> whole.chloride_mg_l, whole.temperature_c
    (250.0, 12.0)
    >>> [h.field for h in said if h.assumed and h.field in ("chloride_mg_l", "ph")]
    ['chloride_mg_l', 'ph']
    """
    filled, said, place = _filled(conditions)
    said += _not_known(filled, place.kind if conditions.environment else "")
    said += _stated_unknown(conditions, {one.field for one in said})
    said += _left_unsaid(conditions, place, {one.field for one in said})
    return filled, tuple(said)


def whole(conditions: Conditions) -> Conditions:
    """Fill a service from its surroundings, as `held` does."""
    return _filled(conditions)[0]


def _filled(conditions: Conditions) -> tuple[Conditions, list[Held], Environment]:
    place = ENVIRONMENTS.get(conditions.environment) or _taken_as(conditions)
    filled: dict[str, object] = {}
    said: list[Held] = []
    for field in _LOCAL if conditions.environment and place.kind == "air" else ():
        typical = place.category if field == "corrosivity" else getattr(place, field)
        if getattr(conditions, field) in (None, "") and typical not in ("", math.inf):
            said.append(Held(field, typical, assumed=True))
    assumed = dict(place.assumed)
    # The strength of a water is its salt: it is judged by the chloride of that, never by less.
    if place.kind == "water" and conditions.concentration_pct is not None:
        of_salt = salt.chloride_mg_l(conditions.environment, conditions.concentration_pct)
        stated = conditions.chloride_mg_l
        filled["chloride_mg_l"] = of_salt if stated is None else max(of_salt, stated)
        said.append(Held("chloride_mg_l", None if math.isnan(of_salt) else of_salt, assumed=False))
        del assumed["chloride_mg_l"]
    for field, typical in assumed.items():
        given = getattr(conditions, field)
        if field == "temperature_c" and conditions.water_temperature_c is not None:
            continue
        years = conditions.years_wanted
        value = _hours(typical, years) if field == "hours" and given is None else typical
        # Nought is a value: only what nobody stated is filled in.
        if given is None or given is False or given == "":
            filled[field] = True if value == "yes" and given is False else value
            is_known = not is_unknown(value)
            said.append(Held(field, value if is_known else None, assumed=is_known))
    return replace(conditions, **filled), said, place  # type: ignore[arg-type]


#: What is taken of a water of which only chloride and temperature are named, and of heat of which
#: only the temperature is: neutral, clean, undosed water, and clean still air for so long [h].
_PLAIN_WATER: Mapping[str, float | str] = {
    "ph": 7.0, "chlorine_mg_l": 0.0, "ammonia": "no", "h2s": "no", "oxidisers": "no",
    "flow_m_s": 1.0,
}  # fmt: skip
DEFAULT_HOURS = 10_000.0
#: Hours of a year [h].
_YEAR_H = 8_766.0


def _hours(typical: float | str, years: float | None) -> float:
    """Hours at temperature where nobody states them: all of the years wanted, without a stop."""
    if years is None:
        return float(typical)
    if math.isnan(years):
        return math.nan
    return min(max(float(typical), years * _YEAR_H), windows()["hours"].most)


def _taken_as(conditions: Conditions) -> Environment:
    """Return what stands in for surroundings that are not named."""
    if conditions.chloride_mg_l is not None:
        return replace(UNNAMED, assumed=_PLAIN_WATER)
    if conditions.temperature_c is not None:
        return replace(UNNAMED, assumed={"hours": DEFAULT_HOURS})
    return UNNAMED


_LOCAL = ("corrosivity", "distance_to_sea_m", "distance_to_salted_road_m", "so2_ug_m3")
#: Kind of surroundings → what has to be known of a service in them.
_NEEDED: Mapping[str, tuple[str, ...]] = {
    "": (),
    "air": ("washing", "years_wanted", "load"),
    "water": ("temperature_c", "chloride_mg_l", "stagnant", "load", "years_wanted"),
    "chemical": (
        "temperature_c",
        "concentration_pct",
        "chloride_mg_l",
        "oxidisers",
        "load",
        "years_wanted",
    ),
    "ground": ("years_wanted", "load"),
    "gas": ("temperature_c", "load", "hours"),
    "hot air": ("temperature_c", "load"),
}


def _not_known(whole: Conditions, kind: str) -> list[Held]:
    values = [(field, getattr(whole, field)) for field in _NEEDED[kind]]
    if kind == "water" and whole.water_temperature_c is not None:
        values = [(f, v) for f, v in values if f != "temperature_c"]
    if whole.h2s == "yes" and kind in ("water", "chemical"):
        values.append(("temper", whole.temper))
    return [Held(field, None, assumed=False) for field, value in values if is_unknown(value)]


def _stated_unknown(conditions: Conditions, told: Collection[str]) -> list[Held]:
    """Tell every field of which somebody says that nobody knows, whatever the surroundings need."""
    doubted = [f.name for f in fields(conditions) if is_doubted(getattr(conditions, f.name))]
    return [Held(field, None, assumed=False) for field in doubted if field not in told]


def is_doubted(value: object) -> bool:
    """Whether a field says that nobody knows."""
    return value == NOT_KNOWN or (isinstance(value, float) and math.isnan(value))


#: What is taken of every service where nobody says it: field → in words.
_UNSAID: Mapping[str, str] = {"contact_metal": "none", "weld": "none"}
#: The same by kind of surroundings.
_UNSAID_OF: Mapping[str, Mapping[str, str]] = {
    "air": {"abrasion": "no", "temperature_c": "as the air", "chloride_mg_l": "no water with it",
            "ph": "as of rain"},
    "chemical": {"ph": "as its strength has it"},
    "ground": {"ph": "as such ground has it"},
}  # fmt: skip
#: Surroundings of which the open air is asked too: what is not near where nobody says so.
_FAR = ("distance_to_sea_m", "distance_to_salted_road_m")


def _left_unsaid(
    conditions: Conditions, place: Environment, told: Collection[str]
) -> Iterator[Held]:
    """Tell what is taken for granted: no contact, no weld, nothing near, and the usual share."""
    if not conditions.environment:
        return
    taken = {**_UNSAID, **_UNSAID_OF.get(place.kind, {})}
    if place.kind == "air" and place.category:
        if not place.indoor:
            taken |= {f: "none near" for f in _FAR if getattr(place, f) == math.inf}
            taken["road_tunnel"] = "no"
        taken["zinc_g_m2"] = "as its class"
    for field, words in taken.items():
        if field not in told and getattr(conditions, field) in (None, "", False):
            yield Held(field, words, assumed=True)
    if conditions.lost_share == outdoor_loss.DEFAULT_LOST_SHARE:
        yield Held("lost_share", conditions.lost_share, assumed=True)


def is_unknown(value: object) -> bool:
    """Whether a field says nothing."""
    return value in (None, "") or is_doubted(value)
