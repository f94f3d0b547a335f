"""Rates as columns: what the price book says for every line at once.

A key's rows are resolved once for each combination of alloy, weave and form that occurs, and
taken per line by its codes; nothing is done row by row.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.book.groups import NOTHING, Group, Reading, grouped
from meshcore.costing.book.price_book import PriceBook, Rate
from meshcore.costing.order_columns import OrderColumns


@dataclass(frozen=True, slots=True)
class RateColumn:
    """A rate, or a working figure, for every line.

    Parameters
    ----------
    key
        Key in the price book.
    values
        Book currency per unit, or the figure itself in its canonical unit; one a line, or a
        broadcast of one for all. NaN where the book has none.
    unit
        Canonical unit: ``kg``, ``m``, ``m2``, ``h``, ``1/h``, a thing counted, or empty.
    groups
        The rows of the book that the values come from.
    table, codes
        Index into `groups`, -1 for none, by code; and each line's code, None where all share one.
    lacks
        What is missing where a value is NaN, for messages.
    currency, at, how
        The book's currency; sizes that a table was read at, and how.
    """

    key: str
    values: FloatArray
    unit: str
    groups: tuple[Group, ...]
    table: IntArray
    codes: IntArray | None
    lacks: str
    currency: str
    at: FloatArray | None
    how: Reading

    def with_values(self, values: FloatArray) -> RateColumn:
        """Return the same column with values worked out from its own."""
        return dataclasses.replace(self, values=values)

    def origins(self, lines: IntArray) -> list[str]:
        """Return the notes of origin for some lines."""
        whole = np.zeros(len(lines), dtype=np.int64) if self.codes is None else self.codes[lines]
        sizes = [None] * len(lines) if self.at is None else self.at[lines].tolist()
        return [
            self.groups[number].origin(self.currency, size, self.how) if number >= 0 else ""
            for number, size in zip(self.table[whole].tolist(), sizes, strict=True)
        ]

    def stale(self, today: date, after_days: int) -> tuple[BoolArray | None, str]:
        """Mask of the lines that rest on a rate older than `after_days`, and what to say of it.

        The mask is None where no line does, and of one element where all lines share one rate.
        """
        old = [(today - group.dated).days > after_days for group in self.groups]
        if not any(old):
            return None, ""
        flags = np.array([*old, False])[self.table]
        oldest = min(g.dated for g, is_old in zip(self.groups, old, strict=True) if is_old)
        said = f"{(today - oldest).days} days old, of {oldest}"
        return flags if self.codes is None else flags[self.codes], said


@dataclass(frozen=True, slots=True)
class Rates:
    """What pricing rules use to look rates up.

    Parameters
    ----------
    book
        The price book.
    columns
        The lines to be priced.
    factors
        Key → factor per line that its values are multiplied by; for ranges and sensitivities.

    Notes
    -----
    The most particular row of a key wins: alloy before family before weave before form.
    """

    book: PriceBook
    columns: OrderColumns
    factors: Mapping[str, FloatArray] = field(default_factory=dict)

    def has(self, key: str) -> bool:
        """Whether the book has any row for `key`."""
        return key in self.book.by_key

    def keys(self, start: str) -> tuple[str, ...]:
        """Keys of the book that begin with `start`."""
        return tuple(key for key in self.book.by_key if key.startswith(start))

    def unit_of(self, key: str) -> str:
        """Canonical unit of a key's rows; empty for a share or where there is no such key."""
        rows = self.book.by_key.get(key)
        return rows[0].per.name if rows else ""

    def size_unit_of(self, key: str) -> str:
        """Canonical unit of the sizes of a key's table; empty where it is none."""
        rows = self.book.by_key.get(key)
        size = rows[0].size if rows else None
        return size.name if size else ""

    def bases(self, key: str) -> tuple[str, ...]:
        """Bases that a key's rows are shares of, in the order of the book."""
        return tuple(dict.fromkeys(rate.base for rate in self.book.by_key.get(key, ())))

    def money(
        self,
        key: str,
        per: str,
        at: FloatArray | None = None,
        *,
        default: float | None = None,
        how: Reading = "line",
        base: str = "",
    ) -> RateColumn:
        """Amounts in book currency per `per`.

        Parameters
        ----------
        key
            Key in the price book.
        per
            Canonical unit that the rule needs: ``kg``, ``m``, ``m2``, ``h``, or a thing counted.
        at
            Size of each line, in the canonical unit of the table's sizes, where the key is one.
        default
            Value for lines that the book has no row for; without it they are missing, and a line
            that needs the rate is refused.
        how
            ``"line"`` interpolates and is missing outside the table; ``"step"`` takes the last
            step reached.
        base
            Only rows with this base.
        """
        return self._column(key, per, at, default, how, base, is_money=True)

    def figure(
        self,
        key: str,
        unit: str,
        at: FloatArray | None = None,
        *,
        default: float | None = None,
        how: Reading = "line",
        base: str = "",
    ) -> RateColumn:
        """Shares and working figures, such as picks per hour; parameters as for `money`."""
        return self._column(key, unit, at, default, how, base, is_money=False)

    def _column(
        self,
        key: str,
        unit: str,
        at: FloatArray | None,
        default: float | None,
        how: Reading,
        base: str,
        *,
        is_money: bool,
    ) -> RateColumn:
        rows = [rate for rate in self.book.by_key.get(key, ()) if rate.base == base]
        lacks = self._unsuited(rows, unit, is_money=is_money)
        sized = any(rate.at for rate in rows)
        if sized and at is None:
            lacks = lacks or f"{key} depends on size, which this rule does not look at"
        # Rows of a kind that the rule cannot use are not as good as none: nothing stands in.
        default = None if lacks else default
        groups, grid = ((), NOTHING) if lacks else self._resolved(key, base, rows)
        table, codes = grid.reshape(-1), _codes(grid.shape, self.columns)
        if sized and not lacks and at is not None:
            values = _read_tables(groups, table, codes, at, how)
            if default is not None:
                values = np.where(np.isnan(values), default, values)
        else:
            missing = np.nan if default is None else default
            by_code = np.array([*(g.values[0] for g in groups), missing])[table]
            values = _spread(by_code, codes, len(self.columns))
        if key in self.factors:
            values = values * self.factors[key]
        per = f"{self.book.currency} per {unit}" if is_money else unit or "share"
        lacks = lacks or f"no {key} [{per}]" + (" for this size" if sized else "")
        return RateColumn(
            key, values, unit, groups, table, codes, lacks, self.book.currency, at, how
        )

    def _resolved(
        self, key: str, base: str, rows: Sequence[Rate]
    ) -> tuple[tuple[Group, ...], IntArray]:
        alloys = self.columns.cloth.alloys
        known = self.book.resolved.get((key, base))
        if known is None or known[0] is not alloys:
            known = (alloys, *grouped(rows, self.book, alloys))
            self.book.resolved[key, base] = known
        groups, grid = known[1:]
        return groups, grid

    def _unsuited(self, rows: Sequence[Rate], unit: str, *, is_money: bool) -> str:
        if not rows:
            return ""
        first = rows[0]
        if first.per.name == unit and bool(first.currency) == is_money:
            return ""
        has = f"{first.currency} per {first.unit}" if first.currency else f'"{first.unit}"'
        needs = f"money per {unit}" if is_money else f'"{unit}"' if unit else "a share (%)"
        return f"{first.key} is given in {has} where {needs} is needed"


