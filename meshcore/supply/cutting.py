"""What a cutting plan is, how hard to look for one, and what it does to the supply."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, TypeAlias

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.messages import Message
from meshcore.supply.forms import SupplyColumns
from meshcore.supply.offcuts import KeepTerms, Offcut, credited_share, worth_keeping
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.together import CLOTH_DECIMALS

if TYPE_CHECKING:
    from meshcore.supply.nesting.plan import NestPlan
    from meshcore.supply.slitting.plan import SlitPlan


@dataclass(frozen=True, slots=True)
class CuttingEffort:
    """How hard to look for a better cutting plan.

    Parameters
    ----------
    seconds
        Time budget of each plan [s]; 0 for whole rows and closed forms, without any plan.
    seed
        Of the random choices; the same seed gives the same plan unless the time runs out.
    bias_45
        Whether pieces are cut on the bias, 45° to the wires.
    warp_along_long_side
        Whether the warp must run along the longer side of each piece.
    """

    seconds: float = 10.0
    seed: int = 0
    bias_45: bool = False
    warp_along_long_side: bool = False

    @property
    def none(self) -> bool:
        """Whether nothing is to be planned; pieces that must lie one way always are."""
        return self.seconds == 0 and not (self.bias_45 or self.warp_along_long_side)

    @property
    def by_clock(self) -> bool:
        """Whether a clock has a say."""
        return not math.isinf(self.seconds)


#: Effort without a clock: slitting by steps of the search, pieces without the strip packer. The
#: same order has the same plan on every machine.
UNASKED = CuttingEffort(seconds=math.inf)


#: Told the share that is done of the planning, and in words the best plan so far.
Told: TypeAlias = Callable[[float, str], None]


@dataclass(frozen=True, slots=True)
class WidthCosts:
    """What cloth of each stock width adds to the price of an order, in any currency.

    Parameters
    ----------
    a_metre
        What a metre adds; a wide loom weaves it in no more time than a narrow one.
    to_use
        What is added once, however much there is: the set-up of a warp.
    """

    a_metre: Sequence[float]
    to_use: Sequence[float]

    @classmethod
    def by_area(cls, policy: SupplyPolicy) -> WidthCosts:
        """Return the costs where all cloth costs the same by area, and nothing else."""
        return cls(policy.widths_m, (0.0,) * len(policy.widths_m))

    def of_width(self, number: int) -> WidthCosts:
        """Return the costs of one width alone."""
        return WidthCosts((self.a_metre[number],), (self.to_use[number],))


#: Line numbers → what the stock widths of the cloth of each cost.
WidthCosting: TypeAlias = Callable[[IntArray], list[WidthCosts]]


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """A plan, and the lines that are cut from it together.

    Parameters
    ----------
    rows
        Row numbers of the lines.
    keep
        What is worth keeping of what is left over; None where nothing is.
    layout
        How the cloth is slit to strips, or how the pieces lie on it.
    firsts
        Row number of each strip or shape of the layout: of equal shapes, the first.
    shape_of_row
        Number in the layout of each row's strip or shape.
    """

    rows: IntArray
    keep: KeepTerms | None
    layout: SlitPlan | NestPlan
    firsts: IntArray
    shape_of_row: IntArray

    @property
    def notes(self) -> tuple[Message, ...]:
        """What is to be said about the plan."""
        return self.layout.notes

    @property
    def kept(self) -> tuple[Offcut, ...]:
        """Offcuts that are worth keeping."""
        return worth_keeping(self.layout.offcuts, self.keep) if self.keep is not None else ()

    @property
    def credit_share(self) -> float:
        """Share of the cloth's cost that is credited for the offcuts kept [-]."""
        if self.keep is None:
            return 0.0
        return credited_share(self.kept, self.area_m2, self.keep)

    @property
    def area_m2(self) -> float:
        """Area of the cloth that the plan takes [m²]."""
        return self.layout.area_m2

    @property
    def length_m(self) -> float:
        """Length of the cloth that the plan takes [m]."""
        return self.layout.length_m


@dataclass(frozen=True, slots=True)
class PlannedSupply:
    """Supply columns with the planned lines in place of whole-row arithmetic, and the plans."""

    supply: SupplyColumns
    plans: tuple[CuttingPlan, ...]

    @property
    def runs_by_width(self) -> dict[float, FloatArray]:
        """Length that each line has of each stock width [m]; empty where no plan has several.

        A plan's cloth is shared over its lines; every other line's is all of its own width.
        """
        mixed = [p for p in self.plans if len(p.layout.length_by_width) > 1]
        if not mixed:
            return {}
        supply = self.supply
        rows = np.concatenate([plan.rows for plan in mixed])
        is_mixed = np.zeros(len(supply.run_length_m), dtype=np.bool_)
        is_mixed[rows] = True
        own = np.where(is_mixed, np.nan, np.round(supply.stock_width_m, CLOTH_DECIMALS))
        of_plans = [w for plan in mixed for w in plan.layout.length_by_width]
        widths = {round(w, CLOTH_DECIMALS) for w in (*of_plans, *own[np.isfinite(own)].tolist())}
        runs = {w: np.where(own == w, supply.run_length_m, 0.0) for w in sorted(widths)}
        for plan in mixed:
            share = supply.run_length_m[plan.rows] / plan.length_m
            for width, length in plan.layout.length_by_width.items():
                runs[round(width, CLOTH_DECIMALS)][plan.rows] = length * share
        return runs
