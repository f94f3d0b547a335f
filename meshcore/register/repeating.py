"""The repeat order: the old line with all it was, and what it comes to today."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.costing.set_prices import without_amounts
from meshcore.documents.cloth_lines import cloth_lines, labels_of
from meshcore.documents.facts import ClothLine
from meshcore.reading.tables.headings import with_fields
from meshcore.register.choosing import OldLine, SeveralError, old_line
from meshcore.register.connecting import Register
from meshcore.register.entries import Entry
from meshcore.register.errors import RecordsError
from meshcore.register.finding import Found
from meshcore.register.gone import no_longer
from meshcore.register.offered import row_of, with_offered
from meshcore.register.packing import SavedEstimate, estimate_from
from meshcore.register.quotations import quoted
from meshcore.register.repeated_lines import RepeatLine, agreed_labels, compared

if TYPE_CHECKING:
    import pandas as pd

    from meshcore.costing.book.price_book import PriceBook
    from meshcore.estimates.results import EstimateSet
    from meshcore.messages import Message
    from meshcore.supply.policy import SupplyPolicy

__all__ = ["Repeat", "RepeatLine", "SeveralError", "repeat"]


@dataclass(frozen=True, slots=True, eq=False)
class Repeat:
    """Old lines, and the same today.

    Parameters
    ----------
    found
        What was found by the text.
    source
        The quotation or estimate on file that it was priced in.
    order
        The order that was taken on it; None where what is repeated was not ordered.
    saved
        The estimate as it was: prices, book, policy.
    label
        Line that was asked for; empty for all lines.
    enquiries
        What was asked then, in the quantities ordered.
    lines
        Each of them, then and today.
    then, today
        All that was quoted or ordered together, priced with its own book and policy; and these
        lines as an order of their own, with today's.
    compared
        Items side by side, whose differences add up to the change of the price of those lines
        that have one then and today; None where none has, or the currencies differ.
    gone
        What is no longer as it was, such as a stock width, though there may still be a price.
    """

    found: Found
    source: Entry
    order: Entry | None
    saved: SavedEstimate
    label: str
    enquiries: pd.DataFrame
    lines: tuple[RepeatLine, ...]
    then: EstimateSet
    today: EstimateSet
    compared: pd.DataFrame | None
    gone: tuple[str, ...]

    @property
    def missing(self) -> tuple[Message, ...]:
        """What can no longer be had: why lines have no price today."""
        return tuple(message for line in self.lines for message in line.missing)

    @property
    def then_minor(self) -> int | None:
        """Sum of what was quoted or ordered [minor units]; None where nothing had a price."""
        return _sum([line.then_minor for line in self.lines if not line.is_option])

    @property
    def like_minor(self) -> tuple[int | None, int | None]:
        """Sums then and today of the lines that have both prices; of each, where none has both."""
        both = [line for line in self.lines if line.has_both]
        if not both:
            return self.then_minor, self.today_minor
        return _sum([line.then_minor for line in both]), _sum([line.today_minor for line in both])

    @property
    def today_minor(self) -> int | None:
        """Sum of what it comes to today [minor units]; None where nothing has a price."""
        return _sum([line.today_minor for line in self.lines if not line.is_option])


def _sum(amounts: Sequence[int | None]) -> int | None:
    known = [one for one in amounts if one is not None]
    return sum(known) if known else None


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

    Notes
    -----
    The price of then is the one on the quotation, or on the acknowledgement where it was ordered.
    """
    from meshcore.demo import default_price_book  # noqa: PLC0415 - heavy: only when one is priced
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415

    one = old_line(register, text, item)
    saved = estimate_from(one.source.body.get("estimate", one.source.body))

    def priced(enquiries: pd.DataFrame, with_book: PriceBook, held: SupplyPolicy) -> EstimateSet:
        return estimate_list(enquiries, with_book, held, saved.path_model, cutting=saved.cutting)

    then = originally = priced(saved.enquiries, saved.book, saved.policy)
    kept = labels_of(then)
    order = one.order
    was = _sold(one) if one.source.kind == "quotation" else _priced_then(then)
    asked = saved.enquiries
    if order is not None:
        rows = sorted((row, label) for label in was if (row := row_of(kept, label)) >= 0)
        kept = [label for _, label in rows]
        asked = _as_ordered(saved.enquiries, then, rows, was)
        then = priced(asked, saved.book, saved.policy)
    places = [n for n, name in enumerate(kept) if one.label in ("", name)]
    if not places:
        raise RecordsError(
            f"{one.found.kind} {one.found.number}: line {one.label} is not among those priced here."
        )
    enquiries = asked.iloc[places].reset_index(drop=True)
    today = priced(enquiries, book or default_price_book(), policy or saved.policy)
    lines = tuple(_line(kept[place], was, then, place, today, n) for n, place in enumerate(places))
    # An option that is repeated by itself, or was ordered, is what is asked for.
    if order is not None or len(lines) == 1:
        lines = tuple(_counted(line) for line in lines)
    held = [line.cloth for line in lines if line.cloth is not None]
    agreed = agreed_labels(order) if order is not None else frozenset()
    return Repeat(one.found, one.source, one.opened, saved, one.label, enquiries, lines, then,
                  today, compared(lines, then, places, today, agreed),
                  no_longer(saved, held, originally, today))  # fmt: skip


