"""Lines that belong together: those of one order, of one cloth, of one size."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from meshcore.arrays import BoolArray, FloatArray, IntArray

#: Sizes that agree to so many decimals of a metre are one size: a tenth of a micrometre for what
#: is cut, a nanometre for wire and pitch, both far below any tolerance.
SIZE_DECIMALS, CLOTH_DECIMALS = 7, 9


def same_lines(columns: Sequence[NDArray[Any]], apart: BoolArray) -> IntArray:
    """Give lines that agree in every column one number, from 0 in the order of their first.

    Parameters
    ----------
    columns
        Codes or sizes, one a line; NaN agrees with NaN.
    apart
        Lines that belong to no other, whatever they hold: refused ones.

    Examples
    --------
    >>> order, wire = np.array([0, 0, 0, 1]), np.array([0.5, 0.5, 0.5, 0.5])
    >>> same_lines([order, wire], np.array([False, True, False, False])).tolist()
    [0, 1, 0, 2]
    """
    import pandas as pd  # noqa: PLC0415 - heavy: loaded when a table is first read

    codes: IntArray = np.zeros(len(apart), dtype=np.int64)
    for column in columns:
        own, different = pd.factorize(column)
        if len(different) == len(apart):
            # Every line is another: no column that follows can bring two together.
            return np.arange(len(apart), dtype=np.int64)
        codes = pd.factorize(codes * (len(different) + 1) + own + 1)[0].astype(np.int64)
    if apart.any():
        codes[apart] = len(apart) + np.arange(int(apart.sum()))
        codes = pd.factorize(codes)[0].astype(np.int64)
    return codes


def each_alone(group: IntArray) -> bool:
    """Whether every line is a group of its own, as far as can be seen without sorting."""
    return bool(np.all(group[1:] > group[:-1]))


def group_sums(values: FloatArray, group: IntArray) -> FloatArray:
    """Sum of each line's group, on every line of it.

    Examples
    --------
    >>> group_sums(np.array([1.0, 2.0, 4.0]), np.array([0, 1, 0])).tolist()
    [5.0, 2.0, 5.0]
    """
    if each_alone(group):
        return values
    index = group - group.min()
    sums: FloatArray = np.bincount(index, weights=values).astype(np.float64)
    spread: FloatArray = sums[index]
    return spread


def group_most(values: FloatArray, group: IntArray) -> FloatArray:
    """Greatest value of each line's group, on every line of it."""
    if each_alone(group):
        return values
    index = group - group.min()
    most = np.full(int(index.max()) + 1, -np.inf)
    np.maximum.at(most, index, values)
    spread: FloatArray = most[index]
    return spread
