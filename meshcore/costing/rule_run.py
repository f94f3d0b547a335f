"""Running pricing rules so that a faulty one is named and harms nothing else."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from string import Formatter

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.costing.items import STAGES, CostColumn, OrderColumns, PricingRule, Remark
from meshcore.costing.money import minor_digits
from meshcore.costing.rates import RateColumn, Rates
from meshcore.plugins import PluginFault

_SEVERITIES = ("note", "review", "refused")
_TOP_UPS = ("", "floor", "step up", "step nearest")
#: Whole numbers are exact as floats up to here; an amount with more minor units cannot be summed
#: to the cent.
_MOST_MINOR = 2.0**53
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


@dataclass(frozen=True, slots=True)
class RuleResults:
    """What all rules together returned.

    Parameters
    ----------
    costs, remarks
        From the rules that ran.
    faults, failed
        All that was set aside, and of these by name the rules that failed as they ran.
    acts
        Rules replaced or switched off.
    """

    costs: tuple[RuleCost, ...]
    remarks: tuple[RuleRemark, ...]
    faults: tuple[PluginFault, ...]
    failed: Mapping[str, PluginFault]
    acts: tuple[str, ...]


def run_rules(
    rules: Sequence[tuple[str, PricingRule]],
    columns: OrderColumns,
    rates: Rates,
    alive: BoolArray,
    failed: Mapping[str, PluginFault],
) -> RuleResults:
    """Run every rule that the book leaves on; set aside those that fail.

    Parameters
    ----------
    rules
        Plugin name and rule, in the order of registration.
    columns
        The lines to be priced; rules see them read-only.
    rates
        The price book as columns.
    alive
        Lines not refused so far; what a rule returns on others is not looked at.
    failed
        Rules known to fail, which are not asked.

    Notes
    -----
    Of two rules with one name the first stands. A rule that stands in for another and fails
    gives way to the one that it replaced.
    """
    known, unusable, acts = _known_rules(rules, rates.book.rules_disabled)
    faults = dict(failed)
    guarded = _read_only(columns)
    costs: dict[str, list[RuleCost]] = {}
    remarks: list[RuleRemark] = []
    replaced: dict[str, str] = {}
    # Replacements first: whether the rules that they stand in for run depends on how they fare.
    for plugin, rule in sorted(known.values(), key=lambda named: not named[1].replaces):
        if rule.name in replaced or rule.name in failed:
            continue
        try:
            with np.errstate(all="ignore"):
                returned = list(rule.compute(guarded, rates))
                found = [
                    _checked(item, rule, plugin, columns, alive, minor_digits(rates.book.currency))
                    for item in returned
                ]
        except Exception as error:  # noqa: BLE001 - a stranger's rule may raise anything
            reason = f"{type(error).__name__}: {error}"
            faults[rule.name] = PluginFault(plugin, f"pricing rule {rule.name}", reason)
            continue
        costs[rule.name] = [item for item in found if isinstance(item, RuleCost)]
        remarks += [item for item in found if isinstance(item, RuleRemark)]
        for name in rule.replaces:
            if name in known and name != rule.name:
                replaced[name] = rule.name
                acts.append(f"rule {rule.name} ({plugin}) stands in for {name} ({known[name][0]})")
    kept = [cost for name in known for cost in costs.get(name, ()) if name not in replaced]
    said = [remark for remark in remarks if remark.rule.name not in replaced]
    return RuleResults(tuple(kept), tuple(said), (*unusable, *faults.values()), faults, tuple(acts))


def _known_rules(
    rules: Sequence[tuple[str, PricingRule]], disabled: Sequence[str]
) -> tuple[dict[str, tuple[str, PricingRule]], list[PluginFault], list[str]]:
    known: dict[str, tuple[str, PricingRule]] = {}
    faults: list[PluginFault] = []
    acts = [
        f"the price book switches off rule {name}, which no plugin has"
        for name in disabled
        if name not in {rule.name for _, rule in rules}
    ]
    for plugin, rule in rules:
        where = f"pricing rule {rule.name}"
        if rule.stage not in STAGES:
            faults.append(PluginFault(plugin, where, f'there is no stage "{rule.stage}"'))
        elif rule.name in known:
            first = known[rule.name][0]
            faults.append(PluginFault(plugin, where, f"the name is taken by plugin {first}"))
        elif rule.name in disabled:
            acts.append(f"rule {rule.name} ({plugin}) is switched off by the price book")
        else:
            known[rule.name] = (plugin, rule)
    return known, faults, acts


def _read_only(columns: OrderColumns) -> OrderColumns:
    def guard(value: object) -> object:
        if isinstance(value, np.ndarray):
            view = value.view()
            view.flags.writeable = False
            return view
        return value

    def guarded(record: object) -> dict[str, object]:
        fields = dataclasses.fields(record)  # type: ignore[arg-type]
        return {f.name: guard(getattr(record, f.name)) for f in fields}

    cloth = dataclasses.replace(columns.cloth, **guarded(columns.cloth))  # type: ignore[arg-type]
    services = {name: guard(mask) for name, mask in columns.services.items()}
    held = guarded(columns) | {"cloth": cloth, "services": services}
    return dataclasses.replace(columns, **held)  # type: ignore[arg-type]


def _checked(
    item: object,
    rule: PricingRule,
    plugin: str,
    columns: OrderColumns,
    alive: BoolArray,
    digits: int,
) -> RuleCost | RuleRemark:
    """Return the item with its numbers as arrays, and the lines on which they are not finite.

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
    _check_base(item, rule)
    _check_working(item, lines)
    looked_up = isinstance(item.rate, RateColumn)
    rate = _numbers(item.rate.values if isinstance(item.rate, RateColumn) else item.rate, lines)
    quantity = _numbers(0.0 if item.base else item.quantity, lines)
    unknown = _lines_lacking(item, lines)
    judged = alive if unknown is None else alive & ~unknown
    astray = {"quantity": _astray(quantity, judged, f"{item.label}: quantity")}
    if not looked_up:
        stated = np.where(np.isnan(rate), 0.0, rate)
        astray["price"] = _astray(stated, judged, f"{item.label}: rate")
    elif _too_dear(quantity, rate, digits):
        astray["price"] = judged & (quantity * rate * 10.0**digits > _MOST_MINOR)
    held = {name: rows for name, rows in astray.items() if rows is not None and rows.any()}
    for name, rows in held.items():
        # Where no line fares better, and none is itself to blame, it is the rule that is broken.
        if (rows | ~judged).all() and not (rows & _blameable(item, columns)).any():
            raise ValueError(f"{item.label}: {name} is not a finite number on {_lines(rows)}")
    return RuleCost(item, quantity, rate, rule, plugin, held)


