"""The cheapest rolls that have what is required of them, as a whole-number programme."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.rounding import SLACK
from meshcore.supply.rolls import RollTerms
from meshcore.supply.slitting.plan import SlitTerms
from meshcore.supply.slitting.scales import Scale
from meshcore.supply.solver.programme import solve_in_whole_numbers

#: Gap at which a choice of rolls is the cheapest [-].
_GAP = 1e-7


@dataclass(frozen=True, slots=True)
class ChosenRolls:
    """Rolls chosen.

    Parameters
    ----------
    bound
        No rolls cost less.
    yields
        What they yield, by scale and stock width.
    used
        Numbers of their stock widths.
    """

    bound: float
    yields: list[FloatArray]
    used: tuple[int, ...]


class RollChoice:
    """Programme of the rolls: variables of each stock, then what its part rolls yield by scale."""

    def __init__(self, terms: SlitTerms, scales: Sequence[Scale], most: int) -> None:
        self.scales, self.stocks = scales, [stock.rolls for stock in terms.stocks]
        self.to_use, self.most = [stock.to_use for stock in terms.stocks], most
        self.costs: list[float] = []
        self.whole: list[bool] = []
        self.rows: list[dict[int, float]] = []
        self.least: list[float] = []
        #: For each stock, the variables that count its rolls.
        self.counts: list[list[int]] = [[] for _ in self.stocks]
        #: For each scale and stock, the variables that yield and how much each does.
        self.gives: list[list[dict[int, float]]] = [[{} for _ in self.stocks] for _ in scales]
        for number, rolls in enumerate(self.stocks):
            self._add_stock(number, rolls)
        self._charge_widths()

    def _variable(self, cost: float, whole: bool) -> int:
        self.costs.append(cost)
        self.whole.append(whole)
        return len(self.costs) - 1

    def _add_stock(self, number: int, rolls: RollTerms) -> None:
        for length in (rolls.full_m, *rolls.halves_m):
            roll = self._variable(length * rolls.metre_cost, whole=True)
            self.counts[number].append(roll)
            for scale, gives in zip(self.scales, self.gives, strict=True):
                gives[number][roll] = scale.of_roll(length)
        if not rolls.part_m:
            return
        least, longest = rolls.part_m
        part = self._variable(rolls.part_charge, whole=True)
        self.counts[number].append(part)
        metres = self._variable(rolls.metre_cost, whole=False)
        self._row({part: longest, metres: -1.0}, 0.0)
        if least:
            self._row({metres: 1.0, part: -least}, 0.0)
        for scale, gives in zip(self.scales, self.gives, strict=True):
            held = self._variable(0.0, whole=scale.whole)
            self._row({part: scale.of_roll(longest), held: -1.0}, 0.0)
            self._row({metres: scale.per_metre(longest), held: -1.0}, 0.0)
            gives[number][held] = 1.0

    def _charge_widths(self) -> None:
        """Charge each stock width that has rolls, once; one alone is charged in any case."""
        if len(self.to_use) == 1 or not any(self.to_use):
            self.charge = self.to_use[0]
            return
        used = [self._variable(charge, whole=True) for charge in self.to_use]
        self.charge = 0.0
        for width, rolls in zip(used, self.counts, strict=True):
            self._row({width: float(self.most)} | dict.fromkeys(rolls, -1.0), 0.0)
        # One at least: it is what the programme without whole numbers would not see.
        self._row(dict.fromkeys(used, 1.0), 1.0)

    def _row(self, entries: dict[int, float], least: float) -> None:
        self.rows.append(entries)
        self.least.append(least)

    def require(self, scale: int, bounds: FloatArray, worth: float) -> None:
        """Require of the rolls what the strips are worth."""
        entries: dict[int, float] = {}
        for gives, bound in zip(self.gives[scale], bounds.tolist(), strict=True):
            for variable, held in gives.items():
                entries[variable] = entries.get(variable, 0.0) + held * bound / worth
        self._row(entries, 1.0 - SLACK)

    def rates(self, scale: int) -> FloatArray:
        """Least cost of one on a scale, of each stock."""
        return np.array(
            [
                min(
                    length * rolls.metre_cost / held
                    for length in (rolls.full_m, *rolls.halves_m)
                    if (held := self.scales[scale].of_roll(length))
                )
                for rolls in self.stocks
            ]
        )

    def cheapest(self, seconds: float) -> ChosenRolls | None:
        """Choose the cheapest rolls that have what is required so far."""
        rows = np.zeros((len(self.rows), len(self.costs)))
        for number, entries in enumerate(self.rows):
            rows[number, list(entries)] = list(entries.values())
        answer = solve_in_whole_numbers(
            self.costs, rows, self.least, seconds, gap=_GAP, whole=np.array(self.whole)
        )
        if answer is None:
            return None
        values = np.where(self.whole, np.rint(answer.values), answer.values)
        yields = [
            np.array([sum(values[v] * held for v, held in gives.items()) for gives in of_stocks])
            for of_stocks in self.gives
        ]
        used = tuple(n for n, rolls in enumerate(self.counts) if values[rolls].any())
        return ChosenRolls(answer.bound + self.charge, yields, used)
