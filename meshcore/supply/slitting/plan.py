"""A slitting job and its plan: what is asked, what is bought, how it is slit, what is left."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from meshcore.arrays import FloatArray, IntArray
from meshcore.messages import Message
from meshcore.supply.offcuts import LEAST_OFFCUT_M, Offcut
from meshcore.supply.policy import SupplyPolicy
from meshcore.supply.rolls import RollTerms, roll_terms
from meshcore.supply.slitting.roll_packing import PackedRoll


@dataclass(frozen=True, slots=True)
class StripOrder:
    """Strips of one mesh, one row a strip size: width [m], length [m] and how many."""

    width_m: FloatArray
    length_m: FloatArray
    quantity: IntArray


@dataclass(frozen=True, slots=True)
class SlitStock:
    """A stock width that strips may be slit from.

    Parameters
    ----------
    width_m
        The width [m].
    rolls
        The rolls that come in it.
    to_use
        Charge for using the width at all, in the currency of the rolls: the set-up of its warp.
    """

    width_m: float
    rolls: RollTerms
    to_use: float = 0.0


@dataclass(frozen=True, slots=True)
class SlitTerms:
    """What strips may be slit from.

    Parameters
    ----------
    stocks
        Stock widths and their rolls.
    edge_trim_m
        Lost at each edge of a cloth that is slit [m].
    kerf_m
        Lost between neighbouring strips [m].
    join
        Whether a strip longer than a roll may be joined from several.
    """

    stocks: tuple[SlitStock, ...]
    edge_trim_m: float
    kerf_m: float
    join: bool

    @property
    def charges_widths(self) -> bool:
        """Whether some width is charged for being used, and there is a choice of widths."""
        return len(self.stocks) > 1 and any(stock.to_use > 0 for stock in self.stocks)


def slit_terms(
    policy: SupplyPolicy,
    a_metre: Sequence[float] = (),
    part_charge: float = 0.0,
    to_use: Sequence[float] = (),
) -> SlitTerms:
    """Return the terms of a supply policy.

    Parameters
    ----------
    policy
        Widths, rolls, trim and kerf.
    a_metre
        Cost of a metre of each width, in any currency; its width unless given.
    part_charge, to_use
        Charges for each part roll, and for each width that is used; none unless given.
    """
    metres = tuple(a_metre) or policy.widths_m
    charges = tuple(to_use) or (0.0,) * len(policy.widths_m)
    stocks = tuple(
        SlitStock(width, roll_terms(policy, metre, part_charge), charge)
        for width, metre, charge in zip(policy.widths_m, metres, charges, strict=True)
    )
    return SlitTerms(stocks, policy.edge_trim_m, policy.kerf_m, policy.join_beyond_roll)


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane along a run: its width [m] and the (item, count) of the strips in it, end to end."""

    width_m: float
    strips: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Run:
    """A length of cloth slit in one pattern.

    Parameters
    ----------
    stock
        Number of the stock width.
    length_m
        Length of the run [m].
    lanes
        Lanes side by side, from one edge.
    repeats
        How many runs are slit so.
    as_woven
        Whether the cloth is delivered at its full width, its edges untrimmed.
    """

    stock: int
    length_m: float
    lanes: tuple[Lane, ...]
    repeats: int
    as_woven: bool = False


