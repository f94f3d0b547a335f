"""What a pricing rule receives and returns: columns in, cost columns out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, fields, replace
from typing import TYPE_CHECKING, Any, Literal

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.weave.cloth import ClothColumns

if TYPE_CHECKING:
    from meshcore.costing.rates import RateColumn, Rates

#: Stages in the order in which they are worked; a share may name any earlier one as its base.
STAGES: tuple[str, ...] = (
    "wire",
    "weaving",
    "finishing",
    "cutting",
    "packing",
    "freight",
    "overhead",
    "margin",
    "breaks and minimums",
    "surcharges",
    "tax",
)
#: The stages whose sum is the cost; the later ones make the price of it.
COST_STAGES: tuple[str, ...] = STAGES[: STAGES.index("margin")]

#: Forms in the order of their codes.
FORMS: tuple[str, ...] = ("roll", "strip", "piece")


@dataclass(frozen=True, slots=True)
class OrderColumns:
    """All that pricing rules may read, one row a line; rules must not change it.

    Amounts are for the whole line (all of its rolls, strips or pieces).

    Parameters
    ----------
    cloth
        The cloth: weave, sizes [m], alloy.
    order
        Index of the order that the line belongs to.
    form
        Index into ``FORMS``.
    quantity
        Rolls, strips or pieces ordered [-].
    net_area_m2, gross_area_m2
        Area delivered, and area of cloth consumed to deliver it [m²].
    net_mass_kg, gross_mass_kg
        Mass delivered, and mass of cloth consumed [kg].
    stock_width_m
        Width of the cloth that is woven or taken from stock [m].
    run_length_m
        Length of that cloth consumed [m].
    cut_length_m, cut_count
        Length of all cuts made [m], and their number.
    roll_count, part_roll_count
        Rolls of cloth drawn upon, and how many of them are other than full or half.
    offcut_credit
        Share of the cloth's cost that is credited for offcuts kept [-].
    services
        Service name → mask of the lines that ask for it.
    """

    cloth: ClothColumns
    order: IntArray
    form: IntArray
    quantity: FloatArray
    net_area_m2: FloatArray
    gross_area_m2: FloatArray
    net_mass_kg: FloatArray
    gross_mass_kg: FloatArray
    stock_width_m: FloatArray
    run_length_m: FloatArray
    cut_length_m: FloatArray
    cut_count: FloatArray
    roll_count: FloatArray
    part_roll_count: FloatArray
    offcut_credit: FloatArray
    services: Mapping[str, BoolArray]

    def __len__(self) -> int:
        """Return the number of lines."""
        return len(self.quantity)


def take(columns: OrderColumns, lines: slice | IntArray) -> OrderColumns:
    """Return some of the lines; a slice makes views, line numbers (which may repeat) copies."""

    def taken(record: object) -> dict[str, Any]:
        cells = ((f.name, getattr(record, f.name)) for f in fields(record))  # type: ignore[arg-type]
        return {name: cell[lines] for name, cell in cells if isinstance(cell, np.ndarray)}

    cloth = replace(columns.cloth, **taken(columns.cloth))
    services = {name: asked[lines] for name, asked in columns.services.items()}
    return replace(columns, **taken(columns), cloth=cloth, services=services)


@dataclass(frozen=True, slots=True)
class CostColumn:
    """One cost of every line: a quantity times a rate, or a share of a base.

    Parameters
    ----------
    label
        What it is, such as ``"wire"``.
    driver
        What the quantity counts, such as ``"wire mass incl. scrap"``.
    quantity
        Per line, or one number for all; ignored where `base` is given. Zero means that the cost
        does not arise.
    unit
        Unit of the quantity.
    rate
        Book currency per unit, or the share of the base [-]: a rate column of the price book, or
        plain numbers (NaN where there is no rate).
    origin
        Where a plain rate comes from; a rate column brings its own.
    base
        Stage names whose amounts are summed to make the quantity; ``("subtotal",)`` is all that
        came before.
    uses
        Other columns of the price book that went into the quantity: what is missing there refuses
        the line, and what is stale there is warned about.
    top_up
        With `base`: ``"floor"``, the cost is what the base lacks to `rate`; ``"step up"``, what it
        lacks to the next whole multiple of `rate`; ``"step nearest"``, the nearest, a credit below.
    per
        ``"order"``: quantity and rate, or floor, are of the whole order, and the amount is shared
        over its lines in proportion to their subtotals.
    working, terms
        How the quantity is reckoned, as a text with the names of terms in braces, and the terms:
        ``"{mass} kg × (1 + {scrap})"``. For whoever wants to redo it by hand.
    credit
        The amount is given, not charged: `rate` is written positive, and the amount is negative.
    """

    label: str
    driver: str
    quantity: FloatArray | float
    unit: str
    rate: RateColumn | FloatArray | float
    origin: str = ""
    base: tuple[str, ...] = ()
    uses: tuple[RateColumn, ...] = ()
    top_up: Literal["", "floor", "step up", "step nearest"] = ""
    per: Literal["line", "order"] = "line"
    credit: bool = False
    working: str = ""
    terms: Mapping[str, FloatArray | float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Remark:
    """What a rule has to say about some lines; ``refused`` is a veto.

    Parameters
    ----------
    applies
        Lines that it is said of.
    field
        The enquiry column concerned.
    text
        Why, and what would mend it.
    severity
        ``"refused"`` stops the lines, ``"review"`` asks for a look, ``"note"`` only tells.
    read
        What stands there, as the enquiry says it.
    """

    applies: BoolArray
    field: str
    text: str
    severity: Literal["note", "review", "refused"]
    read: str = ""


@dataclass(frozen=True, slots=True)
class PricingRule:
    """A named rule that works out costs in one stage.

    Parameters
    ----------
    name
        Unique; the price book switches it off by this name.
    stage
        One of ``STAGES``.
    compute
        Columns and rates in; cost columns and remarks out.
    replaces
        Names of rules that this one stands in for.
    reads
        Keys of the price book that it reads, so that a book can be checked for keys nobody reads;
        a key that ends in a point stands for all that begin with it.
    """

    name: str
    stage: str
    compute: Callable[[OrderColumns, Rates], Iterable[CostColumn | Remark]]
    replaces: tuple[str, ...] = field(default=())
    reads: tuple[str, ...] = field(default=())
