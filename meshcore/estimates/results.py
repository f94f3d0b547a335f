"""What an estimate holds: the priced list, and one line of it seen as an estimate."""

from __future__ import annotations

import json
import operator
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from typing import TYPE_CHECKING, Any, overload

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.ledger import Ledger
from meshcore.costing.money import money_text
from meshcore.costing.order_columns import OrderColumns
from meshcore.estimates.order_texts import orders_taken
from meshcore.estimates.plain_data import line_data, pricing_data
from meshcore.estimates.priced_table import PricedColumns, priced_columns, priced_table
from meshcore.messages import STATUSES, Message, MessageLog, Status
from meshcore.plugins import PluginFault
from meshcore.reading.tables.field_names import ORDER
from meshcore.reading.tables.headings import Headings
from meshcore.supply.cutting import CuttingEffort, CuttingPlan
from meshcore.supply.forms import SupplyColumns
from meshcore.supply.policy import SupplyPolicy
from meshcore.units import unit_registry
from meshcore.weave.cloth import ClothColumns, take_cloth
from meshcore.weave.geometry.flat_rule import flat_rule_mass_per_area
from meshcore.weave.geometry.path import PathModel
from meshcore.weave.judging.practicality import Practicality

if TYPE_CHECKING:
    import pandas as pd
    import pint


