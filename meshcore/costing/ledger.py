"""The ledger: every cost item of every line, and the totals that they add up to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.items import Live, Term
from meshcore.costing.money import from_minor
from meshcore.costing.rates import RateColumn
from meshcore.costing.stages import STAGES
from meshcore.plugins import PluginFault

if TYPE_CHECKING:
    import pandas as pd

#: Columns of the long form: one row for each item of each line.
ITEM_COLUMNS: tuple[str, ...] = (
    "line",
    "stage",
    "label",
    "driver",
    "quantity",
    "unit",
    "rate",
    "amount",
    "currency",
    "rule",
    "plugin",
    "origin",
    "base",
)


@dataclass(frozen=True, slots=True)
class Shares:
    """One amount of each group, as it was shared over the lines.

    Parameters
    ----------
    minor
        The group's amount, on each of its lines [minor units]; a credit is positive here too.
    group
        Index that lines which share have in common; −1 for lines without a price.
    weight
        What a line's part is in proportion to; where a group's are all zero, its parts are equal.
    by_value
        Whether the weights are the lines' subtotals [minor units].
    unit
        What other weights are in, as their rule says.
    """

    minor: FloatArray
    group: IntArray
    weight: FloatArray
    by_value: bool
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerItem:
    """One cost of every line: quantity × rate = amount, rounded to the minor unit.

    Parameters
    ----------
    stage, label, driver, unit
        Where it is worked, what it is, what its quantity counts and in what.
    quantity, rate
        Per line; a share's quantity is its base, a shortfall's rate is 1, and a credit's rate is
        negative.
    minor
        The amount in whole minor units of the currency; credits are negative.
    rule, plugin
        What worked it out.
    origin
        Where the rate comes from: a rate column of the book, or a text.
    base
        Stages that it is a share of, or tops up.
    uses
        Other columns of the price book that went into its quantity.
    top_up
        How it tops up its base (``floor``, ``step up``, ``step nearest``); empty for the rest.
    target
        What a top-up brings its base to, or the step that it rounds to; zero for the rest.
    per
        What one amount is of: ``line``; or ``order``, ``cloth`` or ``warp``, whose lines share it.
    whole
        The quantity of all these lines together; the line's own where it shares with none.
    shares
        What these lines share, and by what; None where no line shares with another.
    working, terms
        How the quantity is reckoned, with the names of terms in braces, and the terms.
    credit, shared_by, live
        As the rule gave them.
    """

    stage: str
    label: str
    driver: str
    quantity: FloatArray
    unit: str
    rate: FloatArray
    minor: FloatArray
    rule: str
    plugin: str
    origin: RateColumn | str
    base: tuple[str, ...]
    uses: tuple[RateColumn, ...]
    top_up: str
    target: FloatArray
    per: str
    whole: FloatArray
    shares: Shares | None
    working: str
    terms: Mapping[str, Term]
    credit: bool
    shared_by: FloatArray | None
    live: Live

    @property
    def shared(self) -> bool:
        """Whether it is one amount that several lines may share."""
        return self.per != "line"

    def origins(self, lines: IntArray) -> list[str]:
        """Note of origin of the rate, for some lines."""
        if isinstance(self.origin, RateColumn):
            return self.origin.origins(lines)
        return [self.origin] * len(lines)


@dataclass(frozen=True, slots=True)
class WorkedItems:
    """Items that are held as they were worked."""

    items: tuple[LedgerItem, ...]

    def __call__(self) -> tuple[LedgerItem, ...]:
        """Return them."""
        return self.items


@dataclass(frozen=True, slots=True)
class Ledger:
    """All cost items of all lines, in the order in which they are worked.

    Parameters
    ----------
    priced
        Lines that have a price.
    currency, digits
        The book's currency, and the decimal places of its minor unit.
    cost_minor, before_tax_minor, price_minor
        Sums through the overhead, before tax, and of all items [minor units]; zero where refused.
    faults
        Rules that were set aside, and why.
    acts
        What plugins did besides adding items: rules replaced, rules switched off.
    item_source
        Gives the items. A long list keeps only its totals and works its items again when they
        are first asked for.
    """

    priced: BoolArray
    currency: str
    digits: int
    cost_minor: FloatArray
    before_tax_minor: FloatArray
    price_minor: FloatArray
    faults: tuple[PluginFault, ...]
    acts: tuple[str, ...]
    item_source: Callable[[], tuple[LedgerItem, ...]] = field(repr=False, compare=False)

    def __reduce__(self) -> tuple[type[Ledger], tuple[object, ...]]:
        """Take the items along as worked: the rules behind them may not pickle."""
        kept = (getattr(self, f.name) for f in fields(self) if f.name != "item_source")
        return Ledger, (*kept, WorkedItems(self.items))

    @property
    def items(self) -> tuple[LedgerItem, ...]:
        """Items that arise on at least one line, in the order in which they are worked."""
        return self.item_source()

    @property
    def cost(self) -> FloatArray:
        """Sum of the stages through overhead, per line; NaN where refused."""
        return self._major(self.cost_minor)

    @property
    def before_tax(self) -> FloatArray:
        """Price before tax, per line; NaN where refused."""
        return self._major(self.before_tax_minor)

    @property
    def price(self) -> FloatArray:
        """Sum of all items, per line; NaN where refused."""
        return self._major(self.price_minor)

    def _major(self, minor: FloatArray) -> FloatArray:
        major = from_minor(minor, self.digits)
        if not self.priced.all():
            major[~self.priced] = np.nan
        return major

    def stage_totals(self) -> dict[str, FloatArray]:
        """Sum of each stage that has items, per line, in the order of the stages."""
        totals: dict[str, FloatArray] = {}
        for item in self.items:
            totals[item.stage] = totals.get(item.stage, 0.0) + item.minor
        return {
            stage: from_minor(totals[stage], self.digits) for stage in STAGES if stage in totals
        }

    def items_frame(self, lines: IntArray | None = None) -> pd.DataFrame:
        """One row for each item that arises on each line; columns ``ITEM_COLUMNS``.

        Parameters
        ----------
        lines
            Row numbers of the lines wanted; all, if None.
        """
        import pandas as pd  # noqa: PLC0415 - heavy, and costing alone does not need it

        wanted = np.arange(len(self.priced)) if lines is None else np.asarray(lines)
        parts = [self._long_form(item, wanted) for item in self.items]
        parts = [part for part in parts if part["line"].size]
        if not parts:
            return pd.DataFrame({name: [] for name in ITEM_COLUMNS})
        columns = {name: np.concatenate([part[name] for part in parts]) for name in ITEM_COLUMNS}
        ranked = np.argsort(columns["line"], kind="stable")
        return pd.DataFrame({name: values[ranked] for name, values in columns.items()})

    def _long_form(self, item: LedgerItem, wanted: IntArray) -> dict[str, FloatArray | IntArray]:
        rows = wanted[item.minor[wanted] != 0.0]
        texts = {
            "stage": item.stage,
            "label": item.label,
            "driver": item.driver,
            "unit": item.unit,
            "currency": self.currency,
            "rule": item.rule,
            "plugin": item.plugin,
            "base": ", ".join(item.base),
        }
        return {
            "line": rows,
            "quantity": item.quantity[rows],
            "rate": item.rate[rows],
            "amount": from_minor(item.minor[rows], self.digits),
            "origin": np.array(item.origins(rows), dtype=object),
            **{name: np.full(len(rows), text, dtype=object) for name, text in texts.items()},
        }
