"""The live workbook: a priced list whose prices are formulas of its cost items."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pandas as pd
from openpyxl import Workbook
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from meshcore.arrays import FloatArray
from meshcore.costing.delivered import delivered
from meshcore.costing.money import money_format
from meshcore.estimates.for_buyers import for_others, tells_costs, without_notes
from meshcore.estimates.live_ledger import LiveLedger, live_ledger
from meshcore.estimates.priced_table import FOR_THE_MILL, mass_at_ends
from meshcore.estimates.results import EstimateSet
from meshcore.estimates.unit_prices import unit_prices
from meshcore.lists import rates_sheet
from meshcore.lists.bulk_rows import BulkRows
from meshcore.lists.own_sheets import LISTED, RECKONING, SHARED
from meshcore.lists.rates_sheet import fill_rates
from meshcore.lists.reading import ListError
from meshcore.lists.reckoning_parts import HEAD_ROWS, Places
from meshcore.lists.reckoning_sheet import fill_reckoning
from meshcore.lists.sheets import (
    INDENT,
    STATUS_FILLS,
    TOP,
    WRAPPED,
    LiveCells,
    fit_widths,
    lines_of,
    put_headings,
    put_rows,
    set_print,
)
from meshcore.lists.summary_sheet import fill_summary
from meshcore.reading.tables.cells import column_under, row_name

#: Rows of a sheet: Office Open XML spreadsheet limit, less the heading.
MOST_ROWS = 1_048_575
_FORMATS: dict[str, str] = {
    "mesh_count_per_in": "0.00##", "pitch_mm": "0.000#", "aperture_mm": "0.000#",
    "wire_diameter_mm": "0.000#", "open_area_pct": "0.0", "path_ratio": "0.0000",
    "thickness_mm": "0.000", "density_kg_m3": "0", "mass_per_area_kg_m2": "0.0000",
    "net_area_m2": "#,##0.000", "gross_area_m2": "#,##0.000", "yield_pct": "0.0",
    "mass_kg": "#,##0.00", "mass_min_kg": "#,##0.00", "mass_max_kg": "#,##0.00",
}  # fmt: skip
_MONEY = ("cost", "price", "price_min", "price_max", "unit_price")
_SAMPLE = 200


def workbook_bytes(
    estimates: EstimateSet,
    made_from: str = "",
    *,
    per: str | None = None,
    costs: bool = True,
    progress: Callable[[float], None] | None = None,
) -> bytes:
    """Build the workbook.

    Parameters
    ----------
    estimates
        The priced list.
    made_from
        What it was made from and when, for the first sheet; nothing is said where it is empty.
    per
        A unit whose price is to stand in a further column.
    costs
        Whether it is for the mill; without, it has no cost, no rate and no formula that tells one,
        and may leave the house.
    progress
        Called now and then with the share that is done; what it raises ends the work.

    Returns
    -------
    An .xlsx file. For the mill: summary, priced list, reckoning, what lines share, rates, messages
    and the data priced with. Change a rate on the sheet of rates, or the quantity of rolls on that
    of the reckoning, and every amount, price, low, high and total follows as the library would
    reckon it at the same cutting and stock widths. All other cells are locked.

    Raises
    ------
    ListError
        If the list has more lines than a sheet has rows.
    """
    if len(estimates) > MOST_ROWS - HEAD_ROWS:
        raise ListError(
            f"{len(estimates)} lines are more than a workbook's {MOST_ROWS} rows. "
            "Write .csv or .parquet instead."
        )
    estimates = estimates if costs else for_others(estimates)
    costs = tells_costs(estimates)
    estimates = estimates if costs else without_notes(estimates)
    book, live = Workbook(), LiveCells()
    bulk = BulkRows(tell=_by_rows(progress, len(estimates), costs))
    summary = book.active
    assert isinstance(summary, Worksheet)
    summary.title = "Summary"
    listed = book.create_sheet(LISTED)
    table = estimates.table if costs else estimates.table.drop(columns=list(FOR_THE_MILL))
    places = _fill_reckoning(book, live, bulk, estimates, table) if costs else None
    _fill_list(listed, bulk, estimates, table, places, per)
    _fill_messages(book.create_sheet("Messages"), bulk, estimates)
    _fill_data(book.create_sheet("Data used"), estimates, costs)
    fill_summary(summary, live, estimates, table, places, made_from)
    for sheet in book.worksheets:
        if sheet.title not in (summary.title, RECKONING):
            set_print(sheet)
        if costs:
            _protect(sheet)
    book.calculation.fullCalcOnLoad = True
    return bulk.added(book, live.with_values(book))


#: Share of the work that writing the rows is; the rest is packing the file, as timed for 20,000
#: lines.
_ROWS_SHARE = 0.9


def _by_rows(
    progress: Callable[[float], None] | None, lines: int, costs: bool
) -> Callable[[int], None] | None:
    """Return what tells the share done from the rows begun: one a line on each of its sheets."""
    if progress is None:
        return None
    rows, tell = max(lines * (2 if costs else 1), 1), progress
    return lambda begun: tell(min(begun / rows, 1.0) * _ROWS_SHARE)


def _protect(sheet: Worksheet) -> None:
    """Lock all cells but those that may be changed; without password, as a guard from slips."""
    sheet.protection.sheet = True
    sheet.protection.formatColumns = False
    sheet.protection.autoFilter = False
    sheet.protection.sort = False


def _fill_reckoning(
    book: Workbook, live: LiveCells, bulk: BulkRows, estimates: EstimateSet, table: pd.DataFrame
) -> tuple[Places, LiveLedger]:
    sheets = [book.create_sheet(name) for name in (RECKONING, SHARED)]
    ledger = live_ledger(estimates)
    rates = book.create_sheet(rates_sheet.SHEET)
    names = fill_rates(book, rates, live, estimates.book, is_open=ledger.follows)
    taken = table["order_taken"].tolist()
    places = fill_reckoning(
        sheets[0], sheets[1], bulk, ledger, names, estimates, line_names(estimates), taken
    )
    return places, ledger


def line_names(estimates: EstimateSet) -> list[str]:
    """Name each line as the enquiry does, or by its row in the file that it came in."""
    heading = estimates.headings.column.get("line")
    rows = [row_name(estimates.enquiries, n) for n in range(len(estimates))]
    if heading is None:
        return rows
    named = column_under(estimates.enquiries, heading).astype(str).tolist()
    return [name.strip() or row for name, row in zip(named, rows, strict=True)]


def _fill_list(
    sheet: Worksheet,
    bulk: BulkRows,
    estimates: EstimateSet,
    table: pd.DataFrame,
    reckoned: tuple[Places, LiveLedger] | None,
    per: str | None,
) -> None:
    if per is not None:
        table = table.assign(**{f"price_per_{per}": unit_prices(estimates, per)})
    headings = [str(c) for c in table.columns]
    put_headings(sheet, 1, headings)
    added = {name: n for n, name in enumerate(headings, start=1) if n > _own_columns(headings)}
    money = money_format(estimates.ledger.digits)
    made = set(added.values())
    formats = {n: _FORMATS.get(name, "") for name, n in added.items()}
    formats |= {n: money for name, n in added.items() if name in _MONEY or "price_per" in name}
    styles = {n: bulk.style(sheet, text) for n, text in formats.items() if text}
    fills = {
        status: bulk.style(sheet, "General", fill=fill) for status, fill in STATUS_FILLS.items()
    }
    letters = {n: get_column_letter(n) for n in range(1, len(headings) + 1)}
    counted = None if per is None else delivered(estimates.orders, per)
    ends = mass_at_ends(estimates.orders, estimates.supply, estimates.mass_open)
    day = bulk.style(sheet, "yyyy-mm-dd")
    apart = bulk.style(sheet, "General", alignment=INDENT)
    for number, record in enumerate(table.itertuples(index=False, name=None)):
        row = bulk.row(sheet, number + 2)
        formulas = _formulas(number, added, estimates, reckoned, counted, ends)
        for column, value in enumerate(record, start=1):
            if column in formulas:
                row.formula(letters[column], formulas[column], float(value), styles[column])
            elif column == added["status"]:
                row.text(column, str(value), fills.get(str(value), 0))
            else:
                row.value(column, value, styles.get(column, apart if column in made else 0), day)
        row.end()
    shown = table.head(_SAMPLE)
    fit_widths(sheet, {n: [h, *(_short(v) for v in shown.iloc[:, n - 1])]
                       for n, h in enumerate(headings, start=1)})  # fmt: skip
    sheet.freeze_panes = "B2"
    sheet.auto_filter.ref = f"A1:{get_column_letter(len(headings))}{len(estimates) + 1}"


def _own_columns(headings: list[str]) -> int:
    """Return how many columns stand before the added ones."""
    return len(headings) - 1 - headings[::-1].index("status")


def _short(value: object) -> str:
    return f"{value:.4f}" if isinstance(value, float) else str(value)


def _formulas(
    number: int,
    added: Mapping[str, int],
    estimates: EstimateSet,
    reckoned: tuple[Places, LiveLedger] | None,
    counted: FloatArray | None,
    ends: tuple[FloatArray, FloatArray],
) -> dict[int, str]:
    """Formulas of what follows from other cells, by column; none where the mill is not told."""
    if reckoned is None or not estimates.ledger.priced[number]:
        return {}
    places, live = reckoned
    at = {name: f"{get_column_letter(column)}{number + 2}" for name, column in added.items()}
    row, digits, supply = places.row(number), estimates.ledger.digits, estimates.supply
    sheet = RECKONING
    quantity = f"{sheet}!{places.quantity}{row}"
    formulas = {
        name: f"{sheet}!{letter}{row}"
        for name, letter in (("cost", places.cost), ("price", places.price),
                             ("price_min", places.low), ("price_max", places.high))
    }  # fmt: skip
    formulas["unit_price"] = f"ROUND({at['price']}/{quantity},{digits})"
    if supply.gross_area_m2[number] > 0:
        formulas["yield_pct"] = f"{at['net_area_m2']}/{at['gross_area_m2']}*100"
        if live.adjustable[number]:
            asked = float(estimates.orders.quantity[number])
            for name in ("net_area_m2", "gross_area_m2"):
                each = float(getattr(supply, name)[number]) / asked
                formulas[name] = f"{each!r}*{quantity}"
    if estimates.mass_per_area_kg_m2[number] > 0:
        formulas["mass_kg"] = f"{at['mass_per_area_kg_m2']}*{at['net_area_m2']}"
        net = float(estimates.orders.net_mass_kg[number])
        for name, end in zip(("mass_min_kg", "mass_max_kg"), ends, strict=True):
            formulas[name] = f"{at['mass_kg']}*{float(end[number]) / net if net else 0.0!r}"
    if counted is not None and counted[number] > 0.0:
        count, asked = float(counted[number]), float(estimates.orders.quantity[number])
        by = f"{count / asked!r}*{quantity}" if live.adjustable[number] else repr(count)
        [name] = [name for name in added if name.startswith("price_per_")]
        formulas[name] = f"ROUND({at['price']}/({by}),{digits})"
    return {added[name]: formula for name, formula in formulas.items()}


#: From this column on what is told runs over several lines: what was read, and the message.
_WRAPPED_FROM = 4
_MESSAGE_WIDTHS = (10, 10, 16, 34, 110)


def _fill_messages(sheet: Worksheet, bulk: BulkRows, estimates: EstimateSet) -> None:
    put_headings(sheet, 1, ("line", "severity", "field", "read", "message"))
    names = line_names(estimates)
    said = sorted(estimates.log.by_line().items())
    plain = bulk.style(sheet, "General", alignment=TOP)
    wrapped = bulk.style(sheet, "General", alignment=WRAPPED)
    told = (
        (names[line], m.severity, m.field, m.read, m.text) for line, found_ in said for m in found_
    )
    for place in ("D1", "E1"):
        sheet[place].alignment = WRAPPED
    for number, cells in enumerate(told, start=2):
        row = bulk.row(sheet, number)
        for column, cell in enumerate(cells, start=1):
            row.value(column, cell, wrapped if column >= _WRAPPED_FROM else plain, plain)
        row.end(max(map(lines_of, cells[_WRAPPED_FROM - 1 :], _MESSAGE_WIDTHS[-2:])))
    for letter, width in zip("ABCDE", _MESSAGE_WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = width
    sheet.freeze_panes = "A2"


def _fill_data(sheet: Worksheet, estimates: EstimateSet, costs: bool) -> None:
    book, policy = estimates.book, estimates.policy
    put_headings(sheet, 1, ("what", "name", "date", "note"))
    put_rows(
        sheet,
        2,
        [
            ("price book", book.name, book.date, book.note),
            ("supply policy", policy.name, policy.date, policy.note),
            *(("plugin set aside", f.plugin, "", str(f)) for f in estimates.faults if costs),
            *(("rule", "", "", act) for act in estimates.ledger.acts if costs),
        ],
    )
    for cell in (*sheet["B"], *sheet["D"]):
        cell.alignment = WRAPPED
    for letter, width in zip("ABCD", (17, 38, 12, 82), strict=True):
        sheet.column_dimensions[letter].width = width
