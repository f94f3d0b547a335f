"""What rates to come would do to the quotations that are open, before they take effect."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from meshcore.costing.book.price_book import PriceBook
from meshcore.costing.book.validity import in_force
from meshcore.estimates.pipeline import estimate_list
from meshcore.estimates.summary import list_totals
from meshcore.register.connecting import Register
from meshcore.register.entries import entry
from meshcore.register.quotations import open_quotations, quoted
from meshcore.register.records import estimate_from

#: States in which a quotation still binds, or may.
_OPEN = ("draft", "sent")


@dataclass(frozen=True, slots=True)
class ComingEffect:
    """An open quotation, at its own price and at the rates of now and of a day to come.

    Parameters
    ----------
    number, customer, until
        Which quotation it is, for whom, and the last day on which it holds.
    quoted, now, then
        What was quoted, what its lines come to at the book in use, and at the rates to come.
    currency
        Of the quotation and of the book; the figures of a book in another currency are not set
        against it.
    """

    number: str
    customer: str
    until: date
    quoted: float
    now: float
    then: float
    currency: str

    @property
    def change(self) -> float:
        """What the rates to come add [-]."""
        return self.then / self.now - 1.0 if self.now else 0.0


def effects_on_open(
    register: Register, book: PriceBook, day: date, today: date | None = None
) -> list[ComingEffect]:
    """Price the lines of every open quotation as the book stands now and on a day to come.

    Parameters
    ----------
    register
        Where quotations are on file.
    book
        The book in use, with the rates to come in it.
    day
        Day to come.
    today
        Day that is now; the calendar's, if None.

    Returns
    -------
    In the order of their last days. Quotations whose estimate is not on file, or that were made in
    another currency than the book's, are left out.
    """
    found: list[ComingEffect] = []
    for one in open_quotations(register, _OPEN):
        opened = entry(register, "quotation", one.number)
        facts, kept = quoted(opened), opened.body.get("estimate")
        if kept is None or facts.currency != book.currency:
            continue
        saved = estimate_from(kept)
        now, then = (
            list_totals(
                estimate_list(
                    saved.enquiries, in_force(book, when), saved.policy, saved.path_model,
                    cutting=saved.cutting, better_quantities=False,
                )
            ).price
            for when in (today or date.today(), day)
        )  # fmt: skip
        found.append(
            ComingEffect(
                facts.number, facts.to.name, facts.valid_until,
                facts.net_minor / 10.0**facts.digits, now, then, facts.currency,
            )
        )  # fmt: skip
    return sorted(found, key=lambda effect: effect.until)