@dataclass(frozen=True, eq=False, repr=False)
class EstimateSet(Sequence["Estimate"]):
    """A priced enquiry list with everything that stands behind its prices.

    It is a sequence of estimates: ``len(estimates)``, ``estimates[3]``, a slice as a list, and one
    after the other in a loop. Two sets are equal only where they are one.

    Parameters
    ----------
    enquiries
        The table as it came.
    headings
        Which of its columns was read as what.
    log
        Messages by line.
    orders
        The columns that the pricing rules saw, at nominal size.
    mass_per_area_kg_m2
        Mass of cloth [kg/m²].
    mass_open
        Least and greatest mass that the sizes leave open, as shares of the nominal [-].
    supply
        Cloth delivered and consumed.
    practicality
        Verdict of each weave rule.
    ledger
        Cost items, at nominal size.
    price_low_minor, price_high_minor
        What would be billed at the delivery tolerances [minor units]; zero where refused.
    book, policy
        What was priced with.
    faults
        Plugins set aside, and why.
    plans
        Cutting plans, where cutting was planned.
    path_model, cutting
        The rule of the wire's path, and the effort to plan cutting, that it was priced with.
    versions
        Distribution → version, of the library and of each plugin's.
    options
        Lines that are offered beside the others: priced, and in no total.

    Notes
    -----
    It pickles, also where the rules of a plugin do not: the items go along as they were worked.
    Threads may share it; nothing in it is changed once it is made.
    """

    enquiries: pd.DataFrame
    headings: Headings
    log: MessageLog
    orders: OrderColumns
    mass_per_area_kg_m2: FloatArray
    mass_open: tuple[FloatArray, FloatArray]
    supply: SupplyColumns
    practicality: Practicality
    ledger: Ledger
    price_low_minor: FloatArray
    price_high_minor: FloatArray
    book: PriceBook
    policy: SupplyPolicy
    faults: tuple[PluginFault, ...]
    plans: tuple[CuttingPlan, ...]
    path_model: PathModel
    cutting: CuttingEffort | None
    versions: Mapping[str, str]
    options: BoolArray

    def __len__(self) -> int:
        """Return the number of lines."""
        return self.log.lines

    def __repr__(self) -> str:
        """Tell how many lines there are, and how they stand."""
        counts = np.bincount(self._rank, minlength=len(STATUSES)).tolist()
        held = [f"{n} {name}" for n, name in zip(counts, STATUSES, strict=True) if n]
        return f"<EstimateSet of {len(self)} lines: {', '.join(held) or 'none'}>"

    @overload
    def __getitem__(self, line: int) -> Estimate: ...

    @overload
    def __getitem__(self, line: slice) -> list[Estimate]: ...

    def __getitem__(self, line: int | slice) -> Estimate | list[Estimate]:
        """Return one line, by its row number, or those of a slice.

        A negative number counts from the end.
        """
        lines = range(len(self))
        if isinstance(line, slice):
            return [Estimate(self, one) for one in lines[line]]
        try:
            number = operator.index(line)
        except TypeError:
            wrong = f"a line is asked for by its row number, not by a {type(line).__name__}"
            raise TypeError(wrong) from None
        if not -len(self) <= number < len(self):
            raise IndexError(f"there is no line {number} in a list of {len(self)}; the first is 0")
        return Estimate(self, lines[number])

    def __iter__(self) -> Iterator[Estimate]:
        """Return the lines one after the other."""
        return (Estimate(self, line) for line in range(len(self)))

    @property
    def orders_taken(self) -> str:
        """What the lines were taken as: one order, or several, and options beside them."""
        return orders_taken(self.orders.order, self.options, ORDER in self.headings.column)

    @property
    def totalled(self) -> BoolArray:
        """Lines that the totals are of: those with a price, but for the options."""
        return self.ledger.priced & ~self.log.refused() & ~self.options

    @property
    def table(self) -> pd.DataFrame:
        """The enquiry list with the priced columns added.

        It is made once, and what is handed out shares its columns until either is changed.
        """
        return self._table.copy(deep=False)

    def priced(self, names: Sequence[str]) -> pd.DataFrame:
        """Return some of the priced columns alone, without the enquiries' own."""
        import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first made

        return pd.DataFrame(priced_columns(self._priced_columns(), names), copy=False)

    @cached_property
    def _table(self) -> pd.DataFrame:
        return priced_table(self.enquiries, self._priced_columns())

    def _priced_columns(self) -> PricedColumns:
        return PricedColumns(
            self.orders,
            self.supply,
            self.mass_per_area_kg_m2,
            self.mass_open,
            self.ledger,
            self.price_low_minor,
            self.price_high_minor,
            self.log,
            self.options,
        )

    @cached_property
    def messages(self) -> dict[int, list[Message]]:
        """Messages of each line that has any, gravest first."""
        return self.log.by_line()

    @cached_property
    def _rank(self) -> IntArray:
        return self.log.rank()

    def flat_rule_mass_per_area_kg_m2(self) -> FloatArray:
        """Mass per area by the flat 3 % crimp allowance, for comparison [kg/m²]."""
        return flat_rule_mass_per_area(self.orders.cloth)

    def explain(self, line: int) -> str:
        """Write out how a line's price comes about, from its specification to the total."""
        from meshcore.estimates.explaining import PricedFacts, explain_priced  # noqa: PLC0415 - if asked for
        from meshcore.estimates.laying import LaidFacts, laid_text  # noqa: PLC0415

        laid = LaidFacts(self.enquiries, self.orders, self.supply, self.policy, self.log.refused())
        facts = PricedFacts(self.orders, self.supply, self.mass_per_area_kg_m2, self.ledger,
                            self.path_model, self.plans, partial(laid_text, laid))  # fmt: skip
        return explain_priced(facts, line)

    def cost_items(self) -> pd.DataFrame:
        """Cost items of every line that has a price: one row an item."""
        return self.ledger.items_frame(np.flatnonzero(~self.log.refused()))

    def to_dict(self) -> dict[str, Any]:
        """Return all of it as plain data: what it was priced with, and its ``lines``.

        Notes
        -----
        Numbers are finite, what has no value is None, and dates are texts as ISO 8601 has them.
        A refused line is there with its messages, each with its code, and without cost items.
        """
        return {**self._priced_with(), "lines": self._lines(np.arange(len(self)))}

    def to_json(self, indent: int | None = None) -> str:
        """Return ``to_dict()`` as strict JSON."""
        return json.dumps(self.to_dict(), ensure_ascii=False, allow_nan=False, indent=indent)

    def _priced_with(self) -> dict[str, Any]:
        settings = pricing_data(self.book, self.policy, self.path_model, self.cutting)
        faults = [str(fault) for fault in self.faults]
        settings["orders"] = self.orders_taken
        return {**settings, "versions": dict(self.versions), "faults": faults}

    def _lines(self, rows: IntArray) -> list[dict[str, Any]]:
        return line_data(self._table, self.messages, self.ledger, rows)


