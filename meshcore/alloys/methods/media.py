"""Corrosion in media by name: a table of limits of strength and temperature, family by family.

Each row says up to which temperature a family of alloys resists a medium of some strength, up to
which it is used with care, and from which it is ruled out; what lies between is not judged. It is
a screening: impurities, air, flow and crevices change such limits, and each row names its source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from meshcore.alloys.methods.data_tables import data_rows
from meshcore.alloys.methods.figures import figure
from meshcore.alloys.methods.outdoor_loss import depth_for_share
from meshcore.alloys.methods.verdicts import (
    MARGINAL,
    NOT_ASKED,
    NOT_JUDGED,
    Fitness,
    not_asked,
    verdict_where,
)
from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray

METHOD = "media by name (table of limits)"

#: One step of margin [K]: the gap in temperature that the trade would call comfortable
#: (project's own).
MEDIA_STEP_K = 20.0
#: Years that cloth is to last where nobody says how many [a] (project's own).
LEAST_YEARS = 1.0


@dataclass(frozen=True, slots=True)
class MediaRow:
    """Limits of one or more families in one medium, within a range of strength.

    Parameters
    ----------
    from_pct, to_pct
        Strength by mass [%]; the lower end is open, but for 0.
    meets_to_c, marginal_to_c, fails_from_c
        Temperatures [°C] up to which it resists, up to which it is used with care, and beyond
        which it is ruled out; minus infinity for never.
    rate_mm_a
        Most that is lost in a year where it resists [mm/a].
    cool_to_c, cool_rate_mm_a
        Temperature up to which hardly any of that is lost [°C], and the most that is [mm/a] (both
        from memory of handbooks); minus infinity, and the same rate, where nothing is known.
    """

    medium: str
    groups: tuple[str, ...]
    from_pct: float
    to_pct: float
    meets_to_c: float
    marginal_to_c: float
    fails_from_c: float
    rate_mm_a: float
    cool_to_c: float
    cool_rate_mm_a: float
    why: str
    source: str


@cache
def media_rows() -> tuple[MediaRow, ...]:
    """Return the rows of the table."""
    return tuple(_row(cells) for cells in data_rows("media.csv"))


def _row(cells: Mapping[str, str]) -> MediaRow:
    meets = float(cells["meets_to_c"] or -np.inf)
    marginal = max(meets, float(cells["marginal_to_c"] or -np.inf))
    return MediaRow(
        medium=cells["medium"],
        groups=tuple(cells["groups"].split()),
        from_pct=float(cells["from_pct"]),
        to_pct=float(cells["to_pct"]),
        meets_to_c=meets,
        marginal_to_c=marginal,
        fails_from_c=max(marginal, float(cells["fails_from_c"] or -np.inf)),
        rate_mm_a=float(cells["rate_mm_a"]),
        cool_to_c=float(cells["cool_to_c"] or -np.inf),
        cool_rate_mm_a=float(cells["cool_rate_mm_a"] or cells["rate_mm_a"]),
        why=cells["why"],
        source=cells["source"],
    )


@dataclass(frozen=True, slots=True)
class _Table:
    """The rows as arrays over bands of strength and groups; the last of each is empty.

    Rates come as three: that of the row, the temperature up to which it is less, and that less.

    Each medium has its bands in rising strength, and one more for a strength that nobody knows:
    there the worst of all its bands meets, and only what fails in all of them fails.
    """

    media: Mapping[str, int]
    groups: Mapping[str, int]
    first_band: IntArray
    upper_pct: tuple[FloatArray, ...]
    limits_c: FloatArray
    rate_mm_a: FloatArray
    row: IntArray


@cache
def _table() -> _Table:
    rows = media_rows()
    media = {name: i for i, name in enumerate(dict.fromkeys(r.medium for r in rows))}
    groups = {name: i for i, name in enumerate(dict.fromkeys(g for r in rows for g in r.groups))}
    first: list[int] = []
    uppers: list[FloatArray] = []
    limits: list[FloatArray] = []
    rates: list[FloatArray] = []
    which: list[IntArray] = []
    for name in media:
        own = [(i, r) for i, r in enumerate(rows) if r.medium == name]
        upper = np.array(
            sorted({r.to_pct for _, r in own} | {r.from_pct for _, r in own if r.from_pct})
        )
        first.append(len(limits))
        uppers.append(upper)
        bands = [_band(own, groups, float(top)) for top in upper]
        bands.append(_of_unknown_strength([b[0] for b in bands], bands))
        for limit, rate, row in bands:
            limits.append(limit)
            rates.append(rate)
            which.append(row)
    limits.append(np.full((3, len(groups) + 1), np.nan))
    rates.append(np.full((3, len(groups) + 1), np.nan))
    which.append(np.full(len(groups) + 1, -1, dtype=np.int64))
    return _Table(
        media, groups, np.array(first), tuple(uppers), np.array(limits), np.array(rates),
        np.array(which),
    )  # fmt: skip


_Band = tuple[FloatArray, FloatArray, IntArray]


def _band(own: Sequence[tuple[int, MediaRow]], groups: Mapping[str, int], top: float) -> _Band:
    limit = np.full((3, len(groups) + 1), np.nan)
    rate = np.full((3, len(groups) + 1), np.nan)
    which = np.full(len(groups) + 1, -1, dtype=np.int64)
    for i, row in own:
        if not row.from_pct < top <= row.to_pct:
            continue
        at = [groups[g] for g in row.groups]
        limit[:, at] = np.array([[row.meets_to_c], [row.marginal_to_c], [row.fails_from_c]])
        rate[:, at] = np.array([[row.rate_mm_a], [row.cool_to_c], [row.cool_rate_mm_a]])
        which[at] = i
    return limit, rate, which


def _of_unknown_strength(limits: Sequence[FloatArray], bands: Sequence[_Band]) -> _Band:
    stacked = np.stack(limits)
    everywhere = ~np.isnan(stacked[:, 0]).any(axis=0)
    meets = np.where(everywhere, stacked[:, 0].min(axis=0), -np.inf)
    marginal = np.where(everywhere, stacked[:, 1].min(axis=0), -np.inf)
    fails = np.where(everywhere, stacked[:, 2].max(axis=0), np.inf)
    known = ~np.isnan(stacked[:, 0]).all(axis=0)
    limit = np.where(known, np.stack([meets, np.maximum(meets, marginal), fails]), np.nan)
    rows = np.stack([b[2] for b in bands])
    rates = np.stack([b[1] for b in bands])
    worst = np.fmax.reduce(rates)
    worst[1] = np.fmin.reduce(rates[:, 1])
    return limit, worst, rows.max(axis=0)


def media() -> tuple[str, ...]:
    """Return the names of the media, in the order of the table."""
    return tuple(_table().media)


def index_of(name: str) -> int:
    """Index of a medium by its name; -1 where the table does not speak of it."""
    return _table().media.get(name, -1)


def groups_of(resists_as: Sequence[str]) -> IntArray:
    """Index of each alloy's family in the table; -1 where it is none of those."""
    groups = _table().groups
    return np.array([groups.get(name, -1) for name in resists_as], dtype=np.int64)


