"""Every cell of the priced workbook in a currency of hundredths, whole units and thousandths.

The cells are those kept in ``tests/golden``, see `currencies`: what is shown, its format, and the
formula behind it; and how each sheet is laid out and prints. The rates among the data used are
checked against the book itself.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator

import openpyxl
import pandas as pd
import pytest
from currencies import PLACES, book, kept
from openpyxl.cell.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

import meshcore as mc
from meshcore.costing.book.price_book import conversion
from meshcore.lists.workbook import workbook_bytes

#: One line of each form, an order each, and one that is refused.
LINES = pd.DataFrame(
    {
        "line": ["A", "B", "C", "D"],
        "order": ["1", "2", "3", "4"],
        "mesh_count": ["10 / in", "20 / in", "4 / in", "10 / in"],
        "wire_diameter": ["0.025 in", "0.016 in", "0.063 in", "16 ga"],
        "alloy": ["304", "316L", "carbon steel", "304"],
        "form": ["roll", "strip", "piece", "roll"],
        "width": ["48 in", "50 mm", "", "48 in"],
        "length": ["100 ft", "10 m", "", "100 ft"],
        "shape": ["", "", "circle", ""],
        "dimensions": ["", "", "Ø300 mm", ""],
        "quantity": ["3", "40", "25", "1"],
        "services": ["certificate", "", "", ""],
        "note": ["", "", "=1+1", ""],
    }
)
#: Where the day of pricing stands on the summary.
DAY = "B3"
#: Size of the letters of a plain cell [pt]; rows of a sheet whose looks are kept.
USUAL_SIZE, LOOKED_AT = 11.0, 30
SHEETS = ("Summary", "Priced list", "Reckoning", "Shared", "Messages")


def made(currency: str) -> bytes:
    return workbook_bytes(mc.estimate_list(LINES, book(currency)))


def look(cell: Cell) -> str:
    """What sets a cell apart from a plain one."""
    fill = cell.fill.start_color.rgb if cell.fill.fill_type else ""
    said = [("bold", cell.font.b), ("wrapped", cell.alignment.wrap_text), (f"on {fill}", fill),
            (f"size {cell.font.sz:g}", cell.font.sz != USUAL_SIZE)]  # fmt: skip
    return ", ".join(word for word, is_so in said if is_so)


def layout(sheet: Worksheet) -> Iterator[str]:
    """How a sheet is laid out and prints."""
    widths = sheet.column_dimensions.items()
    heights = sheet.row_dimensions.items()
    page, foot = sheet.page_setup, sheet.oddFooter
    assert foot is not None
    facts = {
        "widths": {letter: round(column.width, 2) for letter, column in widths},
        "heights": {row: told.height for row, told in heights if told.height},
        "frozen": sheet.freeze_panes,
        "filter": sheet.auto_filter.ref,
        "merged": sorted(map(str, sheet.merged_cells.ranges)),
        "printed": (
            page.orientation,
            page.fitToWidth,
            page.fitToHeight,
            sheet.print_title_rows,
            foot.left.text,
            foot.right.text,
        ),
    }
    for name, fact in facts.items():
        yield f"{sheet.title}\t{name}\t{fact}"


def laid_out(content: bytes) -> Iterator[str]:
    book = openpyxl.load_workbook(io.BytesIO(content))
    for name in (*SHEETS, "Data used"):
        yield from layout(book[name])
        for row in book[name].iter_rows(max_row=LOOKED_AT):
            for cell in row:
                if isinstance(cell, Cell) and (apart := look(cell)):
                    yield f"{name}!{cell.coordinate}\t{apart}"


def cells(content: bytes) -> Iterator[str]:
    """Each cell that holds anything: its place, what it shows, its format and its formula."""
    live = openpyxl.load_workbook(io.BytesIO(content))
    values = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
    for name in SHEETS:
        for row in live[name].iter_rows():
            for cell in row:
                shown = values[name][cell.coordinate].value
                is_empty = shown is None and cell.data_type != "f"
                if is_empty or (name, cell.coordinate) == (SHEETS[0], DAY):
                    continue
                text = f"{shown:.10g}" if isinstance(shown, float) else str(shown or "")
                parts = [f"{name}!{cell.coordinate}", text, cell.number_format]
                if cell.data_type == "f":
                    parts.append(str(cell.value))
                yield "\t".join(part.replace("\n", " / ") for part in parts)


@pytest.mark.parametrize("currency", PLACES)
def test_the_cells_are_as_they_were_read(currency: str) -> None:
    text = "\n".join(cells(made(currency))) + "\n"
    assert text.splitlines() == kept("workbook", currency, text).splitlines()


def test_the_sheets_look_as_they_were_looked_at() -> None:
    text = "\n".join(laid_out(made("EUR"))) + "\n"
    assert text.splitlines() == kept("workbook", "looks", text).splitlines()


@pytest.mark.parametrize(("currency", "places"), PLACES.items())
def test_amounts_are_rounded_and_shown_in_the_places_of_their_currency(
    currency: str, places: int
) -> None:
    form = "#,##0" + ("." + "0" * places if places else "")
    rows = [cell.split("\t") for cell in cells(made(currency))]
    first_line = [r for r in rows if re.fullmatch(r"Reckoning![A-Z]+4", r[0])]
    # Amounts and totals carry their values, the workings behind them do not.
    amounts = [r for r in first_line if len(r) == 4 and r[1]]
    assert len(amounts) > 20
    assert {r[2] for r in amounts} == {form}
    assert [r for r in amounts if len(r[1].partition(".")[2]) > places] == []


@pytest.mark.parametrize("currency", PLACES)
def test_every_rate_stands_on_the_sheet_of_rates_as_entered_and_as_reckoned(currency: str) -> None:
    sheet = openpyxl.load_workbook(io.BytesIO(made(currency)), data_only=True)["Rates"]
    rows = [row for row in sheet.iter_rows(min_row=2, values_only=True) if row[0] != "exchange"]
    priced = book(currency)
    for row, rate in zip(rows, priced.rates, strict=True):
        entered = (rate.key, rate.amount, rate.currency or None, rate.unit or None)
        assert (row[0], row[3], row[4], row[5]) == entered
        factor = 1.0
        if rate.currency:
            exchanged = conversion(priced, rate.currency)
            assert exchanged is not None
            factor = exchanged.factor / rate.per.factor**2
        assert float(str(row[6])) == pytest.approx(rate.amount * rate.per.factor * factor)
