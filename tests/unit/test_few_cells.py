"""A short column is told apart without pandas, and just as a long one is."""

from __future__ import annotations

import numpy as np
import pandas as pd

from meshcore.reading.columns import FEW, cell_texts, different_texts
from meshcore.reading.tables.cells import different_cells

CELLS = ["304", 304, 304.0, None, float("nan"), "", "304", True, 1, ["304"], "10 / in"]


def test_the_different_texts_of_few_cells_are_those_of_many() -> None:
    few = pd.Series(CELLS, dtype=object)
    many = pd.concat([few] * (FEW // len(CELLS) + 2), ignore_index=True)
    places, unique = different_texts(few)
    again, same = different_texts(many)
    assert unique == same
    assert np.array_equal(places, again[: len(CELLS)])


def test_the_different_cells_of_few_are_those_of_many() -> None:
    hashable = pd.Series([c for c in CELLS if not isinstance(c, list)], dtype=object)
    many = pd.concat([hashable] * (FEW // len(hashable) + 2), ignore_index=True)
    places, unique = different_cells(hashable)
    again, same = different_cells(many)
    assert cell_texts(pd.Series(unique)).tolist() == cell_texts(pd.Series(same)).tolist()
    assert np.array_equal(places, again[: len(hashable)])
