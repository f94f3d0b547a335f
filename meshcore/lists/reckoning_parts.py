"""What formulas of the reckoning are written with: places, columns, figures that lines share."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.arrays import FloatArray
from meshcore.estimates.live_ledger import LiveLedger
from meshcore.estimates.results import EstimateSet
from meshcore.lists.own_sheets import SHARED
from meshcore.lists.rates_sheet import RateNames
from meshcore.lists.sheets import put

LINE, ORDER, QUANTITY, FIRST_AMOUNT = 1, 2, 3, 4
#: Rows of headings: stage, item, what the column is; the first line stands below them.
HEAD_ROWS = 3


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
class Column:
    """A column of formulas: its heading, its width, and what it holds on each line."""

    stage: str
    item: str
    what: str
    formula: Callable[[int], str]
    value: FloatArray | None = None
    is_money: bool = False


@dataclass(slots=True)
class SharedFigures:
    """The sheet of sums and amounts that several lines share."""

    sheet: Worksheet
    row: int = 2

    def put(self, what: str, formula: str) -> str:
        """Write a shared figure; return the reference to it."""
        put(self.sheet, self.row, 1, what)
        put(self.sheet, self.row, 2, None).value = f"={formula}"
        self.row += 1
        return f"{SHARED}!$B${self.row - 1}"


@dataclass(slots=True)
class Working:
    """What the formulas of the sheet are written with."""

    estimates: EstimateSet
    live: LiveLedger
    names: RateNames
    shared: SharedFigures
    columns: list[Column] = field(default_factory=list)
    digits: int = 0

    def add(self, column: Column) -> str:
        """Add a column of workings; return its letter."""
        self.columns.append(column)
        return get_column_letter(self.first_working + len(self.columns) - 1)

    @property
    def first_working(self) -> int:
        """Number of the first column behind amounts and totals."""
        return FIRST_AMOUNT + len(self.live.ledger.items) + 4


def runs(numbers: Sequence[int]) -> Iterator[list[int]]:
    """Split ascending numbers where they do not follow each other."""
    if not numbers:
        return
    breaks = [n + 1 for n, (a, b) in enumerate(pairwise(numbers)) if b != a + 1]
    for start, stop in pairwise([0, *breaks, len(numbers)]):
        yield list(numbers[start:stop])
