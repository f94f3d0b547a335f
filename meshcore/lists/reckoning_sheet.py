"""The sheet on which every line is reckoned: amounts, and how each comes about, as formulas."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from openpyxl.styles import Alignment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.arrays import FloatArray, IntArray
from meshcore.costing.items import GroupSum
from meshcore.costing.ledger import LedgerItem
from meshcore.costing.money import from_minor, money_format
from meshcore.costing.rates import RateColumn
from meshcore.costing.stages import COST_STAGES
from meshcore.enquiry import ROLL
from meshcore.estimates.live_ledger import LiveLedger, fact_of, named_in
from meshcore.estimates.results import EstimateSet
from meshcore.lists.bulk_rows import BulkRows
from meshcore.lists.own_sheets import RECKONING, SHARED
from meshcore.lists.rates_sheet import INPUT_FILL, OPEN, RateNames
from meshcore.lists.sheets import BOLD, put, put_headings, set_print

LINE, ORDER, QUANTITY, FIRST_AMOUNT = 1, 2, 3, 4
#: Rows of headings: stage, item, what the column is; the first line stands below them.
HEAD_ROWS = 3
#: Most arguments of a function: Office Open XML spreadsheet limit is 255.
_MOST_ARGUMENTS = 200
LOCKED = (
    "Locked: strips and pieces are cut from a layout of all of them, and cloth on hand is counted "
    "out. Change the quantity in the enquiry list and price it again with the library."
)


@dataclass(frozen=True, slots=True)
class Places:
    """Columns of the totals on the sheet, and the row of the first line."""

    cost: str
    price: str
    low: str
    high: str
    quantity: str
    amounts: tuple[str, str]
    stages: dict[str, tuple[str, str]]

    @staticmethod
    def row(line: int) -> int:
        """Row of a line."""
        return line + HEAD_ROWS + 1


@dataclass(slots=True)
class _Column:
    """A column of formulas: its heading, its width, and what it holds on each line."""

    stage: str
    item: str
    what: str
    formula: Callable[[int], str]
    value: FloatArray | None = None
    is_money: bool = False


@dataclass(slots=True)
class _Sheet:
    """What the formulas of the sheet are written with."""

    estimates: EstimateSet
    live: LiveLedger
    names: RateNames
    shared: _Shared
    columns: list[_Column] = field(default_factory=list)
    digits: int = 0

    def add(self, column: _Column) -> str:
        """Add a column of workings; return its letter."""
        self.columns.append(column)
        return get_column_letter(self.first_working + len(self.columns) - 1)

    @property
    def first_working(self) -> int:
        """Number of the first column behind amounts and totals."""
        return FIRST_AMOUNT + len(self.live.ledger.items) + 4


@dataclass(slots=True)
class _Shared:
    """The sheet of sums and amounts that several lines share."""

    sheet: Worksheet
    row: int = 2

    def put(self, what: str, formula: str) -> str:
        """Write a shared figure; return the reference to it."""
        put(self.sheet, self.row, 1, what)
        put(self.sheet, self.row, 2, None).value = f"={formula}"
        self.row += 1
        return f"{SHARED}!$B${self.row - 1}"


def fill_reckoning(
    sheet: Worksheet,
    shared: Worksheet,
    bulk: BulkRows,
    live: LiveLedger,
    names: RateNames,
    estimates: EstimateSet,
    line_names: Sequence[str],
    orders_taken: Sequence[int],
) -> Places:
    """Write every line with every item that may arise on it.

    Returns
    -------
    Where the totals stand, for the formulas of other sheets.
    """
    put_headings(shared, 1, ("what several lines share", "figure"))
    shared.column_dimensions["A"].width, shared.column_dimensions["B"].width = 70, 18
    digits = estimates.ledger.digits
    made = _Sheet(estimates, live, names, _Shared(shared), digits=digits)
    items = live.ledger.items
    amounts = [_amount(made, n) for n in range(len(items))]
    places = _places(items)
    totals = _totals(made, places)
    heads = [
        _Column("", "", "line", lambda _n: ""),
        _Column("", "", "order_taken", lambda _n: ""),
        _Column("", "", "quantity", lambda _n: ""),
    ]
    every = [*heads, *amounts, *totals, *made.columns]
    _put_head(sheet, every)
    _put_rows(bulk, sheet, made, every, line_names, orders_taken)
    _explain_locks(sheet, live)
    sheet.freeze_panes = f"{get_column_letter(FIRST_AMOUNT)}{HEAD_ROWS + 1}"
    set_print(sheet, HEAD_ROWS)
    set_print(shared)
    return places


def _places(items: Sequence[LedgerItem]) -> Places:
    first, last = FIRST_AMOUNT, FIRST_AMOUNT + len(items) - 1
    cost, price, low, high = (get_column_letter(last + n) for n in range(1, 5))
    stages: dict[str, tuple[str, str]] = {}
    for number, item in enumerate(items):
        letter = get_column_letter(first + number)
        begin, _ = stages.get(item.stage, (letter, letter))
        stages[item.stage] = (begin, letter)
    ends = (get_column_letter(first), get_column_letter(max(last, first)))
    return Places(cost, price, low, high, get_column_letter(QUANTITY), ends, stages)


def _totals(made: _Sheet, places: Places) -> list[_Column]:
    estimates, digits = made.estimates, made.digits
    items = made.live.ledger.items
    in_cost = [n for n, item in enumerate(items) if item.stage in COST_STAGES]
    cost_end = get_column_letter(FIRST_AMOUNT + max(in_cost, default=0))
    first, last = places.amounts

    def summed(end: str) -> Callable[[int], str]:
        return lambda n: f"ROUND(SUM({first}{Places.row(n)}:{end}{Places.row(n)}),{digits})"

    def billed(ratio: FloatArray) -> Callable[[int], str]:
        def formula(n: int) -> str:
            row = Places.row(n)
            if estimates.orders.form[n] != ROLL:
                return f"{places.price}{row}"
            return f"ROUND({places.price}{row}*{float(ratio[n])!r},{digits})"

        return formula

    supply, ledger = estimates.supply, estimates.ledger
    ends = (estimates.price_low_minor, estimates.price_high_minor)
    low, high = (from_minor(minor, digits) for minor in ends)
    return [
        _Column("", "", "cost", summed(cost_end), ledger.cost, True),
        _Column("", "", "price", summed(last), ledger.price, True),
        _Column("", "", "price_min", billed(supply.length_low), low, True),
        _Column("", "", "price_max", billed(supply.length_high), high, True),
    ]


def _amount(made: _Sheet, number: int) -> _Column:
    """Return the column of an item's amounts; what it is reckoned from goes to the workings."""
    item = made.live.ledger.items[number]
    quantity = _quantity(made, number)
    rate = made.add(_Column(item.stage, item.label, "rate", _rate(made, number)))
    value = from_minor(item.minor, made.digits)
    own = _own(made, item, quantity, rate)
    formula = _share(made, number, item, quantity, rate, own) if item.shared else own
    return _Column(item.stage, item.label, item.driver, formula, value, True)


