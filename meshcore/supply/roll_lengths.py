"""Lengths of rolls: what is bought to deliver the length asked for."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.messages import AlikeMessages, Message, MessageLog
from meshcore.rounding import SLACK
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.rolls import RollMix, cheapest_mix, roll_terms
from meshcore.units import METRES_PER_FOOT

_PARTS = "arrives as {full:.0f} full and a part roll of {rest_m:.2f} m."


def roll_lengths(
    length_m: FloatArray,
    texts: ObjectArray,
    policy: SupplyPolicy,
    log: MessageLog,
    mask: BoolArray,
) -> tuple[FloatArray, FloatArray, BoolArray, BoolArray]:
    """Work out what is bought for one roll of each line.

    Parameters
    ----------
    length_m, texts
        Length asked for [m], and as it was typed.
    policy
        What rolls there are.
    log
        Receives a note where more is bought than was asked for.
    mask
        Lines of rolls.

    Returns
    -------
    Length bought [m], full rolls in it, whether there is a rest beyond them, and whether a part
    roll is among it.

    Notes
    -----
    A length within the delivery tolerance of a full or half roll is such a roll: no roll comes out
    more exact. Another is met by the cheapest mix; where a part roll costs no more than its cloth,
    that is the length itself.
    """
    tolerance = policy.rolls
    under, over = 1.0 - tolerance.length_under - SLACK, 1.0 + tolerance.length_over + SLACK
    whole = np.round(length_m / policy.full_length_m)
    is_whole = _within(length_m, whole * policy.full_length_m, under, over)
    full = np.where(is_whole, whole, np.floor(length_m / policy.full_length_m + SLACK))
    rest = length_m - full * policy.full_length_m
    has_rest = ~is_whole & (rest > policy.full_length_m * SLACK)
    is_half = np.zeros(len(rest), dtype=np.bool_)
    for half in policy.half_lengths_m:
        is_half |= _within(rest, np.full(len(rest), half), under, over)
    is_part = has_rest & ~is_half
    odd = np.flatnonzero(mask & is_part)
    if (policy.part_rolls and policy.part_roll_charge_m == 0.0) or not len(odd):
        _note_parts(length_m, texts, full, policy, odd, log)
        return length_m, full, has_rest, is_part
    terms = roll_terms(policy, part_charge=policy.part_roll_charge_m)
    lengths, place = np.unique(length_m[odd], return_inverse=True)
    mix = cheapest_mix(lengths, terms)
    bought = length_m.copy()
    bought[odd] = mix.length_m[place]
    is_part[odd] = mix.parts[place] > 0
    full[odd] = mix.full[place]
    _note_mix(length_m, texts, mix, odd, place, policy, log)
    return bought, full, has_rest, is_part


def _within(length_m: FloatArray, nominal_m: FloatArray, under: float, over: float) -> BoolArray:
    within: BoolArray = (length_m >= nominal_m * under) & (length_m <= nominal_m * over)
    return within & (nominal_m > 0)


def _note_parts(
    length_m: FloatArray,
    texts: ObjectArray,
    full: FloatArray,
    policy: SupplyPolicy,
    odd: IntArray,
    log: MessageLog,
) -> None:
    """Say of lengths beyond a roll how they arrive."""
    rows = odd[full[odd] > 0]
    rest = length_m[rows] - full[rows] * policy.full_length_m
    figures = {"full": full[rows], "rest_m": rest}
    log.add_each(
        rows, AlikeMessages("length", texts[rows], _PARTS, figures, "note", "supply.part_roll")
    )


def _note_mix(
    length_m: FloatArray,
    texts: ObjectArray,
    mix: RollMix,
    odd: IntArray,
    place: IntArray,
    policy: SupplyPolicy,
    log: MessageLog,
) -> None:
    """Say which rolls a length is cut from, where it is not just a part roll of that length."""
    longer = mix.length_m[place] > length_m[odd] * (1.0 + SLACK)
    halves = [f"half of {m / METRES_PER_FOOT:g} ft" for m in policy.half_lengths_m]
    for row, at in zip(odd[longer].tolist(), place[longer].tolist(), strict=True):
        counts = [(int(mix.full[at]), "full"), *zip(mix.halves[at].tolist(), halves, strict=True)]
        rolls = ", ".join(f"{n} {name}" for n, name in counts if n)
        text = (
            f"met by the cheapest rolls: {rolls}, {mix.length_m[at]:.2f} m in all; the "
            "cloth beyond the length asked for is in the price."
        )
        log.add([row], Message("length", str(texts[row]), text, "note", code="supply.roll_mix"))
