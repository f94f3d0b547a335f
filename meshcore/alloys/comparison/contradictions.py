"""What is stated of a service and cannot be so together: said, with what would mend it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import replace

import numpy as np

from meshcore.alloys.comparison import salt
from meshcore.alloys.comparison.conditions import (
    ENVIRONMENTS,
    NOT_KNOWN,
    Conditions,
    is_unknown,
)
from meshcore.alloys.methods.zinc import AFTER_WEAVING, COATINGS, borne_g_m2, dip_bears_g_m2
from meshcore.messages import Message

#: Strongest that each is made [%] (handbooks, from memory).
_STRONGEST_PCT = {"hydrochloric acid": 45.0, "phosphoric acid": 100.0, "bleach": 30.0,
                  "ammonia water": 50.0, "calcium chloride": 80.0}  # fmt: skip
#: Coldest by kind of surroundings [°C] (project's own): at which a liquid still runs, brine of
#: calcium chloride freezing at about −50 °C and other waters long before; and of hot air, since
#: what is cooler is wet at times, and is judged as the air that it is.
_COLDEST_C = {"water": -25.0, "chemical": -100.0, "hot air": 100.0}
_FOOD = ("milk", "fruit juice and wine", "cleaning in place")
_COLDEST_FOOD_C = -10.0
#: Coldest dry steam [°C]: below about 60 °C it is water at any pressure that is used.
_COLDEST_STEAM_C = 60.0
#: Gases that are dry by their name, so that nothing washes the metal in them.
_DRY_GASES = ("dry chlorine",)
#: Least chloride of waters that are salt by their name [mg/l] (from memory).
_LEAST_MG_L = {"sea water": 3_000.0, "splash zone": 3_000.0, "brackish water": 250.0,
               "brine": 250.0, "sour brine": 250.0}  # fmt: skip


#: Kind of surroundings → what is said of a liquid and would be read by nothing there. Of air, pH is
#: that of rain and chloride that of water that wets it; of surroundings that nobody named, chloride
#: makes them a water.
_OF_A_LIQUID: Mapping[str, tuple[str, ...]] = {
    "": ("concentration_pct", "ph", "flow_m_s", "stagnant"),
    "air": ("concentration_pct", "stagnant"),
    "hot air": ("concentration_pct", "ph", "chloride_mg_l", "stagnant"),
    "gas": ("ph", "stagnant"),
}
#: Of those, what is said of a water of which only chloride is named.
_OF_PLAIN_WATER = ("ph", "flow_m_s", "stagnant")
#: Field → what a message calls it, what it is called in words, and its unit.
_WORDS = {
    "concentration_pct": ("concentration", "a strength", " %"), "ph": ("ph", "pH", ""),
    "chloride_mg_l": ("chloride", "chloride", " mg/l"),
    "stagnant": ("stagnant", "standing still", ""),
    "flow_m_s": ("flow", "the speed of the water", " m/s"),
}  # fmt: skip


def contradictions(conditions: Conditions) -> tuple[Message, ...]:
    """Say what of a service cannot be so together.

    Examples
    --------
    >>> said = contradictions(Conditions(environment="sea water", chloride_mg_l=5.0))
    >>> said[0].text
    'sea water holds more than 3,000 mg/l. Write its chloride, or another water.'
    """
    return (*_of_no_liquid(conditions), *_found(conditions))


def _of_no_liquid(c: Conditions) -> Iterator[Message]:
    """Find what is said of a liquid where none is named."""
    place = ENVIRONMENTS.get(c.environment)
    if place is None and _says_no_more(c):
        return
    for field in _OF_A_LIQUID.get("" if place is None else place.kind, ()):
        value = getattr(c, field)
        if place is None and c.chloride_mg_l is not None and field in _OF_PLAIN_WATER:
            continue
        if value in (None, "", "no") or (field == "stagnant" and value != "yes"):
            continue
        name, words, unit = _WORDS[field]
        amount = value if isinstance(value, str) else f"{value:g}{unit}"
        said = f"{c.environment} is none" if place is not None else "none is named"
        yield Message(
            name,
            "not known" if is_unknown(value) else amount,
            f"{words} is of a liquid, and {said}. Write the liquid as the surroundings, or leave "
            "it out.",
            code="service.no_liquid",
        )


def _says_no_more(c: Conditions) -> bool:
    """Whether nothing is stated but of a liquid: then nothing is judged that could comfort."""
    nothing = Conditions()
    unsaid = {field: getattr(nothing, field) for field in _OF_A_LIQUID[""]}
    return replace(c, **unsaid) == nothing


def _found(c: Conditions) -> Iterator[Message]:
    place = ENVIRONMENTS.get(c.environment)
    if place is None:
        return
    # Where a strength is named too, that is what the salt is counted by.
    least = _LEAST_MG_L.get(c.environment) if c.concentration_pct is None else None
    if least is not None and c.chloride_mg_l is not None and c.chloride_mg_l < least:
        yield Message(
            "chloride",
            f"{c.chloride_mg_l:g} mg/l",
            f"{c.environment} holds more than {least:,g} mg/l. Write its chloride, or "
            "another water.",
            code="service.chloride_too_low",
        )
    strength = c.concentration_pct
    strongest = salt.SATURATED_PCT if place.kind == "water" else _STRONGEST_PCT.get(c.environment)
    if strength is not None and strongest is not None and strength > strongest:
        yield Message(
            "concentration",
            f"{strength:g} %",
            f"{c.environment} is not made stronger than {strongest:g} %. Write its "
            "strength by mass.",
            code="service.strength_too_high",
        )
    hot = c.temperature_c
    coldest = (
        _COLDEST_STEAM_C
        if c.environment == "steam"
        else _COLDEST_FOOD_C
        if c.environment in _FOOD
        else _COLDEST_C.get(place.kind)
    )
    if hot is not None and coldest is not None and hot < coldest:
        yield Message(
            "temperature",
            f"{hot:g} °C",
            f"{c.environment} is not so cold: {coldest:g} °C is the least. Write the "
            "temperature, or other surroundings.",
            code="service.too_cold",
        )
    if c.environment in _DRY_GASES and c.washing in ("rain", "cleaned"):
        yield Message(
            "washing",
            c.washing,
            f"{c.environment} is not washed: with water it is another medium, and worse. Write "
            "that, or leave the washing out.",
            code="service.dry_and_washed",
        )
    if c.stagnant == "yes" and c.flow_m_s is not None and c.flow_m_s > 0.0:
        yield Message(
            "stagnant",
            "yes",
            f"it runs at {c.flow_m_s:g} m/s too. Write one of them.",
            code="service.still_and_running",
        )
    if c.corrosivity and place.kind not in ("air",):
        yield Message(
            "corrosivity",
            c.corrosivity,
            f"ISO 9223 is of open air, and {c.environment} is none. Write the air, or "
            "leave it out.",
            code="service.category_without_air",
        )


def hotter_of_two(conditions: Conditions) -> tuple[Message, ...]:
    """Say that the hotter of two temperatures counts, where metal and water are stated apart.

    Examples
    --------
    >>> two = Conditions(environment="sea water", temperature_c=90.0, water_temperature_c=20.0)
    >>> hotter_of_two(two)[0].text.partition(":")[0]
    'the metal is stated at 90 °C and the water at 20 °C'
    """
    metal, water = conditions.temperature_c, conditions.water_temperature_c
    if metal is None or water is None or metal == water:
        return ()
    at = ["as not known" if math.isnan(one) else f"at {one:g} °C" for one in (metal, water)]
    if math.isnan(metal):
        counts = "no temperature counts"
    else:
        counts = f"{np.fmax(metal, water):g} °C counts"
    return (
        Message(
            "water_temperature",
            NOT_KNOWN if math.isnan(water) else f"{water:g} °C",
            f"the metal is stated {at[0]} and the water {at[1]}: water is as hot as the metal that "
            f"it wets, and {counts}. Write one of them.",
            code="service.two_temperatures",
        ),
    )


def more_than_the_wire_bears(conditions: Conditions, wire_m: float) -> tuple[Message, ...]:
    """Ask about more zinc than wire so thin bears, and tell what a dip does to small openings.

    Parameters
    ----------
    conditions, wire_m
        The service, and the wire of the mesh [m]; NaN where it is not known.

    Examples
    --------
    >>> heavy = Conditions(environment="rural", zinc_g_m2=290.0)
    >>> more_than_the_wire_bears(heavy, 0.4e-3)[0].text.partition(",")[0]
    'wire of 0.4 mm bears some 85 g/m² (EN 10244-2'
    """
    dipped = conditions.coating == COATINGS[AFTER_WEAVING]
    bridges = _bridges() if dipped and not wire_m >= _BRIDGES_BELOW_M else ()
    stated = conditions.zinc_g_m2
    if stated is None or math.isnan(stated):
        return bridges
    wire = np.array(wire_m)
    borne = float(dip_bears_g_m2(wire) if dipped else borne_g_m2(wire))
    if not stated > borne:
        return bridges
    by, instead = (
        ("EN ISO 1461, mean of a dip", "ask the galvanizer what such cloth takes up")
        if dipped
        else ("EN 10244-2, class A", f'"{COATINGS[AFTER_WEAVING]}" as its coating')
    )
    return (
        Message(
            "zinc",
            f"{stated:g} g/m²",
            f"wire of {wire_m * 1e3:.3g} mm bears some {borne:.3g} g/m² ({by}, from memory), and "
            f"no more is counted. Write the mass on the wire, or {instead}.",
            code="service.zinc_beyond_wire",
        ),
        *bridges,
    )


#: Wire below which a dip is likely to fill openings and stiffen crossings [m] (common practice, no
#: source).
_BRIDGES_BELOW_M = 1.0e-3


def _bridges() -> tuple[Message, ...]:
    return (
        Message(
            "coating",
            COATINGS[AFTER_WEAVING],
            "zinc from a dip bridges small openings and fills crossings, so that the open area "
            "shrinks: ask the galvanizer for a sample, or write the zinc of the wire before "
            "weaving.",
            code="service.dip_bridges",
        ),
    )