def _quantity(made: _Sheet, number: int) -> str:
    """Add the column of an item's quantity, or of its base; return its letter."""
    item = made.live.ledger.items[number]
    if item.base:
        span = _base_span(made, number)

        def base(n: int) -> str:
            row = Places.row(n)
            cells = ",".join(f"{a}{row}:{b}{row}" for a, b in span)
            return f"ROUND(SUM({cells}),{made.digits})" if cells else "0"

        return made.add(_Column(item.stage, item.label, "of", base))
    if item.live.quantity:
        formula = _templated(made, number, item.live.quantity)
    else:
        twice = made.live.twice.items[number].whole
        formula = _fact(made, item.whole, twice)
    return made.add(_Column(item.stage, item.label, f"quantity [{item.unit}]", formula))


def _base_span(made: _Sheet, number: int) -> list[tuple[str, str]]:
    items = made.live.ledger.items
    item = items[number]
    if "subtotal" in item.base:
        if number == 0:
            return []
        return [(get_column_letter(FIRST_AMOUNT), get_column_letter(FIRST_AMOUNT + number - 1))]
    held = [n for n in range(number) if items[n].stage in item.base]
    return [
        (get_column_letter(FIRST_AMOUNT + run[0]), get_column_letter(FIRST_AMOUNT + run[-1]))
        for run in _runs(held)
    ]


def _runs(numbers: Sequence[int]) -> Iterator[list[int]]:
    """Split ascending numbers where they do not follow each other."""
    if not numbers:
        return
    breaks = [n + 1 for n, (a, b) in enumerate(pairwise(numbers)) if b != a + 1]
    for start, stop in pairwise([0, *breaks, len(numbers)]):
        yield list(numbers[start:stop])


