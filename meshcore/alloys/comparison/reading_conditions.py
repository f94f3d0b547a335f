"""A service as people type it, to `Conditions`; what cannot be read is refused, never raised."""

from __future__ import annotations

import difflib
import re
from collections.abc import Mapping
from dataclasses import dataclass

from meshcore.alloys.comparison.conditions import CHOICES, WATERS_MG_L, Conditions
from meshcore.messages import Message


@dataclass(frozen=True, slots=True)
class _Amount:
    """A field that is a number with a unit: where it goes, its units, and how it is written."""

    target: str
    #: Unit → (factor, what is added after), to the unit of the target.
    units: Mapping[str, tuple[float, float]]
    example: str
    lowest: float = 0.0


_DISTANCE = {
    "m": (1.0, 0.0), "km": (1e3, 0.0), "ft": (0.3048, 0.0), "yd": (0.9144, 0.0),
    "mi": (1609.344, 0.0), "mile": (1609.344, 0.0), "miles": (1609.344, 0.0),
}  # fmt: skip
_CELSIUS = {
    "c": (1.0, 0.0), "degc": (1.0, 0.0), "f": (5 / 9, -160 / 9), "degf": (5 / 9, -160 / 9),
    "k": (1.0, -273.15),
}  # fmt: skip
_COLDEST_C = -273.15
_AMOUNTS: Mapping[str, _Amount] = {
    "distance_to_sea": _Amount("distance_to_sea_m", _DISTANCE, "800 m"),
    "distance_to_salted_road": _Amount("distance_to_salted_road_m", _DISTANCE, "50 m"),
    "so2": _Amount("so2_ug_m3", {"": (1.0, 0.0), "ug/m3": (1.0, 0.0), "mg/m3": (1e3, 0.0)},
                   "10 µg/m³"),
    "temperature": _Amount("temperature_c", _CELSIUS, "300 °C", _COLDEST_C),
    "chloride": _Amount("chloride_mg_l", {"mg/l": (1.0, 0.0), "ppm": (1.0, 0.0), "g/l": (1e3, 0.0)},
                        "500 mg/l"),
    "water_temperature": _Amount("water_temperature_c", _CELSIUS, "20 °C", _COLDEST_C),
    "years_wanted": _Amount("years_wanted", dict.fromkeys(
        ("", "years", "year", "yr", "yrs", "y", "a"), (1.0, 0.0)), "15 years"),
    "lost_share": _Amount("lost_share", {"%": (0.01, 0.0)}, "50 %"),
}  # fmt: skip
_FLAGS = (
    "sheltered_coast", "road_tunnel", "non_magnetic", "food_contact", "weld", "form", "anneal",
    "coat",
)  # fmt: skip
#: Field → how it is written: what a command line or a form offers.
CONDITION_FIELDS: Mapping[str, str] = (
    {name: ", ".join(choices) for name, choices in CHOICES.items()}
    | {name: amount.example for name, amount in _AMOUNTS.items()}
    | dict.fromkeys(_FLAGS, "yes or no")
)
_YES = frozenset({"yes", "y", "true", "1", "x", "on", "must"})
_NO = frozenset({"no", "n", "false", "0", "off", "none"})
_NUMBER_AND_UNIT = re.compile(r"^([+-]?\d+(?:[.,]\d+)?)\s*(.*)$")
_LIKENESS = 0.5


def read_conditions(texts: Mapping[str, str]) -> Conditions | tuple[Message, ...]:
    """Read a service from the texts of its fields.

    Parameters
    ----------
    texts
        Field of ``CONDITION_FIELDS`` → what was typed; blank ones are left out.

    Returns
    -------
    The service, or every refusal: a service half read is not judged.

    Examples
    --------
    >>> read_conditions({"environment": "Coastal", "distance_to_sea": "2 km"}).distance_to_sea_m
    2000.0
    >>> print(read_conditions({"temperature": "hot"})[0])
    temperature: read "hot" — not a number with a unit. Write it as "300 °C".
    """
    read: dict[str, object] = {}
    refused: list[Message] = []
    for field, text in texts.items():
        typed = " ".join(str(text).split())
        if not typed:
            continue
        target, value = _read(field, typed)
        if isinstance(value, Message):
            refused.append(value)
        else:
            read[target] = value
    refused += _unpaired(read)
    return tuple(refused) if refused else Conditions(**read)  # type: ignore[arg-type]


def _read(field: str, typed: str) -> tuple[str, object]:
    if field in CHOICES:
        return field, _choice(field, typed)
    if field in _FLAGS:
        return field, _flag(field, typed)
    if field in _AMOUNTS:
        water = WATERS_MG_L.get(typed.casefold()) if field == "chloride" else None
        return _AMOUNTS[field].target, _amount(field, typed) if water is None else water
    return field, Message(
        field,
        typed,
        f"no such field. Write one of: {', '.join(CONDITION_FIELDS)}.",
        code="service.field_unknown",
    )


def _unpaired(read: Mapping[str, object]) -> list[Message]:
    """Fields that say nothing without another."""
    if "chloride_mg_l" in read and "water_temperature_c" not in read:
        return [
            Message(
                "water_temperature",
                "",
                'chloride water is judged by its temperature. Write it, such as "20 °C".',
                code="service.water_temperature_missing",
            )
        ]
    if "water_temperature_c" in read and "chloride_mg_l" not in read:
        return [
            Message(
                "chloride",
                "",
                'water is judged by its chloride. Write it, such as "500 mg/l" or "sea water".',
                code="service.chloride_missing",
            )
        ]
    return []


def _choice(field: str, typed: str) -> str | Message:
    known = {choice.casefold(): choice for choice in CHOICES[field]}
    if (choice := known.get(typed.casefold())) is not None:
        return choice
    near = difflib.get_close_matches(typed.casefold(), known, n=1, cutoff=_LIKENESS)
    hint = f'Nearest: "{known[near[0]]}". ' if near else ""
    return Message(
        field,
        typed,
        f"{hint}Write one of: {', '.join(CHOICES[field])}.",
        code="service.choice_unknown",
    )


def _flag(field: str, typed: str) -> bool | Message:
    if typed.casefold() in _YES | _NO:
        return typed.casefold() in _YES
    return Message(
        field, typed, 'neither yes nor no. Write "yes" or "no".', code="service.flag_unclear"
    )


def _amount(field: str, typed: str) -> float | Message:
    amount = _AMOUNTS[field]
    plain = typed.replace("−", "-").replace("³", "3").replace("µ", "u").replace("μ", "u")
    matched = _NUMBER_AND_UNIT.match(plain)
    if not matched:
        return Message(
            field,
            typed,
            f'not a number with a unit. Write it as "{amount.example}".',
            code="service.amount_unreadable",
        )
    number, unit = matched.groups()
    word = re.sub(r"[°\s.]", "", unit.casefold()).replace("º", "")
    if word not in amount.units:
        problem = f'"{unit}" is no unit of it' if unit else "a number without its unit"
        return Message(
            field, typed, f'{problem}. Write it as "{amount.example}".', code="service.unit_unclear"
        )
    factor, added = amount.units[word]
    value = float(number.replace(",", ".")) * factor + added
    if value < amount.lowest or (field == "lost_share" and not 0.0 < value < 1.0):
        return Message(
            field,
            typed,
            f'out of range. Write it as "{amount.example}".',
            code="service.amount_out_of_range",
        )
    return value