def _too_dear(quantity: FloatArray, rate: FloatArray, digits: int) -> bool:
    if not quantity.size:
        return False
    # False for NaN too, so a list with gaps is looked at line by line.
    return not _greatest(quantity) * _greatest(rate) * 10.0**digits <= _MOST_MINOR


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
    if remark.severity not in _SEVERITIES:
        raise ValueError(f'remark on {remark.field}: there is no severity "{remark.severity}"')
    return dataclasses.replace(remark, applies=applies)


def _check_base(item: CostColumn, rule: PricingRule) -> None:
    earlier = STAGES[: STAGES.index(rule.stage)]
    for name in item.base:
        if name != "subtotal" and name not in earlier:
            raise ValueError(f'{item.label}: "{name}" is no stage before {rule.stage}')
    if item.top_up not in _TOP_UPS or item.per not in ("line", "order"):
        raise ValueError(f'{item.label}: top_up "{item.top_up}", per "{item.per}" is not known')
    if item.top_up and not item.base:
        raise ValueError(f"{item.label}: a top-up needs the base that it tops up")


def _check_working(item: CostColumn, lines: int) -> None:
    named = {name for _, name, _, _ in Formatter().parse(item.working) if name is not None}
    if unknown := sorted(named - item.terms.keys()):
        raise ValueError(f"{item.label}: its working names {', '.join(unknown)}, which it lacks")
    for values in item.terms.values():
        _numbers(values, lines)


def _numbers(values: FloatArray | float, lines: int) -> FloatArray:
    numbers = np.asarray(values, dtype=np.float64)
    if numbers.shape not in ((), (lines,)):
        raise ValueError(f"an array of shape {numbers.shape} for {lines} lines")
    return np.broadcast_to(numbers, (lines,))


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
