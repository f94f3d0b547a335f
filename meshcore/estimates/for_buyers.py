"""Priced lists as they may be looked at by those who are not to know what a line costs the mill."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.ledger import Ledger, WorkedItems
from meshcore.enquiry import COLUMNS, SET_PRICE
from meshcore.messages import Message, MessageLog
from meshcore.reading.tables.heading_words import folded, folded_words
from meshcore.reading.tables.headings import Headings, priced_from
from meshcore.reading.texts import is_blank
from meshcore.reading.vocabulary import follows_words

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


def for_others(estimates: EstimateSet, keep: Iterable[str] = ()) -> EstimateSet:
    """Return a priced list as it may leave the mill: what `without_costs` keeps, and less columns.

    Parameters
    ----------
    estimates
        The list. Prices set on its lines stay the prices of the lines.
    keep
        Headings of further columns that may leave.

    Returns
    -------
    The list without costs. Of the enquiry's columns it has those that are read, and those whose
    headings are the buyer's own names and numbers for a line; what an earlier pricing added and
    what the price was told by hand is left out, and a note that speaks of costs. What is said of
    such a cell is withheld, and so is what the price book and the supply policy note.
    """
    told = without_costs(estimates) if tells_costs(estimates) else estimates
    told = without_notes(told)
    names = [str(name) for name in told.enquiries.columns]
    left = frozenset(_left_out(told, keep))
    noted = _notes_of_costs(told)
    if not left and not noted:
        return told
    log = MessageLog(len(told))
    hidden = {names[place] for place in left}
    for row, said in told.log.by_line().items():
        secret = {noted[row]} if row in noted else set[str]()
        for message in dict.fromkeys(
            _withheld(m) if _tells_of(m, hidden, secret) else m for m in said
        ):
            if message is not None:
                log.add([row], message)
    kept = [place for place in range(len(names)) if place not in left]
    return replace(
        told,
        enquiries=_less_notes(told, noted).iloc[:, kept],
        headings=_placed_anew(told.headings, kept, hidden),
        log=log,
    )


def withheld_columns(estimates: EstimateSet, keep: Iterable[str] = ()) -> tuple[str, ...]:
    """Return the headings of the columns that `for_others` leaves out, in their order."""
    names = [str(name) for name in estimates.enquiries.columns]
    return tuple(names[place] for place in _left_out(estimates, keep))


def without_notes(estimates: EstimateSet) -> EstimateSet:
    """Return a priced list whose price book and supply policy have a name and a date alone."""
    book, policy = estimates.book, replace(estimates.policy, note="")
    return replace(estimates, book=replace(book, note=""), policy=policy)


def _left_out(estimates: EstimateSet, keep: Iterable[str]) -> list[int]:
    """Return the places of columns that are the mill's own, or may be: none is known to be not."""
    headings = estimates.headings
    read = {*headings.column.values(), *(h for more in headings.more.values() for h in more)}
    names, named = [str(name) for name in estimates.enquiries.columns], {*map(folded, keep)}
    own = priced_from(names)
    return [
        place for place, name in enumerate(names)
        if folded(name) not in named and (
            place >= own
            or not (name in read or place in headings.doubled or _is_the_buyers(name))
            or (tells_of_costs(name) and not _is_the_buyers(name))
        )
    ]  # fmt: skip


def _is_the_buyers(heading: str) -> bool:
    """Whether all words of a heading are of names and numbers that a buyer gives a line."""
    return _only("heading_of_buyers").fullmatch(folded(heading)) is not None


def tells_of_costs(text: str) -> bool:
    """Whether a heading or a note is of costs, of margins or of prices to reach."""
    words = folded_words("heading_of_costs")
    found = _any("heading_of_costs").finditer(folded(text))
    return any(words[each.group()] == "costs" for each in found)


def _words_of(topic: str) -> str:
    """Return the words of a topic as a choice, the longest first: a cost centre is no cost."""
    return "|".join(map(re.escape, sorted(folded_words(topic), key=len, reverse=True)))


@cache
def _only(topic: str) -> re.Pattern[str]:
    words = _words_of(topic)
    return re.compile(rf"(?:{words})(?: (?:{words}))*")


@cache
def _any(topic: str) -> re.Pattern[str]:
    return re.compile(rf"\b(?:{_words_of(topic)})\b")


# A list has a note a line, and a million lines.
follows_words(_only.cache_clear)
follows_words(_any.cache_clear)


def _notes_of_costs(estimates: EstimateSet) -> dict[int, str]:
    """Return the note of each line whose note speaks of costs, by row."""
    place = _note_place(estimates)
    if place is None:
        return {}
    notes = estimates.enquiries.iloc[:, place].map(str).tolist()
    return {row: note for row, note in enumerate(notes) if tells_of_costs(note)}


def _note_place(estimates: EstimateSet) -> int | None:
    heading = estimates.headings.column.get("note")
    names = [str(name) for name in estimates.enquiries.columns]
    return None if heading is None else names.index(heading)


def _less_notes(estimates: EstimateSet, noted: Mapping[int, str]) -> pd.DataFrame:
    table, place = estimates.enquiries, _note_place(estimates)
    if place is None or not noted:
        return table
    kept = table.copy(deep=False)
    notes = table.iloc[:, place].tolist()
    kept.isetitem(place, ["" if row in noted else note for row, note in enumerate(notes)])
    return kept


def _tells_of(message: Message, hidden: Set[str], secret: Set[str]) -> bool:
    """Whether a message is of a column that is left out, or tells a note that is."""
    told = (message.read, message.text)
    return (
        message.field in hidden
        or any(f'"{name}"' in message.text for name in hidden)
        or (bool(secret) and (message.field == "note" or any(n in t for n in secret for t in told)))
    )  # fmt: skip


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
