"""What a figure of a price book can be at all, so that a slip is caught as the book is read."""

from __future__ import annotations

from meshcore.costing.book.price_book import Rate
from meshcore.costing.stages import STAGES

#: Nothing in a price book is dearer, or more, in any currency and unit (common sense, no source);
#: it keeps the sums of a line within what can be added up to the cent.
MOST_AMOUNT = 1e9
#: Last words of keys whose shares stay below the whole; none of them can be 100 %.
_BELOW_WHOLE = ("scrap", "discount", "rebate", "commission")
#: Last words of keys that quantities are divided by.
_DIVIDES = ("picks_per_minute", "ends_per_hour", "warp_length", "pallet_load")
_EFFICIENCY = "efficiency"
_UNCERTAINTY, _OVERHEAD, _MARGIN = "uncertainty.", "overhead.share", "margin.share"
_TAXES = ("tax.rate", "tax.destination.")
_AS_PERCENT = "Write 75 % as 75 with the unit %."
_BEFORE_OVERHEAD = STAGES[: STAGES.index("overhead")]


def amount_astray(rate: Rate) -> str:
    """Say why a row's amount cannot be meant; empty if it can.

    Parameters
    ----------
    rate
        A row whose unit was read and whose amount is a number.

    Examples
    --------
    >>> from datetime import date
    >>> slip = Rate(key="weaving.efficiency", amount=75.0, unit="", date=date(2026, 10, 1), note="")
    >>> amount_astray(slip)[:77]
    'an efficiency is above 0 and at most 100 %. Write 75 % as 75 with the unit %.'
    >>> amount_astray(slip)[78:]
    'Its unit is blank, so it is read as 7500 %.'
    """
    word = rate.key.rpartition(".")[2]
    per = rate.per
    share = rate.amount * per.factor
    is_share = per.name == "" and not rate.currency
    if (per.name.startswith("1/") or word in _DIVIDES) and not rate.amount > 0.0:
        return "quantities are divided by it, so it is above 0."
    if not is_share:
        return ""
    if rate.key.startswith(_UNCERTAINTY):
        return "" if share < 1.0 else f"an uncertainty is below 100 %. {_AS_PERCENT}"
    if word == _EFFICIENCY and not 0.0 < share <= 1.0:
        return f"an efficiency is above 0 and at most 100 %. {_AS_PERCENT}{_unit_blank(rate)}"
    below_whole = word in _BELOW_WHOLE or rate.key.startswith(_TAXES) or rate.base == "price"
    if below_whole and share >= 1.0:
        return f"this share is below 100 %. {_AS_PERCENT}{_unit_blank(rate)}"
    return ""


def _unit_blank(rate: Rate) -> str:
    if rate.unit:
        return ""
    return f" Its unit is blank, so it is read as {100.0 * rate.amount:g} %."


def base_astray(rate: Rate) -> str:
    """Say why a row cannot be a share of its base; empty if it can."""
    names = rate.base.split(", ") if rate.base else []
    if rate.key == _OVERHEAD and any(n not in (*_BEFORE_OVERHEAD, "subtotal") for n in names):
        return (
            f"an overhead is a share of stages before it ({', '.join(_BEFORE_OVERHEAD)}), "
            "or of subtotal."
        )
    if rate.key == _MARGIN and rate.base not in ("", "cost", "price"):
        return "a margin is a share of cost or of price."
    return ""
