"""When an order could leave: loom hours, wire, services and queue, from data of the mill.

A date that comes out is what these data give, and no promise.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from meshcore.arrays import IntArray
from meshcore.estimates.results import EstimateSet
from meshcore.reading.settings_files import read_toml
from meshcore.rounding import SLACK

#: Labels of the items whose quantities are hours of a loom.
_LOOM, _SET_UP = "weaving", "warp set-up"


class LeadTimeError(ValueError):
    """Data of a lead time that cannot be used; the message names each entry and what mends it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadTimeData:
    """What a mill enters for its lead times.

    Parameters
    ----------
    looms
        Looms that an order may have at once.
    hours_per_day
        Hours that a loom runs a day [h].
    queue_days
        Working days until a loom is free.
    wire_days
        Working days until wire that is not on hand has come.
    wire_on_hand
        Designations of the alloys whose wire is on hand.
    service_days
        Service → working days that it takes.
    despatch_days
        Working days to pack and hand over.
    note
        Where the figures come from.
    """

    looms: float
    hours_per_day: float
    queue_days: float
    wire_days: float
    wire_on_hand: tuple[str, ...]
    service_days: Mapping[str, float]
    despatch_days: float
    note: str


@dataclass(frozen=True, slots=True)
class LeadTime:
    """Lead time of an order.

    Parameters
    ----------
    order
        Its number, as in the column ``order_taken``; 0 is an option.
    days
        Working days, each begun one whole.
    ready
        Day on which it could leave.
    loom_hours
        Hours of looms, set-up of warps included [h].
    decided_by
        What takes longest, in words.
    steps
        What it is made of: name → working days.
    """

    order: int
    days: int
    ready: date
    loom_hours: float
    decided_by: str
    steps: Mapping[str, float]


_NUMBERS = ("looms", "hours_per_day", "queue_days", "wire_days", "despatch_days")


def read_lead_time(path: str | Path) -> LeadTimeData:
    """Read a mill's data of lead times from a TOML file.

    Raises
    ------
    LeadTimeError
        If the file cannot be read, or an entry makes no sense.
    """
    return parse_lead_time(read_toml(Path(path), str(path), LeadTimeError), str(path))


def parse_lead_time(data: Mapping[str, Any], where: str) -> LeadTimeData:
    """Build a mill's data of lead times from parsed TOML; all that is wrong is said at once.

    Raises
    ------
    LeadTimeError
        If an entry makes no sense.

    Examples
    --------
    >>> import tomllib
    >>> parse_lead_time(tomllib.loads("looms = 0"), "lead.toml")
    Traceback (most recent call last):
    ...
    meshcore.estimates.lead_time.LeadTimeError: lead.toml: looms: a number above 0 is due. \
hours_per_day: a number above 0 is due. queue_days: a number of days is due. wire_days: a number \
of days is due. despatch_days: a number of days is due.
    """
    wrong = [
        f"{name}: nothing of that name is known."
        for name in sorted(data.keys() - {*_NUMBERS, "wire_on_hand", "services", "note"})
    ]
    figures: dict[str, float] = {}
    for name in _NUMBERS:
        above = name in ("looms", "hours_per_day")
        figures[name] = _number(data.get(name), above)
        if math.isnan(figures[name]):
            due = "a number above 0 is due" if above else "a number of days is due"
            wrong.append(f"{name}: {due}.")
    services = data.get("services", {})
    days = {str(name): _number(value, False) for name, value in services.items()}
    wrong += [f"services.{n}: a number of days is due." for n, d in days.items() if math.isnan(d)]
    alloys = data.get("wire_on_hand", [])
    if not isinstance(alloys, list):
        wrong.append('wire_on_hand: a list of alloys is due, as ["304"].')
        alloys = []
    if wrong:
        raise LeadTimeError(f"{where}: " + " ".join(wrong))
    return LeadTimeData(
        **figures, wire_on_hand=tuple(map(str, alloys)), service_days=days,
        note=str(data.get("note", "")),
    )  # fmt: skip


