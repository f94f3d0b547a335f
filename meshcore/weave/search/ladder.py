"""Alternatives as a practitioner gives them: one rung after another, each a reason of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import WEAVES
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.search.grid import (
    AS_ASKED,
    CUSTOMARY,
    LISTED,
    ON_HAND,
    PROPERTIES,
    STANDARD,
    Grid,
)
from meshcore.weave.search.meant import Meaning
from meshcore.weave.search.offers import SAME_SIZES
from meshcore.weave.specification.series import nearest_of, standard_apertures, standard_wires

#: Offers that differ by less than this in both wire and aperture are one offer, whatever the weave.
SAME_OFFER = 0.10
#: The same of offers that have no reason of their own but to be near: two steps of R20.
_NEAR_TWINS = 0.20
#: How far the count or the aperture, and the wire, of such an offer may be off [-]: a judgement, no
#: source.
_NOT_FAR, _WIRE_NOT_FAR = 0.30, 2.0
#: What it weighs that the numbers are not those that were typed, though they are those of a list
#: [-]: a judgement, no source.
_OTHER_NUMBERS = 0.01
#: How near a meaning must come to a listed cloth to be taken for it, in wire and aperture [-].
_NAMES_A_CLOTH = 0.032
#: How near the wire of one must come whose aperture is that of the list [-]: to the nearest of R20.
_NAMES_A_WIRE = 0.07
#: Meanings that come as near as this to a cloth are alike, and stand in the order of the slips [-].
_AS_NEAR = 3
#: How near a wire of another gauge must come [-]: tables of gauges are rounded so.
_THE_GAUGE = 1e-3
#: How near a cloth must come that is no list's but of listed sizes: the sizes are those meant [-].
_THE_SIZE = 1e-6
#: How near the nearest listed cloth must come before one of standard sizes is tried [-].
_NEAR = 0.15
#: How far the open area may be off and still be the same [-].
_SAME_OPEN = 0.02
#: Margin from a limit below which cloth is woven, but not gladly, and what hugging the limit
#: weighs at most; a judgement, no source.
_COMFORTABLE, _HUGGING = 0.10, 0.60
#: What a wire of the other system of units weighs beside a count or an aperture of the first: a
#: judgement, no source.
_OTHER_SYSTEM = 0.10
#: A change to each weave, in the order of ``WEAVES``, weighs as much as this change of wire: crimps
#: of their own looks are offered to who asks for them. A judgement, no source.
_TO_WEAVE = np.array([0.0, 0.30, 0.05, 0.06, 0.50, 0.50, 0.50])
#: What it weighs besides to leave a weave that was asked for by its name: a judgement, no source.
_LEFT = 0.40
#: How far the aperture of cloth of the same open area may be off [-]: a judgement, no source.
_LIKE_APERTURE = 0.30

_APERTURE, _WIRE, _COUNT, _OPEN = (
    PROPERTIES.index(name) for name in ("aperture", "wire_diameter", "mesh_count", "open_area")
)


@dataclass(frozen=True, slots=True)
class Rung:
    """Candidates of one reason, best first.

    Parameters
    ----------
    rows
        Rows of the grid.
    why
        The reason, as an offer says it.
    most
        How many of them are offered at most.
    apart
        How far each is to be from all that are offered before, in wire or aperture [-].
    """

    rows: IntArray
    why: str
    most: int
    apart: float = SAME_OFFER


def rungs(
    grid: Grid,
    allowed: BoolArray,
    distance: FloatArray,
    target: FloatArray,
    weave: int,
    typed: Sequence[str],
    meant: Sequence[Meaning],
    held: bool = False,
    weave_named: bool = False,
) -> list[Rung]:
    """Arrange what can be woven by the reasons for which it is offered.

    Parameters
    ----------
    grid
        What can be woven.
    allowed
        Specifications that may be offered.
    distance
        How far each is from what was asked [-].
    target
        Logarithms of what was asked, as `property_logs` has them; NaN where not known.
    weave
        Weave asked for; index into ``WEAVES``.
    typed
        Sizes that were typed, of ``PROPERTIES``; the customary cloth is nearest in these.
    meant
        What else the sizes may have meant.
    held
        Whether properties are held, so that whatever holds them is worth offering.
    weave_named
        Whether the weave was asked for by its name, so that it is not left lightly.

    Returns
    -------
    The rungs in the order of the offers: the same sizes in another weave, or else what was
    probably meant; the customary cloth nearest to all that was typed; the same count and the same
    aperture with the next wire, where they were typed; the same open area; the next customary
    cloths and what else of a list is near, of which none is a near twin or far off; whatever is
    nearest, where properties are held or no list has anything.
    """
    off = np.abs(grid.logs - target[:, np.newaxis])
    listed = allowed & np.isin(grid.series, LISTED)
    change = _TO_WEAVE + _LEFT * weave_named
    unlike = change[grid.cloth.weave] * (grid.cloth.weave != weave)
    cost = distance + _hugging(grid) + unlike
    sizes = [PROPERTIES.index(name) for name in typed if name in PROPERTIES]
    apart = off[[p for p in sizes if np.isfinite(target[p])] or [_APERTURE, _WIRE]]
    foreign = _other_system(grid, _in_inches(target, typed))
    customary = np.nansum(apart, axis=0) + _hugging(grid) + unlike + foreign

    def ranked(mask: BoolArray, key: FloatArray) -> IntArray:
        rows = np.flatnonzero(mask)
        order: IntArray = rows[np.lexsort((rows, key[rows]))]
        return order

    def exact(place: int) -> BoolArray:
        same: BoolArray = allowed & (off[place] < SLACK)
        return same

    same_sizes = ranked(exact(_APERTURE) & exact(_WIRE), unlike)
    found = [Rung(same_sizes, _in_another_weave(grid, same_sizes), 1)]
    # A gauge is named without its system so often that another one is told also beside the same
    # sizes in another weave.
    likely = [one for one in meant if one.by_gauge] if len(same_sizes) else meant
    found += _slips(grid, allowed, unlike, likely, "mesh_count" in typed)[
        : 1 if len(same_sizes) else _most_slips(likely)
    ]
    found.append(Rung(_customary(grid, listed, off, customary), "nearest customary cloth", 1))
    in_stock = allowed & (grid.series == ON_HAND) & (off[_APERTURE] < _LIKE_APERTURE)
    found.append(Rung(ranked(in_stock, customary), "on hand", 1))
    next_wire = off[_WIRE] + _hugging(grid) + unlike
    written = np.isin(grid.series, (*LISTED, AS_ASKED))
    for place, why in _NEXT_WIRE.items():
        if not typed or PROPERTIES[place] in typed:
            found.append(Rung(ranked(exact(place) & written, next_wire + foreign), why, 1))
    alike = listed & (off[_OPEN] < _SAME_OPEN) & (off[_APERTURE] < _LIKE_APERTURE)
    found.append(Rung(ranked(alike, cost), "the same open area", 1))
    near = _not_far(off, sizes) | held
    apart_by = SAME_OFFER if held else _NEAR_TWINS
    no_wire = np.isnan(target[_WIRE])
    next_ones = allowed & (grid.series == CUSTOMARY) & (near | no_wire)
    found += [
        Rung(ranked(next_ones, customary), "next customary cloth", 2, apart_by),
        Rung(
            ranked(listed & near, cost), "near what was asked", len(cost) if held else 2, apart_by
        ),
    ]
    if held or not listed.any():
        found.append(Rung(ranked(allowed, cost), "near what was asked, in sizes of no list",
                          len(cost)))  # fmt: skip
    return [rung for rung in found if len(rung.rows)]


_NEXT_WIRE = {
    _COUNT: "the same count with the next wire",
    _APERTURE: "the same aperture with the next wire",
}


def _most_slips(meant: Sequence[Meaning]) -> int:
    """Return how many slips are told: two, and every system of a gauge that names none."""
    return max(2, sum(one.by_gauge for one in meant))


def _not_far(off: FloatArray, typed: Sequence[int]) -> BoolArray:
    """Whether cloth is near in what it lets through, and in its wire."""
    through = [place for place in (_APERTURE, _COUNT) if place in typed] or [_APERTURE, _COUNT]
    meshes = np.fmin.reduce(off[through])
    near: BoolArray = ~(meshes > np.log1p(_NOT_FAR)) & (off[_WIRE] <= np.log1p(_WIRE_NOT_FAR))
    return near


def _hugging(grid: Grid) -> FloatArray:
    """Weigh that cloth is only just within a limit."""
    short: FloatArray = np.clip(1.0 - grid.margin / _COMFORTABLE, 0.0, 1.0)
    return _HUGGING * short


def _in_another_weave(grid: Grid, rows: IntArray) -> str:
    return f"{SAME_SIZES}{WEAVES[grid.cloth.weave[rows[0]]]}" if len(rows) else ""


def _slips(
    grid: Grid, allowed: BoolArray, unlike: FloatArray, meant: Sequence[Meaning], by_count: bool
) -> list[Rung]:
    """Find cloths that the sizes name if one thing slipped, the closest first.

    A slip of the hand has to lead to a listed cloth, or to a wire with a count or an aperture that
    lists have. A gauge is a size of its own, so any cloth of that wire will do.
    """
    found: list[tuple[float, Rung]] = []
    on_lists = np.flatnonzero(allowed & np.isin(grid.series, (CUSTOMARY, STANDARD, AS_ASKED)))
    any_list = np.flatnonzero(allowed)
    for one in meant:
        rows_of = any_list if one.by_gauge else on_lists
        sizes = np.log([one.pitch_m - one.wire_m, one.wire_m])
        each = np.abs(grid.logs[[_APERTURE, _WIRE]][:, rows_of] - sizes[:, np.newaxis])
        off = each.max(axis=0)
        exact = (each[0] <= SLACK) & (each[1] <= _NAMES_A_WIRE) & (not one.by_gauge)
        near = (off <= (_THE_GAUGE if one.by_gauge else _NAMES_A_CLOTH)) | exact
        # A count that was typed stands, or is the one that slipped.
        stands = np.abs(grid.logs[_COUNT, rows_of] + np.log(one.pitch_m)) <= SLACK
        stands &= by_count and not one.renamed
        stands &= (off <= _THE_SIZE) | ((off <= _NAMES_A_CLOTH) & (unlike[rows_of] == 0.0))
        near &= (grid.series[rows_of] != AS_ASKED) | (off <= _THE_SIZE) | stands
        if near.any():
            rows = rows_of[near]
            series = np.where(
                stands[near], np.minimum(grid.series[rows], STANDARD), grid.series[rows]
            )
            order = np.lexsort((off[near], unlike[rows], series, ~stands[near]))
            is_usual = CUSTOMARY in series
            nearness = float(off[near][order[0]])
            closeness = round(nearness, _AS_NEAR) - is_usual - 2 * one.swapped
            if nearness <= _THE_SIZE:
                closeness += _OTHER_NUMBERS * one.by_decimal - (one.renamed and not is_usual)
            apart = _THE_GAUGE if one.by_gauge else SAME_OFFER
            found.append((closeness, Rung(rows[order], f"perhaps meant: {one.slip}", 1, apart)))
    return [rung for _, rung in sorted(found, key=lambda pair: pair[0])]


def _customary(grid: Grid, listed: BoolArray, off: FloatArray, cost: FloatArray) -> IntArray:
    """Customary cloths, the nearest first; of standard sizes where no series comes near."""
    near = np.fmin(off[_APERTURE], off[_COUNT])
    for series in ((CUSTOMARY,), (CUSTOMARY, STANDARD)):
        rows = np.flatnonzero(listed & np.isin(grid.series, series))
        beyond = ~(near[rows] <= np.log1p(_NEAR))
        if len(rows) and not beyond.all():
            break
    order: IntArray = rows[np.lexsort((rows, cost[rows], beyond))]
    return order


def _other_system(grid: Grid, in_inches: bool) -> FloatArray:
    """Weigh wires of the other system of units than the count or aperture beside them."""
    wires = grid.cloth.wire_diameter_m
    metric = np.abs(nearest_of(standard_wires(), wires) / wires - 1.0) < SLACK
    weight: FloatArray = _OTHER_SYSTEM * (metric == in_inches)
    return weight


def _in_inches(target: FloatArray, typed: Sequence[str]) -> bool:
    """Whether sizes are in inches: a count in quarters per inch, or an aperture of no list."""
    aperture, count = np.exp(target[_APERTURE]), np.exp(target[_COUNT]) * METRES_PER_INCH
    if "aperture" in typed and np.isfinite(aperture):
        near = nearest_of(standard_apertures(), np.array([aperture]))[0]
        return bool(abs(near / aperture - 1.0) > SLACK)
    return bool(abs(count * 4 - np.round(count * 4)) < SLACK * count)
