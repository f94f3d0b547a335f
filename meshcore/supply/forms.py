"""What is to be delivered, and the cloth that it takes: columns, one row a line."""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.arrays import FloatArray, IntArray, ObjectArray


@dataclass(frozen=True, slots=True)
class FormColumns:
    """What is to be delivered, one row a line; sizes [m], areas [m²], NaN where not given.

    A piece is taken by its bounding rectangle, `width_m` by `length_m`, with its own net area
    and the length of the cut around it. Strips or pieces of one `item`, of one order, cloth and
    size, are laid side by side as if they stood on one line.
    """

    form: IntArray
    width_m: FloatArray
    length_m: FloatArray
    quantity: FloatArray
    piece_area_m2: FloatArray
    piece_cut_m: FloatArray
    item: IntArray
    width_texts: ObjectArray
    length_texts: ObjectArray


@dataclass(frozen=True, slots=True)
class SupplyColumns:
    """Cloth delivered and consumed by each line, and the ratios at the delivery tolerances.

    ``offcut_credit`` is the share of the cloth's cost credited for offcuts kept [-]; only a
    cutting plan knows them.
    """

    stock_width_m: FloatArray
    run_length_m: FloatArray
    net_area_m2: FloatArray
    gross_area_m2: FloatArray
    cut_length_m: FloatArray
    cut_count: FloatArray
    roll_count: FloatArray
    part_roll_count: FloatArray
    offcut_credit: FloatArray
    length_low: FloatArray
    length_high: FloatArray
    width_low: FloatArray
    width_high: FloatArray


def take_forms(forms: FormColumns, rows: IntArray) -> FormColumns:
    """Return some of the lines."""
    return FormColumns(*(getattr(forms, name)[rows] for name in FormColumns.__slots__))
