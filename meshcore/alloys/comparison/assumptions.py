"""What a service was taken to be where nobody said, and what would change the verdicts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from meshcore.alloys.comparison.columns import ConditionColumns, condition_columns
from meshcore.alloys.comparison.conditions import (
    TEMPERS,
    THREE_WAY,
    Conditions,
    Held,
    held,
)
from meshcore.alloys.comparison.contradictions import contradictions
from meshcore.alloys.comparison.facts import AlloyFacts
from meshcore.alloys.comparison.judging import Judged, judge_alloys
from meshcore.alloys.methods import outdoor_loss, outdoor_stainless
from meshcore.alloys.methods.figures import figure
from meshcore.alloys.methods.verdicts import VERDICTS, VerdictArray

#: Field → what it is called, and its unit.
FIELD_WORDS: Mapping[str, tuple[str, str]] = {
    "corrosivity": ("ISO 9223 category", ""),
    "distance_to_sea_m": ("distance to the sea", "m"),
    "distance_to_salted_road_m": ("distance to a salted road", "m"),
    "so2_ug_m3": ("sulphur dioxide", "µg/m³"),
    "washing": ("washed by", ""),
    "temperature_c": ("temperature", "°C"),
    "concentration_pct": ("strength", "%"),
    "chloride_mg_l": ("chloride", "mg/l"),
    "ph": ("pH", ""),
    "chlorine_mg_l": ("free chlorine", "mg/l"),
    "flow_m_s": ("speed of the liquid", "m/s"),
    "oxidisers": ("oxidising ions", ""),
    "h2s": ("hydrogen sulphide", ""),
    "ammonia": ("ammonia", ""),
    "stagnant": ("standing still", ""),
    "abrasion": ("abrasion", ""),
    "load": ("in tension", ""),
    "temper": ("temper of the wire", ""),
    "hours": ("hours at temperature", "h"),
    "years_wanted": ("years wanted", "years"),
    "lost_share": ("share of the section that may be lost", ""),
    "contact_metal": ("contact with another metal", ""),
    "weld": ("weld", ""),
    "road_tunnel": ("road tunnel", ""),
    "zinc_g_m2": ("zinc on the wire", "g/m²"),
    "water_temperature_c": ("temperature of the water", "°C"),
    "food_contact": ("food contact", ""),
    "drinking_water": ("drinking water", ""),
}
#: Other values that each assumption is tried at: the steps at which methods change their mind.
_WORDS_TRIED: Mapping[str, tuple[str, ...]] = {
    "corrosivity": outdoor_loss.CATEGORIES,
    "washing": outdoor_stainless.WASHINGS,
    "temper": TEMPERS,
} | dict.fromkeys(THREE_WAY, ("yes", "no"))
_NUMBERS_TRIED: Mapping[str, tuple[float, ...]] = {
    "distance_to_sea_m": (100.0, 200.0, 800.0, 5_000.0, 20_000.0),
    "distance_to_salted_road_m": (5.0, 50.0, 500.0),
    "so2_ug_m3": (5.0, 20.0, 60.0, 120.0),
    "temperature_c": (20.0, 40.0, 60.0, 80.0, 100.0, 150.0, 300.0, 500.0, 700.0, 900.0, 1100.0),
    "concentration_pct": (2.0, 5.0, 10.0, 20.0, 50.0, 70.0, 98.0),
    "chloride_mg_l": (10.0, 50.0, 200.0, 500.0, 1_000.0, 5_000.0, 19_400.0),
    "ph": (3.5, 5.0, 6.5, 8.0, 9.5),
    "chlorine_mg_l": (0.0, 0.4, 1.0, 3.0, 6.0),
    "flow_m_s": (0.5, 2.0, 4.0),
    "hours": (100.0, 1_000.0, 10_000.0, 50_000.0),
    "years_wanted": (1.0, 5.0, 15.0, 50.0),
    "lost_share": (0.1, 0.25),
    "water_temperature_c": (20.0, 40.0, 60.0, 80.0, 100.0),
    "zinc_g_m2": (30.0, 100.0, 300.0),
}
#: The one value or two that each is tried at where it is taken for granted: harsh ones.
_UNSAID_TRIED: Mapping[str, tuple[float | str | bool, ...]] = {
    "contact_metal": ("titanium",),
    "weld": (True,),
    "road_tunnel": (True,),
    "abrasion": ("yes",),
    "temperature_c": (60.0,),
    "chloride_mg_l": (200.0,),
    "ph": (4.0, 10.0),
    "distance_to_sea_m": (800.0,),
    "distance_to_salted_road_m": (5.0,),
    "zinc_g_m2": (30.0,),
}


@dataclass(frozen=True, slots=True)
class Flip:
    """Another value of one assumption, and the verdicts that it changes.

    Parameters
    ----------
    value
        As it is written.
    changes
        Alloy → its verdict with that value.
    """

    value: str
    changes: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Assumption:
    """One value that was assumed, or that nobody knows.

    Parameters
    ----------
    field, words
        Field of `Conditions`, and what it is called.
    value
        What it was taken to be; "not known" where nothing was assumed.
    is_known
        Whether something was assumed.
    flips
        What would change a verdict: the nearest such value on either side, or every such word.
    """

    field: str
    words: str
    value: str
    is_known: bool
    flips: tuple[Flip, ...]

    def __str__(self) -> str:
        """Write it as a line of print."""
        taken = f"{self.words}: {self.value}" + (" (assumed)" if self.is_known else "")
        if not self.flips:
            return f"{taken}; nothing tried here changes a verdict"
        return f"{taken}; " + "; ".join(_said(flip) for flip in self.flips)


#: Alloys named for one change before the rest are only counted.
_NAMED = 4


def _said(flip: Flip) -> str:
    by_verdict: dict[str, list[str]] = {}
    for alloy, verdict in flip.changes.items():
        by_verdict.setdefault(verdict, []).append(alloy)
    parts = []
    for verdict, alloys in by_verdict.items():
        more = f" and {len(alloys) - _NAMED} more" if len(alloys) > _NAMED else ""
        parts.append(f"{', '.join(alloys[:_NAMED])}{more} → {verdict}")
    return f"at {flip.value}: {', '.join(parts)}"


def written(field: str, value: float | str | bool | None) -> str:
    """Write the value of a field with its unit.

    Examples
    --------
    >>> written("chloride_mg_l", 19400.0), written("load", None), written("washing", "rain")
    ('19,400 mg/l', 'not known', 'rain')
    """
    if value is None:
        return "not known"
    if value is True:
        return "yes"
    if field == "lost_share" and isinstance(value, float):
        return f"{value:.0%}".replace("%", " %")
    unit = FIELD_WORDS[field][1] if isinstance(value, float) else ""
    if field == "years_wanted" and value == 1.0:
        return "1 year"
    text = figure(value, 4) if isinstance(value, float) else str(value)
    return f"{text} {unit}".strip()


def assumptions(
    conditions: Conditions, facts: AlloyFacts, judged: Judged, wire_diameter_m: float
) -> tuple[Assumption, ...]:
    """Say every value that a service rests on without anybody's word, and what would flip it.

    Parameters
    ----------
    conditions
        The service as it was stated.
    facts, judged
        The alloys, and how they were judged for it alone.
    wire_diameter_m
        Wire of the mesh [m]; NaN where unknown.
    """
    rests_on, trials = _trials(conditions)
    if not trials:
        return tuple(_assumption(one, ()) for one in rests_on)
    wires = np.full(len(trials), wire_diameter_m)
    found = judge_alloys(facts, condition_columns([t.service for t in trials]), wires).verdict
    return _flipped(rests_on, trials, facts, judged.verdict[0], found)


def judged_with_assumptions(
    conditions: Conditions, facts: AlloyFacts, wire_diameter_m: float
) -> tuple[Judged, ConditionColumns, tuple[Assumption, ...]]:
    """Judge one service together with every other value that its assumptions are tried at.

    Returns
    -------
    What is found of the service, first of all that were judged; all of these as columns; and what
    `assumptions` says of it.
    """
    rests_on, trials = _trials(conditions)
    services = [conditions, *(trial.service for trial in trials)]
    columns = condition_columns(services)
    judged = judge_alloys(facts, columns, np.full(len(services), wire_diameter_m))
    found = judged.verdict
    return judged, columns, _flipped(rests_on, trials, facts, found[0], found[1:])


@dataclass(frozen=True, slots=True)
class _Trial:
    """Another value of what a service rests on, and the service with it."""

    held: Held
    value: float | str | bool
    service: Conditions


def _trials(conditions: Conditions) -> tuple[tuple[Held, ...], list[_Trial]]:
    """Return what a service rests on, and the other values to try."""
    _, rests_on = held(conditions)
    trials = [
        _Trial(one, value, replace(conditions, **{one.field: value}))  # type: ignore[arg-type]
        for one in rests_on
        for value in _tried(one)
        if value != one.value
    ]
    # What cannot be so is no answer to try; what is at odds already stays so.
    if not contradictions(conditions):
        trials = [trial for trial in trials if not contradictions(trial.service)]
    return rests_on, trials


def _flipped(
    rests_on: Sequence[Held],
    trials: Sequence[_Trial],
    facts: AlloyFacts,
    own: VerdictArray,
    found: VerdictArray,
) -> tuple[Assumption, ...]:
    """Say what each trial changes of the verdicts of the service itself."""
    flips: dict[str, list[tuple[float | str | bool, Flip]]] = {}
    for trial, row, other in zip(trials, found != own, found, strict=True):
        if row.any():
            changes = {str(facts.names[i]): VERDICTS[other[i]] for i in np.flatnonzero(row)}
            field = trial.held.field
            flip = Flip(written(field, trial.value), changes)
            flips.setdefault(field, []).append((trial.value, flip))
    return tuple(_assumption(one, _nearest(one, flips.get(one.field, ()))) for one in rests_on)


def _tried(one: Held) -> tuple[float | str | bool, ...]:
    """Return the values to try: a harsh one where words stand for a number, or for nothing."""
    if one.assumed and isinstance(one.value, str) and one.field in _UNSAID_TRIED:
        return _UNSAID_TRIED[one.field]
    if one.field == "corrosivity" and one.value:
        place = outdoor_loss.CATEGORIES.index(str(one.value))
        return outdoor_loss.CATEGORIES[max(place - 1, 0) : place + 2]
    return (*_WORDS_TRIED.get(one.field, ()), *_NUMBERS_TRIED.get(one.field, ()))


def _assumption(one: Held, flips: Sequence[Flip]) -> Assumption:
    words = FIELD_WORDS[one.field][0]
    return Assumption(one.field, words, written(one.field, one.value), one.assumed, tuple(flips))


def _nearest(one: Held, flips: Sequence[tuple[float | str | bool, Flip]]) -> list[Flip]:
    """Of numbers, the nearest on either side; of words, all."""
    if not isinstance(one.value, float):
        return [flip for _, flip in flips]
    numbers = [(float(value), flip) for value, flip in flips]
    below = [pair for pair in numbers if pair[0] < one.value]
    above = [pair for pair in numbers if pair[0] > one.value]
    nearest = [max(below, key=lambda p: p[0])] if below else []
    nearest += [min(above, key=lambda p: p[0])] if above else []
    return [flip for _, flip in nearest]


def flips_by_alloy(found: Sequence[Assumption]) -> dict[str, list[str]]:
    """Alloy → what would change its verdict, in words; without those that nothing tried would."""
    said: dict[str, list[str]] = {}
    for one in found:
        for flip in one.flips:
            for alloy, verdict in flip.changes.items():
                said.setdefault(alloy, []).append(f"{one.words} {flip.value} → {verdict}")
    return said
