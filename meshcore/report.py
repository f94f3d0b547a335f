"""Estimates as plain text, for the terminal and for logs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from meshcore import plugins
from meshcore.cells import column_under
from meshcore.quantities import is_blank, tidy
from meshcore.quantity_columns import cell_texts
from meshcore.summary import list_totals

if TYPE_CHECKING:
    from meshcore.results import EstimateSet

#: Stands with every result, on screen, in print and in the workbook.
CAUTION = (
    "Estimates are for budgeting and quoting. Whether cloth suits a load, a guard, food contact or "
    "a corrosive service is for local codes and licensed practice to decide, and for test in "
    "service. Cut wire edges are sharp: handle with gloves."
)


#: Said of a list that has headings and nothing below them.
NO_LINES = "The list has no lines: there is nothing below its headings. Fill in a line an item."


def money(amount: float, currency: str, digits: int) -> str:
    """Write an amount with thousands apart and its currency.

    Examples
    --------
    >>> money(12345.5, "EUR", 2)
    '12,345.50 EUR'
    """
    return "no price" if math.isnan(amount) else f"{amount:,.{digits}f} {currency}"


def list_summary(found: EstimateSet, output: str) -> str:
    """Tell how many lines were priced, and with which data."""
    totals = list_totals(found)
    price = money(totals.price, totals.currency, totals.digits)
    rows = [
        f"{totals.lines} lines: {totals.ok} ok, {totals.review} to review, "
        f"{totals.refused} refused."
        if totals.lines
        else NO_LINES,
        f"Total of the priced lines: {price}.",
        f"Price book: {book_text(found)}.",
        f"Supply policy: {policy_text(found)}.",
    ]
    renamed = found.headings.renamed
    if renamed:
        read_as = ", ".join(f'"{h}" as {name}' for h, name in renamed.items())
        rows.append(f"Headings read: {read_as}.")
    if found.headings.unknown:
        rows.append(f"Passed through untouched: {', '.join(found.headings.unknown)}.")
    rows.extend(_second_columns(found))
    rows.extend(str(fault) for fault in found.faults)
    return "\n".join([*rows, f"Wrote {output}.", CAUTION])


def _second_columns(found: EstimateSet) -> list[str]:
    """Tell of each second column for a thing, where it says other than the column that is read."""
    said = []
    for place, name in found.headings.doubled.items():
        heading = found.headings.column[name]
        first = cell_texts(column_under(found.enquiries, heading))
        second = cell_texts(found.enquiries.iloc[:, place])
        if any(not is_blank(s) and tidy(f) != tidy(s) for f, s in zip(first, second, strict=True)):
            own = found.enquiries.columns[place]
            said.append(
                f'Two columns for {name}: "{heading}" is read, "{own}" is not, and they differ. '
                "Leave one out."
            )
    return said


def book_text(found: EstimateSet) -> str:
    """Name the price book, with its date and note."""
    return f"{found.book.name} ({found.book.date}; {found.book.note})"


def policy_text(found: EstimateSet) -> str:
    """Name the supply policy, with its date and note."""
    return f"{found.policy.name} ({found.policy.date}; {found.policy.note})"


def refusals(found: EstimateSet) -> str:
    """Name each refused line with its reasons; empty where none was refused."""
    stopped = found.log.refused()
    if not stopped.any():
        return ""
    rows = [f"{int(stopped.sum())} of {len(found)} lines refused:"]
    said = found.log.by_line()
    for row in stopped.nonzero()[0].tolist():
        reasons = [str(m) for m in said[row] if m.severity == "refused"]
        rows.append(f"  {_line_name(found, row)}: {'; '.join(reasons)}")
    return "\n".join(rows)


def _line_name(found: EstimateSet, row: int) -> str:
    heading = found.headings.column.get("line")
    if heading is None:
        return f"row {row + 1}"
    return f"line {column_under(found.enquiries, heading).iloc[row]} (row {row + 1})"


def plugin_report() -> str:
    """Plugins that loaded, from where, what they bring, and those that failed."""
    from meshcore.alloys.registry import installed_registry  # noqa: PLC0415 - loads every plugin
    from meshcore.contributions import gather  # noqa: PLC0415

    found = plugins.installed()
    brought = gather(found)
    rows = []
    for record in found.records:
        rows.append(f"{record.name}  ({record.distribution} {record.version})")
        rows.append(f"    from  {record.location}")
        rows.extend(
            f"    {hook}: {', '.join(names)}"
            for hook, names in brought.get(record.name, {}).items()
        )
    faults = found.faults()
    rows.extend(f"clash: {clash}" for clash in installed_registry().clashes)
    rows += ["", f"{len(found.records)} plugins loaded, {len(faults)} faults."]
    rows.extend(f"  {fault}" for fault in faults)
    return "\n".join(rows)
