"""What is open of a priced line: what is not in its price, and what is still to be confirmed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from meshcore.documents.buyers_words import buyers_headings
from meshcore.documents.facts import Doubt, Quotation
from meshcore.estimates.results import EstimateSet
from meshcore.messages import Message, writable
from meshcore.reading.vocabulary import fold

#: Codes of what is said of a thing that is asked for and is in no price.
_NOT_IN_PRICE = frozenset({
    "services.unknown", "services.unsure", "services.cut_not_needed", "services.nothing_to_charge",
    "services.without_charge", "remark.not_read", "column.not_read",
})  # fmt: skip
#: Codes of what a document tells in another way, or is the mill's own affair: invented prices, a
#: line that is an option, a price set below the cost.
_TOLD_OTHERWISE = frozenset(
    {"book.none_named", "line.one_of", "line.optional", "price.set_below_cost"}
)
#: What a rule said of a line: it speaks to the mill, which is to confirm its own price.
_OF_A_RULE = re.compile(r"\(rule .+\)$")
#: Fields that are none of the buyer's: of the mill's own book and price.
_MILLS_FIELDS = frozenset({"price book", "price", "exchange", "file", "customer"})
#: Services that are charged by the cuts that the form needs.
_BY_CUTS = ("cut", "slit")


@dataclass(frozen=True, slots=True)
class LineDoubts:
    """What is open of one line.

    Parameters
    ----------
    not_included
        What was asked for and is not in the price, as typed.
    left_out
        Names of services among them.
    to_confirm
        What is still to be confirmed.
    messages
        All of it in the words of whoever estimates.
    """

    not_included: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    to_confirm: tuple[Doubt, ...] = ()
    messages: tuple[Message, ...] = ()


def line_doubts(estimates: EstimateSet) -> dict[int, LineDoubts]:
    """Return what is open of each line that has a price and anything open.

    Notes
    -----
    A service is in the price if an item of the line is named after it, or if it is a cut that the
    form needs; any other that is asked for is told as not included.
    """
    stopped = estimates.log.refused() | ~estimates.ledger.priced
    said = estimates.messages
    uncharged = _uncharged(estimates)
    found: dict[int, LineDoubts] = {}
    for row in sorted({*said, *uncharged}):
        if stopped[row]:
            continue
        messages = [one for one in said.get(row, ()) if _matters(one)]
        left_out = uncharged.get(row, [])
        known = {one.read for one in messages}
        messages += [_without_charge(name) for name in left_out if name not in known]
        if messages:
            found[row] = _doubts(messages, left_out)
    return found


def _matters(message: Message) -> bool:
    if message.severity != "review" or message.code in _TOLD_OTHERWISE:
        return False
    is_wish = fold(message.field.strip(" :.?#*")) in buyers_headings()["wanted_by"]
    # A date such as "asap" is told as the wish, and is not told again as a thing not in the price.
    is_all = message.text.startswith(f'names "{message.read}",')
    told = message.code == "column.not_read" or (message.code == "remark.not_read" and is_all)
    return not (is_wish and told)


def _is_of_the_mill(message: Message) -> bool:
    """Tell whether a message is of the mill's own book or rules, and for the mill to settle."""
    return message.field in _MILLS_FIELDS or _OF_A_RULE.search(message.text) is not None


def is_left_out(message: Message) -> bool:
    """Tell whether a message is of something that was asked for and is not in the price."""
    return message.code in _NOT_IN_PRICE


def _doubts(messages: Sequence[Message], left_out: Sequence[str]) -> LineDoubts:
    missing = [one for one in messages if is_left_out(one)]
    rest = [one for one in messages if not is_left_out(one)]
    texts = [
        f"{one.field}: {one.read}" if one.code == "column.not_read" else one.read or one.field
        for one in missing
        if not _is_own(one)
    ]
    doubts = [
        Doubt("price") if _is_of_the_mill(one) else Doubt(one.field, writable(one.read))
        for one in rest
    ]
    return LineDoubts(
        tuple(dict.fromkeys(map(writable, texts))), tuple(left_out),
        tuple(dict.fromkeys(doubts)), tuple(messages),
    )  # fmt: skip


#: What the reader of letters notes of a line in its own words; no buyer wrote it.
_OWN_REMARK = re.compile(r"as line ?\S*|corrected: .+|withdrawn|otherwise as the line before")


def _is_own(message: Message) -> bool:
    """Tell whether a remark is the program's own: for whoever quotes, and not for the buyer."""
    parts = message.read.split("; ")
    return message.field == "note" and all(_OWN_REMARK.fullmatch(part) for part in parts)


def _without_charge(name: str) -> Message:
    return Message(
        "services", name,
        "asked for, and nothing in the price is named after it: it is told as not included. Add a "
        "rate for it to the price book, or agree it with the buyer.",
        "review", code="services.without_charge",
    )  # fmt: skip


def _uncharged(estimates: EstimateSet) -> dict[int, list[str]]:
    """Services that a line asks for, and of which no item of its price tells."""
    found: dict[int, list[str]] = {}
    for name, asked in estimates.orders.services.items():
        charged = np.zeros(len(estimates), dtype=np.bool_)
        if name in _BY_CUTS:
            charged |= estimates.orders.cut_length_m > 0.0
        named = re.compile(rf"\b{re.escape(name)}\b", re.IGNORECASE)
        for item in estimates.ledger.items:
            if named.search(item.label):
                # A share has a base for its quantity; a rate of nothing is a service for nothing.
                charged |= np.broadcast_to(item.quantity != 0.0, charged.shape)
        for row in np.flatnonzero(asked & ~charged).tolist():
            found.setdefault(row, []).append(name)
    return found


def dated(facts: Quotation, today: date) -> tuple[str, ...]:
    """Tell a date that nobody would have meant: ahead, or so long ago that it holds no more.

    Examples
    --------
    >>> import meshcore as mc
    >>> from meshcore.documents.quotation import quotation
    >>> e = mc.estimate(mc.Enquiry(mesh_count="10 / in", wire_diameter="0.025 in", alloy="304",
    ...                            form=mc.Roll("48 in", "100 ft")))
    >>> dated(quotation(e, day=date(2026, 3, 1)), date(2026, 2, 1))
    ('it is dated 2026-03-01, which is still to come: no order can be taken on it before.',)
    """
    if facts.day > today:
        return (
            f"it is dated {facts.day}, which is still to come: no order can be taken on it before.",
        )
    if facts.valid_until < today:
        return (f"it is dated {facts.day}, and held until {facts.valid_until} alone.",)
    return ()