def _sold(one: OldLine) -> Mapping[str, ClothLine]:
    """Return label → the line as ordered, or as quoted."""
    order = one.order
    if order is not None:
        return {line.label: line for line in order.lines}
    facts = quoted(one.source)
    return {line.label: line for line in (*facts.lines, *facts.options)}


def _priced_then(then: EstimateSet) -> Mapping[str, ClothLine]:
    good = np.flatnonzero(~then.log.refused() & then.ledger.priced).tolist()
    return {line.label: line for line in cloth_lines(then, good)}


def _as_ordered(
    enquiries: pd.DataFrame, then: EstimateSet, rows: Sequence[tuple[int, str]],
    was: Mapping[str, ClothLine],
) -> pd.DataFrame:  # fmt: skip
    """Return lines as they were ordered: an offer where it was taken, and in those quantities.

    What was set for another quantity is let go.
    """
    places = [row for row, _ in rows]
    refused = then.log.refused()
    taken = {n: was[label] for n, (row, label) in enumerate(rows) if refused[row]}
    lines = enquiries.iloc[places].reset_index(drop=True)
    held = with_offered(lines, then.headings.column, taken)
    new = [was[label].quantity for _, label in rows]
    counts = then.orders.quantity[places]
    if all(np.isfinite(old) and round(old) == count
           for old, count in zip(counts.tolist(), new, strict=True)):  # fmt: skip
        return held
    heading = then.headings.column.get("quantity", "quantity")
    asked = without_amounts(with_fields(held.astype(object), ["quantity"]))
    asked[heading] = [str(count) for count in new]
    return asked


def _line(
    label: str, was: Mapping[str, ClothLine], then: EstimateSet, place: int, today: EstimateSet,
    row: int,
) -> RepeatLine:  # fmt: skip
    cloth = was.get(label)
    refused = bool(today.log.refused()[row])
    has_price = not refused and bool(today.ledger.priced[row])
    missing = (
        tuple(m for m in today.messages.get(row, ()) if m.severity == "refused")
        if refused and cloth is not None
        else ()
    )
    return RepeatLine(
        label=label, cloth=cloth, is_option=bool(then.options[place]),
        then_minor=cloth.amount_minor if cloth else None,
        today_minor=int(today.ledger.price_minor[row]) if has_price else None, missing=missing,
    )  # fmt: skip


def _counted(line: RepeatLine) -> RepeatLine:
    return RepeatLine(line.label, line.cloth, False, line.then_minor, line.today_minor,
                      line.missing)  # fmt: skip
