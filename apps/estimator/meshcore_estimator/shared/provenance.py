"""What a file was made from, as the file itself says."""

from __future__ import annotations

from datetime import UTC, datetime

from meshcore.costing.book.price_book import PriceBook


def made_from(what: str, book: PriceBook) -> str:
    """Say what a file is made from; to be called when it is made.

    Parameters
    ----------
    what
        The enquiry or the list, by the name that the user knows it by.
    book
        Priced with; one that was edited says so in its name.
    """
    now = datetime.now(UTC)
    return (
        f"Made on {now:%Y-%m-%d} at {now:%H:%M:%S} UTC from {what}, "
        f"with the price book {book.name}, of {book.date.isoformat()}."
    )
