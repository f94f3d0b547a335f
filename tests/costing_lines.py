"""Lines and small price books for the costing tests; all numbers invented."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

import numpy as np

from meshcore.alloys.record import Alloy, Rating
from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.book.price_book import Exchange, PriceBook, Rate
from meshcore.costing.items import PricingRule
from meshcore.costing.ledger import Ledger
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.pipeline import price_columns
from meshcore.messages import MessageLog
from meshcore.weave.cloth import ClothColumns

DAY = date(2026, 10, 1)


def alloy(designation: str, family: str = "test metal", **services: Rating) -> Alloy:
    return Alloy(
        designation=designation,
        family=family,
        density_kg_m3=8000.0,
        composition_pct={},
        tensile_mpa=(500.0, 700.0),
        modulus_gpa=200.0,
        max_air_temperature_c=500.0,
        magnetic=False,
        finest_wire_mm=0.02,
        services=services,
    )


ALLOYS = (alloy("red"), alloy("blue"), alloy("green", "rare metal"))


def lines(
    count: int,
    *,
    alloys: Sequence[Alloy] = ALLOYS,
    codes: Iterable[int] = (),
    order: Iterable[int] = (),
    services: dict[str, BoolArray] | None = None,
    weave: int = 0,
    form: int = 0,
    wire_m: FloatArray | float = 0.0005,
    mass_kg: FloatArray | float = 100.0,
) -> OrderColumns:
    """Rolls 1 m by 30 m at 2 mm pitch, alike but for what is named."""

    def full(value: FloatArray | float) -> FloatArray:
        return np.broadcast_to(np.asarray(value, dtype=np.float64), (count,)).copy()

    pitch, wire, mass = full(0.002), full(wire_m), full(mass_kg)
    cloth = ClothColumns(
        weave=np.full(count, weave, dtype=np.int64),
        pitch_m=pitch,
        wire_diameter_m=wire,
        aperture_m=pitch - wire,
        open_area=((pitch - wire) / pitch) ** 2,
        path_ratio=full(1.03),
        thickness_m=2 * wire,
        alloy=np.array(list(codes) or [0] * count, dtype=np.int64),
        alloys=tuple(alloys),
        width_m=full(1.0),
    )
    return OrderColumns(
        cloth=cloth,
        order=np.array(list(order) or range(count), dtype=np.int64),
        same_cloth=np.arange(count, dtype=np.int64),
        warp=np.arange(count, dtype=np.int64),
        form=np.full(count, form, dtype=np.int64),
        quantity=full(1.0),
        net_area_m2=full(30.0),
        gross_area_m2=full(30.0),
        net_mass_kg=mass,
        gross_mass_kg=mass.copy(),
        stock_width_m=full(1.0),
        run_length_m=full(30.0),
        cut_length_m=full(0.0),
        cut_count=full(0.0),
        roll_count=full(1.0),
        part_roll_count=full(0.0),
        offcut_credit=full(0.0),
        services=services or {},
    )


def rate(key: str, amount: float, unit: str, currency: str = "", **cells: str) -> Rate:
    plain = Rate(key=key, amount=amount, unit=unit, currency=currency, date=DAY, note="test")
    chosen: dict[str, Any] = dict(cells)
    return replace(plain, **chosen)


def book(*rates: Rate, currency: str = "EUR", exchange: Sequence[Exchange] = ()) -> PriceBook:
    return PriceBook(
        name="test book",
        currency=currency,
        date=DAY,
        note="",
        rates=rates,
        exchange=tuple(exchange),
        stale_after_days=30,
    )


def price(
    columns: OrderColumns,
    rules: Sequence[PricingRule],
    with_book: PriceBook,
    log: MessageLog | None = None,
    today: date = DAY,
) -> tuple[Ledger, MessageLog]:
    held = MessageLog(len(columns)) if log is None else log
    named = [("test plugin", rule) for rule in rules]
    return price_columns(columns, named, with_book, held, today=today), held
