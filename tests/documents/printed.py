"""A printed document as a reader of PDFs finds it."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import dataclass

import pypdf
import pypdfium2


def read_back(content: bytes) -> tuple[pypdf.PdfReader, str]:
    """Open a PDF; return the reader and all its text."""
    reader = pypdf.PdfReader(io.BytesIO(content))
    return reader, "\n".join(page.extract_text() for page in reader.pages)


@dataclass(frozen=True, slots=True)
class Sign:
    """A sign on a page, and its box [pt] from the lower left corner."""

    text: str
    left: float
    bottom: float
    right: float
    top: float


def signs(content: bytes) -> Iterator[tuple[tuple[float, float], list[Sign]]]:
    """Yield width and height of each page [pt], and its signs with their boxes."""
    document = pypdfium2.PdfDocument(content)
    for page in document:
        held = page.get_textpage()
        found: list[Sign] = []
        for place in range(held.count_chars()):
            text = held.get_text_range(place, 1)
            if text.strip("\u200b \r\n\xa0"):
                found.append(Sign(text, *held.get_charbox(place)))
        yield page.get_size(), found


def word_box(found: list[Sign], word: str) -> tuple[float, float, float, float]:
    """Return the box around the first place where the signs of a word follow one another."""
    plain = "".join(sign.text for sign in found)
    place = plain.index(word)
    held = found[place : place + len(word)]
    return (
        min(one.left for one in held), min(one.bottom for one in held),
        max(one.right for one in held), max(one.top for one in held),
    )  # fmt: skip
