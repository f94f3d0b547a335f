"""The demonstration data: an invented mill's price book, supply policy and enquiry list."""

from __future__ import annotations

import os
from functools import cache
from pathlib import Path

from meshcore.costing.book.files import read_price_book
from meshcore.costing.book.price_book import PriceBook

#: Path of the price book to use where none is named; the demo book without it.
BOOK_VARIABLE = "MESHCORE_PRICE_BOOK"


def demo_data() -> Path:
    """Return the folder of demonstration data.

    It lies inside the package where that was installed, and beside it in a checkout.

    Examples
    --------
    >>> (demo_data() / "price_book.toml").is_file()
    True
    """
    package = Path(__file__).parent
    inside = package / "demo_data"
    return inside if inside.is_dir() else package.parent / "demo_data"


def default_price_book() -> PriceBook:
    """Return the price book named by ``MESHCORE_PRICE_BOOK``, or the invented demo book.

    Raises
    ------
    PriceBookError
        If the book cannot be read.
    """
    return _read_once(Path(os.environ.get(BOOK_VARIABLE) or demo_data() / "price_book.toml"))


def is_demo_book(book: PriceBook) -> bool:
    """Tell whether a book is the invented one, whose prices are nobody's, edited or not.

    Examples
    --------
    >>> is_demo_book(_read_once(demo_data() / "price_book.toml"))
    True
    """
    return book.name == _read_once(demo_data() / "price_book.toml").name


@cache
def _read_once(path: Path) -> PriceBook:
    return read_price_book(path)
