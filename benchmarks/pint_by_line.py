"""The bench's pricing of one roll at a time, every size, mass and sum of money a pint quantity.

At nominal length only, so it is let off the two passes at the delivery tolerances.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
import pandas as pd
import pint
from bare import FIT, HALF, PITCH_SLACK, Numbers, step

from meshcore.arrays import FloatArray
from meshcore.supply.policy import SupplyPolicy, default_supply_policy

#: A pint quantity; what its arithmetic returns is not typed.
Quantity: TypeAlias = Any

UNITS: Any = pint.UnitRegistry()
UNITS.define("euro = [money]")
Q = UNITS.Quantity
EURO, PER_KG, PER_HOUR, PER_ROLL = (
    Q(1.0, unit) for unit in ("euro", "euro/kg", "euro/hour", "euro/count")
)


@dataclass(frozen=True)
class Supply:
    """Cloth that one line consumes."""

    stock: Quantity
    run: Quantity
    rolls: Quantity
    parts: int
    cut_length: Quantity
    cut_count: int


def pint_estimate(table: pd.DataFrame, numbers: Numbers) -> FloatArray:
    """Price each line by itself."""
    policy = default_supply_policy()
    lines = table.assign(alloy=table["alloy"].cat.codes).drop(columns=["form", "order"])
    return np.array(
        [_price(numbers, policy, *line) for line in lines.itertuples(index=False, name=None)]
    )


def _price(
    n: Numbers,
    policy: SupplyPolicy,
    count: float,
    wire_mm: float,
    alloy: int,
    width_in: float,
    length_ft: float,
    quantity: int,
) -> float:
    pitch, wire = 1 / Q(count, "1/inch"), Q(wire_mm, "mm")
    width, length = Q(width_in, "inch"), Q(length_ft, "foot")
    mass = _mass_per_area(pitch, wire, Q(n.density[alloy], "kg/m**3"))
    supply = _supply(policy, width, length, quantity)
    drawn = mass * supply.stock * supply.run * (1 + n.single["wire.scrap"])
    metal = _charge(drawn * n.metal[alloy] * PER_KG) + _charge(drawn * n.surcharge[alloy] * PER_KG)
    metal += _charge(drawn * _at(wire, n.drawing) * PER_KG)
    works = _works(n, supply, pitch, wire)
    despatch = _despatch(n, supply, width, mass * width * supply.run)
    return _total(n, supply, metal, works, despatch, width * supply.run)


def _mass_per_area(p: Quantity, d: Quantity, density: Quantity) -> Quantity:
    theta = np.arcsin(2 * d / (p**2 + d**2) ** 0.5) - np.arctan(d / p)
    straight = (p - 2 * d * np.sin(theta)) / np.cos(theta)
    ratio = (straight + 2 * d * theta.to("radian").magnitude) / p
    return np.pi / 2 * d**2 * ratio * density / p


def _supply(policy: SupplyPolicy, width: Quantity, length: Quantity, quantity: int) -> Supply:
    stocked = [Q(w, "m") for w in policy.widths_m]
    stock = next(w for w in stocked if w * (1 + FIT) >= width)
    full_length = Q(policy.full_length_m, "m")
    full = np.floor((length / full_length).to("").magnitude + FIT)
    rest = length - full * full_length
    has_rest = rest > full_length * FIT
    halves = [Q(h, "m") for h in policy.half_lengths_m]
    is_half = any(abs(rest - half) <= half * FIT for half in halves)
    trimmed = stock > width * (1 + FIT)
    run = length * quantity
    return Supply(
        stock,
        run,
        Q((full + has_rest) * quantity, "count"),
        int(has_rest and not is_half) * quantity,
        int(trimmed) * run + int(has_rest) * stock * quantity,
        (int(trimmed) + int(has_rest)) * quantity,
    )


def _works(n: Numbers, supply: Supply, pitch: Quantity, wire: Quantity) -> Quantity:
    s = n.single
    picks = Q(_at(wire, n.picks) * s["weaving.efficiency"], "1/hour")
    cost = _charge(supply.run / pitch / picks * s["weaving.loom"] * PER_HOUR)
    ends = np.floor((supply.stock / pitch).to("").magnitude * PITCH_SLACK) + 1
    set_up = Q(ends / s["weaving.ends_per_hour"] + s["weaving.set_up_time"], "hour")
    warps = np.ceil((supply.run / Q(s["weaving.warp_length"], "m")).to("").magnitude)
    cost += _charge(warps * set_up * s["weaving.set_up"] * PER_HOUR)
    cost += _charge(supply.cut_length * Q(s["cutting.metre"], "euro/m"))
    return cost + _charge(supply.cut_count * s["cutting.cut"] * EURO)


def _despatch(n: Numbers, supply: Supply, width: Quantity, mass: Quantity) -> Quantity:
    s = n.single
    cost = _charge(supply.rolls * _reached(width, "m", n.pack_roll) * PER_ROLL)
    cost += _charge(mass * s["packing.kg"] * PER_KG) + _charge(mass * s["freight.kg"] * PER_KG)
    cost += _charge(supply.rolls * _reached(width, "m", n.freight_roll) * PER_ROLL)
    return cost + s["freight.consignment"] * EURO


def _total(
    n: Numbers,
    supply: Supply,
    metal: Quantity,
    works: Quantity,
    despatch: Quantity,
    area: Quantity,
) -> float:
    s = n.single
    total = metal + works + despatch
    total += _charge(metal * n.overhead_wire) + _charge(works * n.overhead_works)
    total += _charge(total * (s["margin"] / (1 - s["margin"])))
    total -= _charge(total * _reached(area, "m**2", n.discount))
    total = max(total, max(s["minimum.cloth"], s["minimum.order"]) * EURO)
    total += _charge(supply.parts * s["surcharge.part_roll"] * EURO)
    total += s["surcharge.order_set_up"] * EURO
    steps = np.ceil(np.round(total.magnitude * 100.0) / np.round(s["rounding.step"] * 100.0))
    return float(steps * s["rounding.step"])


def _charge(amount: Quantity) -> Quantity:
    """Round half-up to the cent."""
    value = amount.to("euro").magnitude
    return np.floor(value * (100.0 * HALF) + 0.5) / 100.0 * EURO


def _at(size: Quantity, table: tuple[FloatArray, FloatArray]) -> float:
    return float(np.interp(size.to("m").magnitude, *table))


def _reached(size: Quantity, unit: str, table: tuple[FloatArray, FloatArray]) -> float:
    return float(step(np.array([size.to(unit).magnitude]), table)[0])
