"""A nesting job and its plan: what is asked, what it may be cut from, how it lies, what is left.

Lengths run along the cloth (x), widths across it (y); y = 0 is the cloth's own edge, so that the
usable width begins at the edge trim.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.messages import Message
from meshcore.supply.nesting.cut_lines import shared_m
from meshcore.supply.nesting.offcuts import FreeRectangle, free_rectangles
from meshcore.supply.nesting.parts import Cloth
from meshcore.supply.nesting.postures import boxes, fills_its_box, posture
from meshcore.supply.offcuts import LEAST_OFFCUT_M, KeepTerms, Offcut, worth_keeping
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.shapes.outlines import Shape

__all__ = ["Cloth", "NestOrder", "NestPlan", "NestTerms", "nest_terms"]

#: Quarter turns that leave the cloth as it is: all for square mesh, half turns for any other.
SQUARE_MESH_TURNS, OBLONG_MESH_TURNS = (0, 1, 2, 3), (0, 2)


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
    to_use
        Charge for using each stock width at all, the set-up of its warp; empty where there is none.
    keep
        What is worth keeping of what is left over; None where nothing is.
    """

    widths_m: tuple[float, ...]
    edge_trim_m: float
    spacing_m: float
    max_length_m: float
    turns: tuple[int, ...] = SQUARE_MESH_TURNS
    bias_45: bool = False
    warp_along_long_side: bool = False
    metre_costs: tuple[float, ...] = ()
    to_use: tuple[float, ...] = ()
    keep: KeepTerms | None = None

    def usable_m(self, stock: int) -> float:
        """Width between the trimmed edges of a stock width [m]."""
        return self.widths_m[stock] - 2.0 * self.edge_trim_m

    def metre_cost(self, stock: int) -> float:
        """Cost of a metre of a stock width; its width where costs go by area."""
        return self.metre_costs[stock] if self.metre_costs else self.widths_m[stock]

    def cost(self, stock: int, length_m: float) -> float:
        """Cost of a length of a stock width [m], the charge for using it included."""
        charge = self.to_use[stock] if self.to_use else 0.0
        return length_m * self.metre_cost(stock) + charge


def nest_terms(
    policy: SupplyPolicy,
    *,
    square_mesh: bool = True,
    bias_45: bool = False,
    warp_along_long_side: bool = False,
    keep: KeepTerms | None = None,
    metre_costs: tuple[float, ...] = (),
    to_use: tuple[float, ...] = (),
) -> NestTerms:
    """Return the terms of a supply policy; only square mesh may turn by 90°.

    Examples
    --------
    >>> from meshcore.supply.policy import default_supply_policy
    >>> nest_terms(default_supply_policy(), square_mesh=False).turns
    (0, 2)
    """
    return NestTerms(
        policy.widths_m,
        policy.edge_trim_m,
        policy.spacing_m,
        policy.full_length_m,
        SQUARE_MESH_TURNS if square_mesh else OBLONG_MESH_TURNS,
        bias_45,
        warp_along_long_side,
        metre_costs=metre_costs,
        to_use=to_use,
        keep=keep,
    )