def _bands(medium: IntArray, concentration_pct: FloatArray) -> IntArray:
    """Band of each service; the empty one where there is no medium."""
    table = _table()
    band = np.full(len(medium), len(table.limits_c) - 1, dtype=np.int64)
    for code in np.unique(medium[medium >= 0]):
        at = medium == code
        upper = table.upper_pct[code]
        strength = concentration_pct[at]
        # One band is all there is to know, whatever the strength.
        place = np.searchsorted(upper, np.nan_to_num(strength) - 1e-9, side="left")
        unknown = np.isnan(strength) & (len(upper) > 1)
        place = np.where(unknown, len(upper), np.minimum(place, len(upper) - 1))
        band[at] = table.first_band[code] + place
    return band


def judge(
    asked: BoolArray,
    medium: IntArray,
    concentration_pct: FloatArray,
    temperature_c: FloatArray,
    life: tuple[FloatArray, FloatArray, FloatArray],
    group: IntArray,
    names: ObjectArray,
) -> Fitness:
    """Judge alloys by the rows of their family.

    Parameters
    ----------
    asked
        Services that the table is asked of.
    medium
        Index of each service's medium; -1 where there is none.
    concentration_pct, temperature_c
        Of each service [%, °C]; NaN where unknown: then only what holds for all of them is said.
    life
        Wire diameter [m], share of the section that may be lost [-], and years wanted [a] of each
        service: an alloy that resists but would be spent at the rate of its row is marginal.
    group, names
        Family in the table (-1: none) and designation of each alloy.
    """
    if not asked.any():
        return not_asked(METHOD, (len(medium), len(group)))
    table = _table()
    band = _bands(medium, concentration_pct)
    rows = np.flatnonzero(asked)
    meets_to, marginal_to, fails_from = (table.limits_c[:, i][band[rows]] for i in range(3))
    hot = temperature_c[rows, None]
    # Without a temperature, only what holds at any says anything.
    meets, marginal = hot <= meets_to, hot <= marginal_to
    fails = (hot > fails_from) | np.isneginf(fails_from)
    wire, share, years = (column[rows] for column in life)
    rate, cool_to, cool_rate = (table.rate_mm_a[:, i][band[rows]] for i in range(3))
    meets &= ~_is_spent(wire, share, years, np.where(hot <= cool_to, cool_rate, rate))
    # Judged family by family, and each alloy takes what its family has; the last knows nothing.
    of_family = verdict_where(np.array(True), meets | marginal | fails, meets, marginal)
    known = (of_family != NOT_JUDGED) & np.isfinite(meets_to)
    steps = np.where(known, (meets_to - hot) / MEDIA_STEP_K, np.nan)
    # Hotter than it was used with care is no better than that.
    beyond = np.where((hot > marginal_to) & (marginal_to > meets_to), MARGINAL, NOT_ASKED)
    verdict = np.full((len(medium), len(group)), NOT_ASKED, dtype=np.int8)
    margin, at_least = np.full(verdict.shape, np.nan), verdict.copy()
    verdict[rows], margin[rows] = of_family[:, group], steps[:, group]
    at_least[rows] = beyond[:, group]

    def say(service: int, alloy: int) -> str:
        if medium[service] < 0:
            return "no medium is named"
        name = media()[medium[service]]
        family = int(group[alloy])
        row = int(table.row[band[service], family])
        if row < 0:
            here = "air" if name.startswith("air ") else name
            return f"{here}: no row of the table speaks of {names[alloy]}"
        found = media_rows()[row]
        ends = [float(end) for end in table.limits_c[band[service], :, family]]
        by_strength = len(table.upper_pct[medium[service]]) > 1
        here = _where(name, concentration_pct[service], temperature_c[service], by_strength)
        depth_mm = float(depth_for_share(life[0][service], life[1][service])) / 1e3
        full, cool_to, cool_rate = (float(r) for r in table.rate_mm_a[band[service], :, family])
        lost_mm_a = cool_rate if temperature_c[service] <= cool_to else full
        left = depth_mm / lost_mm_a if lost_mm_a else np.inf
        wanted = LEAST_YEARS if np.isnan(life[2][service]) else life[2][service]
        is_spent = left < wanted and temperature_c[service] <= ends[0]
        note = _spent_said(lost_mm_a, left) if is_spent else ""
        return f"{here}: {found.why} ({_limits_said(*ends)}; {found.source}){note}"

    return Fitness(METHOD, verdict, margin, say, at_least)


