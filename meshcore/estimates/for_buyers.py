"""Priced lists as they may be looked at by those who are not to know what a line costs the mill."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.ledger import Ledger, WorkedItems
from meshcore.enquiry import COLUMNS, SET_PRICE
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.heading_words import folded, folded_words
from meshcore.reading.tables.headings import Headings, priced_from
from meshcore.reading.texts import is_blank

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.estimates.results import EstimateSet

#: Rooms of messages that tell of costs, rates and rules.
OF_THE_MILL = ("book.", "price.", "rule.")
#: Codes of what stands in place of such a message.
WITHHELD = ("price.withheld", "price.none_told")
_NOT_TRIED = (
    "a price or margin is tried only by those who may see costs. The price is the price book's."
)


def tells_costs(estimates: EstimateSet) -> bool:
    """Whether a priced list knows what its lines cost."""
    return not bool(np.isnan(estimates.ledger.cost_minor).any())


def without_set_prices(lines: pd.DataFrame) -> tuple[pd.DataFrame, dict[int, str]]:
    """Return lines with no price or margin set on them, and what was set, by row.

    A margin of nothing would be answered with the cost.
    """
    kept, tried = lines, dict[int, str]()
    for place, heading in enumerate(lines.columns):
        if str(heading) != SET_PRICE:
            continue
        texts = ["" if is_blank(str(cell)) else str(cell) for cell in lines.iloc[:, place]]
        tried |= {row: text for row, text in enumerate(texts) if text}
        kept = kept.copy(deep=False)
        kept.isetitem(place, [""] * len(lines))
    return kept, tried


def for_others(estimates: EstimateSet) -> EstimateSet:
    """Return a priced list as it may leave the mill: what `without_costs` keeps, and less columns.

    Parameters
    ----------
    estimates
        The list. Prices set on its lines stay the prices of the lines.

    Returns
    -------
    The list without costs, and without the columns of the enquiry that tell of costs, margins or
    prices to reach, or that an earlier pricing added. What is said of such a column is withheld.
    """
    told = without_costs(estimates) if tells_costs(estimates) else estimates
    names = [str(name) for name in told.enquiries.columns]
    left = frozenset(place for place, tells in enumerate(_tell_costs(names)) if tells)
    if not left:
        return told
    log = MessageLog(len(told))
    hidden = {names[place] for place in left}
    for row, said in told.log.by_line().items():
        for message in dict.fromkeys(_withheld(m) if m.field in hidden else m for m in said):
            if message is not None:
                log.add([row], message)
    kept = [place for place in range(len(names)) if place not in left]
    return replace(
        told,
        enquiries=told.enquiries.iloc[:, kept],
        headings=_placed_anew(told.headings, kept, hidden),
        log=log,
    )


def _tell_costs(headings: Sequence[str]) -> list[bool]:
    """Whether each heading is of costs, of prices to reach, or of an earlier pricing."""
    own = priced_from(headings)
    return [place >= own or _is_of_costs(heading) for place, heading in enumerate(headings)]


def _is_of_costs(heading: str) -> bool:
    words = folded_words("heading_of_costs")
    # The longest first, so that a cost centre is not taken for a cost.
    said = sorted(words, key=len, reverse=True)
    found = re.search(rf"\b(?:{'|'.join(map(re.escape, said))})\b", folded(heading))
    return found is not None and words[found.group()] == "costs"


def _placed_anew(headings: Headings, kept: Sequence[int], hidden: set[str]) -> Headings:
    """Return what columns mean where only some of them are left."""
    places = {old: new for new, old in enumerate(kept)}
    return replace(
        headings,
        unknown=tuple(name for name in headings.unknown if name not in hidden),
        doubled={places[n]: name for n, name in headings.doubled.items() if n in places},
        doubled_unit={places[n]: unit for n, unit in headings.doubled_unit.items() if n in places},
    )


def without_costs(estimates: EstimateSet, tried: Mapping[int, str] | None = None) -> EstimateSet:
    """Return a priced list that knows prices, and no cost, rate or rule.

    Parameters
    ----------
    estimates
        The list, priced from lines without set prices.
    tried
        What was set on lines all the same, by row; it is said there that it counts for nothing.

    Returns
    -------
    The list as it was, but: its ledger has no items and no number for a cost, what plugins did is
    not told, and each message on costs is put in words that tell none. Lines stand as they stood.
    Files written of it have neither costs nor rates, whatever is asked for.
    """
    ledger = estimates.ledger
    unknown = np.full(len(ledger.priced), np.nan)
    log = MessageLog(len(estimates))
    for row, said in estimates.log.by_line().items():
        for message in dict.fromkeys(map(_told, said)):
            if message is not None:
                log.add([row], message)
    for row, text in (tried or {}).items():
        log.add([row], Message(SET_PRICE, text, _NOT_TRIED, "review", code="price.not_tried"))
    return replace(
        estimates,
        log=log,
        faults=tuple(replace(f, error="the mill is to look at it") for f in estimates.faults),
        ledger=Ledger(
            priced=ledger.priced, currency=ledger.currency, digits=ledger.digits,
            cost_minor=unknown, before_tax_minor=ledger.before_tax_minor,
            price_minor=ledger.price_minor, faults=(), acts=(), item_source=WorkedItems(()),
        ),
    )  # fmt: skip


def _told(message: Message) -> Message | None:
    """Return a message in words for everybody; None where it is the mill's business alone."""
    return _withheld(message) if message.code.startswith(OF_THE_MILL) else message


def _withheld(message: Message) -> Message | None:
    """Return what stands in place of a message that tells of costs; nothing for a note."""
    if message.severity == "note":
        return None
    if message.severity == "review":
        text = "the mill has something to look at before this price is given to anybody."
        return Message("price", "", text, "review", code="price.withheld")
    text = "the mill's price book makes no price of this line. Ask whoever estimates."
    if message.field in COLUMNS:
        return Message(message.field, message.read, text, code="price.none_told")
    return Message("price", "", text, code="price.none_told")
