"""The repeat order: the old line with all it was, and what it comes to today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from meshcore.costing.item_tables import compare_items
from meshcore.documents.cloth_lines import labels_of
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry, entry_of
from meshcore.register.errors import RecordsError
from meshcore.register.finding import Found, find
from meshcore.register.packing import SavedEstimate, estimate_from
from meshcore.register.words import folded

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.costing.book.price_book import PriceBook
    from meshcore.estimates.results import EstimateSet
    from meshcore.messages import Message
    from meshcore.supply.policy import SupplyPolicy


@dataclass(frozen=True, slots=True, eq=False)
class Repeat:
    """An old line, and the same today.

    Parameters
    ----------
    found
        What was found by the text.
    source
        The quotation or estimate on file that it came from.
    saved
        The estimate as it was: prices, book, policy.
    label
        Line that was asked for; empty for all lines.
    enquiries
        What was asked then, that line alone where one is named.
    then, today
        It priced with its own book and policy, and with today's.
    compared
        Items side by side, whose differences add up to the change of the price; None where one
        has no price or the currencies differ.
    missing
        What can no longer be had: why it has no price today.
    """

    found: Found
    source: Entry
    saved: SavedEstimate
    label: str
    enquiries: pd.DataFrame
    then: EstimateSet
    today: EstimateSet
    compared: pd.DataFrame | None
    missing: tuple[Message, ...]


def repeat(
    register: Register,
    text: str,
    book: PriceBook | None = None,
    policy: SupplyPolicy | None = None,
    *,
    item: int | None = None,
) -> Repeat:
    """Find an old line and price it with today's book.

    Parameters
    ----------
    register
        Where.
    text
        A label's number or text, a number of ours, or the buyer's.
    book, policy
        Today's; the book in use, and the policy of then, if None.
    item
        Id of what was chosen among several.

    Raises
    ------
    SeveralError
        If several lines agree; it lists them.
    RecordsError
        If nothing on file agrees, or what does was never priced here.
    """
    from meshcore.demo import default_price_book  # noqa: PLC0415 - heavy: only when one is priced
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415

    one = _chosen(register, text, item)
    source, label = _source(register, one)
    saved = estimate_from(source.body.get("estimate", source.body))
    then = estimate_list(
        saved.enquiries, saved.book, saved.policy, saved.path_model, cutting=saved.cutting
    )
    rows = [n for n, name in enumerate(labels_of(then)) if name == label] or list(range(len(then)))
    enquiries = saved.enquiries.iloc[rows].reset_index(drop=True)
    then, today = (
        estimate_list(enquiries, priced_with, held, saved.path_model, cutting=saved.cutting)
        for priced_with, held in (
            (saved.book, saved.policy), (book or default_price_book(), policy or saved.policy),
        )
    )  # fmt: skip
    refused = today.log.refused()
    missing = [
        message
        for row, said in today.messages.items()
        if refused[row] and not then.log.refused()[row]
        for message in said
        if message.severity == "refused"
    ]
    return Repeat(one, source, saved, label, enquiries, then, today, _compared(then, today),
                  tuple(missing))  # fmt: skip


def _compared(then: EstimateSet, today: EstimateSet) -> pd.DataFrame | None:
    first, second = then.cost_items(), today.cost_items()
    if first.empty or second.empty or then.ledger.currency != today.ledger.currency:
        return None
    return compare_items(first, second)


#: Kinds of things that lead to an old line.
_KINDS = ("label", "order", "quotation", "bill", "estimate")


def _chosen(register: Register, text: str, item: int | None) -> Found:
    # A label's text may be scanned whole, its lines and all: its number stands among them.
    for words in [line for line in text.splitlines() if line.strip()] if "\n" in text else [text]:
        found = find(register, words, kinds=_KINDS, limit=_MOST_FOUND, strict=True)
        exact = _different(register, [n for n in found if folded(n.number) == folded(words)])
        if len(exact) == 1 and item in (None, exact[0].id):
            return exact[0]
    found = find(register, " ".join(text.split()), kinds=_KINDS, limit=_MOST_FOUND, strict=True)
    if item is not None:
        found = [one for one in found if one.id == item] or found
    different = _different(register, found)
    if len(different) == 1:
        return different[0]
    if different:
        raise SeveralError(text, different)
    raise RecordsError(f'nothing on file agrees with "{" ".join(text.split())}".')


#: Things that are looked at, to tell whether they lead to one line or to several.
_MOST_FOUND = 50


def _different(register: Register, found: Sequence[Found]) -> list[Found]:
    """Return one thing for each line that those found lead to, in their order."""
    by_line: dict[tuple[int, str], Found] = {}
    for one in found:
        try:
            source, label = _source(register, one)
        except RecordsError:
            # It was not priced here, so there is nothing of it to repeat.
            continue
        by_line.setdefault((source.id, label), one)
    return list(by_line.values())


class SeveralError(RecordsError):
    """Several lines on file agree with a text.

    Parameters
    ----------
    text
        As it was typed.
    found
        One thing for each line, best first.
    """

    def __init__(self, text: str, found: Sequence[Found]) -> None:
        self.found = tuple(found)
        told = "; ".join(
            f"{one.number}{f', line {one.label}' if one.label else ''} ({one.sender or '–'}, "
            f"{one.day})"
            for one in found[:_MOST_TOLD]
        )
        more = f"; and {len(found) - _MOST_TOLD} more" if len(found) > _MOST_TOLD else ""
        super().__init__(
            f'{len(found)} lines on file agree with "{" ".join(text.split())}": {told}{more}. '
            "Say which."
        )


#: Lines that are told by name where several agree.
_MOST_TOLD = 6


def _source(register: Register, one: Found) -> tuple[Entry, str]:
    """Quotation or estimate that a thing came from, and the line that it names."""
    opened = entry_of(register, one.id)
    label = str(opened.body.get("line", "")) if opened.kind == "label" else one.label
    while opened.kind in ("label", "order", "bill") and opened.parent is not None:
        opened = entry_of(register, opened.parent)
    if opened.kind not in ("quotation", "estimate"):
        raise RecordsError(f"{one.kind} {one.number} was not priced here; nothing to repeat.")
    return opened, label
