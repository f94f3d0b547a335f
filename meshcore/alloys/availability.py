"""What wire a mill has, and what it has drawn to order: who weaves the alloy that meets."""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.arrays import FloatArray
from meshcore.messages import Message
from meshcore.reading.settings_files import read_toml
from meshcore.rounding import SLACK

#: What a mill may say of an alloy's wire.
STATES: tuple[str, ...] = ("stocked", "to order")
#: What else is said of one: finer than the mill draws it, and not listed at all.
TOO_FINE, NOT_LISTED, NOT_STATED = "finer than it is drawn", "not listed", ""


#: Numbers of an entry → what they are where the file does not say; None where it must.
_NUMBERS: Mapping[str, float | None] = {
    "finest_wire_mm": None, "minimum_lot_kg": 0.0, "weeks": math.nan,
}  # fmt: skip


class AvailabilityError(ValueError):
    """A file of availability that cannot be used; names the entry, and what would mend it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WireSupply:
    """What a mill says of the wire of one alloy.

    Parameters
    ----------
    state
        One of ``STATES``.
    finest_wire_mm
        Finest that it has or has drawn [mm].
    minimum_lot_kg
        Least that is drawn for it [kg]; 0 where any amount is taken from stock.
    weeks
        Until it is there; 0 from stock, NaN where the file does not say.
    """

    state: str
    finest_wire_mm: float
    minimum_lot_kg: float = 0.0
    weeks: float = 0.0


@dataclass(frozen=True, slots=True)
class Availability:
    """A mill's wire, by the designation of the alloy, and when that was said."""

    name: str
    day: date
    wires: Mapping[str, WireSupply]


def read_availability(path: str | Path) -> Availability:
    """Read what wire a mill has from a TOML file.

    Raises
    ------
    AvailabilityError
        If the file cannot be read, or an entry is missing or makes no sense.
    """
    return parse_availability(read_toml(Path(path), str(path), AvailabilityError), str(path))


def parse_availability(held: Mapping[str, Any], where: str) -> Availability:
    """Return the availability that a file's entries say, as `read_availability` does.

    Examples
    --------
    >>> head = {"name": "a mill", "date": date(2026, 10, 1)}
    >>> wire = {"alloys": ["316L"], "state": "stocked", "finest_wire_mm": 0.03}
    >>> parse_availability({"availability": head, "wire": [wire]}, "here").wires["316L"].state
    'stocked'
    """
    file = f"availability {where}"
    _known(held, ("availability", "wire"), file)
    head, entries = held.get("availability"), held.get("wire")
    if not isinstance(head, Mapping) or not isinstance(head.get("date"), date):
        raise AvailabilityError(
            f"{file}: [availability] needs a name and a date. Write the date as 2026-10-01."
        )
    _known(head, ("name", "date", "note"), f"{file}: [availability]")
    if _day(head["date"]) > date.today():
        raise AvailabilityError(
            f"{file}: date {_day(head['date'])} is still to come. Write the day on which the mill "
            "said what it has."
        )
    if not isinstance(entries, list) or not entries:
        raise AvailabilityError(
            f"{file}: no wire is listed. Write one [[wire]] with its alloys, state and "
            "finest_wire_mm, or leave the file out."
        )
    wires: dict[str, WireSupply] = {}
    for place, entry in enumerate(entries, start=1):
        at = f"{file}: wire {place}"
        supply = _supply(entry, at)
        for name in _names(entry, at):
            designation = _designation(str(name), at)
            if designation in wires:
                raise AvailabilityError(f"{at}: {designation} is listed twice. Keep one.")
            wires[designation] = supply
    return Availability(str(head.get("name", "")), _day(head["date"]), wires)


def _day(said: date) -> date:
    return said.date() if isinstance(said, datetime) else said


def _known(held: Mapping[str, Any], keys: Sequence[str], at: str) -> None:
    """Refuse a key that nothing reads: it would be lost without a word."""
    for key in held:
        if key not in keys:
            near = difflib.get_close_matches(str(key), keys, n=1)
            hint = f"Nearest: {near[0]}. " if near else ""
            raise AvailabilityError(f"{at}: {key} is no entry. {hint}Write {', '.join(keys)}.")


