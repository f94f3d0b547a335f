"""Looking over what a pricing rule returned: its shape, its range, the lines that it is lost on."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import Formatter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.items import CostColumn, PricingRule, Remark, term_values
from meshcore.costing.money import MOST_MINOR
from meshcore.costing.order_columns import OrderColumns
from meshcore.costing.rates import RateColumn
from meshcore.costing.stages import STAGES
from meshcore.messages import writable

_SEVERITIES = ("note", "review", "refused")
_PER = ("line", "order", "cloth", "warp")
_TOP_UPS = ("", "floor", "net", "step up", "step nearest")
#: No order of cloth has so many metres, square metres, kilograms or pieces (common sense, no
#: source); whatever a rule makes of such a line is no fault of the rule.
_BEYOND_REASON = 1e12


@dataclass(frozen=True, slots=True)
class RuleCost:
    """A cost column with its numbers checked, and the rule that worked it out.

    Parameters
    ----------
    column, quantity, rate
        As the rule returned it, and its numbers as one a line.
    rule, plugin
        Who returned it.
    astray
        Field to blame → lines on which a number is not finite, or too large to be money.
    """

    column: CostColumn
    quantity: FloatArray
    rate: FloatArray
    rule: PricingRule
    plugin: str
    astray: Mapping[str, BoolArray]

    @property
    def looked_up(self) -> tuple[RateColumn, ...]:
        """Every column of the price book that it rests on."""
        rate = self.column.rate
        return (*self.column.uses, rate) if isinstance(rate, RateColumn) else self.column.uses


@dataclass(frozen=True, slots=True)
class RuleRemark:
    """A remark, and the rule that made it."""

    remark: Remark
    rule: PricingRule
    plugin: str


def wrong_with_rule(rule: PricingRule) -> str:
    """Say what is wrong with a rule before it is run; empty where nothing is.

    Examples
    --------
    >>> wrong_with_rule(PricingRule("freight by lorry", "packing", list, replaces="freight"))
    'replaces is the text "freight"; a tuple of names is due, such as ("freight",)'
    """
    stage: object = rule.stage
    if not (isinstance(rule.name, str) and rule.name.strip()):
        return f"its name is {rule.name!r}, where a text is due"
    if stage not in STAGES:
        return f'there is no stage "{stage}"'
    for field in ("replaces", "reads"):
        names: object = getattr(rule, field)
        if isinstance(names, str):
            return f'{field} is the text "{names}"; a tuple of names is due, such as ("{names}",)'
        if not isinstance(names, Sequence) or not all(isinstance(one, str) for one in names):
            return f"{field} is {names!r}, where a tuple of names is due"
    return ""


def checked(
    item: object,
    rule: PricingRule,
    plugin: str,
    columns: OrderColumns,
    alive: BoolArray,
    digits: int,
) -> RuleCost | RuleRemark:
    """Return the item with its numbers as arrays, and the lines on which they are not finite.

    Parameters
    ----------
    item, rule, plugin
        What was returned, and by whom.
    columns, alive
        The lines, and those of them that are judged.
    digits
        Decimal places of the minor unit of the book's currency.

    Raises
    ------
    TypeError, ValueError
        If the item is nothing that a rule may return.
    """
    if isinstance(item, Remark):
        return RuleRemark(_checked_remark(item, len(columns)), rule, plugin)
    if not isinstance(item, CostColumn):
        raise TypeError(f"returned a {type(item).__name__}, neither CostColumn nor Remark")
    lines = len(columns)
    item = _with_texts(item)
    _check_base(item, rule)
    _check_working(item, lines)
    if item.shared_by is not None:
        item = dataclasses.replace(item, shared_by=_numbers(item.shared_by, lines))
    looked_up = isinstance(item.rate, RateColumn)
    rate = _numbers(item.rate.values if isinstance(item.rate, RateColumn) else item.rate, lines)
    quantity = _numbers(0.0 if item.base else item.quantity, lines)
    unknown = _lines_lacking(item, lines)
    judged = alive if unknown is None else alive & ~unknown
    astray = {"quantity": _astray(quantity, judged, f"{item.label}: quantity")}
    if not looked_up:
        stated = np.where(np.isnan(rate), 0.0, rate)
        astray["price"] = _astray(stated, judged, f"{item.label}: rate")
    held = {name: rows for name, rows in astray.items() if rows is not None and rows.any()}
    for name, rows in held.items():
        # Where no line fares better, and none is itself to blame, it is the rule that is broken.
        if (rows | ~judged).all() and not (rows & _blameable(item, columns)).any():
            raise ValueError(f"{item.label}: {name} is not a finite number on {_lines(rows)}")
    if _too_dear(quantity, rate, digits):
        dear = judged & (quantity * rate * 10.0**digits > MOST_MINOR)
        held["price"] = held["price"] | dear if "price" in held else dear
    return RuleCost(item, quantity, rate, rule, plugin, held)


def _too_dear(quantity: FloatArray, rate: FloatArray, digits: int) -> bool:
    if not quantity.size:
        return False
    # False for NaN too, so a list with gaps is looked at line by line.
    return not _greatest(quantity) * _greatest(rate) * 10.0**digits <= MOST_MINOR


def _blameable(item: CostColumn, columns: OrderColumns) -> BoolArray:
    """Lines whose own sizes are beyond reason, or that rest on a zero of the price book."""
    sizes = (
        columns.quantity, columns.gross_area_m2, columns.gross_mass_kg, columns.stock_width_m,
        columns.run_length_m, columns.cut_length_m, columns.cut_count, columns.roll_count,
    )  # fmt: skip
    blamed = np.zeros(len(columns), dtype=np.bool_)
    for size in sizes:
        blamed |= ~(size <= _BEYOND_REASON)
    for used in item.uses:
        blamed |= used.values == 0.0
    return blamed


def _checked_remark(remark: Remark, lines: int) -> Remark:
    applies = np.asarray(remark.applies)
    if applies.dtype != np.bool_ or applies.shape != (lines,):
        raise ValueError(f"remark on {remark.field}: a mask of {lines} lines is due")
    for name in ("field", "text", "read", "code"):
        text: object = getattr(remark, name)
        if not isinstance(text, str):
            raise TypeError(f"{name} of a remark is {text!r}, where a text is due")
    if remark.severity not in _SEVERITIES:
        raise ValueError(f'remark on {remark.field}: there is no severity "{remark.severity}"')
    return dataclasses.replace(remark, applies=applies)


def _with_texts(item: CostColumn) -> CostColumn:
    """Return the item with texts that can be written; broken text holds lone surrogates."""
    for name in ("label", "driver", "unit", "origin", "working", "shared_in"):
        text: object = getattr(item, name)
        if not isinstance(text, str):
            raise TypeError(f"{name} of a cost is {text!r}, where a text is due")
        if not text.isascii() and (clean := writable(text)) != text:
            changed: dict[str, Any] = {name: clean}
            item = dataclasses.replace(item, **changed)
    return item


def _check_base(item: CostColumn, rule: PricingRule) -> None:
    earlier = STAGES[: STAGES.index(rule.stage)]
    for name in item.base:
        if name != "subtotal" and name not in earlier:
            raise ValueError(f'{item.label}: "{name}" is no stage before {rule.stage}')
    if item.top_up not in _TOP_UPS or item.per not in _PER:
        raise ValueError(f'{item.label}: top_up "{item.top_up}", per "{item.per}" is not known')
    if item.top_up and not item.base:
        raise ValueError(f"{item.label}: a top-up needs the base that it tops up")


def _check_working(item: CostColumn, lines: int) -> None:
    named = {name for _, name, _, _ in Formatter().parse(item.working) if name is not None}
    if unknown := sorted(named - item.terms.keys()):
        raise ValueError(f"{item.label}: its working names {', '.join(unknown)}, which it lacks")
    for term in item.terms.values():
        _as_numbers(term_values(term), lines)


def _numbers(values: FloatArray | float, lines: int) -> FloatArray:
    given = _as_numbers(values, lines)
    if given.strides == (0,) and given.size:
        given = given[0]
    # A copy: the rule may write to its own array afterwards.
    copied = np.array(given, dtype=np.float64)
    if copied.shape == (lines,):
        copied.flags.writeable = False
        return copied
    return np.broadcast_to(copied, (lines,))


def _as_numbers(values: FloatArray | float, lines: int) -> NDArray[Any]:
    """Return what a rule gave as an array, one number or one a line."""
    given = np.asarray(values)
    if given.dtype.kind not in "iuf":
        raise TypeError(f"an array of {given.dtype}, where numbers are due")
    if given.shape not in ((), (lines,)):
        raise ValueError(f"an array of shape {given.shape} for {lines} lines")
    return given


def _lines_lacking(item: CostColumn, lines: int) -> BoolArray | None:
    """Lines for which the book lacks something that the quantity needs; None if there are none."""
    lacking: BoolArray | None = None
    for used in item.uses:
        if used.values.size and math.isnan(_sum(used.values)):
            missing = np.isnan(used.values)
            lacking = missing if lacking is None else lacking | missing
    return None if lacking is None else np.broadcast_to(lacking, (lines,))


def _astray(values: FloatArray, judged: BoolArray, what: str) -> BoolArray | None:
    """Judged lines on which a value is not finite; None if there are none.

    Raises
    ------
    ValueError
        If a finite value is negative on any of them.
    """
    if not values.size or (math.isfinite(_sum(values)) and _least(values) >= 0.0):
        return None
    finite = np.isfinite(values)
    below = judged & finite & (values < 0.0)
    if below.any():
        raise ValueError(f"{what} is negative on {_lines(below)}; a credit is named so")
    return judged & ~finite


def _sum(values: FloatArray) -> float:
    return float(values[0]) if values.strides == (0,) else float(values.sum())


def _least(values: FloatArray) -> float:
    return float(values[0]) if values.strides == (0,) else float(values.min())


def _greatest(values: FloatArray) -> float:
    return float(values[0]) if values.strides == (0,) else float(values.max())


def _lines(mask: BoolArray) -> str:
    count = int(mask.sum())
    return f"{count} line{'s' if count > 1 else ''}"
