"""How the quantity, the rate and the amount of an item come about on a line, as formulas."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from openpyxl.utils import get_column_letter

from meshcore.arrays import FloatArray
from meshcore.costing.items import GroupSum
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.rates import RateColumn
from meshcore.estimates.live_ledger import fact_of, named_in
from meshcore.lists.reckoning_groups import summed_over_group
from meshcore.lists.reckoning_parts import FIRST_AMOUNT, QUANTITY, Column, Places, Working, runs


def quantity_of(made: Working, number: int) -> str:
    """Add the column of an item's quantity, or of its base; return its letter."""
    item = made.live.ledger.items[number]
    if item.base:
        span = _base_span(made, number)

        def base(n: int) -> str:
            row = Places.row(n)
            cells = ",".join(f"{a}{row}:{b}{row}" for a, b in span)
            return f"ROUND(SUM({cells}),{made.digits})" if cells else "0"

        return made.add(Column(item.stage, item.label, "of", base))
    if item.live.quantity:
        formula = templated(made, number, item.live.quantity)
    else:
        twice = made.live.twice.items[number].whole
        formula = fact(made, item.whole, twice)
    return made.add(Column(item.stage, item.label, f"quantity [{item.unit}]", formula))


def _base_span(made: Working, number: int) -> list[tuple[str, str]]:
    items = made.live.ledger.items
    item = items[number]
    if "subtotal" in item.base:
        if number == 0:
            return []
        return [(get_column_letter(FIRST_AMOUNT), get_column_letter(FIRST_AMOUNT + number - 1))]
    held = [n for n in range(number) if items[n].stage in item.base]
    return [
        (get_column_letter(FIRST_AMOUNT + run[0]), get_column_letter(FIRST_AMOUNT + run[-1]))
        for run in runs(held)
    ]


def fact(
    made: Working, values: FloatArray | float, twice: FloatArray | float
) -> Callable[[int], str]:
    """Write a fact of a line: a number, or so much for each roll where it follows the quantity."""
    lines = len(made.estimates)
    once = np.broadcast_to(np.asarray(values, dtype=np.float64), (lines,))
    again = np.broadcast_to(np.asarray(twice, dtype=np.float64), (lines,))
    quantity = made.estimates.orders.quantity
    letter = get_column_letter(QUANTITY)

    def formula(n: int) -> str:
        own = float(once[n])
        if not np.isfinite(own):
            return "0"
        if made.live.adjustable[n] and own and again[n] != own:
            return f"{own / float(quantity[n])!r}*${letter}{Places.row(n)}"
        return repr(own)

    return formula


def templated(made: Working, number: int, template: str, rate: Callable[[int], str] | None = None
               ) -> Callable[[int], str]:  # fmt: skip
    """Write a formula of an item's terms."""
    item, again = (ledger.items[number] for ledger in (made.live.ledger, made.live.twice))
    terms: dict[str, Callable[[int], str]] = {}
    for name in named_in(item):
        if f"{{{name}}}" not in template:
            continue
        term = item.terms[name]
        if isinstance(term, RateColumn):
            terms[name] = _looked_up(made, term, term.values, lambda _n: "")
        elif isinstance(term, GroupSum):
            each = fact(made, term.each, fact_of(again.terms[name]))
            terms[name] = summed_over_group(made, item, name, term.per, each)
        else:
            terms[name] = fact(made, term, fact_of(again.terms[name]))
    if rate is not None:
        terms["rate"] = rate
    return lambda n: template.format(**{name: one(n) for name, one in terms.items()})


def _looked_up(
    made: Working, column: RateColumn, values: FloatArray, size: Callable[[int], str]
) -> Callable[[int], str]:
    """Write a rate of the book; a number where the book has none."""

    def formula(n: int) -> str:
        code = 0 if column.codes is None else int(column.codes[n])
        group = int(column.table[code])
        if group < 0:
            own = float(values[n])
            return repr(own) if np.isfinite(own) else "0"
        at = None if column.at is None else float(column.at[n])
        return made.names.formula(column.groups[group], at, column.how, size(n))

    return formula


def rate_of(made: Working, number: int) -> Callable[[int], str]:
    """Write the rate of an item: from the book, or the number that the rule gave."""
    item = made.live.ledger.items[number]
    given = np.abs(item.target if item.top_up else item.rate)
    if not isinstance(item.origin, RateColumn):
        return lambda n: repr(float(given[n])) if np.isfinite(given[n]) else "0"
    column = item.origin
    size = templated(made, number, item.live.at) if item.live.at else (lambda _n: "")
    own = _looked_up(made, column, np.abs(item.rate), size)
    rate = templated(made, number, item.live.rate, own)
    # A rule may leave lines out by a rate of zero; a step that is not reached yet is another thing.
    left_out = given == 0.0

    def formula(n: int) -> str:
        stepped = bool(item.live.at) or item.live.rate != "{rate}"
        return "0" if left_out[n] and not stepped and not _is_zero(column, n) else rate(n)

    return formula


def _is_zero(column: RateColumn, n: int) -> bool:
    """Whether the book's own rate is zero, so that the line is not left out by the rule."""
    code = 0 if column.codes is None else int(column.codes[n])
    group = int(column.table[code])
    return group >= 0 and not np.any(column.groups[group].values)


def own_amount(made: Working, item: LedgerItem, quantity: str, rate: str) -> Callable[[int], str]:
    """Write the amount of a line by itself, before any sharing."""
    digits, power = made.digits, 10**made.digits
    sign = "-" if item.credit else ""

    def formula(n: int) -> str:
        q, r = f"{quantity}{Places.row(n)}", f"{rate}{Places.row(n)}"
        step = f"ROUND({r}*{power},0)"
        times = f"ROUND({q}*{power},0)/{step}"
        match item.top_up:
            case "floor":
                return f"MAX(0,ROUND(ROUND({r},{digits})-{q},{digits}))"
            case "net":
                return f"IF({step}=0,0,ROUND({step}/{power}-{q},{digits}))"
            case "step up":
                whole = f"ROUNDUP({times},0)"
            case "step nearest":
                whole = f"INT({times}+0.5)"
            case _:
                return f"{sign}ROUND({q}*{r},{digits})"
        return f"IF({step}=0,0,ROUND({whole}*{step}/{power}-{q},{digits}))"

    return formula
