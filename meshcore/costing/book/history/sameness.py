"""Whether two states of a price book say the same, in whatever order."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from meshcore.costing.book.price_book import PriceBook


def is_same_book(one: PriceBook, other: PriceBook) -> bool:
    """Whether two books hold the same settings and the same rows; their order is left out.

    Examples
    --------
    >>> from meshcore.demo import demo_price_book
    >>> book = demo_price_book()
    >>> is_same_book(book, replace(book, rates=book.rates[::-1]))
    True
    >>> is_same_book(book, replace(book, rates=book.rates[:-1]))
    False
    """
    return (
        replace(one, rates=(), exchange=()) == replace(other, rates=(), exchange=())
        and Counter(one.rates) == Counter(other.rates)
        and Counter(one.exchange) == Counter(other.exchange)
    )
