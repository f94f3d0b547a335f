"""A service as people type it, to `Conditions`; what cannot be read is refused, never raised."""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Iterable, Mapping

from meshcore.alloys.comparison.conditions import (
    CHOICES,
    ENVIRONMENTS,
    NOT_KNOWN,
    THREE_WAY,
    WATERS_MG_L,
    Conditions,
)
from meshcore.alloys.comparison.contradictions import contradictions
from meshcore.alloys.comparison.surroundings import unclear_words
from meshcore.alloys.comparison.windows import windows
from meshcore.messages import Message
from meshcore.reading.numbers import plausible
from meshcore.reading.numbers.readings import NO_HINTS
from meshcore.reading.refusals import about
from meshcore.reading.sizes.amounts import Amount, read_amount
from meshcore.reading.vocabulary import fold, words
from meshcore.units import AREAS_M2, LENGTHS_M, MASSES_KG, SPEEDS_M_S

#: Coldest that anything is [°C].
_COLDEST_C = -273.15
_DISTANCES = {unit: (metres, 0.0) for unit, metres in LENGTHS_M.items()}
_CELSIUS = {"C": (1.0, 0.0), "F": (5 / 9, -160 / 9), "K": (1.0, _COLDEST_C)}
#: By mass in water of about 1 kg/l.
_CONCENTRATIONS = {"mg/l": (1.0, 0.0), "g/l": (1e3, 0.0), "µg/l": (1e-3, 0.0), "%": (1e4, 0.0)}
_SPEEDS = {unit: (factor, 0.0) for unit, factor in SPEEDS_M_S.items()}
#: An ounce avoirdupois, over a square foot [g/m²].
_OUNCE_A_SQUARE_FOOT = MASSES_KG["oz"] * 1e3 / AREAS_M2["ft2"]
_COATINGS = {
    "g/m2": (1.0, 0.0), "kg/m2": (1e3, 0.0), "oz/ft2": (_OUNCE_A_SQUARE_FOOT, 0.0),
}  # fmt: skip
_NOUN = "a number with a unit"
_PCT_OF_MG_L = {unit: (factor / 1e4, 0.0) for unit, (factor, _) in _CONCENTRATIONS.items()}


def _amount_of(
    topic: str,
    units: Mapping[str, tuple[float, float]],
    example: str,
    target: str,
    limit: str = "",
) -> Amount:
    return Amount(topic, units, _NOUN, f'"{example}"', target, limit=limit)


#: Field → what it is and where it goes: its window carries the name of the target.
AMOUNTS: Mapping[str, Amount] = {
    "distance_to_sea": _amount_of("unit_length", _DISTANCES, "800 m", "distance_to_sea_m"),
    "distance_to_salted_road": _amount_of(
        "unit_length", _DISTANCES, "50 m", "distance_to_salted_road_m"
    ),
    "so2": _amount_of(
        "unit_gas", {"µg/m3": (1.0, 0.0), "mg/m3": (1e3, 0.0)}, "10 µg/m³", "so2_ug_m3"
    ),
    "temperature": _amount_of("unit_temperature", _CELSIUS, "300 °C", "temperature_c", "most"),
    "chloride": _amount_of("unit_concentration", _CONCENTRATIONS, "500 mg/l", "chloride_mg_l"),
    "water_temperature": _amount_of("unit_temperature", _CELSIUS, "20 °C", "water_temperature_c"),
    "concentration": _amount_of(
        "unit_strength", {"%": (1.0, 0.0), "1": (100.0, 0.0)}, "50 %", "concentration_pct"
    ),
    "ph": _amount_of("unit_share", {"1": (1.0, 0.0)}, "7", "ph"),
    "chlorine": _amount_of("unit_concentration", _CONCENTRATIONS, "0.5 mg/l", "chlorine_mg_l"),
    "flow": _amount_of("unit_speed", _SPEEDS, "1.5 m/s", "flow_m_s"),
    "hours": _amount_of(
        "unit_duration",
        {"h": (1.0, 0.0), "min": (1 / 60, 0.0), "d": (24.0, 0.0), "a": (8766.0, 0.0)},
        "10,000 h", "hours",
    ),
    "zinc": _amount_of("unit_coating", _COATINGS, "230 g/m²", "zinc_g_m2"),
    "years_wanted": _amount_of(
        "unit_time", {"a": (1.0, 0.0), "month": (1 / 12, 0.0), "decade": (10.0, 0.0)}, "15 years",
        "years_wanted",
    ),
    "lost_share": _amount_of("unit_share", {"%": (0.01, 0.0), "1": (1.0, 0.0)}, "50 %",
                             "lost_share"),
}  # fmt: skip
_STRENGTH_BY_VOLUME = _amount_of("unit_concentration", _PCT_OF_MG_L, "50 %", "concentration_pct")
#: Unit of a bare number, where its field has but one that anybody writes.
_BARE_UNITS = {"years_wanted": "a", "so2": "µg/m3", "ph": "1", "concentration": "%", "zinc": "g/m2"}
_FLAGS = (
    "sheltered_coast", "road_tunnel", "non_magnetic", "food_contact", "drinking_water", "weld",
    "form", "anneal", "coat",
)  # fmt: skip
#: Field → how it is written: what a command line or a form offers.
CONDITION_FIELDS: Mapping[str, str] = (
    {name: ", ".join(choices) for name, choices in CHOICES.items()}
    | {name: amount.example.strip('"') for name, amount in AMOUNTS.items()}
    | dict.fromkeys(_FLAGS, "yes or no")
)
#: How like a name a slip of the pen is [-] (project's own).
_LIKENESS = 0.8
#: What tells one substance from another: a name that differs in it is no slip of the pen.
_OF_CHEMISTRY = re.compile(r"^(per|hypo|bi|di|tri)|(ous|ic|ite|ate|ide|ium|ane|ene|ine|ol)$")
#: Places that a value keeps: 932 °F are 500 °C, and not a hair more.
_PLACES = 9