@dataclass(frozen=True)
class NestPlan:
    """How an order of pieces is cut.

    Parameters
    ----------
    order, terms
        What was asked.
    stock
        Number of the stock width.
    cloths
        Lengths of cloth, none longer than a roll.
    method
        How the pieces were laid, in words.
    bound_m
        No plan on this stock width uses less length [m].
    seed
        Of the random choices.
    checked
        Whether every outline was found inside the cloth and apart from every other.
    notes
        What is to be said about the plan.
    """

    order: NestOrder
    terms: NestTerms
    stock: int
    cloths: tuple[Cloth, ...]
    method: str
    bound_m: float
    seed: int = 0
    checked: bool = False
    notes: tuple[Message, ...] = ()

    @property
    def width_m(self) -> float:
        """Stock width [m]."""
        return self.terms.widths_m[self.stock]

    @property
    def length_m(self) -> float:
        """Length of cloth used [m]."""
        return math.fsum(cloth.length_m * cloth.repeats for cloth in self.cloths)

    @property
    def length_by_width(self) -> dict[float, float]:
        """Length of cloth used of its stock width [m]."""
        return {self.width_m: self.length_m}

    @property
    def cost(self) -> float:
        """Cost of that cloth, in the currency of the terms; its area where costs go by area."""
        return self.terms.cost(self.stock, self.length_m)

    @property
    def area_m2(self) -> float:
        """Area of that cloth [m²]."""
        return self.length_m * self.width_m

    @property
    def supplied(self) -> dict[str, float]:
        """What the plan takes in all, by supply column, in place of whole-row arithmetic."""
        taken = {"run_length_m": self.length_m, "gross_area_m2": self.area_m2}
        return taken | ({"cut_length_m": self.cut_length_m} if self.common_cuts_m else {})

    @property
    def net_area_m2(self) -> float:
        """Area of the pieces [m²]."""
        areas = np.array([shape.area_m2 for shape in self.order.shapes])
        return float(areas @ self.order.quantity)

    @property
    def cut_length_m(self) -> float:
        """Length of all outlines, holes included [m]; a cut that two pieces share counts once."""
        lengths = np.array([shape.cut_length_m for shape in self.order.shapes])
        return float(lengths @ self.order.quantity) - self.common_cuts_m

    @cached_property
    def common_cuts_m(self) -> float:
        """Length of the cuts that part two rectangles at once [m]; 0 where they are kept apart."""
        if self.terms.spacing_m:
            return 0.0
        return math.fsum(
            cloth.repeats * shared_m(self.boxes(cloth)[self._rectangles(cloth)])
            for cloth in self.cloths
        )

    def _rectangles(self, cloth: Cloth) -> BoolArray:
        """Pieces of a cloth that lie as upright rectangles."""
        p = cloth.placements
        ways = [posture(self.order.shapes[s], t) for s, t in zip(p.shape, p.turn_rad, strict=True)]
        pairs = zip(ways, p.shape, strict=True)
        return np.array([fills_its_box(way, self.order.shapes[s]) for way, s in pairs])

    @property
    def pieces(self) -> int:
        """Pieces of all shapes."""
        return int(self.order.quantity.sum())

    @property
    def yield_share(self) -> float:
        """Share of the cloth used that is delivered [-]."""
        return self.net_area_m2 / self.area_m2

    @property
    def gap(self) -> float:
        """How far the length may be above the least possible, as a share of it [-]."""
        return max(self.length_m / self.bound_m - 1.0, 0.0)

    @property
    def count_per_metre(self) -> float:
        """Pieces from a metre of cloth [1/m]."""
        return self.pieces / self.length_m

    @cached_property
    def offcuts(self) -> tuple[Offcut, ...]:
        """Rectangles left over beside the pieces and at the end of each length."""
        return tuple(
            Offcut(free.where, free.width_m, free.length_m, cloth.repeats)
            for cloth in self.cloths
            for free in self.free(cloth)
        )

    def free(self, cloth: Cloth) -> list[FreeRectangle]:
        """Rectangles left over on one length of cloth."""
        trim = self.terms.edge_trim_m
        rectangles = free_rectangles(
            self.boxes(cloth), trim, self.width_m - trim, cloth.length_m, self.terms.spacing_m
        )
        return [r for r in rectangles if min(r.width_m, r.length_m) > LEAST_OFFCUT_M]

    def boxes(self, cloth: Cloth) -> FloatArray:
        """Boxes of the pieces of a cloth: least x, least y, greatest x, greatest y [m]."""
        p = cloth.placements
        return boxes(self.order.shapes, p.shape, p.x_m, p.y_m, p.turn_rad)

    @property
    def kept(self) -> tuple[Offcut, ...]:
        """Offcuts that are worth keeping."""
        return worth_keeping(self.offcuts, self.terms.keep) if self.terms.keep else ()

    @property
    def kept_area_m2(self) -> float:
        """Area of the offcuts worth keeping [m²]."""
        return math.fsum(offcut.area_m2 for offcut in self.kept)
