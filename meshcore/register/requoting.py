"""A repeat order as a new quotation."""

from __future__ import annotations

from meshcore.documents.facts import Quotation
from meshcore.documents.quotation import quotation
from meshcore.documents.terms import Terms
from meshcore.register.entries import Entry
from meshcore.register.errors import RecordsError
from meshcore.register.quotations import quoted
from meshcore.register.repeating import Repeat


def quoted_anew(again: Repeat, terms: Terms | None = None, reference: str = "") -> Quotation:
    """Return old lines as a quotation of today, for whom they were quoted then.

    Parameters
    ----------
    again
        What is repeated.
    terms
        The mill's; those of the old quotation if None.
    reference
        The buyer's; the old one if empty.

    Raises
    ------
    RecordsError
        If it was never quoted, so that nobody is known whom it is for.
    """
    if again.source.kind != "quotation":
        raise RecordsError(
            f"{again.source.kind} {again.source.number} was never quoted. Quote its list."
        )
    old = quoted(again.source)
    return quotation(
        again.today, terms or old.terms, to=old.to.lines, person=old.to.person,
        reference=reference or old.reference, language=old.language,
    )  # fmt: skip


def origin_note(again: Repeat) -> str:
    """Say what a new quotation repeats, for the register."""
    parent: Entry = again.order or again.source
    line = f", line {again.label}" if again.label else ""
    return f"repeats {parent.number}{line}"
