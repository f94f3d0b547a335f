"""A line's part of what several lines share, in words and figures, to redo it by hand."""

from __future__ import annotations

import numpy as np

from meshcore.costing.ledger import LedgerItem
from meshcore.costing.money import minor_digits, money_text

#: What an amount is of that several lines share.
SHARED = {
    "order": "its order",
    "cloth": "its order in this cloth",
    "warp": "its warp",
}
#: Significant figures of what an amount is shared by.
_FIGURES = 9


def share_text(item: LedgerItem, line: int, currency: str) -> str:
    """Say what a line's amount is a part of, and how the part is reckoned.

    Parameters
    ----------
    item
        What was shared.
    line
        Row number.
    currency
        Of the price book.

    Returns
    -------
    Total, what it is shared by, and the line's part; empty where the line shares with none.
    """
    shares = item.shares
    if shares is None:
        return ""
    lines = np.flatnonzero(shares.group == shares.group[line])
    weight = shares.weight[lines]
    alike = not weight.sum() > 0.0
    if alike:
        weight = np.ones(len(lines))
    lines, weight = lines[weight > 0.0], weight[weight > 0.0]
    if len(lines) < 2 or line not in lines:  # noqa: PLR2004 - a line alone shares with none
        return ""
    unit = "lines" if alike else shares.unit
    own_minor = float(item.minor[line])
    scale = 10.0 ** minor_digits(currency)
    total, sign = float(shares.minor[line]), -1.0 if own_minor < 0.0 else 1.0

    def money(minor: float) -> str:
        return money_text(sign * minor / scale, currency)

    def amount(value: float) -> str:
        if shares.by_value and not alike:
            return money_text(value / scale, currency)
        return f"{value:.{_FIGURES}g} {unit}".rstrip()

    counted = "" if item.base or item.unit == item.per else (
        f" for {item.whole[line]:.{_FIGURES}g} {item.unit}"
    )  # fmt: skip
    by = " equally" if alike else " by value so far" if shares.by_value else ""
    said = (
        f"the line's part of {money(total)}{counted} of {SHARED[item.per]}, shared over "
        f"{len(lines)} lines{by}"
    )
    running, at = np.cumsum(weight), int(np.searchsorted(lines, line))
    if np.floor(total * weight[at] / running[-1] + 0.5) == abs(own_minor):
        return (
            f"{said}: {money(total)} × {amount(weight[at])} ÷ {amount(running[-1])} = "
            f"{money(abs(own_minor))}"
        )
    reached = np.floor(total * (running / running[-1]) + 0.5)
    return (
        f"{said}, rounded down the list so that nothing is lost: {money(total)} × "
        f"{amount(running[at])} through this line ÷ {amount(running[-1])} = {money(reached[at])}, "
        f"less {money(reached[at] - abs(own_minor))} of the lines before"
    )
