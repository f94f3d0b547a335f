"""Billing by the length delivered: rolls come out a little under or over, and are billed so."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.money import from_minor, minor_digits, to_minor
from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.supply.policy import Tolerance


@dataclass(frozen=True, slots=True)
class Bill:
    """What is invoiced for rolls as delivered, one row a roll.

    Parameters
    ----------
    ordered_m, delivered_m
        Length ordered and delivered [m].
    deviation
        (delivered − ordered) / ordered [-].
    within
        Whether the roll is within tolerance.
    amounts
        Amount of each roll: what it adds to the sum so far, which is rounded half-up to the
        currency's minor unit. Rolls delivered as ordered so come to the price, and no cent is off.
    total
        Their sum.
    currency
        ISO 4217 code.
    messages
        How doubtful lengths were understood, and one for each roll outside tolerance.
    """

    ordered_m: FloatArray
    delivered_m: FloatArray
    deviation: FloatArray
    within: BoolArray
    amounts: FloatArray
    total: float
    currency: str
    messages: tuple[Message, ...]


def bill(
    delivered_m: FloatArray,
    ordered_m: FloatArray | float,
    rate_per_m: FloatArray | float,
    tolerance: Tolerance,
    currency: str,
    texts: Sequence[str] = (),
) -> Bill:
    """Invoice rolls by the length delivered.

    Parameters
    ----------
    delivered_m
        Length of each roll as delivered [m]; above zero.
    ordered_m
        Length ordered of each roll, or of all [m].
    rate_per_m
        Price of a metre, for each roll or for all.
    tolerance
        How far length may be off.
    currency
        ISO 4217 code, which sets the minor unit.
    texts
        The lengths as typed, for the messages.

    Returns
    -------
    The bill. A roll outside tolerance is billed as delivered too, and flagged: whether it is
    accepted is for buyer and seller to settle.

    Raises
    ------
    ValueError
        If a length is not above zero, or `currency` is none.

    Examples
    --------
    >>> b = bill(np.array([29.5, 34.0]), 30.48, 4.10, Tolerance(0.1, 0.1, 0, 0), "USD")
    >>> b.amounts.tolist(), b.total, b.within.tolist()
    ([120.95, 139.4], 260.35, [True, False])
    >>> print(b.messages[0].text)
    roll 2 is 11.5 % over the 30.480 m ordered; the tolerance is +10 %. Settle with the buyer \
whether it is accepted.
    """
    delivered = np.asarray(delivered_m, dtype=np.float64)
    ordered = np.broadcast_to(np.asarray(ordered_m, dtype=np.float64), delivered.shape)
    if not (np.all(delivered > 0) and np.all(ordered > 0)):
        raise ValueError("lengths ordered and delivered must be above zero")
    digits = minor_digits(currency)
    minor = running_shares(delivered, rate_per_m, digits)
    deviation = delivered / ordered - 1.0
    within = (deviation >= -tolerance.length_under - SLACK) & (
        deviation <= tolerance.length_over + SLACK
    )
    outside = np.flatnonzero(~within).tolist()
    shown = list(texts) or [f"{length:.3f} m" for length in delivered.tolist()]
    return Bill(
        ordered_m=ordered,
        delivered_m=delivered,
        deviation=deviation,
        within=within,
        amounts=from_minor(minor, digits),
        total=math.fsum(minor.tolist()) / 10.0**digits,
        currency=currency,
        messages=tuple(_outside(i, shown[i], deviation[i], ordered[i], tolerance) for i in outside),
    )


def running_shares(parts: FloatArray, rate: FloatArray | float, digits: int) -> FloatArray:
    """Charge parts one after another, so that no cent is lost over all of them [minor units].

    Parameters
    ----------
    parts
        Lengths or counts.
    rate
        Price of one, for each or for all.
    digits
        Decimal places of the currency's minor unit.

    Examples
    --------
    >>> running_shares(np.array([1.0, 1, 1]), 100 / 3, 2).tolist()
    [3333.0, 3334.0, 3333.0]
    """
    reached = to_minor(np.cumsum(parts * rate), digits)
    return np.diff(reached, prepend=0.0)


def _outside(
    roll: int, text: str, deviation: float, ordered_m: float, tolerance: Tolerance
) -> Message:
    over = deviation > 0
    limit = tolerance.length_over if over else tolerance.length_under
    return Message(
        "delivered", text,
        f"roll {roll + 1} is {abs(deviation) * 100:.3g} % {'over' if over else 'under'} the "
        f"{ordered_m:.3f} m ordered; the tolerance is {'+' if over else '−'}{limit * 100:g} %. "
        "Settle with the buyer whether it is accepted.",
        "review",
        code="bill.outside_tolerance",
    )  # fmt: skip