def read_conditions(texts: Mapping[str, str]) -> Conditions | tuple[Message, ...]:
    """Read a service from the texts of its fields.

    Parameters
    ----------
    texts
        Field of ``CONDITION_FIELDS`` → what was typed; blank ones are left out.

    Returns
    -------
    The service, or every refusal: a service half read is not judged. What was taken where a text
    could mean another is in its ``said``.

    Examples
    --------
    >>> read_conditions({"environment": "Coastal", "distance_to_sea": "2 km"}).distance_to_sea_m
    2000.0
    >>> print(read_conditions({"temperature": "hot"})[0])
    temperature: read "hot" — not a number with a unit. Write it as "300 °C".
    """
    read: dict[str, object] = {}
    refused: list[Message] = []
    said: list[Message] = []
    for field, text in texts.items():
        typed = " ".join(str(text).split())
        if not typed:
            continue
        target, value = _read(field, typed, said)
        if isinstance(value, Message):
            refused.append(value)
        else:
            read[target] = value
    refused += _unpaired(read)
    if refused:
        return tuple(refused)
    service = Conditions(**read, said=tuple(said))  # type: ignore[arg-type]
    return contradictions(service) or service


def _read(field: str, typed: str, said: list[Message]) -> tuple[str, object]:
    if field in CHOICES:
        return field, _choice(field, typed)
    if field in AMOUNTS and fold(typed) in words("unknown_value"):
        return AMOUNTS[field].window, math.nan
    if field in _FLAGS:
        return field, _flag(field, typed)
    if field in AMOUNTS:
        named = words("water").get(fold(typed), typed.casefold())
        water = WATERS_MG_L.get(named) if field == "chloride" else None
        return AMOUNTS[field].window, _amount(field, typed, said) if water is None else water
    return field, Message(
        field,
        typed,
        f"no such field. Write one of: {', '.join(CONDITION_FIELDS)}.",
        code="service.field_unknown",
    )


def _unpaired(read: Mapping[str, object]) -> list[Message]:
    """Fields that say nothing without another."""
    if read.get("environment"):
        return []
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
    known = {c.casefold().replace("-", " "): c for c in CHOICES[field]}
    known |= {choice.casefold(): choice for choice in CHOICES[field]}
    if field == "environment":
        known |= {fold(other): name for name, e in ENVIRONMENTS.items() for other in e.also}
    folded = fold(typed)
    if field == "environment" and (means := unclear_words().get(folded)):
        named = "; ".join(f'"{name}" ({ENVIRONMENTS[name].about})' for name in means)
        return Message(
            field,
            typed,
            f"means more than one, and they differ: {named}. Write one of them.",
            code="service.surroundings_unclear",
        )
    if (choice := known.get(typed.casefold()) or known.get(folded)) is not None:
        return choice
    if field in THREE_WAY and (folded in words("yes") or folded in words("no")):
        return "yes" if folded in words("yes") else "no"
    if NOT_KNOWN in CHOICES[field] and folded in words("unknown_value"):
        return NOT_KNOWN
    near = _spelt_as(typed.casefold(), known)
    hint = f'Nearest: "{known[near]}". ' if near else ""
    if field == "environment" and not near:
        hint = _by_word(folded)
    return Message(
        field,
        typed,
        f"{hint}Write one of: {', '.join(CHOICES[field])}.",
        code="service.choice_unknown",
    )


#: Letters of the shortest word that names surroundings by itself, and most names in one hint.
_TELLING, _HINTED = 5, 4
_OF_A_SALT = re.compile(r"(ous|ite|ate|ide|ium)$")