def _number(value: object, above: bool) -> float:
    good = isinstance(value, int | float) and not isinstance(value, bool)
    if not good or not math.isfinite(value) or value < 0 or (above and value == 0):  # type: ignore[arg-type, operator]
        return math.nan
    return float(value)  # type: ignore[arg-type]


def lead_times(
    estimates: EstimateSet,
    data: LeadTimeData,
    start: date | None = None,
    lines: IntArray | None = None,
) -> tuple[LeadTime, ...]:
    """Work out when each order of a priced list could leave.

    Parameters
    ----------
    estimates
        The priced list.
    data
        The mill's data.
    start
        Day on which the order is taken; today, if None.
    lines
        Row numbers of the lines that count; all, if None.

    Returns
    -------
    One for each order with a line that has a price. Days are working days, Monday to Friday;
    holidays are the mill's to add to its queue.

    Notes
    -----
    Wire that is bought comes while the queue is waited out; then the looms, the slowest service,
    and despatch follow each other. Lines taken from stock need no loom and no wire.
    """
    items = estimates.ledger.items
    hours = sum(
        (np.where(item.minor != 0.0, item.quantity, 0.0) for item in items
         if item.label in (_LOOM, _SET_UP)), np.zeros(len(estimates)),
    )  # fmt: skip
    stock = estimates.orders.from_stock
    woven = ~stock if stock is not None else np.ones(len(estimates), dtype=np.bool_)
    taken = estimates.table["order_taken"].to_numpy()
    priced = estimates.ledger.priced & ~estimates.log.refused()
    if lines is not None:
        priced &= np.isin(np.arange(len(estimates)), lines)
    found = []
    for order in np.unique(taken[priced]).tolist():
        rows = np.flatnonzero(priced & (taken == order))
        found.append(_of(estimates, rows, float(hours[rows[woven[rows]]].sum()),
                         rows[woven[rows]], int(order), data, start or date.today()))  # fmt: skip
    return tuple(found)


def _of(
    estimates: EstimateSet,
    rows: np.ndarray[Any, np.dtype[np.int64]],
    hours: float,
    woven: np.ndarray[Any, np.dtype[np.int64]],
    order: int,
    data: LeadTimeData,
    start: date,
) -> LeadTime:
    cloth = estimates.orders.cloth
    alloys = {cloth.alloys[int(cloth.alloy[n])].designation for n in woven.tolist()}
    bought = sorted(alloys - set(data.wire_on_hand))
    asked = [name for name, lines in estimates.orders.services.items() if lines[rows].any()]
    slowest = max(asked, key=lambda name: data.service_days.get(name, 0.0), default="")
    steps: dict[str, float] = {}
    if woven.size:
        wire = data.wire_days if bought else 0.0
        longer = wire > data.queue_days
        name = f"wire of {', '.join(bought)}, to be bought" if longer else "the queue for a loom"
        steps[name] = wire if longer else data.queue_days
        looms = f"{hours:.1f} loom hours"
        steps[looms] = hours / (data.looms * data.hours_per_day)
    if slowest and data.service_days.get(slowest, 0.0) > 0.0:
        steps[f"service {slowest}"] = data.service_days[slowest]
    steps["despatch"] = data.despatch_days
    days = math.ceil(sum(steps.values()) - SLACK)
    decided = max(steps, key=lambda name: steps[name])
    return LeadTime(order, days, _working_day(start, days), hours, decided, steps)


def _working_day(start: date, days: int) -> date:
    """Return the day so many working days after another.

    Examples
    --------
    >>> _working_day(date(2026, 11, 26), 3)
    datetime.date(2026, 12, 1)
    """
    return date.fromordinal(
        int(np.busday_offset(start, days, roll="forward").astype(date).toordinal())
    )


def lead_time_text(times: tuple[LeadTime, ...]) -> str:
    """Write lead times out, with what decides each; no promise."""
    rows = []
    for one in times:
        name = f"Order {one.order}" if one.order else "Option"
        steps = ", ".join(f"{step} {days:.1f} d" for step, days in one.steps.items())
        rows.append(
            f"{name} could leave on {one.ready} ({one.days} working days: {steps}), decided by "
            f"{one.decided_by}."
        )
    return "\n".join([*rows, "From the mill's own figures as entered; a date is not a promise."])
