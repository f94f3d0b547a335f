"""The arithmetic of every item in words and figures, for a clerk to redo by hand."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from itertools import groupby

import numpy as np

from meshcore.costing.items import Term, term_values
from meshcore.costing.ledger import Ledger, LedgerItem
from meshcore.costing.money import money_text
from meshcore.costing.shares import SHARED, share_text

#: Decimals tried for a quantity, fewest first, until the product rounds to the amount.
_DECIMALS = range(2, 15)
#: Significant figures of the terms that a quantity is reckoned from, and of a rate.
_TERM_FIGURES, _RATE_FIGURES = 9, 12


def explain_line(ledger: Ledger, line: int) -> str:
    """Write out how a line's price is made up.

    Parameters
    ----------
    ledger
        That the line belongs to.
    line
        Row number.

    Returns
    -------
    Plain text: for each item how its quantity is reckoned, quantity × rate = amount with as many
    figures as it takes to redo it to the minor unit, and where the rate comes from; sums by stage;
    cost and price.
    """
    if not ledger.priced[line]:
        return "No price: see the messages of the line."
    arising = [item for item in ledger.items if item.minor[line] != 0.0]
    parts: list[str] = []
    for stage, items in groupby(arising, key=lambda item: item.stage):
        held = list(items)
        parts.append(f"{stage.capitalize()}")
        for item in held:
            parts += _item_text(ledger, item, line)
        parts.append(f"  = {stage} {_money(ledger, sum(i.minor[line] for i in held))}")
    parts.append(f"Cost (through overhead) {_money(ledger, ledger.cost_minor[line])}")
    parts.append(f"Price (all items) {_money(ledger, ledger.price_minor[line])}")
    parts += [f"Note: {act}." for act in ledger.acts]
    parts += [f"Set aside: {fault}." for fault in ledger.faults]
    return "\n".join(parts)


def _item_text(ledger: Ledger, item: LedgerItem, line: int) -> list[str]:
    quantity, rate = _figures(ledger, item, line)
    per = f"{ledger.currency} per {item.unit}" if not item.base else ""
    in_money = item.unit == ledger.currency
    counted = (
        money_text(float(item.quantity[line]), ledger.currency)
        if in_money
        else f"{quantity} {item.unit}"
    )
    rows = [f"  {item.label} ({item.driver})", *_base_text(ledger, item, line)]
    if item.working:
        terms = {name: _term(values, line) for name, values in item.terms.items()}
        rows.append(f"      {item.working.format(**terms)}")
    amount = _money(ledger, item.minor[line])
    rows.append(f"      {counted} × {rate}{' ' + per if per else ''} = {amount}")
    if item.top_up:
        target = money_text(float(item.target[line]), ledger.currency)
        rows.append(f"      {_together(ledger, item, line)}{item.top_up} to {target}")
    if text := share_text(item, line, ledger.currency):
        rows.append(f"      {text}")
    origin = item.origins(np.array([line]))[0]
    rows.append(f"      rate: {origin or 'not stated'}")
    for used in item.uses:
        in_book = any(rate.currency for group in used.groups for rate in group.rates)
        money = f"{used.currency} per " if in_book else ""
        figure = f"{float(used.values[line]):.{_TERM_FIGURES}g} {money}{used.unit}".rstrip()
        origin = used.origins(np.array([line]))[0] or "since the price book has none"
        rows.append(f"      {used.key}: {figure}, {origin}")
    rows.append(f"      by rule {item.rule}, plugin {item.plugin}")
    return rows


def _base_text(ledger: Ledger, item: LedgerItem, line: int) -> list[str]:
    """Write what the base of a share holds, item by item."""
    if not item.base:
        return []
    held = []
    for other in ledger.items:
        if other is item:
            break
        if other.minor[line] and ("subtotal" in item.base or other.stage in item.base):
            amount = money_text(other.minor[line] / 10.0**ledger.digits, digits=ledger.digits)
            held.append(f"{other.label} {amount}")
    return [f"      of {' + '.join(held)}"] if held else []


def _together(ledger: Ledger, item: LedgerItem, line: int) -> str:
    """Say what several lines come to that are brought to a target together."""
    if item.shares is None:
        return ""
    come_to = float(item.target[line]) - item.shares.minor[line] / 10.0**ledger.digits
    return f"{SHARED[item.per]} comes to {money_text(come_to, ledger.currency)}; "


def _figures(ledger: Ledger, item: LedgerItem, line: int) -> tuple[str, str]:
    """Quantity and rate with as few decimals as still round to the amount."""
    cent = Decimal(1).scaleb(-ledger.digits)
    amount = Decimal(int(item.minor[line])).scaleb(-ledger.digits)
    rate = f"{item.rate[line]:.{_RATE_FIGURES}g}"
    texts = [f"{item.quantity[line]:.{places}f}" for places in _DECIMALS]
    for text in texts:
        if (Decimal(text) * Decimal(rate)).quantize(cent, ROUND_HALF_UP) == amount:
            return text, rate
    return texts[-1], rate


def _term(term: Term, line: int) -> str:
    held = np.asarray(term_values(term))
    return f"{float(held[line] if held.ndim else held):.{_TERM_FIGURES}g}"


def _money(ledger: Ledger, minor: float) -> str:
    return money_text(float(minor) / 10.0**ledger.digits, ledger.currency)
