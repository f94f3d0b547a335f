"""A comparison of alloys as text, for a terminal."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import numpy as np

from meshcore.alloys.methods.figures import figure
from meshcore.costing.money import minor_digits, money_text
from meshcore.enquiry import MUST_STAND

if TYPE_CHECKING:
    import pandas as pd

_NO_VALUE = "–"


def comparison_text(table: pd.DataFrame) -> str:
    """Write a comparison as text, with its cautions, for a terminal.

    Parameters
    ----------
    table
        From `meshcore.compare_alloys`.
    """
    heads = ("", "alloy", "verdict", "price", "per m²", "life, a", "per year", "margin", "reason")
    rows = [heads, *(_row(r) for r in table.to_dict("records"))]
    widths = [max(len(row[i]) for row in rows) for i in range(len(heads) - 1)]
    texts = (3, len(heads))
    lines = [
        "  ".join(
            cell.rjust(width) if texts[0] <= i < texts[1] else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, [*widths, 0], strict=True))
        ).rstrip()
        for row in rows
    ]
    currency = str(table["currency"].iloc[0]) if len(table) else ""
    key = (
        f"* cheapest that meets   + on the front of price against margin   prices in {currency}, "
        "margin in steps of its method (0 only just meets)"
    )
    rests_on = table.attrs.get("assumptions", ())
    taken = (
        ["", "What this rests on, and what would change a verdict:", *rests_on] if rests_on else []
    )
    said = [
        *table.attrs["messages"], *table.attrs.get("who_weaves", ()), *table.attrs["cautions"],
    ]  # fmt: skip
    papers = table.attrs.get("papers", ())
    asked = ["", "To be asked, and which paper proves it:", *papers] if papers else []
    carried = ["", carried_on(table)] if carried_on(table) else []
    return "\n".join([*lines, "", key, *said, *taken, *_over_years(table), *asked, *carried])


def carried_on(table: pd.DataFrame) -> str:
    """Say how the service goes with a line to its quotation; empty where none is stated."""
    text = table.attrs.get(MUST_STAND, "")
    return f'To carry this service to a quotation, write in {MUST_STAND}: "{text}"' if text else ""


#: Alloys whose cost over the years is printed.
_MOST_COSTED = 8


def _over_years(table: pd.DataFrame) -> list[str]:
    """Write what the cheapest over the years wanted cost, where cloth would be replaced at all."""
    costed = table[table["cost_over_years"].notna()].sort_values("cost_over_years", kind="stable")
    if not (costed["replacements"] > 0.0).any():
        return []
    digits = minor_digits(str(table["currency"].iloc[0]))
    lines = ["", "Over the years wanted, in money of today, the cheapest first:"]
    for row in costed.head(_MOST_COSTED).to_dict("records"):
        even = float(row["break_even_years"])
        after = "" if np.isnan(even) or not even else f", even with the cheapest after {even:.3g} a"
        again = f"{row['replacements']:g} times replaced"
        over, yearly = (money_text(float(row[c]), digits=digits)
                        for c in ("cost_over_years", "cost_per_year"))  # fmt: skip
        lines.append(f"{row['alloy']} ({row['verdict']}): {over}, {again}, {yearly} a year{after}")
    return lines


def _row(cells: dict[object, object]) -> tuple[str, ...]:
    def number(column: str, pattern: Callable[[float], str]) -> str:
        value = float(str(cells[column]))
        # Nought has no sign, and a life is no power of ten.
        return _NO_VALUE if np.isnan(value) else pattern(value)

    def money(column: str) -> str:
        value = float(str(cells[column]))
        return _NO_VALUE if np.isnan(value) else money_text(value, digits=digits)

    digits = minor_digits(str(cells["currency"]))
    marks = ("*" if cells["cheapest_that_meets"] else "") + ("+" if cells["on_front"] else "")
    return (
        marks,
        str(cells["alloy"]),
        str(cells["verdict"]),
        money("price"),
        money("price_per_m2"),
        number("life_years", figure),
        money("cost_per_year"),
        number("corrosion_margin", lambda v: f"{round(v, 1) + 0.0:+.1f}"),
        str(cells["reason"]),
    )
