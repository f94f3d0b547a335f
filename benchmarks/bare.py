"""The bench's own arithmetic in bare NumPy: one roll a row, the demonstration book's rules.

Written apart from the library, from the same formulas: circular-arc path of plain weave, whole
stock widths, every cost rounded half-up to the cent, the price up to the book's step.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pandas as pd

from meshcore.alloys.records.registry import installed_registry, resolve
from meshcore.arrays import FloatArray, IntArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.messages import Message
from meshcore.supply.policy import default_supply_policy

INCH, FOOT = 0.0254, 0.3048
ALLOYS = ("304", "316", "316L")
#: As the library: slack for sizes that went through a unit conversion, and for half a cent.
FIT = 1e-9
HALF = 1.0 + 2.0**-48
PITCH_SLACK = 1.0 + 1e-12


@dataclass(frozen=True)
class Numbers:
    """Numbers of the demonstration book that rolls of these alloys meet, in SI and EUR."""

    density: FloatArray
    metal: FloatArray
    surcharge: FloatArray
    drawing: tuple[FloatArray, FloatArray]
    picks: tuple[FloatArray, FloatArray]
    pack_roll: tuple[FloatArray, FloatArray]
    freight_roll: tuple[FloatArray, FloatArray]
    discount: tuple[FloatArray, FloatArray]
    overhead_wire: float
    overhead_works: float
    single: dict[str, float]


def book_numbers(book: PriceBook) -> Numbers:
    """Read the numbers off the book."""
    registry = installed_registry()
    found = [resolve(registry, name) for name in ALLOYS]
    records = [registry.alloys[n] for n in found if not isinstance(n, Message)]

    def amount(key: str, **held: str) -> float:
        for rate in book.by_key[key]:
            plain = dict.fromkeys(("alloy", "family", "weave", "form", "base"), "") | held
            if all(getattr(rate, name) == value for name, value in plain.items()):
                factor = rate.per.factor
                return rate.amount / factor if rate.currency else rate.amount * factor
        return float("nan")

    def table(key: str) -> tuple[FloatArray, FloatArray]:
        rows = [(r.size.factor, r.amount if r.currency else r.amount * r.per.factor)
                for r in book.by_key[key] if r.size]  # fmt: skip
        sizes, values = np.array(sorted(rows)).T
        return sizes, values

    extra = [amount("wire.alloy_surcharge", alloy=a.designation) for a in records]
    by_family = [amount("wire.alloy_surcharge", family=a.family) for a in records]
    single = (
        "wire.scrap", "weaving.loom", "weaving.efficiency", "weaving.set_up",
        "weaving.ends_per_hour", "weaving.set_up_time", "weaving.warp_length", "packing.kg",
        "freight.kg", "freight.consignment", "minimum.cloth", "minimum.order",
        "surcharge.part_roll", "surcharge.order_set_up", "rounding.step",
    )  # fmt: skip
    return Numbers(
        density=np.array([a.density_kg_m3 for a in records]),
        metal=np.array([amount("wire.metal", alloy=a.designation) for a in records]),
        surcharge=np.where(np.isnan(extra), by_family, extra),
        drawing=table("wire.drawing_extra"),
        picks=table("weaving.picks_per_minute"),
        pack_roll=table("packing.roll"),
        freight_roll=table("freight.roll"),
        discount=table("break.discount"),
        overhead_wire=amount("overhead.share", base="wire"),
        overhead_works=amount("overhead.share", base="weaving, finishing, cutting"),
        single={key: amount(key) for key in single}
        | {"margin": amount("margin.share", base="price")}
        | {f"cutting.{n}": amount(f"cutting.{n}", form="roll") for n in ("metre", "cut")},
    )


@dataclass(frozen=True)
class Bare:
    """Columns of the lines as the bare arithmetic takes them, in SI."""

    pitch: FloatArray
    wire: FloatArray
    alloy: IntArray
    width: FloatArray
    length: FloatArray
    quantity: FloatArray


def bare_columns(table: pd.DataFrame) -> Bare:
    """Take the columns out of the table."""
    return Bare(
        INCH / table["mesh_count [/ in]"].to_numpy(),
        table["wire_diameter [mm]"].to_numpy() * 1e-3,
        table["alloy"].cat.codes.to_numpy().astype(np.int64),
        table["width [in]"].to_numpy() * INCH,
        table["length [ft]"].to_numpy() * FOOT,
        table["quantity"].to_numpy().astype(np.float64),
    )


def cents(amount: FloatArray) -> FloatArray:
    """Round half-up to whole cents."""
    rounded: FloatArray = np.floor(amount * (100.0 * HALF) + 0.5)
    return rounded


def step(size: FloatArray, table: tuple[FloatArray, FloatArray]) -> FloatArray:
    """Last step reached; nothing below the first."""
    sizes, values = table
    found: FloatArray = np.r_[0.0, values][np.searchsorted(sizes, size, side="right")]
    return found


def bare_estimate(table: pd.DataFrame, numbers: Numbers) -> list[FloatArray]:
    """Price at nominal length, and bill at the delivery tolerances, by the same formulas."""
    c = bare_columns(table)
    policy = default_supply_policy()
    d, p = c.wire, c.pitch
    theta = np.arcsin(2 * d / np.sqrt(p**2 + d**2)) - np.arctan(d / p)
    straight = (p - 2 * d * np.sin(theta)) / np.cos(theta)
    ratio = (straight + 2 * d * theta) / p
    mass = np.pi / 2 * d**2 * ratio * numbers.density[c.alloy] / p
    widths = np.array(policy.widths_m)
    stock = widths[np.searchsorted(widths, c.width * (1.0 - FIT))]
    full = np.floor(c.length / policy.full_length_m + FIT)
    rest = c.length - full * policy.full_length_m
    has_rest = rest > policy.full_length_m * FIT
    is_half = np.zeros(len(rest), dtype=bool)
    for half in policy.half_lengths_m:
        is_half |= np.abs(rest - half) <= half * FIT
    trimmed = stock > c.width * (1.0 + FIT)
    run = c.length * c.quantity
    cut_length = trimmed * run + has_rest * stock * c.quantity
    cut_count = (trimmed * 1.0 + has_rest) * c.quantity
    rolls = (full + has_rest) * c.quantity
    parts = (has_rest & ~is_half) * c.quantity
    tolerance = policy.rolls
    price = bare_price(c, numbers, mass, stock, run, cut_length, cut_count, rolls, parts)
    ratios = (1.0 - tolerance.length_under, 1.0 + tolerance.length_over)
    billed = [cents(price * k) / 100.0 for k in ratios]
    return [price, *billed]


def bare_price(
    c: Bare,
    n: Numbers,
    mass: FloatArray,
    stock: FloatArray,
    run: FloatArray,
    cut_length: FloatArray,
    cut_count: FloatArray,
    rolls: FloatArray,
    parts: FloatArray,
) -> FloatArray:
    """Work the demonstration book's rules for rolls, item by item; each line is one order."""
    s = n.single
    net_area = c.width * run
    net_mass = mass * net_area
    drawn = mass * stock * run * (1.0 + s["wire.scrap"])
    wire = cents(drawn * n.metal[c.alloy]) + cents(drawn * n.surcharge[c.alloy])
    wire += cents(drawn * np.interp(c.wire, *n.drawing))
    hours = run / c.pitch / (np.interp(c.wire, *n.picks) * s["weaving.efficiency"])
    ends = np.floor(stock / c.pitch * PITCH_SLACK) + 1.0
    set_up = ends / s["weaving.ends_per_hour"] + s["weaving.set_up_time"]
    works = cents(hours * s["weaving.loom"])
    works += cents(np.ceil(run / s["weaving.warp_length"]) * set_up * s["weaving.set_up"])
    works += cents(cut_length * s["cutting.metre"]) + cents(cut_count * s["cutting.cut"])
    total = wire + works
    total += cents(rolls * step(c.width, n.pack_roll)) + cents(net_mass * s["packing.kg"])
    total += cents(net_mass * s["freight.kg"]) + cents(rolls * step(c.width, n.freight_roll))
    total += 100.0 * s["freight.consignment"]
    total += cents(wire / 100.0 * n.overhead_wire) + cents(works / 100.0 * n.overhead_works)
    total += cents(total / 100.0 * (s["margin"] / (1.0 - s["margin"])))
    total -= cents(total / 100.0 * step(net_area, n.discount))
    total = np.maximum(total, 100.0 * max(s["minimum.cloth"], s["minimum.order"]))
    total += cents(parts * s["surcharge.part_roll"]) + 100.0 * s["surcharge.order_set_up"]
    rounding = np.round(100.0 * s["rounding.step"])
    price: FloatArray = np.ceil(total / rounding) * rounding / 100.0
    return price
