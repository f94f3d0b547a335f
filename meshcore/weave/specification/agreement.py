"""What the sizes of a line say together: which two fix the rest, and whether the others agree."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.rounding import SLACK
from meshcore.weave.specification.matching import NO_SERIES, agrees_with, name_cloth, typed_standard
from meshcore.weave.specification.off import area_told, mass_spread, mass_uncertainty, well_off
from meshcore.weave.specification.pairs import BASES, NOMINAL_PAIRS, Sizes, bases_of, extent, solve
from meshcore.weave.specification.series import STANDARD_SIZES, numbered_as
from meshcore.weave.specification.stated import Stated, stated

if TYPE_CHECKING:
    from meshcore.reading.columns import QuantityColumn

#: A later pair in `BASES` is preferred only if its uncertainty is below this share of the earlier
#: one's: one digit more is a tenth, while sizes of like digits differ by mere circumstance.
CLEARLY_BETTER = 0.5
#: Cloth is called by the number of a test sieve of its aperture where its count is as near [-]:
#: 45 µm with 36 µm has 314 to the inch, and is sold as 325 (common practice, no source).
_NUMBER_LEEWAY = 0.05
#: Relative difference of two sizes that nobody would call another size [-].
_SAME_CLOTH = 1e-6


@dataclass(frozen=True, slots=True)
class Agreement:
    """What the sizes say together, one row a line.

    Parameters
    ----------
    sizes
        By the pair in `basis`, or of the cloth that is named.
    basis
        Index into ``BASES`` of the pair.
    agrees
        Lines whose other sizes agree with it.
    rounded_count
        Lines that agree only if their whole mesh count was rounded; the count is not used there.
    series
        Code of the series of which the sizes name one cloth; ``NO_SERIES`` where they do not.
    moved
        Lines of a named cloth that is not just what the pair gives at its typed sizes.
    as_stated
        Lines whose typed pair gives every other size as it was typed.
    mass_low, mass_high
        Least and greatest of d²/p over the rounding of the pair, as shares of its value; 1 where
        both are sizes that mean themselves.
    """

    sizes: Sizes
    basis: IntArray
    agrees: BoolArray
    rounded_count: BoolArray
    series: IntArray
    moved: BoolArray
    as_stated: BoolArray
    mass_low: FloatArray
    mass_high: FloatArray


def agree(columns: Mapping[str, QuantityColumn]) -> Agreement:
    """Find what each line's sizes say together.

    Parameters
    ----------
    columns
        Two or more fields that fix the sizes, given in every line.

    Returns
    -------
    The agreement, line for line.

    Notes
    -----
    A wire that was typed is the wire that is drawn, if it gives the other sizes as they were
    typed. Where it does not, or no wire was typed, the sizes are held against the series: the one
    cloth within the rounding of all of them is meant. Three sizes or more that name a listed cloth
    to within `WORTH_A_LOOK` mean it too: "10, 0.64 mm, 1.90 mm" is 10 with 0.025 in. Failing that,
    the pair that fixes d²/p best stands, if the others agree with it within the rounding of the
    pair and their own.
    """
    said = stated(columns)
    by_wire = [b for b in bases_of(tuple(columns)) if b in NOMINAL_PAIRS]
    direct = _as_typed(said, by_wire) if by_wire else None
    three = len(columns) > len(BASES[0])
    if direct is not None and direct.as_stated.all() and not three:
        return direct
    agreement = _by_rounding(said)
    if direct is not None:
        agreement = _where(direct.agrees, direct, agreement)
    named, series = name_cloth(said)
    both_typed = {"aperture", "wire_diameter"} <= said.values.keys()
    moved = np.zeros(series.shape, dtype=np.bool_)
    for field in ("pitch", "wire_diameter"):
        moved |= np.abs(named.of(field) / agreement.sizes.of(field) - 1.0) > _SAME_CLOTH
    whole = (series != STANDARD_SIZES) | (typed_standard(said) if both_typed else np.False_)
    listed = three & moved & whole & ~well_off(named, said.values)
    listed &= ~(agreement.as_stated & area_told(agreement.sizes, named, said))
    take = (series != NO_SERIES) & (~agreement.as_stated | listed)
    roughly = _counted_roughly(said)
    if roughly is not None:
        sizes = {f: said.values[f] for f in ("aperture", "wire_diameter")}
        unnamed = (series == NO_SERIES) | well_off(named, sizes)
        kept = roughly.agrees & unnamed & ~agreement.as_stated
        agreement, take = _where(kept, roughly, agreement), take & ~kept
    if not take.any():
        return agreement
    moved |= ~agreement.agrees | agreement.rounded_count
    one = np.ones(len(series))
    of_series = replace(
        agreement, sizes=named, agrees=take, rounded_count=np.zeros_like(take), series=series,
        moved=moved, mass_low=one, mass_high=one,
    )  # fmt: skip
    return _where(take, of_series, agreement)


def _counted_roughly(said: Stated) -> Agreement | None:
    """Agreement of aperture and wire as typed with a whole count that is only theirs rounded."""
    basis = ("aperture", "wire_diameter")
    if not {*basis, "mesh_count"} <= said.values.keys():
        return None
    sizes = solve(basis, said.values)
    rest = {f: v for f, v in said.values.items() if f != "mesh_count"}
    agrees = said.counted & agrees_with(sizes, rest, said.own)
    count = said.values["mesh_count"]
    numbered = numbered_as(count, said.values["aperture"])
    leeway = np.where(numbered, _NUMBER_LEEWAY * count, said.nearest["mesh_count"])
    agrees &= np.abs(sizes.of("mesh_count") - count) <= leeway * (1.0 + SLACK)
    one = np.ones(agrees.shape)
    found = _agreement(basis, sizes, agrees, (one, one))
    return replace(found, rounded_count=agrees)


def count_and_pitch_differ(columns: Mapping[str, QuantityColumn]) -> BoolArray:
    """Lines whose mesh count and pitch are not one size within their rounding."""
    said = stated({field: columns[field] for field in ("mesh_count", "pitch")})
    count, pitch = said.values["mesh_count"], said.values["pitch"]
    halves, half_pitch = said.nearest["mesh_count"], said.nearest["pitch"]
    with np.errstate(all="ignore"):
        finest, coarsest = 1.0 / (count + halves), 1.0 / (count - halves)
        apart: BoolArray = (pitch + half_pitch < finest) | (pitch - half_pitch > coarsest)
    return apart


def _by_rounding(said: Stated) -> Agreement:
    """Agreement within the rounding of the best pair; a whole count is exact, or was rounded."""
    fields = tuple(said.values)
    exact = _best(said.values, said.meant, said.range, said.own, _preferred(fields))
    rest = tuple(field for field in fields if field != "mesh_count")
    if "mesh_count" not in fields or not bases_of(rest):
        return exact
    counted = said.values["mesh_count"]
    retry = said.counted & ~exact.agrees
    if not retry.any():
        return exact
    values, meant, ranges, own = (
        {f: columns[f] for f in rest} for columns in (said.values, said.meant, said.range, said.own)
    )
    without = _best(values, meant, ranges, own, _preferred(rest))
    near = np.abs(without.sizes.of("mesh_count") - counted) <= said.nearest["mesh_count"] * (
        1.0 + SLACK
    )
    rounded = retry & without.agrees & near
    return _where(rounded, replace(without, rounded_count=rounded), exact)


def _preferred(fields: tuple[str, ...]) -> list[tuple[str, str]]:
    """Pairs to choose from: of a wire that was typed, those that do not lean on the open area."""
    bases = bases_of(fields)
    nominal = [basis for basis in bases if basis in NOMINAL_PAIRS]
    return nominal or [b for b in bases if "wire_diameter" in b] or bases


def _where(mask: BoolArray, then: Agreement, other: Agreement) -> Agreement:
    """Take `then` in the lines of the mask, `other` elsewhere."""
    if mask.all():
        return then
    columns = {
        name: np.where(mask, getattr(then, name), getattr(other, name))
        for name in Agreement.__slots__
        if name != "sizes"
    }
    pairs = zip(then.sizes, other.sizes, strict=True)
    return Agreement(sizes=Sizes(*(np.where(mask, a, b) for a, b in pairs)), **columns)


def _as_typed(said: Stated, bases: list[tuple[str, str]]) -> Agreement:
    """Take a pair at its typed sizes that gives every other size as it was typed."""
    scored = []
    for basis in bases:
        sizes = solve(basis, said.values)
        agrees = agrees_with(sizes, said.values, said.own)
        score = mass_uncertainty(sizes, *extent(basis, said.values, said.meant))
        one = np.ones(score.shape)
        here = _agreement(basis, sizes, agrees, (one, one))
        closely = agrees & ~well_off(sizes, said.values)
        scored.append((np.where(agrees, score, np.inf), replace(here, as_stated=closely)))
    return _clearly_best(scored)


def _best(
    values: Mapping[str, FloatArray],
    meant: Mapping[str, FloatArray],
    ranges: Mapping[str, FloatArray],
    own: Mapping[str, FloatArray],
    bases: list[tuple[str, str]],
) -> Agreement:
    """Take the pair that fixes d²/p best; the others agree within the range of its rounding."""
    scored = []
    for basis in bases:
        sizes = solve(basis, values)
        low, high = extent(basis, values, ranges)
        agrees = _others_agree(basis, values, own, low, high)
        here = _agreement(basis, sizes, agrees, mass_spread(basis, values, meant, sizes))
        scored.append((mass_uncertainty(sizes, low, high), here))
    return _clearly_best(scored)


def _agreement(
    basis: tuple[str, str],
    sizes: Sizes,
    agrees: BoolArray,
    mass: tuple[FloatArray, FloatArray],
) -> Agreement:
    code = np.full(agrees.shape, BASES.index(basis), dtype=np.int64)
    none = np.full(agrees.shape, NO_SERIES, dtype=np.int64)
    nowhere = np.zeros_like(agrees)
    return Agreement(sizes, code, agrees, nowhere, none, nowhere, nowhere, *mass)


def _clearly_best(scored: list[tuple[FloatArray, Agreement]]) -> Agreement:
    """Take the first of the pairs, or a later one whose uncertainty is clearly less."""
    (least, best), *others = scored
    for score, here in others:
        better = score < CLEARLY_BETTER * least
        least = np.where(better, score, least)
        best = _where(better, here, best)
    return best


def _others_agree(
    basis: tuple[str, str],
    values: Mapping[str, FloatArray],
    halves: Mapping[str, FloatArray],
    low: Sizes,
    high: Sizes,
) -> BoolArray:
    agrees = np.ones(low.pitch.shape, dtype=np.bool_)
    for field in values.keys() - set(basis):
        least, greatest = low.of(field), high.of(field)
        if field == "mesh_count":
            least, greatest = greatest, least
        # Relative to the pitch where lengths are concerned: a small wire is a difference of two.
        slack = SLACK * (low.pitch if field in _LENGTHS else values[field])
        agrees &= least - halves[field] - slack <= values[field]
        agrees &= values[field] <= greatest + halves[field] + slack
    return agrees


_LENGTHS = frozenset({"pitch", "aperture", "wire_diameter"})
