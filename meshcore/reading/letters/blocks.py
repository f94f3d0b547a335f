"""Lines that belong to the item above them, and those that do not."""

from __future__ import annotations

import re

from meshcore.reading.letters.mails import Line

#: "Roll width    914 mm", "No. of rolls    3": a field of a block, set in below its head.
_BLOCK_FIELD = re.compile(
    r"^[^\W\d][\w ./]{2,28}?(?:[ ]{2,}|\.{3,}|:\s+)\S.*\d|^[^\W\d][\w ./]{2,28}?[ ]{2,}\d"
)


def heads_block(run: list[Line]) -> bool:
    """Whether a paragraph is a head with a figure and the fields of one item set in below it."""
    if len(run) < 3 or not re.search(r"\d", run[0].text):  # noqa: PLR2004
        return False
    margin = len(run[0].text) - len(run[0].text.lstrip())
    rest = [one.text for one in run[1:]]
    set_in = all(len(text) - len(text.lstrip()) > margin for text in rest)
    return set_in and all(_BLOCK_FIELD.match(text.strip()) for text in rest)


#: A line that asks for prices in further quantities.
_PRICES = re.compile(
    r"(?i)^\s*(?:(?:also|and|please|bitte|auch|aussi|también)\s+)*"
    r"(?:prices?|price breaks?|staffelpreise?|preise?|prix|precios?)\b"
)


def asks_prices(text: str) -> bool:
    """Whether a line asks for prices in further quantities."""
    return bool(_PRICES.match(text))
