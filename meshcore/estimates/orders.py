"""What the pricing rules see of each line, and which lines belong together."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, TypedDict

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray, ObjectArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.enquiry import PIECE, STRIP
from meshcore.reading.tables.cells import column_under
from meshcore.reading.tables.headings import Headings
from meshcore.reading.tables.intake import EnquiryColumns
from meshcore.supply.forms import FormColumns, SupplyColumns
from meshcore.supply.shapes.columns import PieceColumns
from meshcore.supply.together import CLOTH_DECIMALS, SIZE_DECIMALS, each_alone, same_lines
from meshcore.weave.cloth import ClothColumns

if TYPE_CHECKING:
    import pandas as pd


def own_columns(table: pd.DataFrame, headings: Headings) -> dict[str, ObjectArray | FloatArray]:
    """Return the columns of a list that nothing reads: numbers as floats, all else as it came."""
    held: dict[str, ObjectArray | FloatArray] = {}
    for heading in headings.unknown:
        series = column_under(table, heading)
        number = series.dtype.kind in "iuf"
        held[heading] = series.to_numpy(dtype=np.float64 if number else object)
    return held


def same_cloth(read: EnquiryColumns, cloth: ClothColumns, apart: BoolArray) -> IntArray:
    """Give the lines of one order in the same cloth one number; those `apart` one of their own."""
    sizes = [np.round(size, CLOTH_DECIMALS) for size in (cloth.pitch_m, cloth.wire_diameter_m)]
    keys = [read.order, cloth.alloy, cloth.weave, *sizes, read.coating_kg_m2]
    return same_lines(keys, apart)


def same_item(
    read: EnquiryColumns, cloth: ClothColumns, pieces: PieceColumns, apart: BoolArray
) -> IntArray:
    """Give strips, or pieces, of one order, cloth and size one number; rolls one each."""
    cut = (read.form == STRIP) | (read.form == PIECE)
    if not cut.any():
        return np.arange(len(apart), dtype=np.int64)
    width, length, area, edge = (
        np.round(np.where(read.form == PIECE, piece, strip), SIZE_DECIMALS)
        for piece, strip in (
            (pieces.width_m, read.width.values),
            (pieces.length_m, read.length.values),
            (pieces.area_m2, 0.0),
            (pieces.cut_m, 0.0),
        )
    )
    group = same_cloth(read, cloth, apart)
    return same_lines([group, read.form, width, length, area, edge], apart | ~cut)


def form_columns(
    read: EnquiryColumns, cloth: ClothColumns, pieces: PieceColumns, apart: BoolArray
) -> FormColumns:
    """Gather what is to be delivered of each line; lines `apart` share nothing with others."""
    is_piece = read.form == PIECE
    any_piece = bool(is_piece.any())
    width, length = read.width.values, read.length.values
    return FormColumns(
        form=read.form,
        width_m=np.where(is_piece, pieces.width_m, width) if any_piece else width,
        length_m=np.where(is_piece, pieces.length_m, length) if any_piece else length,
        quantity=read.quantity,
        piece_area_m2=pieces.area_m2,
        piece_cut_m=pieces.cut_m,
        item=same_item(read, cloth, pieces, apart),
        width_texts=read.width.texts,
        length_texts=read.length.texts,
    )


def order_columns(
    read: EnquiryColumns,
    cloth: ClothColumns,
    supply: SupplyColumns,
    mass: FloatArray,
    apart: BoolArray,
    own: Mapping[str, ObjectArray | FloatArray],
    runs_by_width: Mapping[float, FloatArray] = MappingProxyType({}),
    from_stock: BoolArray | None = None,
) -> OrderColumns:
    """Gather the columns of a list.

    Parameters
    ----------
    read, cloth, supply
        What was asked for, of which cloth, and what it consumes.
    mass
        Mass of cloth per area [kg/m²].
    apart
        Lines that share nothing with others, being refused.
    own
        Columns of the list that nothing else reads, by heading.
    runs_by_width
        Length of each stock width that each line takes [m], where a plan takes several.
    from_stock
        Lines that are taken from cloth on hand; None where nothing is.
    """
    group = same_cloth(read, cloth, apart)
    width = np.round(supply.stock_width_m, CLOTH_DECIMALS)
    return OrderColumns(
        cloth=cloth,
        order=read.order,
        same_cloth=group,
        warp=group if each_alone(group) else same_lines([group, width], apart),
        form=read.form,
        quantity=read.quantity,
        services=read.services,
        own=own,
        runs_by_width=runs_by_width,
        from_stock=from_stock,
        refused=apart,
        **supplied(supply, mass),
    )


class Supplied(TypedDict):
    """Those of `OrderColumns` that follow from the cloth consumed."""

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


def supplied(supply: SupplyColumns, mass: FloatArray) -> Supplied:
    """Return the columns that follow from the cloth consumed; `mass` is per area [kg/m²]."""
    return Supplied(
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
    )
