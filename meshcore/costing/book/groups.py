"""Rows of one key of a price book, sorted into groups that hold for the same lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np

from meshcore.alloys.record import Alloy
from meshcore.arrays import FloatArray, IntArray, frozen_array
from meshcore.costing.book.price_book import Exchange, PriceBook, Rate, conversion
from meshcore.costing.book.units import read_unit
from meshcore.enquiry import FORMS, WEAVES

#: Which group holds for each alloy × weave × form, where the book has no rows.
NOTHING: IntArray = frozen_array(np.full((1, 1, 1), -1, dtype=np.int64))
#: How a table is read between its sizes: on the straight line, or as the step last reached.
Reading = Literal["line", "step"]


@dataclass(frozen=True, slots=True)
class Group:
    """Rows of one key that hold for the same lines; several make a table over size."""

    rates: tuple[Rate, ...]
    values: FloatArray
    sizes: FloatArray
    exchange: tuple[Exchange, ...]

    @property
    def dated(self) -> date:
        """Date of the oldest thing that it rests on."""
        return min([rate.date for rate in self.rates] + [entry.date for entry in self.exchange])

    def origin(self, currency: str, at: float | None, how: Reading) -> str:
        """Say where the rate for a size comes from, so that a person can look it up again."""
        held = self._held(at, how)
        text = " and ".join(_as_entered(rate, currency) for rate in held)
        if len(held) > 1 and at is not None:
            text = f"at {_like(at, held[0].at)} between {text}"
        text += f"{'; ' if text else ''}{held[0].note} ({held[0].date})"
        for entry in self.exchange:
            text += (
                f"; 1 {entry.currency} = {entry.amount:g} {entry.to}, {entry.note} ({entry.date})"
            )
        return text

    def _held(self, at: float | None, how: Reading) -> tuple[Rate, ...]:
        """Return the rows that a size rests on: one, or the two that it lies between."""
        if at is None or not self.sizes.size:
            return self.rates[:1]
        reached = int(np.searchsorted(self.sizes, at, side="right"))
        if reached == 0:
            return self.rates[:1]
        if how == "step" or reached == len(self.sizes) or at == self.sizes[reached - 1]:
            return self.rates[reached - 1 : reached]
        return self.rates[reached - 1 : reached + 1]


def _like(size: float, model: str) -> str:
    """Write a size in the unit that the table's sizes are written in."""
    unit = model.lstrip("0123456789. ")
    read = read_unit(unit)
    return f"{size / (read.factor if read else 1.0):.7g} {unit}"


def _as_entered(rate: Rate, currency: str) -> str:
    """Write the amount as the book has it, where the rate alone does not show it."""
    size = f"at {rate.at}: " if rate.at else ""
    if rate.currency and (rate.currency != currency or rate.per.factor != 1.0 or size):
        return f"{size}{rate.amount:g} {rate.currency} per {rate.unit}"
    return f"{size}{rate.amount:g} {rate.unit}" if not rate.currency else ""


def grouped(
    rows: Sequence[Rate], book: PriceBook, alloys: Sequence[Alloy]
) -> tuple[tuple[Group, ...], IntArray]:
    """Return groups of rows, and which of them holds for each alloy × weave × form.

    A dimension that no row asks about has length one. The last alloy is the unknown one.
    """
    sorted_rows: dict[tuple[str, str, str, str], list[Rate]] = {}
    for rate in rows:
        selectors = (rate.alloy.casefold(), rate.family.casefold(), rate.weave, rate.form)
        sorted_rows.setdefault(selectors, []).append(rate)
    groups = tuple(_group(held, book) for held in sorted_rows.values())
    by_alloy = any(alloy or family for alloy, family, _, _ in sorted_rows)
    names = [(a.designation.casefold(), a.family.casefold()) for a in alloys]
    axes: list[list[tuple[str, ...]]] = [
        [*names, ("", "")] if by_alloy else [("", "")],
        [(w,) for w in WEAVES] if any(s[2] for s in sorted_rows) else [("",)],
        [(f,) for f in FORMS] if any(s[3] for s in sorted_rows) else [("",)],
    ]
    table = np.full([len(axis) for axis in axes], -1, dtype=np.int64)
    for selectors, number in sorted(
        ((s, n) for n, s in enumerate(sorted_rows)),
        key=lambda item: tuple(bool(text) for text in item[0]),
    ):
        alloy, family, weave, form = selectors
        holds = [
            [(not alloy or alloy == a) and (not family or family == f) for a, f in axes[0]],
            [not weave or weave == w for (w,) in axes[1]],
            [not form or form == f for (f,) in axes[2]],
        ]
        table[np.ix_(*holds)] = number
    return groups, frozen_array(table)


def _group(rows: Sequence[Rate], book: PriceBook) -> Group:
    sizes = [size.factor if (size := rate.size) else np.nan for rate in rows]
    ranked = np.argsort(sizes, kind="stable")
    rates = tuple(rows[i] for i in ranked)
    values: list[float] = []
    used: dict[Exchange, None] = {}
    for rate in rates:
        if not rate.currency:
            values.append(rate.amount * rate.per.factor)
            continue
        converted = conversion(book, rate.currency)
        factor = converted.factor if converted else np.nan
        used |= dict.fromkeys(converted.by if converted else ())
        values.append(rate.amount / rate.per.factor * factor)
    sized = np.asarray(sizes)[ranked] if not np.isnan(sizes[0]) else np.zeros(0)
    return Group(rates, frozen_array(np.array(values)), frozen_array(sized), tuple(used))
