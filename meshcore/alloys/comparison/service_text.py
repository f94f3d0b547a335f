"""A whole service as one text, to go with a line through lists, quotations and the register."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import fields
from types import MappingProxyType

from meshcore.alloys.comparison.conditions import NOT_KNOWN, Conditions
from meshcore.alloys.comparison.reading_conditions import AMOUNTS, CONDITION_FIELDS, read_conditions
from meshcore.alloys.comparison.windows import windows
from meshcore.messages import Message
from meshcore.reading.vocabulary import fold

#: Between the parts of a text, and between a field and its value.
_APART, _IS = "; ", ": "
_UNWASHED = ("washing", NOT_KNOWN)
#: Name of a number in `Conditions` → its field in a text.
_FIELD_OF: Mapping[str, str] = MappingProxyType(
    {amount.window: field for field, amount in AMOUNTS.items()}
)
#: Fields as they are written in a text, folded.
_NAMED: Mapping[str, str] = MappingProxyType(
    {fold(field.replace("_", " ")): field for field in CONDITION_FIELDS}
)


def service_text(service: Conditions) -> str:
    """Write what is stated of a service as one text; empty where nothing is.

    Examples
    --------
    >>> service_text(Conditions(environment="sea water", temperature_c=25.0, load="yes"))
    'sea water; temperature: 25 °C; load: yes'
    """
    return _APART.join(_parts(service))


def _parts(service: Conditions) -> Iterator[str]:
    plain = Conditions()
    for one in fields(Conditions):
        value = getattr(service, one.name)
        # Washing that nobody knows is washing that nobody stated.
        is_unsaid = value == getattr(plain, one.name) or (one.name, value) == _UNWASHED
        if not one.compare or is_unsaid:
            continue
        if one.name == "environment":
            yield str(value)
        else:
            field = _FIELD_OF.get(one.name, one.name)
            yield f"{field.replace('_', ' ')}{_IS}{_written(one.name, value)}"


def _written(name: str, value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if not isinstance(value, float | int):
        return str(value)
    if math.isnan(value):
        return NOT_KNOWN
    if name == "lost_share":
        return f"{_number(value * 100.0)} %"
    return f"{_number(value)} {windows()[name].unit}".strip()


def _number(value: float) -> str:
    """Write a number so that it has one reading: never three places, as thousands have."""
    whole = f"{value:.9f}".rstrip("0").rstrip(".")
    places = len(whole.partition(".")[2])
    return f"{whole}0" if places == _THOUSANDS else whole


_THOUSANDS = 3


def read_service_text(text: str) -> Conditions | tuple[Message, ...]:
    """Read what `service_text` writes, or what somebody wrote so.

    Parameters
    ----------
    text
        Parts between semicolons, each a field and its value with a colon between; a part without
        a colon names the surroundings.

    Returns
    -------
    The service, or why it cannot be read: every part that was not.

    Examples
    --------
    >>> read_service_text("Sea water; water temperature: 25 °C").environment
    'sea water'
    >>> read_service_text("sea water; hot")[0].read
    'hot'
    """
    typed: dict[str, str] = {}
    refused: list[Message] = []
    for part in filter(None, (one.strip() for one in text.split(_APART.strip()))):
        name, colon, value = part.partition(_IS.strip())
        field = _NAMED.get(fold(name.replace("_", " "))) if colon else "environment"
        if field is None:
            refused.append(_unread(part, f'"{name.strip()}" is no field of a service.'))
        elif field in typed:
            again = "the surroundings are named already." if not colon else "it is said twice."
            refused.append(_unread(part, again))
        else:
            typed[field] = value.strip() if colon else part
    if refused:
        return tuple(refused)
    return read_conditions(typed)


def _unread(part: str, why: str) -> Message:
    return Message(
        "must_stand", part, f'{why} Write "field: value", such as "temperature: 25 °C".',
        code="service.text_not_read",
    )  # fmt: skip
