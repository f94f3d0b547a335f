"""The priced table: the enquiry's own columns, then what the estimate adds."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, coded_texts
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import from_minor, minor_digits, to_minor
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import WEAVES
from meshcore.messages import STATUSES, MessageLog, writable
from meshcore.supply.forms import SupplyColumns
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import by_alloy

if TYPE_CHECKING:
    import pandas as pd

#: Columns added to an enquiry list, in order.
PRICED_COLUMNS: tuple[str, ...] = (
    "status",
    "messages",
    "mesh_count_per_in",
    "pitch_mm",
    "aperture_mm",
    "wire_diameter_mm",
    "open_area_pct",
    "weave",
    "path_ratio",
    "thickness_mm",
    "density_kg_m3",
    "mass_per_area_kg_m2",
    "net_area_m2",
    "gross_area_m2",
    "yield_pct",
    "mass_kg",
    "mass_min_kg",
    "mass_max_kg",
    "cost",
    "price",
    "price_min",
    "price_max",
    "unit_price",
    "currency",
    "order_taken",
)
#: Those that tell what a line costs the mill.
FOR_THE_MILL = ("cost",)
#: An enquiry's own column of the same name as an added one is kept under this ending.
ASKED = "_asked"
_PERCENT = 100.0
_MM = 1e3


@dataclass(frozen=True, slots=True)
class PricedColumns:
    """What the priced columns are made from, one row a line.

    Parameters
    ----------
    orders, supply
        The lines as the pricing rules saw them, and the cloth delivered and consumed.
    mass_per_area_kg_m2
        Mass of cloth [kg/m²].
    mass_open
        Least and greatest mass that the sizes leave open, as shares of the nominal [-].
    ledger
        Cost items, at nominal size.
    price_low_minor, price_high_minor
        What would be billed at the delivery tolerances [minor units].
    log
        Messages by line.
    options
        Lines that are in no order's total.
    """

    orders: OrderColumns
    supply: SupplyColumns
    mass_per_area_kg_m2: FloatArray
    mass_open: tuple[FloatArray, FloatArray]
    ledger: Ledger
    price_low_minor: FloatArray
    price_high_minor: FloatArray
    log: MessageLog
    options: BoolArray


def priced_table(enquiries: pd.DataFrame, priced: PricedColumns) -> pd.DataFrame:
    """Return the enquiry list with the priced columns added; row order and index stay.

    Notes
    -----
    An enquiry column whose heading is also a priced column's (``weave``) is kept as it was read
    under ``weave_asked``, so that nothing typed is lost; a second one is ``weave_asked_2``, and
    any other name that comes twice is numbered too.
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    names = _kept_names(list(enquiries.columns))
    own = enquiries.set_axis(pd.Index(names, tupleize_cols=False), axis=1)
    added = pd.DataFrame(priced_columns(priced), index=own.index, copy=False)
    return pd.concat([own, added], axis=1)


def _kept_names(headings: list[object]) -> list[object]:
    """Name each of the enquiry's own columns apart from the others and from the added ones."""
    taken = {*PRICED_COLUMNS}
    names: list[object] = [None] * len(headings)
    for place, heading in enumerate(headings):
        if str(heading) not in taken:
            taken.add(str(heading))
            names[place] = heading
    for place in [n for n, name in enumerate(names) if name is None]:
        name = f"{headings[place]}{ASKED if str(headings[place]) in PRICED_COLUMNS else ''}"
        tries = (name, *(f"{name}_{n}" for n in range(2, len(headings) + 2)))
        names[place] = next(t for t in tries if t not in taken)
        taken.add(str(names[place]))
    return names


def priced_columns(
    priced: PricedColumns, names: Sequence[str] = PRICED_COLUMNS
) -> dict[str, object]:
    """Return some of the priced columns, each made only where it is asked for."""
    makers = _makers(priced)
    return {name: makers[name]() for name in names}