def _by_word(folded: str) -> str:
    """Hint at the surroundings that share a word with what was typed; empty where none does."""
    if "tunnel" in folded.split():
        return 'A road tunnel is a field of air: write "urban", and "yes" as its road tunnel. '
    letters = "".join(sign if sign.isalpha() else " " for sign in folded)
    typed = {word for word in letters.split() if len(word) >= _TELLING}
    # A salt that is not known is no other salt, though half its name is the same.
    if any(_OF_A_SALT.search(word) for word in typed):
        return ""
    near = [
        name
        for name, place in ENVIRONMENTS.items()
        if typed & {word for one in (name, *place.also) for word in fold(one).split()}
    ]
    named = ", ".join(f'"{name}"' for name in near[:_HINTED])
    has_amount = any(sign.isdigit() for sign in folded)
    apart = " Strength and temperature have fields of their own." if has_amount else ""
    return f"Nearest: {named}.{apart} " if near else ""


def _spelt_as(typed: str, known: Iterable[str]) -> str:
    """Name that was meant where letters are wrong; empty where the words mean something else."""
    for near in difflib.get_close_matches(typed, known, n=3, cutoff=_LIKENESS):
        pairs = list(zip(typed.split(), near.split(), strict=False))
        alike = len(typed.split()) == len(near.split())
        if alike and all(_is_slip_of(word, meant) for word, meant in pairs):
            return near
    return ""


def _is_slip_of(word: str, meant: str) -> bool:
    marks, meant_marks = ([m.group() for m in _OF_CHEMISTRY.finditer(one)] for one in (word, meant))
    like = difflib.SequenceMatcher(None, word, meant).ratio() >= _LIKENESS
    is_near = like and abs(len(word) - len(meant)) <= 1
    return word == meant or (is_near and marks == meant_marks)


def _flag(field: str, typed: str) -> bool | Message:
    word = fold(typed)
    if word in words("yes") or word in words("no"):
        return word in words("yes")
    return Message(
        field, typed, 'neither yes nor no. Write "yes" or "no".', code="service.flag_unclear"
    )


def _amount(field: str, typed: str, said: list[Message]) -> float | Message:
    """Read an amount; what is worth saying of how it was read is put to the others."""
    amount = AMOUNTS[field]
    read = read_amount(typed, amount, field, _BARE_UNITS.get(field, ""), NO_HINTS)
    if isinstance(read, Message):
        return _by_volume(field, typed, read) if field == "concentration" else read
    value = _inside(field, typed, round(read.value, _PLACES))
    if isinstance(value, Message):
        return value
    if field == "concentration" and _BARE.fullmatch(typed) and value < 1.0:
        either = f"{value:g} % or {value * 100:g} %"
        share = (
            f'a bare number below 1 may be a percentage or a share: {either}. Write it with "%".'
        )
        return Message(field, typed, share, code="service.strength_or_share")
    if read.said is not None:
        said.append(about(read.said, field, typed))
    if field == "temperature" and _is_slip(typed, read.value):
        slip = (
            f"{read.value:g} °C is out of the ordinary for hot metal; the mark may part thousands. "
            f"Write the degrees without it, as {amount.example}."
        )
        return Message(field, typed, slip, code="service.temperature_unlikely")
    return value


def _inside(field: str, typed: str, value: float) -> float | Message:
    amount = AMOUNTS[field]
    window = windows()[amount.window]
    if window.holds(value):
        return value
    return Message(
        field,
        typed,
        f"out of range: it must lie {window}. Write it as {amount.example}.",
        code="service.amount_out_of_range",
    )


#: Strength by volume up to which a litre weighs about a kilogram: it is as much by mass [%].
_DILUTE_PCT = 10.0


def _by_volume(field: str, typed: str, otherwise: Message) -> float | Message:
    """Read a strength in g/l or mg/l (ppm) of a dilute solution."""
    read = read_amount(typed, _STRENGTH_BY_VOLUME, field, "", NO_HINTS)
    if isinstance(read, Message):
        return otherwise
    if read.value > _DILUTE_PCT:
        return Message(
            field,
            typed,
            "a strong solution weighs more than its water, so that its volume does not tell its "
            'share by mass. Write it by mass, as "30 %".',
            code="service.strength_by_volume",
        )
    return _inside(field, typed, round(read.value, _PLACES))


#: A mark between digits: of decimals, or of thousands with a digit left out.
_MARKED = re.compile(r"\d[.,]\d")


#: A number alone.
_BARE = re.compile(r"[\d.,]+")


def _is_slip(typed: str, value: float) -> bool:
    """Whether a temperature with a mark in it is none that metal is used at: "1,05 °C"."""
    return bool(_MARKED.search(typed)) and not plausible.is_usual("temperature_c", value)
