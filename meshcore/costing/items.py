"""What a pricing rule receives and returns: columns in, cost columns out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import RateColumn, Rates
from meshcore.costing.stages import COST_STAGES, STAGES
from meshcore.enquiry import FORMS

__all__ = [
    "COST_STAGES",
    "FORMS",
    "STAGES",
    "CostColumn",
    "GroupSum",
    "Live",
    "OrderColumns",
    "PricingRule",
    "Remark",
    "Term",
    "term_values",
]


@dataclass(frozen=True, slots=True)
class GroupSum:
    """A term that is summed over the lines of an order, a cloth or a warp.

    Parameters
    ----------
    per
        ``"order"``, ``"cloth"`` or ``"warp"``.
    each
        What each line brings.
    total
        The sum over the line's group, on each of its lines.
    """

    per: Literal["order", "cloth", "warp"]
    each: FloatArray
    total: FloatArray


#: What a quantity is reckoned from: facts of the lines, figures of the book, sums over lines.
Term: TypeAlias = FloatArray | float | RateColumn | GroupSum


def term_values(term: Term) -> FloatArray | float:
    """Return a term's numbers."""
    if isinstance(term, GroupSum):
        return term.total
    return term.values if isinstance(term, RateColumn) else term


@dataclass(frozen=True, slots=True)
class Live:
    """How a cost follows from its terms, for a workbook in which they may be changed.

    Parameters
    ----------
    quantity, rate, at
        Spreadsheet formulas with the names of terms in braces: of the quantity, of the rate, where
        ``{rate}`` is that of the book, and of the size at which the rate is read. An empty one of
        the quantity or the size is what it is, a number.
    """

    quantity: str = ""
    rate: str = "{rate}"
    at: str = ""


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
        With `base`: ``"floor"``, the cost is what the base lacks to `rate`; ``"net"``, what brings
        it to `rate`, a credit where it is above, and nothing where `rate` is zero; ``"step up"``,
        what it lacks to the next whole multiple of `rate`; ``"step nearest"``, the nearest, a
        credit below.
    per
        ``"order"``: quantity and rate, or floor, are of the whole order; ``"cloth"``, of the lines
        of one order in the same cloth; ``"warp"``, of the lines woven from one warp. The amount is
        rounded once and shared over these lines. Where they differ, the greatest holds.
    shared_by
        With such a `per`: what the amount is shared in proportion to, one a line; None is the
        lines' subtotals.
    shared_in
        What `shared_by` is in, such as ``"m of cloth"``, for whoever redoes a line's part by hand.
    working, terms
        How the quantity is reckoned, as a text with the names of terms in braces, and the terms:
        ``"{mass} kg × (1 + {scrap})"``. For whoever wants to redo it by hand.
    live
        The same as formulas, so that a priced workbook follows a changed rate or quantity.
    credit
        The amount is given, not charged: `rate` is written positive, and the amount is negative.
    beside
        Whether it is worked after the agreed prices of its stage, and so is charged beside them.
    """

    label: str
    driver: str
    quantity: FloatArray | float
    unit: str
    rate: RateColumn | FloatArray | float
    origin: str = ""
    base: tuple[str, ...] = ()
    uses: tuple[RateColumn, ...] = ()
    top_up: Literal["", "floor", "net", "step up", "step nearest"] = ""
    per: Literal["line", "order", "cloth", "warp"] = "line"
    credit: bool = False
    working: str = ""
    terms: Mapping[str, Term] = field(default_factory=dict)
    shared_by: FloatArray | None = None
    shared_in: str = ""
    live: Live = Live()
    beside: bool = False


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
    code
        Code of the message, as ``room.thing``; ``rule.`` and the rule's name if empty.
    """

    applies: BoolArray
    field: str
    text: str
    severity: Literal["note", "review", "refused"]
    read: str = ""
    code: str = ""


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