def _names(entry: Mapping[str, Any], at: str) -> list[str]:
    names = entry.get("alloys")
    if not isinstance(names, list) or not names or not all(isinstance(n, str) for n in names):
        raise AvailabilityError(f'{at}: alloys {names!r} must be a list. Write it as ["316L"].')
    return names


def _supply(entry: object, at: str) -> WireSupply:
    if not isinstance(entry, Mapping):
        raise AvailabilityError(f"{at}: {entry!r} is no entry. Write it below a line [[wire]].")
    _known(entry, ("alloys", "state", *_NUMBERS), at)
    state = entry.get("state")
    if state not in STATES:
        raise AvailabilityError(f"{at}: state {state!r} is none of {', '.join(STATES)}.")
    numbers: dict[str, float] = {}
    for field, unsaid in _NUMBERS.items():
        value = entry.get(field, unsaid)
        if field not in entry and unsaid is not None:
            numbers[field] = 0.0 if state == STATES[0] else unsaid
            continue
        # Of a file, not a number and without end are slips as a word is.
        is_number = isinstance(value, int | float) and not isinstance(value, bool)
        if not is_number or not math.isfinite(value) or value < 0.0:
            raise AvailabilityError(
                f"{at}: {field} {value!r} must be a number of 0 or more. Write it as 0.03."
            )
        numbers[field] = float(value)
    if not numbers["finest_wire_mm"]:
        raise AvailabilityError(f"{at}: finest_wire_mm 0 is no wire. Write it as 0.03.")
    return WireSupply(state=state, **numbers)


def _designation(name: str, at: str) -> str:
    registry = installed_registry()
    answer = resolve(registry, name, "alloys")
    if isinstance(answer, Message):
        raise AvailabilityError(f"{at}: {answer}")
    return registry.alloys[answer].designation


def availability_of(
    alloys: Sequence[str], held: Availability | None, wire_m: float, mass_kg: FloatArray
) -> tuple[list[str], list[str]]:
    """Say of each alloy whether the mill has its wire, and in words what that means for the order.

    Parameters
    ----------
    alloys
        Designations.
    held
        What the mill has; None where it has not said.
    wire_m
        Wire of the mesh [m]; NaN where unknown.
    mass_kg
        Cloth of the order in each alloy [kg]; NaN where unknown.

    Returns
    -------
    One of ``STATES``, ``TOO_FINE``, ``NOT_LISTED`` or ``NOT_STATED`` for each, and the words.
    """
    states, words = [], []
    for alloy, mass in zip(alloys, mass_kg, strict=True):
        state, said = _one(None if held is None else held.wires.get(alloy), held, wire_m, mass)
        states.append(state)
        words.append(said)
    return states, words


def _one(
    supply: WireSupply | None, held: Availability | None, wire_m: float, mass_kg: float
) -> tuple[str, str]:
    if held is None:
        return NOT_STATED, "the mill has not said what wire it has"
    if supply is None:
        return NOT_LISTED, "not in the mill's list of wire: ask the drawer"
    finest = f"wire down to {supply.finest_wire_mm:g} mm"
    if wire_m * 1e3 < supply.finest_wire_mm * (1.0 - SLACK):
        return TOO_FINE, f"{finest} only; this mesh needs {wire_m * 1e3:.3g} mm: ask the drawer"
    if supply.state == "stocked":
        said = f"stocked, {finest}"
    else:
        weeks = (
            "weeks not said: ask" if math.isnan(supply.weeks) else f"about {supply.weeks:g} weeks"
        )
        said = f"drawn to order, {finest}, {weeks}"
    if supply.minimum_lot_kg and mass_kg < supply.minimum_lot_kg:
        short = f"lot of {supply.minimum_lot_kg:g} kg at the least, and this order takes "
        return supply.state, f"{said}; {short}{mass_kg:.3g} kg of cloth"
    lot = f", lot of {supply.minimum_lot_kg:g} kg at the least" if supply.minimum_lot_kg else ""
    return supply.state, said + lot
