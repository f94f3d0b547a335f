"""Nesting pieces of any shapes on cloth: the facts of an order, its terms and its plan.

Lengths run along the cloth (x), widths across it (y); y = 0 is the cloth's own edge.
"""

from __future__ import annotations

from dataclasses import dataclass

from meshcore.arrays import IntArray
from meshcore.supply.offcuts import KeepTerms
from meshcore.supply.outlines import Shape


@dataclass(frozen=True, slots=True)
class NestOrder:
    """Pieces wanted, one row a shape.

    Parameters
    ----------
    shapes
        The shapes.
    quantity
        Pieces of each [-].
    """

    shapes: tuple[Shape, ...]
    quantity: IntArray


@dataclass(frozen=True, slots=True)
class NestTerms:
    """Cloth that pieces may be cut from, and how they may lie on it.

    Parameters
    ----------
    widths_m
        Stock widths [m].
    edge_trim_m
        Cloth lost at each edge [m].
    spacing_m
        Least distance between pieces [m].
    max_length_m
        Length of a full roll [m].
    turns
        Quarter turns that a piece may be laid in, of 0 to 3.
    bias_45
        Whether pieces are cut on the bias, 45° to the wires.
    warp_along_long_side
        Whether the warp must run along the longer side of each piece.
    metre_costs
        Cost of a metre of each stock width; empty where cloth costs by its area.
    keep
        What is worth keeping of what is left over.
    """

    widths_m: tuple[float, ...]
    edge_trim_m: float
    spacing_m: float
    max_length_m: float
    turns: tuple[int, ...] = (0, 1, 2, 3)
    bias_45: bool = False
    warp_along_long_side: bool = False
    metre_costs: tuple[float, ...] = ()
    keep: KeepTerms | None = None
