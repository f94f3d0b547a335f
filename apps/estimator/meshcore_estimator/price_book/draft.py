"""A price book while it is edited: every step kept, and each state judged by the core."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from meshcore import plugins
from meshcore.alloys.records.registry import installed_registry
from meshcore.costing.book.cells import Row
from meshcore.costing.book.checking import build_book
from meshcore.costing.book.files import book_cells, from_toml, to_toml
from meshcore.costing.book.price_book import PriceBook, PriceBookError
from meshcore.costing.book.reporting import BookReport, report_book
from meshcore.costing.items import PricingRule
from meshcore.messages import Message

#: Cells of one row by column; blank ones are left out.
Cells = Mapping[str, Any]
#: Column that numbers the rows, so that a message can name one.
NUMBER = "row"
#: Setting that lists the rules that are switched off.
RULES_OFF = "rules_disabled"
#: Marks a date where cells are kept as text.
_DATE = "date of a cell"
#: Tables of a book whose rows are numbered, as the screen calls them.
TITLES = {"exchange": "Exchange rates", "rates": "Rates"}


@dataclass(frozen=True, slots=True)
class State:
    """All cells of a book at one step; `exchange` and `rates` are numbered."""

    settings: Cells
    exchange: tuple[Cells, ...]
    rates: tuple[Cells, ...]


@dataclass(slots=True)
class Draft:
    """A book under the user's hands.

    Parameters
    ----------
    saved, source
        The book as it was opened, and from where.
    file
        Path of its file; empty where it has none that may be written.
    steps, undone
        States in the order in which they were made, the last one current; those taken back.
    mounted
        What the tables on the screen began with; they hold what was changed in them since.
    stale
        Numbers of the rows that the tables mark as stale, by table.
    version
        Raised whenever the tables are to begin anew.
    """

    saved: PriceBook
    source: str
    steps: list[State]
    stale: dict[str, frozenset[int]]
    file: str = ""
    undone: list[State] = field(default_factory=list)
    mounted: State = field(init=False)
    version: int = 0

    def __post_init__(self) -> None:
        self.mounted = self.now

    @property
    def now(self) -> State:
        """The current state."""
        return self.steps[-1]

    def record(self, state: State) -> None:
        """Take a state as the next step, if it differs from the last one."""
        if state != self.now:
            self.steps.append(state)
            self.undone.clear()

    def undo(self) -> None:
        """Take the last step back."""
        if len(self.steps) > 1:
            self.undone.append(self.steps.pop())
            self.mount()

    def redo(self) -> None:
        """Make the step again that was taken back last."""
        if self.undone:
            self.steps.append(self.undone.pop())
            self.mount()

    def discard(self) -> None:
        """Return to the saved book; a step like any other, which can be taken back."""
        self.record(state_of(self.saved))
        self.mount()

    def mount(self) -> None:
        """Begin the tables on the screen anew from the current state, all rows numbered."""
        exchange, rates = numbered(self.now.exchange), numbered(self.now.rates)
        self.mounted = self.steps[-1] = replace(self.now, exchange=exchange, rates=rates)
        self.version += 1


def open_draft(book: PriceBook, source: str, file: str = "") -> Draft:
    """Begin to edit a book.

    Parameters
    ----------
    book
        As it is saved.
    source
        What the user knows it by.
    file
        Path of its file, where that may be written.
    """
    state = state_of(book)
    return Draft(book, source, [state], stale_rows(book, state, looked_over(book)), file)


def state_of(book: PriceBook) -> State:
    """Return the cells of a book, rows numbered from one."""
    cells = book_cells(book)
    exchange, rates = (
        tuple({NUMBER: number} | row for number, row in enumerate(cells[name], 1))
        for name in TITLES
    )
    return State(cells["book"][0], exchange, rates)


def build(draft: Draft) -> PriceBook | tuple[Message, ...]:
    """Make the book of the current state, or say what is wrong in which cell."""
    state = draft.now
    try:
        book = build_book(
            draft.source,
            Row(state.settings, lambda column: f"Book, {column}"),
            _rows("exchange", state.exchange),
            _rows("rates", state.rates),
        )
        return replace(book, remarks=draft.saved.remarks)
    except PriceBookError as error:
        return error.messages


def _rows(table: str, entries: Iterable[Cells]) -> list[Row]:
    return [
        Row({name: cell for name, cell in cells.items() if name != NUMBER}, _namer(table, cells))
        for cells in entries
    ]


def _namer(table: str, cells: Cells) -> Callable[[str], str]:
    number = f"row {cells[NUMBER]}" if NUMBER in cells else "new row"
    named = " ".join(filter(None, (number, str(cells.get("key", "")))))
    return lambda column: f"{TITLES[table]}, {named}, {column}"


def numbered(entries: Iterable[Cells]) -> tuple[Cells, ...]:
    """Give a number to each row that has none yet, after all others."""
    held = list(entries)
    following = max((cells.get(NUMBER, 0) for cells in held), default=0)
    done: list[Cells] = []
    for cells in held:
        following += NUMBER not in cells
        done.append(cells if NUMBER in cells else {NUMBER: following} | dict(cells))
    return tuple(done)


def switched(settings: Cells, used: Mapping[str, bool]) -> Cells:
    """Return the settings with pricing rules switched on and off; others stay as they are."""
    before = settings.get(RULES_OFF, ())
    off = [name for name in before if not used.get(name, False)]
    off += [name for name, is_used in used.items() if not is_used and name not in before]
    rest = {name: cell for name, cell in settings.items() if name != RULES_OFF}
    return rest | ({RULES_OFF: tuple(off)} if off else {})


def pricing_rules() -> list[tuple[str, PricingRule]]:
    """Return the plugins' pricing rules, each with the name of its plugin."""
    return plugins.installed().collect("meshcore_pricing_rules", PricingRule)


