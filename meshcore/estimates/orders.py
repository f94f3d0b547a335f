"""What the pricing rules see of each line, at nominal size and as delivered."""

from __future__ import annotations

from dataclasses import replace

from meshcore.arrays import FloatArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.consumption import SupplyColumns
from meshcore.weave.cloth import ClothColumns


def order_columns(
    read: EnquiryColumns, cloth: ClothColumns, supply: SupplyColumns, mass: FloatArray
) -> OrderColumns:
    """Gather the columns of a list; `mass` is per area [kg/m²]."""
    return OrderColumns(
        cloth=cloth,
        order=read.order,
        form=read.form,
        quantity=read.quantity,
        net_area_m2=supply.net_area_m2,
        gross_area_m2=supply.gross_area_m2,
        net_mass_kg=mass * supply.net_area_m2,
        gross_mass_kg=mass * supply.gross_area_m2,
        stock_width_m=supply.stock_width_m,
        run_length_m=supply.run_length_m,
        cut_length_m=supply.cut_length_m,
        cut_count=supply.cut_count,
        roll_count=supply.roll_count,
        part_roll_count=supply.part_roll_count,
        offcut_credit=supply.offcut_credit,
        services=read.services,
    )


def delivered(
    orders: OrderColumns, length_ratio: FloatArray, mass_share: FloatArray
) -> OrderColumns:
    """Return the same orders with `length_ratio` of the nominal length delivered.

    Width over nominal is given, not billed, so it changes the mass delivered and not the price.
    Where the sizes leave the mass of the cloth open, it is `mass_share` of the nominal.
    """
    mass_ratio = length_ratio * mass_share
    return replace(
        orders,
        net_area_m2=orders.net_area_m2 * length_ratio,
        gross_area_m2=orders.gross_area_m2 * length_ratio,
        net_mass_kg=orders.net_mass_kg * mass_ratio,
        gross_mass_kg=orders.gross_mass_kg * mass_ratio,
        run_length_m=orders.run_length_m * length_ratio,
        cut_length_m=orders.cut_length_m * length_ratio,
    )
