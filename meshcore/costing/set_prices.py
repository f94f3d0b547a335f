"""Prices and margins that whoever estimates sets on a line, in place of the price book's."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, ObjectArray
from meshcore.costing.money import from_minor, to_minor
from meshcore.enquiry import SET_PRICE
from meshcore.messages import Message
from meshcore.reading.texts import Hints, is_blank, read_text

if TYPE_CHECKING:
    import pandas as pd

_CODE = re.compile(r"^([A-Z]{3})\s*|\s*([A-Z]{3})$")
_MEND = 'Write a price such as "2,400.00", or a margin such as "12 %".'


@dataclass(frozen=True, slots=True)
class SetPrices:
    """What is set on each line.

    Parameters
    ----------
    price
        Price of the line before tax, in whole minor units as money; NaN where none is set.
    margin
        Share that the margin is to be, of what the price book reckons it on [-]; NaN where none.
    wrong
        Text → the lines that have it, and why it cannot stand.
    """

    price: FloatArray
    margin: FloatArray
    wrong: Mapping[str, tuple[BoolArray, str]]

    @property
    def any(self) -> bool:
        """Whether anything is set on any line."""
        return bool(np.isfinite(self.price).any() or np.isfinite(self.margin).any() or self.wrong)


def read_set_prices(
    own: Mapping[str, ObjectArray | FloatArray], lines: int, currency: str, digits: int
) -> SetPrices:
    """Read the column ``set_price`` of a list.

    Parameters
    ----------
    own
        Columns of the list that nothing else reads.
    lines
        How many lines it has.
    currency, digits
        Of the price book: the only currency in which a price can be set.

    Examples
    --------
    >>> column = np.array(["2,400.00", "12 %", "", "0", "90 USD"], dtype=object)
    >>> found = read_set_prices({"set_price": column}, 5, "EUR", 2)
    >>> found.price.tolist()[0], found.margin.tolist()[1], sorted(found.wrong)
    (2400.0, 0.12, ['0', '90 USD'])
    """
    price, margin = np.full(lines, np.nan), np.full(lines, np.nan)
    wrong: dict[str, tuple[BoolArray, str]] = {}
    cells = own.get(SET_PRICE)
    if cells is None:
        return SetPrices(price, margin, wrong)
    texts = np.array([_text(cell) for cell in cells], dtype=object)
    for text in dict.fromkeys(texts.tolist()):
        if is_blank(text):
            continue
        rows: BoolArray = texts == text
        read = _read(text, currency)
        if isinstance(read, str):
            wrong[text] = (rows, read)
        elif text.endswith("%"):
            margin[rows] = read
        else:
            price[rows] = from_minor(to_minor(np.array([read]), digits), digits)[0]
    return SetPrices(price, margin, wrong)


def without_amounts(lines: pd.DataFrame) -> pd.DataFrame:
    """Return lines without the prices set on them: of another quantity or cloth they are others'.

    A margin that is set stays.
    """
    if SET_PRICE not in lines.columns:
        return lines
    texts = [_text(cell) for cell in lines[SET_PRICE]]
    return lines.assign(**{SET_PRICE: [t if t.endswith("%") else "" for t in texts]})


def _text(cell: object) -> str:
    if cell is None or cell != cell:  # noqa: PLR0124 - not a number
        return ""
    return f"{cell:.15g}" if isinstance(cell, float) else str(cell).strip()


def _read(text: str, currency: str) -> float | str:
    """Return the price or the share in a text, or why it has none."""
    if text.endswith("%"):
        # A margin is a signed share: an order may be taken below cost, and is then said to be.
        below = text.startswith(("-", "−"))
        read = read_text(text.lstrip("-− "), "share", SET_PRICE)
        if isinstance(read, Message):
            return f"{read.text} {_MEND}"
        return -read.value if below else read.value
    found = _CODE.search(text)
    if found and (found.group(1) or found.group(2)) != currency:
        return f"the price book is in {currency}. Set the price in {currency}."
    read = read_text(_CODE.sub("", text), "number", SET_PRICE, hints=Hints())
    if isinstance(read, Message):
        return f"{read.text} {_MEND}"
    return read.value if read.value > 0.0 else f"no price is nothing or less. {_MEND}"
