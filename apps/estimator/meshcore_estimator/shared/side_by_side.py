"""Two estimates side by side: the core's comparison as a table."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Any

import pandas as pd

from meshcore.costing.money import minor_digits
from meshcore_estimator.shared.numbers import amount, percent, short
from meshcore_estimator.shared.parts import Cell, lines, soft, table

_SIDES = ("first", "second")


def comparison(
    compared: pd.DataFrame, currency: str, names: tuple[str, str], only_changed: bool = False
) -> str:
    """Return the items of two estimates with their differences, as HTML.

    Parameters
    ----------
    compared
        From the core: items in order, the total last.
    currency
        ISO 4217 code of the amounts.
    names
        Headings of the two.
    only_changed
        Whether to leave out items that are the same in both.
    """
    digits = minor_digits(currency)
    items, total = compared.iloc[:-1], compared.iloc[-1]
    if only_changed:
        items = items[items["difference"] != 0]
    lined = "line" in compared and items["line"].nunique() > 1
    rows = [_row(item, currency, digits, lined) for item in items.to_dict("records")]
    foot = ["Price", *(amount(total[f"amount_{side}"], digits) for side in _SIDES),
            signed(total["difference"], digits)]  # fmt: skip
    headings = ("Item", *(f"{name} [{currency}]" for name in names), "Difference")
    return table(headings, rows, numeric=(1, 2, 3), foot=[foot])


def _row(item: Mapping[Hashable, Any], currency: str, digits: int, lined: bool) -> tuple[Cell, ...]:
    where = f"line {int(item['line']) + 1:d}, {item['stage']}" if lined else str(item["stage"])
    return (
        lines(str(item["label"]), soft(where)),
        *(_side(item, side, currency, digits) for side in _SIDES),
        signed(item["difference"], digits),
    )


def _side(item: Mapping[Hashable, Any], side: str, currency: str, digits: int) -> Cell:
    unit, quantity, rate = (item[f"{name}_{side}"] for name in ("unit", "quantity", "rate"))
    if not unit:
        return "–"
    if unit != currency:
        arithmetic = f"{short(quantity, 5)} {unit} × {short(rate, 5)}"
    else:
        arithmetic = "" if rate == 1.0 else f"{amount(quantity, digits)} × {percent(rate, 2)}"
    return lines(amount(item[f"amount_{side}"], digits), soft(arithmetic) if arithmetic else "")


def book_changes(changes: pd.DataFrame) -> str:
    """Return what one book changes in another, as HTML.

    Parameters
    ----------
    changes
        From the core: one row a change.
    """
    rows = [
        (
            lines(str(change["what"]), soft(f"{change['table']}, {change['column']}")),
            lines(str(change["saved"]) or soft("not there")),
            lines(str(change["edited"]) or soft("taken out")),
        )
        for change in changes.to_dict("records")
    ]
    return table(("What", "From", "To"), rows)


def signed(value: float, digits: int) -> str:
    """Write a difference with its sign; nothing where there is none.

    Examples
    --------
    >>> signed(-1250.5, 2), signed(0.0, 2)
    ('−1,250.50', '')
    """
    return f"{value:+,.{digits}f}".replace("-", "−") if value else ""