def looked_over(book: PriceBook) -> BookReport:
    """Look a book over against what is installed, as of today."""
    rules = [rule for _, rule in pricing_rules()]
    return report_book(book, installed_registry().alloys, rules, date.today())


def stale_rows(book: PriceBook, state: State, report: BookReport) -> dict[str, frozenset[int]]:
    """Numbers of the rows older than the book allows, by table.

    Parameters
    ----------
    book, report
        Made of `state`, rows in the same order.
    """
    names = {
        "exchange": [f"exchange {e.currency} to {e.to}" for e in book.exchange],
        "rates": [rate.name for rate in book.rates],
    }
    entries = {"exchange": state.exchange, "rates": state.rates}
    old = set(report.stale)
    return {
        table: frozenset(
            cells[NUMBER]
            for cells, name in zip(rows, names[table], strict=True)
            if name in old and NUMBER in cells
        )
        for table, rows in entries.items()
    }


def draft_text(draft: Draft) -> str:
    """Return the saved book of a draft and its current state as text; `read_draft` reads it."""
    state = draft.now
    cells = {"settings": state.settings, "exchange": state.exchange, "rates": state.rates}
    return json.dumps(
        {
            "source": draft.source,
            "file": draft.file,
            "saved": to_toml(draft.saved),
            "now": cells,
        },
        default=_dated,
    )


def _dated(cell: object) -> dict[str, str]:
    if not isinstance(cell, date):
        raise TypeError(f"a cell holds no {type(cell).__name__}")
    return {_DATE: cell.isoformat()}


def read_draft(text: str) -> Draft:
    """Return the draft that `draft_text` wrote; what was changed in it is one step."""
    kept = json.loads(text, object_hook=_undated)
    now = kept["now"]
    settings = now["settings"] | (
        {RULES_OFF: tuple(now["settings"][RULES_OFF])} if RULES_OFF in now["settings"] else {}
    )
    saved = from_toml(kept["saved"], kept["source"])
    draft = open_draft(saved, kept["source"], kept.get("file", ""))
    draft.record(State(settings, tuple(now["exchange"]), tuple(now["rates"])))
    draft.mount()
    return draft


def _undated(cells: dict[str, Any]) -> Any:  # noqa: ANN401 - a cell holds text, a number or a date
    return date.fromisoformat(cells[_DATE]) if cells.keys() == {_DATE} else cells