@dataclass(frozen=True, slots=True, repr=False)
class Estimate:
    """One line, priced.

    Parameters
    ----------
    estimates
        The list that it was priced in.
    line
        Its row number there.
    """

    estimates: EstimateSet
    line: int = 0

    def __repr__(self) -> str:
        """Tell which line it is, how it stands and what it costs."""
        price = money_text(self.price, self.currency)
        return f"<Estimate of line {self.line}: {self.status}, {price}>"

    @property
    def row(self) -> pd.Series:
        """The line with the enquiry's own and the priced columns."""
        return self.estimates._table.iloc[self.line]

    @property
    def table(self) -> pd.DataFrame:
        """The line as a table of one row."""
        return self.estimates._table.iloc[[self.line]]

    @property
    def status(self) -> Status:
        """``ok``, ``review`` or ``refused``."""
        return STATUSES[int(self.estimates._rank[self.line])]

    @property
    def messages(self) -> list[Message]:
        """What there is to say, gravest first."""
        return list(self.estimates.messages.get(self.line, ()))

    @property
    def mass(self) -> pint.Quantity[float]:
        """Mass delivered at nominal size."""
        return self._quantity("mass_kg", "kg")

    @property
    def mass_range(self) -> tuple[pint.Quantity[float], pint.Quantity[float]]:
        """Mass delivered at the delivery tolerances, low and high."""
        return self._quantity("mass_min_kg", "kg"), self._quantity("mass_max_kg", "kg")

    @property
    def mass_per_area(self) -> pint.Quantity[float]:
        """Mass of the cloth per unit area."""
        return self._quantity("mass_per_area_kg_m2", "kg/m**2")

    @property
    def density(self) -> pint.Quantity[float]:
        """Density of the alloy."""
        return self._quantity("density_kg_m3", "kg/m**3")

    @property
    def price(self) -> float:
        """Price of the line in `currency`; NaN where it is refused."""
        return float(self.row["price"])

    @property
    def price_range(self) -> tuple[float, float]:
        """Price at the delivery tolerances, low and high."""
        return float(self.row["price_min"]), float(self.row["price_max"])

    @property
    def currency(self) -> str:
        """ISO 4217 code of the prices."""
        return str(self.row["currency"])

    @property
    def cost_items(self) -> pd.DataFrame:
        """How the price is made up: one row an item, amounts adding up to the price."""
        return self.estimates.ledger.items_frame(self._rows_with_price())

    def to_dict(self) -> dict[str, Any]:
        """Return the line as plain data, with what it was priced with."""
        [line] = self.estimates._lines(np.array([self.line]))
        return {**self.estimates._priced_with(), **line}

    def to_json(self, indent: int | None = None) -> str:
        """Return ``to_dict()`` as strict JSON."""
        return json.dumps(self.to_dict(), ensure_ascii=False, allow_nan=False, indent=indent)

    def recommended_weave(self, purpose: str) -> str:
        """Recommend a weave for these sizes and a purpose, and say why.

        Parameters
        ----------
        purpose
            One of ``meshcore.weave.judging.purpose.PURPOSES``; another text is answered with what
            they are.
        """
        from meshcore.estimates.one_cloth import advised_weave  # noqa: PLC0415 - only when asked

        return advised_weave(self._cloth(), purpose)

    def explain(self) -> str:
        """Write out the arithmetic of every cost item, so that it can be redone by hand."""
        return self.estimates.explain(self.line)

    def drawing(self) -> str:
        """Plan and section of the cloth to scale, as SVG; empty where it cannot be woven."""
        from meshcore.estimates.one_cloth import cloth_drawing  # noqa: PLC0415 - only when drawn

        return cloth_drawing(self._cloth())

    def _quantity(self, column: str, unit: str) -> pint.Quantity[float]:
        return unit_registry().Quantity(float(self.row[column]), unit)

    def _cloth(self) -> ClothColumns:
        return take_cloth(self.estimates.orders.cloth, np.array([self.line]))

    def _rows_with_price(self) -> IntArray:
        return np.array([] if self.status == "refused" else [self.line], dtype=np.int64)