def _codes(shape: tuple[int, ...], columns: OrderColumns) -> IntArray | None:
    """Each line's index into the flattened table; None where the table has one element."""
    codes = (columns.cloth.alloy, columns.cloth.weave, columns.form)
    used = [axis for axis, length in enumerate(shape) if length > 1]
    if not used:
        return None
    if len(used) == 1:
        return codes[used[0]]
    lengths = [shape[axis] for axis in used]
    flat = np.ravel_multi_index([codes[axis] for axis in used], lengths, mode="wrap")
    return np.asarray(flat, dtype=np.int64)


def _spread(by_code: FloatArray, codes: IntArray | None, lines: int) -> FloatArray:
    return np.broadcast_to(by_code[0], lines) if codes is None else by_code[codes]


def _read_tables(
    groups: tuple[Group, ...], table: IntArray, codes: IntArray | None, at: FloatArray, how: Reading
) -> FloatArray:
    if codes is None:
        return _read(groups[table[0]], at, how) if groups else np.full(len(at), np.nan)
    values = np.full(len(at), np.nan)
    which = table[codes]
    for number, group in enumerate(groups):
        rows = np.flatnonzero(which == number)
        values[rows] = _read(group, at[rows], how)
    return values


def _read(group: Group, at: FloatArray, how: Reading) -> FloatArray:
    if how == "line":
        return np.interp(at, group.sizes, group.values, left=np.nan, right=np.nan)
    reached = np.searchsorted(group.sizes, at, side="right")
    values: FloatArray = np.concatenate(([np.nan], group.values))
    return values[np.where(np.isnan(at), 0, reached)]
