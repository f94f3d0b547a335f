"""Estimates as plain text, for the terminal and for logs."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from meshcore import plugins
from meshcore.costing.money import minor_digits

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.results import Estimate, EstimateSet

#: Stands with every result, on screen, in print and in the workbook.
CAUTION = (
    "Estimates are for budgeting and quoting. Whether cloth suits a load, a guard, food contact or "
    "a corrosive service is for local codes and licensed practice to decide, and for test in "
    "service. Cut wire edges are sharp: handle with gloves."
)
_LABEL_WIDTH = 22


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
    status = found.log.rank()
    counts = {name: int((status == n).sum()) for n, name in enumerate(("ok", "review", "refused"))}
    digits = minor_digits(found.book.currency)
    total = float(found.ledger.price[~found.log.refused()].sum())
    rows = [
        f"{len(found)} lines: {counts['ok']} ok, {counts['review']} to review, "
        f"{counts['refused']} refused.",
        f"Total of the priced lines: {money(total, found.book.currency, digits)}.",
        f"Price book: {book_text(found)}.",
        f"Supply policy: {policy_text(found)}.",
    ]
    renamed = found.headings.renamed
    if renamed:
        read_as = ", ".join(f'"{h}" as {name}' for h, name in renamed.items())
        rows.append(f"Headings read: {read_as}.")
    if found.headings.unknown:
        rows.append(f"Passed through untouched: {', '.join(found.headings.unknown)}.")
    rows.extend(str(fault) for fault in found.faults)
    return "\n".join([*rows, f"Wrote {output}.", CAUTION])


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
    return f"line {found.enquiries[heading].iloc[row]} (row {row + 1})"


def estimate_text(one: Estimate) -> str:
    """One estimate as a page of text: specification, mass, price and how it is made up."""
    row, found = _row(one), one.found
    flat = float(found.flat_rule_mass_per_area_kg_m2()[0])
    own = float(found.mass_per_area_kg_m2[0])
    digits, currency = minor_digits(found.book.currency), found.book.currency
    facts = {
        "Status": one.status,
        "Mesh count": f"{row['mesh_count_per_in']:.4g} per in",
        "Pitch": f"{row['pitch_mm']:.4g} mm",
        "Aperture": f"{row['aperture_mm']:.4g} mm",
        "Wire diameter": f"{row['wire_diameter_mm']:.4g} mm",
        "Open area": f"{row['open_area_pct']:.1f} %",
        "Weave": f"{row['weave']}, wire {row['path_ratio']:.4f} times the cloth's length",
        "Thickness": f"{row['thickness_mm']:.3g} mm",
        "Density": f"{row['density_kg_m3']:.0f} kg/m³",
        "Mass per area": f"{own:.4f} kg/m² (flat 3 % rule: {flat:.4f}, {flat / own - 1:+.2%})",
        "Area": f"{row['net_area_m2']:.3f} m² from {row['gross_area_m2']:.3f} m² of cloth "
        f"({row['yield_pct']:.1f} %)",
        "Mass": f"{row['mass_kg']:.1f} kg ({row['mass_min_kg']:.1f} to {row['mass_max_kg']:.1f})",
        "Price": f"{money(one.price, currency, digits)} "
        f"({money(row['price_min'], currency, digits)} to "
        f"{money(row['price_max'], currency, digits)} at the delivery tolerances)",
        "Price each": money(float(row["unit_price"]), currency, digits),
        "Price book": book_text(found),
    }
    rows = [f"{label:<{_LABEL_WIDTH}}{text}" for label, text in facts.items() if "nan" not in text]
    rows.extend(f"{m.severity}: {m}" for m in one.messages)
    if one.status != "refused":
        rows += ["", items_text(one.cost_items, digits)]
    rows.extend(str(fault) for fault in found.faults)
    return "\n".join([*rows, "", CAUTION])


def _row(one: Estimate) -> dict[str, Any]:
    return {str(name): cell for name, cell in one.row.items()}


def items_text(items: pd.DataFrame, digits: int) -> str:
    """Cost items as a table whose amounts add up."""
    heads = f"{'stage':<20}{'item':<28}{'quantity':>14} {'unit':<10}{'rate':>12}{'amount':>14}"
    rows = [heads, "-" * len(heads)]
    rows.extend(
        f"{i['stage']:<20}{i['label'][:27]:<28}{i['quantity']:>14,.4g} {i['unit'][:9]:<10}"
        f"{i['rate']:>12.5g}{i['amount']:>14,.{digits}f}"
        for i in items.to_dict("records")
    )
    rows.append(f"{'':<20}{'total':<64}{items['amount'].sum():>14,.{digits}f}")
    return "\n".join(rows)


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