def _fact(
    made: _Sheet, values: FloatArray | float, twice: FloatArray | float
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


def _templated(made: _Sheet, number: int, template: str, rate: Callable[[int], str] | None = None
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
            each = _fact(made, term.each, fact_of(again.terms[name]))
            terms[name] = _summed(made, item, name, term.per, each)
        else:
            terms[name] = _fact(made, term, fact_of(again.terms[name]))
    if rate is not None:
        terms["rate"] = rate
    return lambda n: template.format(**{name: one(n) for name, one in terms.items()})


def _looked_up(
    made: _Sheet, column: RateColumn, values: FloatArray, size: Callable[[int], str]
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


def _rate(made: _Sheet, number: int) -> Callable[[int], str]:
    """Write the rate of an item: from the book, or the number that the rule gave."""
    item = made.live.ledger.items[number]
    given = np.abs(item.target if item.top_up else item.rate)
    if not isinstance(item.origin, RateColumn):
        return lambda n: repr(float(given[n])) if np.isfinite(given[n]) else "0"
    column = item.origin
    size = _templated(made, number, item.live.at) if item.live.at else (lambda _n: "")
    own = _looked_up(made, column, np.abs(item.rate), size)
    rate = _templated(made, number, item.live.rate, own)
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


def _own(made: _Sheet, item: LedgerItem, quantity: str, rate: str) -> Callable[[int], str]:
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


def _groups(made: _Sheet, per: str) -> tuple[IntArray, dict[int, list[int]]]:
    """Return each line's group, and the lines with a price of each group, in their order."""
    orders = made.estimates.orders
    group = {"order": orders.order, "cloth": orders.same_cloth, "warp": orders.warp}[per]
    members: dict[int, list[int]] = {}
    for n in np.flatnonzero(made.live.ledger.priced).tolist():
        members.setdefault(int(group[n]), []).append(n)
    return group, members


def _over(letter: str, lines: Sequence[int], function: str) -> str:
    """Write a function over a column's cells of some lines."""
    spans = [
        f"{RECKONING}!{letter}{Places.row(run[0])}:{letter}{Places.row(run[-1])}"
        for run in _runs(lines)
    ]
    while len(spans) > _MOST_ARGUMENTS:
        cut = range(0, len(spans), _MOST_ARGUMENTS)
        spans = [f"{function}({','.join(spans[n : n + _MOST_ARGUMENTS])})" for n in cut]
    return f"{function}({','.join(spans)})"


def _summed(
    made: _Sheet, item: LedgerItem, name: str, per: str, each: Callable[[int], str]
) -> Callable[[int], str]:
    """Write a sum over a line's group; of a line that is alone in it, what it brings itself."""
    group, members = _groups(made, per)
    if all(len(held) == 1 for held in members.values()):
        return each
    letter = made.add(_Column(item.stage, item.label, f"{name} of the line", each))
    sums = {
        code: made.shared.put(f"{item.label}: {name} of {per} {number}", _over(letter, held, "SUM"))
        for number, (code, held) in enumerate(members.items(), start=1)
        if len(held) > 1
    }

    def formula(n: int) -> str:
        return sums.get(int(group[n])) or f"{letter}{Places.row(n)}"

    return formula


def _share(
    made: _Sheet,
    number: int,
    item: LedgerItem,
    quantity: str,
    rate: str,
    own: Callable[[int], str],
) -> Callable[[int], str]:
    """Write a line's share of an amount that its group bears, to the cent and none lost."""
    group, members = _groups(made, item.per)
    if all(len(held) == 1 for held in members.values()):
        return own
    power, digits = 10**made.digits, made.digits
    alone = made.add(_Column(item.stage, item.label, "amount before sharing", own))
    weight = _weight(made, number)
    place = {n: (k, len(held)) for held in members.values() for k, n in enumerate(held)}
    before = {b: a for held in members.values() for a, b in pairwise(held)}
    running_at = get_column_letter(made.first_working + len(made.columns))

    def running(n: int) -> str:
        first = f"{running_at}{Places.row(before[n])}+" if n in before else ""
        return first + weight(n)

    run = made.add(_Column(item.stage, item.label, "running weight", running))
    totals: dict[int, str] = {}
    for count, (code, held) in enumerate(members.items(), start=1):
        if len(held) < 2:  # noqa: PLR2004 - a line alone shares with none
            continue
        if item.top_up == "floor":
            target, base = _over(rate, held, "MAX"), _over(quantity, held, "SUM")
            whole = f"MAX(0,ROUND(ROUND({target},{digits})-{base},{digits}))"
        else:
            whole = _over(alone, held, "MIN" if item.credit else "MAX")
        totals[code] = made.shared.put(f"{item.label}: amount of {item.per} {count}", whole)
    reached_at = get_column_letter(made.first_working + len(made.columns))

    def reached(n: int) -> str:
        held = members[int(group[n])]
        if len(held) == 1:
            return "0"
        total = f"ROUND({totals[int(group[n])]}*{power},0)"
        if n == held[-1]:
            return total
        whole, (k, count) = f"{run}{Places.row(held[-1])}", place[n]
        return (
            f"IF({whole}=0,INT({total}*({k + 1}/{count})+0.5),"
            f"INT({total}*({run}{Places.row(n)}/{whole})+0.5))"
        )

    made.add(_Column(item.stage, item.label, "reached so far", reached))

    def share(n: int) -> str:
        if len(members[int(group[n])]) == 1:
            return own(n)
        less = f"-{reached_at}{Places.row(before[n])}" if n in before else ""
        return f"ROUND(({reached_at}{Places.row(n)}{less})/{power},{digits})"

    return share


def _weight(made: _Sheet, number: int) -> Callable[[int], str]:
    item = made.live.ledger.items[number]
    if item.shared_by is not None:
        again = made.live.twice.items[number].shared_by
        return _fact(made, item.shared_by, item.shared_by if again is None else again)
    if number == 0:
        return lambda _n: "0"
    first, last = get_column_letter(FIRST_AMOUNT), get_column_letter(FIRST_AMOUNT + number - 1)
    power = 10**made.digits
    return lambda n: f"MAX(0,ROUND(SUM({first}{Places.row(n)}:{last}{Places.row(n)})*{power},0))"


def _put_head(sheet: Worksheet, every: Sequence[_Column]) -> None:
    for number, column in enumerate(every, start=1):
        for row, text in enumerate((column.stage, column.item, column.what), start=1):
            head = put(sheet, row, number, text)
            head.font, head.alignment = BOLD, Alignment(wrap_text=True, vertical="top")
        sheet.column_dimensions[get_column_letter(number)].width = 13 if column.is_money else 12


def _put_rows(
    bulk: BulkRows,
    sheet: Worksheet,
    made: _Sheet,
    every: Sequence[_Column],
    line_names: Sequence[str],
    orders_taken: Sequence[int],
) -> None:
    money = money_format(made.digits)
    styles = {
        is_money: bulk.style(sheet, money if is_money else "General") for is_money in (True, False)
    }
    open_cell = bulk.style(sheet, "General", OPEN, INPUT_FILL)
    quantity, priced = made.estimates.orders.quantity, made.live.ledger.priced
    formulas = list(enumerate(every, start=1))[FIRST_AMOUNT - 1 :]
    letters = {number: get_column_letter(number) for number, _ in formulas}
    for n in range(len(made.estimates)):
        row = bulk.row(sheet, Places.row(n))
        row.text(LINE, line_names[n])
        row.number_at(ORDER, float(orders_taken[n]))
        row.number_at(QUANTITY, float(quantity[n]),
                   open_cell if made.live.adjustable[n] else styles[False])  # fmt: skip
        if priced[n]:
            for number, column in formulas:
                value = None if column.value is None else float(column.value[n])
                row.formula(letters[number], column.formula(n), value, styles[column.is_money])
        row.end()


def _explain_locks(sheet: Worksheet, live: LiveLedger) -> None:
    """Say at each quantity that is locked why it is, when the cell is chosen."""
    locked = np.flatnonzero(~live.adjustable).tolist()
    if not locked:
        return
    said = DataValidation(allow_blank=True, showInputMessage=True)
    said.promptTitle, said.prompt = "Locked", LOCKED[:255]
    letter = get_column_letter(QUANTITY)
    for run in _runs(locked):
        said.add(f"{letter}{Places.row(run[0])}:{letter}{Places.row(run[-1])}")
    sheet.add_data_validation(said)