def life_years(
    medium: IntArray,
    concentration_pct: FloatArray,
    temperature_c: FloatArray,
    wire: tuple[FloatArray, FloatArray],
    group: IntArray,
) -> FloatArray:
    """Years until the share of the wire is lost at the rate of its row [a], services by alloys.

    Parameters
    ----------
    medium, concentration_pct, temperature_c, group
        As for `judge`.
    wire
        Diameter [m] and share of the section that may be lost [-] of each service.

    Returns
    -------
    Life at the most that the row allows where it resists; NaN where no row speaks, or where it is
    hotter than the alloy is used with care.
    """
    table = _table()
    band = _bands(medium, concentration_pct)
    hot = temperature_c[:, None]
    marginal_to = table.limits_c[:, 1][band]
    rate, cool_to, cool_rate = (table.rate_mm_a[:, i][band] for i in range(3))
    lost = np.where(hot <= cool_to, cool_rate, rate)
    depth_mm = depth_for_share(*wire)[:, None] / 1e3
    life = np.divide(depth_mm, lost, out=np.full(lost.shape, np.nan), where=lost > 0.0)
    return np.where(hot <= marginal_to, life, np.nan)[:, group]


def _is_spent(
    wire_m: FloatArray, share: FloatArray, years: FloatArray, rate_mm_a: FloatArray
) -> BoolArray:
    """Whether the share of the wire is lost before the years wanted, at the rate of each row."""
    depth_mm = depth_for_share(wire_m, share) / 1e3
    wanted = np.where(np.isnan(years), LEAST_YEARS, years)
    spent: BoolArray = depth_mm[:, None] < rate_mm_a * wanted[:, None]
    return spent


def _spent_said(rate_mm_a: float, years: float) -> str:
    return (
        f"; at {rate_mm_a:g} mm a year, the most that its row allows, this wire would be "
        f"spent in {figure(years, 2)} years: try it in the service"
    )


def _where(name: str, strength: float, temperature: float, by_strength: bool) -> str:
    said = [name]
    if by_strength:
        said.append("of unknown strength" if np.isnan(strength) else f"of {strength:g} %")
    if name.startswith("air "):
        return f"air of category {name.removeprefix('air ')}"
    said.append(
        "at a temperature not known" if np.isnan(temperature) else f"at {figure(temperature, 4)} °C"
    )
    return " ".join(said)


def _limits_said(meets: float, marginal: float, fails: float) -> str:
    parts = [
        f"resists to {meets:g} °C" if np.isfinite(meets) else "",
        f"with care to {marginal:g} °C" if np.isfinite(marginal) and marginal > meets else "",
        "ruled out" if np.isneginf(fails) else f"ruled out above {fails:g} °C"
        if np.isfinite(fails) else "",
    ]  # fmt: skip
    return ", ".join(p for p in parts if p) or "it depends on the strength"
