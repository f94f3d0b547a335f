"""What pricing rules may read: the lines of a list as columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace
from typing import Any

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.supply.together import group_sums
from meshcore.weave.cloth import ClothColumns, take_cloth


@dataclass(frozen=True, slots=True)
class OrderColumns:
    """All that pricing rules may read, one row a line; rules must not change it.

    Amounts are for the whole line (all of its rolls, strips or pieces).

    Parameters
    ----------
    cloth
        The cloth: weave, sizes [m], alloy.
    order
        Index of the order that the line belongs to.
    same_cloth
        Index that lines of one order in the same cloth share, whatever their widths: what
        quantity breaks and the minimum of a cloth look at.
    warp
        Index that lines woven from one warp share: one order, one cloth, one stock width.
    form
        Index into ``FORMS``.
    quantity
        Rolls, strips or pieces ordered [-].
    net_area_m2, gross_area_m2
        Area delivered, and area of cloth consumed to deliver it [m²].
    net_mass_kg, gross_mass_kg
        Mass delivered, and mass of cloth consumed [kg].
    stock_width_m
        Width of the cloth that is woven or taken from stock [m].
    run_length_m
        Length of that cloth consumed [m].
    cut_length_m, cut_count
        Length of all cuts made [m], and their number.
    roll_count, part_roll_count
        Rolls of cloth drawn upon, and how many of them are other than full or half.
    offcut_credit
        Share of the cloth's cost that is credited for offcuts kept [-].
    services
        Service name → mask of the lines that ask for it.
    own
        Heading → cells of each column of the list that nothing else reads, such as a customer, a
        destination or a day: numbers where all are numbers, else as they came, texts or dates.
    runs_by_width
        Stock width [m] → length of it that each line consumes [m], where a cutting plan takes
        several; empty where each line has one, that of `stock_width_m`.
    from_stock
        Lines that are taken from cloth on hand; None where nothing is.
    refused
        Lines that are not priced, and so not of the order; None where nothing is refused.
    """

    cloth: ClothColumns
    order: IntArray
    same_cloth: IntArray
    warp: IntArray
    form: IntArray
    quantity: FloatArray
    net_area_m2: FloatArray
    gross_area_m2: FloatArray
    net_mass_kg: FloatArray
    gross_mass_kg: FloatArray
    stock_width_m: FloatArray
    run_length_m: FloatArray
    cut_length_m: FloatArray
    cut_count: FloatArray
    roll_count: FloatArray
    part_roll_count: FloatArray
    offcut_credit: FloatArray
    services: Mapping[str, BoolArray]
    own: Mapping[str, ObjectArray | FloatArray] = field(default_factory=dict)
    runs_by_width: Mapping[float, FloatArray] = field(default_factory=dict)
    from_stock: BoolArray | None = None
    refused: BoolArray | None = None

    def __len__(self) -> int:
        """Return the number of lines."""
        return len(self.quantity)

    def woven_to_order(self, values: FloatArray) -> FloatArray:
        """Values of the lines that are woven to order; zero on those taken from stock."""
        return values if self.from_stock is None else np.where(self.from_stock, 0.0, values)

    def over_cloth(self, values: FloatArray) -> FloatArray:
        """Sum over the lines of one order in the same cloth, on each of them."""
        return group_sums(values, self.same_cloth)

    def over_order(self, values: FloatArray) -> FloatArray:
        """Sum over the lines of one order that are not refused, on each of them."""
        held = np.nan_to_num(values)
        return group_sums(held if self.refused is None else np.where(self.refused, 0.0, held),
                          self.order)  # fmt: skip

    def over_warp(self, values: FloatArray) -> FloatArray:
        """Sum over the lines woven from one warp, on each of them."""
        return group_sums(values, self.warp)


def take_lines(columns: OrderColumns, lines: slice | IntArray) -> OrderColumns:
    """Return some of the lines; a slice makes views, line numbers (which may repeat) copies."""
    cells = {f.name: getattr(columns, f.name) for f in fields(columns)}
    taken: dict[str, Any] = {
        name: cell[lines] for name, cell in cells.items() if isinstance(cell, np.ndarray)
    }
    cloth = take_cloth(columns.cloth, lines)
    services = {name: asked[lines] for name, asked in columns.services.items()}
    own = {heading: cells[lines] for heading, cells in columns.own.items()}
    runs = {width: length[lines] for width, length in columns.runs_by_width.items()}
    return replace(columns, **taken, cloth=cloth, services=services, own=own, runs_by_width=runs)
