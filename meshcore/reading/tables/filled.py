"""Cells while other columns fill them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial

import numpy as np
import pandas as pd

from meshcore.arrays import IntArray, ObjectArray
from meshcore.reading.tables.cells import Cells
from meshcore.reading.texts import is_blank, tidy
from meshcore.reading.vocabulary import fold


@dataclass(slots=True)
class Filling:
    """The cells while they are filled: texts by column, and what was said about them."""

    cells: Cells
    texts: dict[str, ObjectArray] = field(default_factory=dict)

    def column(self, name: str) -> ObjectArray:
        """Return the texts of a column, to be filled in place."""
        if name not in self.texts:
            self.texts[name] = self.cells.texts(name).copy()
        return self.texts[name]

    def fill(self, name: str, row: int, text: str) -> bool:
        """Fill a cell that is blank; tell whether what stands there agrees."""
        own = str(self.column(name)[row])
        if is_blank(own):
            self.column(name)[row] = text
            return True
        return fold(tidy(own)) == fold(tidy(text))


def different(
    texts: ObjectArray, beside: ObjectArray | None = None
) -> Iterator[tuple[Callable[[], list[int]], str]]:
    """Give each different text once, with a function for its rows; blank ones are left out."""
    codes, unique = pd.factorize(texts if beside is None else texts + PARTED + beside)
    for number, text in enumerate(unique):
        if not is_blank(str(text)):
            yield partial(_rows_of, codes, number), str(text)


def _rows_of(codes: IntArray, number: int) -> list[int]:
    rows: list[int] = np.flatnonzero(codes == number).tolist()
    return rows


#: Stands between two cells that are looked at together; no cell holds it.
PARTED = "\x1f"
