"""Cells of tables that are broken over several lines."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.item import Item
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.tables import Cell, Heading, row_cells, split_cells

#: Columns whose text goes on in the next line; a number, a label or a price does not.
_GOES_ON = frozenset({"text", "dimensions", "", "alloy", "shape"})
#: A line that goes on begins no further left of its heading than this (our choice).
_SLANT = 4


def with_rest(
    text: str,
    start: int,
    separator: re.Pattern[str],
    headings: Sequence[Heading],
    row: Sequence[Cell],
    row_start: int,
) -> tuple[Cell, ...]:
    """Cells of a row with what the next line adds to them; empty where it is a row of its own.

    Parameters
    ----------
    text, start
        The next line, and where it begins.
    separator, headings
        As found for the table.
    row, row_start
        Cells of the row, and where its line begins.
    """
    numbered = [c for c in row if c.column in ("label", "quantity") and c.end > c.start]
    places = [c.start - row_start for c in row]
    late = _late_cells(text, start, separator, headings, row, places)
    shorter = text[: late[0].start - start] if late else text
    found = _parts(shorter, start, separator, headings, places)
    if not numbered or not found:
        return ()
    drawn = separator.pattern != r"\s{2,}"
    have = {(c.heading if drawn else n): n for n, c in enumerate(row) if c.end > c.start}
    if any(at not in have or row[have[at]].column not in _GOES_ON for at, _, _ in found):
        return ()
    out = list(row)
    for at, low, high in found:
        n = have[at]
        out[n] = replace(out[n], more=(*out[n].more, (low, high)))
    return (*out, *late)


def _late_cells(
    text: str,
    start: int,
    separator: re.Pattern[str],
    headings: Sequence[Heading],
    row: Sequence[Cell],
    places: Sequence[int],
) -> list[Cell]:
    """Cells at the end of the next line under headings that the row has nothing under.

    A row whose description was broken over two lines has its quantity behind the second.
    """
    origin = headings[0].start - (places[0] if places else 0)
    last = max((c.heading for c in row), default=0)
    free = {n: h.start - origin for n, h in enumerate(headings) if n > last}
    if separator.pattern != r"\s{2,}" or not free:
        return []
    out: list[Cell] = []
    for low, high in split_cells(text, separator)[1:]:
        at = min(free, key=lambda n: abs(free[n] - low))
        if min(abs(place - low) for place in places) < abs(free[at] - low):
            if out:
                return []
            continue
        head = headings[at]
        cell = Cell(start + low, start + high, head.column, head.unit, at, (head.start, head.end))
        if not out or out[-1].heading < at:
            out.append(cell)
    return out


def _parts(
    text: str,
    start: int,
    separator: re.Pattern[str],
    headings: Sequence[Heading],
    places: Sequence[int],
) -> list[tuple[int, int, int]]:
    """Heading, start and end of each cell of a line that has words."""
    if separator.pattern != r"\s{2,}":
        cells = row_cells(text, start, separator, headings)
        return [(c.heading, c.start, c.end) for c in cells if c.end > c.start]
    out = []
    for low, high in split_cells(text, separator):
        at = min(range(len(places)), key=lambda n: abs(places[n] - low))
        if at == 0 or low < places[at] - _SLANT:
            return []
        out.append((at, start + low, start + high))
    return out


def cell_items(body: str, cell: Cell, lexicon: Lexicon, spaced: bool) -> list[Item]:
    """Items of a cell, its lines read as one."""
    if not cell.more:
        return cut_items(body, lexicon, cell.start, cell.end, spaced)
    spans = [(cell.start, cell.end), *cell.more]
    last = spans[-1][1]
    signs = [" "] * (last - cell.start)
    for low, high in spans:
        signs[low - cell.start : high - cell.start] = body[low:high]
    text = body[: cell.start] + "".join(signs)
    return [_within(item, spans) for item in cut_items(text, lexicon, cell.start, last, spaced)]


def _within(item: Item, spans: Sequence[tuple[int, int]]) -> Item:
    """Show an item that a line's end parts by its first part."""
    end = next((high for low, high in spans if low <= item.start < high), item.end)
    if item.end <= end:
        return item
    return replace(item, text=" ".join(item.text.split()), end=end)