def _makers(priced: PricedColumns) -> Mapping[str, Callable[[], object]]:
    """Name each priced column with what makes it."""
    cloth, supply, orders, ledger = priced.orders.cloth, priced.supply, priced.orders, priced.ledger
    stopped = priced.log.refused()
    unpriced = stopped | ~ledger.priced
    digits = minor_digits(ledger.currency)

    def price() -> FloatArray:
        return _unless(ledger.price, stopped)

    def mass_at(end: int) -> FloatArray:
        return mass_at_ends(orders, supply, priced.mass_open)[end]

    return {
        "status": lambda: coded_texts(priced.log.rank(), STATUSES),
        "messages": lambda: _message_column(priced.log),
        "mesh_count_per_in": lambda: METRES_PER_INCH / cloth.pitch_m,
        "pitch_mm": lambda: cloth.pitch_m * _MM,
        "aperture_mm": lambda: cloth.aperture_m * _MM,
        "wire_diameter_mm": lambda: cloth.wire_diameter_m * _MM,
        "open_area_pct": lambda: cloth.open_area * _PERCENT,
        "weave": lambda: coded_texts(cloth.weave, WEAVES),
        "path_ratio": lambda: cloth.path_ratio,
        "thickness_mm": lambda: cloth.thickness_m * _MM,
        "density_kg_m3": lambda: by_alloy(cloth, lambda alloy: alloy.density_kg_m3),
        "mass_per_area_kg_m2": lambda: priced.mass_per_area_kg_m2,
        "net_area_m2": lambda: supply.net_area_m2,
        "gross_area_m2": lambda: supply.gross_area_m2,
        "yield_pct": lambda: _share(supply.net_area_m2, supply.gross_area_m2) * _PERCENT,
        "mass_kg": lambda: orders.net_mass_kg,
        "mass_min_kg": lambda: mass_at(0),
        "mass_max_kg": lambda: mass_at(1),
        "cost": lambda: _unless(ledger.cost, stopped),
        "price": price,
        "price_min": lambda: _unless(from_minor(priced.price_low_minor, digits), unpriced),
        "price_max": lambda: _unless(from_minor(priced.price_high_minor, digits), unpriced),
        "unit_price": lambda: from_minor(to_minor(price() / orders.quantity, digits), digits),
        "currency": lambda: coded_texts(np.zeros(len(stopped), dtype=np.int64), (ledger.currency,)),
        "order_taken": lambda: _order_numbers(orders.order, priced.options),
    }


def mass_at_ends(
    orders: OrderColumns, supply: SupplyColumns, mass_open: tuple[FloatArray, FloatArray]
) -> tuple[FloatArray, FloatArray]:
    """Return least and greatest mass delivered, at the tolerances and by what sizes leave open."""
    light, heavy = (orders.net_mass_kg * share for share in mass_open)
    return (
        light * supply.length_low * supply.width_low,
        heavy * supply.length_high * supply.width_high,
    )


def _share(part: FloatArray, whole: FloatArray) -> FloatArray:
    """Part over whole; NaN where there is no whole, as of an order of nothing."""
    share: FloatArray = np.full(len(part), np.nan)
    np.divide(part, whole, out=share, where=whole > 0)
    return share


def _order_numbers(order: IntArray, options: BoolArray) -> IntArray:
    """Return a number for each order, from 1, in the order of their first lines; 0 for options."""
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

    numbers: IntArray = np.zeros(len(order), dtype=np.int64)
    numbers[~options] = pd.factorize(order[~options])[0] + 1
    return numbers


def _unless(values: FloatArray, stopped: BoolArray) -> FloatArray:
    return np.where(stopped, np.nan, values) if stopped.any() else values


def _message_column(log: MessageLog) -> object:
    texts = {row: "; ".join(map(str, said)) for row, said in log.by_line().items()}
    codes = np.zeros(log.lines, dtype=np.int64)
    codes[list(texts)] = np.arange(1, len(texts) + 1)
    # A lone surrogate, as broken text holds, cannot stand in a text column.
    return coded_texts(codes, ("", *map(writable, texts.values())))
