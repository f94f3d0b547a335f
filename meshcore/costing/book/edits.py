"""A price book that was changed and not saved yet: it bears that in its name and date."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from meshcore.costing.book.price_book import PriceBook

#: Ends the name of a book that differs from the one that is saved.
EDITED = ", edited"


def as_edited(book: PriceBook, saved: PriceBook, on: date) -> PriceBook:
    """Name and date a changed book so that nobody takes it for the saved one.

    Every estimate, workbook and document names the book that it was priced with; so each of them
    says that it was an edited one.

    Parameters
    ----------
    book, saved
        The book as it is now, and as it is saved.
    on
        The day of the change.

    Returns
    -------
    The book itself where nothing is changed.
    """
    if book == saved or is_edited(book):
        return book
    return replace(book, name=book.name + EDITED, date=on)


def is_edited(book: PriceBook) -> bool:
    """Whether a book says of itself that it is changed and not saved.

    Examples
    --------
    >>> from meshcore.demo import default_price_book
    >>> is_edited(default_price_book())
    False
    """
    return is_edited_name(book.name)


def is_edited_name(name: str) -> bool:
    """Whether the name of a book says that it is changed and not saved.

    Examples
    --------
    >>> is_edited_name("Mill, edited"), is_edited_name("Mill")
    (True, False)
    """
    return name.endswith(EDITED)


def saved_name(book: PriceBook) -> str:
    """Name of the book that an edited one came from; of any other its own."""
    return book.name.removesuffix(EDITED)