@dataclass(frozen=True)
class SlitPlan:
    """How an order of strips is slit.

    Parameters
    ----------
    order, terms
        What was asked, and from what.
    items
        The different strips that are slit; long strips that are joined are several.
    parts_of_strip
        For each row of the order, the (item, count) that one strip is made of.
    runs
        Patterns, each with its repeats.
    rolls
        For each stock width, the rolls bought and the runs of `runs` on them; the numbers in
        ``PackedRoll.runs`` are in the order of ``runs_of_stock``.
    cost
        Cost of all rolls and of the widths used, in the currency of the terms.
    bound
        No plan costs less, however the strips are laid along the cloth.
    """

    order: StripOrder
    terms: SlitTerms
    items: StripOrder
    parts_of_strip: tuple[tuple[tuple[int, int], ...], ...]
    runs: tuple[Run, ...]
    rolls: tuple[tuple[PackedRoll, ...], ...]
    cost: float
    bound: float

    @property
    def gap(self) -> float:
        """How far the cost may be above the least possible, as a share of it [-]."""
        return max(self.cost / self.bound - 1.0, 0.0)

    @cached_property
    def produced(self) -> IntArray:
        """Strips of each item that the runs yield."""
        counts = np.zeros(len(self.items.quantity), dtype=np.int64)
        for run in self.runs:
            for lane in run.lanes:
                for item, count in lane.strips:
                    counts[item] += count * run.repeats
        return counts

    @property
    def overs(self) -> IntArray:
        """Strips of each item beyond those ordered: they fall out of the cloth unasked."""
        return self.produced - self.items.quantity

    @property
    def joined_strips(self) -> int:
        """Strips that are joined from several lengths."""
        pieces = np.array([sum(n for _, n in parts) for parts in self.parts_of_strip])
        return int(self.order.quantity[pieces > 1].sum())

    @property
    def net_area_m2(self) -> float:
        """Area of the strips ordered [m²]."""
        return float((self.order.width_m * self.order.length_m) @ self.order.quantity)

    @property
    def notes(self) -> tuple[Message, ...]:
        """What is to be said about the plan."""
        overs = int(self.overs.sum())
        if not overs:
            return ()
        text = f"{overs} strips over fall out of the cloth; they are reported and not billed."
        return (Message("quantity", "", text, "note", code="cutting.strips_over"),)

    @property
    def length_m(self) -> float:
        """Length of the rolls [m]."""
        return sum(roll.length_m * roll.count for roll in self._packed())

    @property
    def length_by_width(self) -> dict[float, float]:
        """Length of the rolls bought in each stock width [m]; widths that are not used left out."""
        pairs = zip(self.terms.stocks, self.rolls, strict=True)
        return {
            stock.width_m: sum(roll.length_m * roll.count for roll in rolls)
            for stock, rolls in pairs
            if rolls
        }

    @property
    def roll_count(self) -> int:
        """Rolls bought."""
        return sum(roll.count for roll in self._packed())

    @property
    def part_roll_count(self) -> int:
        """How many of them are other than full or half."""
        return sum(roll.count for roll in self._packed() if roll.kind == "part")

    def _packed(self) -> list[PackedRoll]:
        return [roll for rolls in self.rolls for roll in rolls]

    @property
    def supplied(self) -> dict[str, float]:
        """What the plan takes in all, by supply column, in place of whole-row arithmetic."""
        return {
            "run_length_m": self.length_m,
            "gross_area_m2": self.area_m2,
            "cut_length_m": self.slit_length_m,
            "roll_count": self.roll_count,
            "part_roll_count": self.part_roll_count,
        }

    @cached_property
    def area_m2(self) -> float:
        """Area of the rolls [m²]."""
        return sum(
            stock.width_m * roll.length_m * roll.count
            for stock, rolls in zip(self.terms.stocks, self.rolls, strict=True)
            for roll in rolls
        )

    @property
    def yield_share(self) -> float:
        """Share of the cloth bought that is ordered [-]."""
        return self.net_area_m2 / self.area_m2

    @property
    def slit_length_m(self) -> float:
        """Length of all slits along the cloth, those that trim the edges included [m]."""
        return sum(self._slits(run) * run.length_m * run.repeats for run in self.runs)

    def runs_of_stock(self, stock: int) -> tuple[Run, ...]:
        """Return the runs on one stock width."""
        return tuple(run for run in self.runs if run.stock == stock)

    def usable_m(self, run: Run) -> float:
        """Width of cloth that a run's lanes may take [m]."""
        width = self.terms.stocks[run.stock].width_m
        return width if run.as_woven else width - 2.0 * self.terms.edge_trim_m

    def _slits(self, run: Run) -> int:
        if run.as_woven:
            return 0
        if self.terms.edge_trim_m > 0:
            # One at the near edge, and one along each lane: what is left beside keeps its edge.
            return len(run.lanes) + 1
        return len(run.lanes) - 1 + (self._beside(run) > LEAST_OFFCUT_M)

    def _beside(self, run: Run) -> float:
        """Width left beside the lanes of a run [m]."""
        taken = sum(lane.width_m for lane in run.lanes) + self.terms.kerf_m * len(run.lanes)
        return self.usable_m(run) - taken

    @cached_property
    def offcuts(self) -> tuple[Offcut, ...]:
        """All cloth left over but the trimmed edges, alike rectangles together."""
        counts: Counter[tuple[str, float, float]] = Counter()
        for where, width, length, count in self._left_over():
            if width > LEAST_OFFCUT_M and length > LEAST_OFFCUT_M:
                counts[where, round(width, 6), round(length, 6)] += count
        return tuple(Offcut(*key, count) for key, count in counts.items())

    def _left_over(self) -> Iterator[tuple[str, float, float, int]]:
        for run in self.runs:
            yield "beside the strips", self._beside(run), run.length_m, run.repeats
            for lane in run.lanes:
                used = sum(float(self.items.length_m[i]) * n for i, n in lane.strips)
                yield "end of a lane", lane.width_m, run.length_m - used, run.repeats
        for number, rolls in enumerate(self.rolls):
            lengths = [run.length_m for run in self.runs_of_stock(number)]
            for roll in rolls:
                used = float(np.dot(roll.runs, lengths))
                width = self.terms.stocks[number].width_m
                yield "end of a roll", width, roll.length_m - used, roll.count
