"""What a row of the table of media takes for granted: how much chloride, which pH, no chlorine.

A row is read only inside the range of the quantities that it speaks of. What is stated beyond, or
is not known where it matters, leaves the alloy not judged, whatever else is said for it: a row on
milk does not speak of milk with bleach in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from meshcore.alloys.methods import media
from meshcore.alloys.methods.data_tables import data_rows
from meshcore.alloys.methods.families import all_of, closeness, families
from meshcore.alloys.methods.verdicts import NOT_ASKED, NOT_JUDGED, Fitness, VerdictArray
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

METHOD = "range of the table's rows (each with its source)"
#: Fields that a range may speak of, and how a message calls them. Of those that are yes or no, yes
#: is 1 and no is 0.
FIELDS: Mapping[str, tuple[str, str]] = {
    "ph": ("pH", ""),
    "chloride_mg_l": ("chloride", " mg/l"),
    "chlorine_mg_l": ("free chlorine", " mg/l"),
    "h2s": ("hydrogen sulphide", ""),
    "ammonia": ("ammonia", ""),
    "oxidisers": ("oxidising ions", ""),
}
_YES_OR_NO = ("h2s", "ammonia", "oxidisers")
#: Of acids, alkalis, food and ground the name says about what pH they have; of water it does not.
_PH_BY_NAME = ("chemical", "ground", "gas", "hot air", "air", "")


@dataclass(frozen=True, slots=True)
class RowRange:
    """A range of one quantity outside which some rows are not read.

    Parameters
    ----------
    media
        Names of media, kinds of surroundings, or ``*``.
    groups
        Families or their kin, or ``*``; the closest of several ranges holds.
    field
        One of ``FIELDS``.
    least, most
        Ends of the range, in the field's unit; infinite where there is none.
    """

    media: tuple[str, ...]
    groups: tuple[str, ...]
    field: str
    least: float
    most: float
    why: str
    source: str


@cache
def row_ranges() -> tuple[RowRange, ...]:
    """Return the ranges.

    Raises
    ------
    ValueError
        If one speaks of a family that is none.
    """
    return tuple(_range(cells) for cells in data_rows("row_ranges.csv"))


def _range(cells: Mapping[str, str]) -> RowRange:
    groups = tuple(cells["groups"].split())
    all_of(*groups)
    return RowRange(
        media=tuple(cells["media"].split("|")),
        groups=groups,
        field=cells["field"],
        least=float(cells["least"] or -np.inf),
        most=float(cells["most"] or np.inf),
        why=cells["why"],
        source=cells["source"],
    )


_Ends = tuple[FloatArray, FloatArray, tuple[RowRange | None, ...]]


@cache
def _of(rows: str, kind: str, field: str) -> _Ends:
    """Return both ends for each family, and the range; the last family is none, without any."""
    names = list(families())
    closest = [_closest(rows, kind, field, family) for family in names]
    found: tuple[RowRange | None, ...] = (*closest, None)
    least = np.array([-np.inf if r is None else r.least for r in found])
    most = np.array([np.inf if r is None else r.most for r in found])
    return least, most, found


def _closest(rows: str, kind: str, field: str, family: str) -> RowRange | None:
    best, held = (-1, -1), None
    for one in row_ranges():
        if one.field != field:
            continue
        medium = (
            2 if rows in one.media else 1 if kind in one.media else 0 if "*" in one.media else -1
        )
        group = max(closeness(name, family) for name in one.groups)
        if min(medium, group) >= 0 and (medium, group) > best:
            best, held = (medium, group), one
    return held


def family_index(resists_as: Sequence[str]) -> IntArray:
    """Index of each alloy's family in the file of families; one beyond where it is none."""
    place = {name: i for i, name in enumerate(families())}
    return np.array([place.get(name, len(place)) for name in resists_as], dtype=np.int64)


def judge(
    rows_of: Sequence[tuple[str, str]],
    stated: Mapping[str, FloatArray],
    family: IntArray,
    names: ObjectArray,
) -> Fitness:
    """Leave unjudged what is stated beyond the rows, or is not known where it matters.

    Parameters
    ----------
    rows_of
        Name of the medium and kind of surroundings of each service; empty where there is none.
    stated
        Field of ``FIELDS`` → its value in each service; NaN where nobody knows.
    family, names
        Index from `family_index` and designation of each alloy.
    """
    shape = (len(rows_of), len(family))
    places = {one: i for i, one in enumerate(dict.fromkeys(rows_of))}
    place = np.array([places[one] for one in rows_of], dtype=np.int64)
    by_name = np.array([kind in _PH_BY_NAME for _, kind in places], dtype=np.bool_)[place]
    named = np.array([bool(kind) for _, kind in places], dtype=np.bool_)[place]
    beyond: dict[str, BoolArray] = {}
    for field in FIELDS:
        ends = [_of(rows, kind, field) for rows, kind in places]
        least, most = (np.array([e[i] for e in ends])[place] for i in (0, 1))
        value = stated[field][:, None]
        matters = np.isnan(value) & (named & ~(by_name & (field == "ph")))[:, None]
        outside = (value < least) | (value > most)
        outside |= matters & (np.isfinite(least) | np.isfinite(most))
        beyond[field] = outside[:, family]
    verdict: VerdictArray = np.full(shape, NOT_ASKED, dtype=np.int8)
    verdict[np.logical_or.reduce(list(beyond.values()))] = NOT_JUDGED

    def say(service: int, alloy: int) -> str:
        rows, kind = rows_of[service]
        said = [
            _said(
                field, float(stated[field][service]), rows, _of(rows, kind, field)[2][family[alloy]]
            )
            for field, outside in beyond.items()
            if outside[service, alloy]
        ]
        return "; ".join(said) or f"{names[alloy]}: within what the rows speak of"

    return Fitness(METHOD, verdict, np.broadcast_to(np.nan, shape), say)


def _said(field: str, value: float, rows: str, held: RowRange | None) -> str:
    words, unit = FIELDS[field]
    where = f" on {rows}" if rows and rows in media.media() else ""
    if held is None:
        return f"{words}: no row speaks of it"
    if np.isnan(value):
        return f"depends on {words}, not known: the rows{where} speak of {_span(held)} ({held.why})"
    is_flag = field in _YES_OR_NO
    amount = "" if is_flag else f" {value:,g}{unit}"
    return f"{words}{amount}: the rows{where} speak of {_span(held)} ({held.why}; {held.source})"


def _span(held: RowRange) -> str:
    words, unit = FIELDS[held.field]
    if held.field in _YES_OR_NO or held.most == 0.0:
        return f"the medium without {words}"
    if np.isinf(held.least):
        return f"up to {held.most:,g}{unit}"
    if np.isinf(held.most):
        return f"{held.least:g}{unit} and more"
    return f"{held.least:g} to {held.most:,g}{unit}"
