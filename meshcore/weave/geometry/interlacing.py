"""Which wire lies on top at each crossing."""

from __future__ import annotations

import numpy as np

from meshcore.arrays import BoolArray
from meshcore.enquiry import TWILLED, WEAVES, WELDED

#: A 2/2 twill passes over two wires and under two, each row one further along.
_TWILL_REPEAT, _TWILL_OVER = 4, 2
#: Plain interlacing, which all crimp styles share, repeats after two wires.
_PLAIN_REPEAT = 2


def interlacing(weave: int) -> BoolArray:
    """One repeat of a weave.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.

    Returns
    -------
    ``over[i, j]``: whether warp wire i lies over shute wire j, seen from above. Tile it for more
    wires.

    Raises
    ------
    ValueError
        If there is no such weave.

    Notes
    -----
    Welded screen does not interlace: all wires of one direction lie on those of the other.

    Examples
    --------
    >>> interlacing(0).astype(int).tolist()
    [[1, 0], [0, 1]]
    >>> interlacing(1).astype(int).tolist()
    [[1, 1, 0, 0], [0, 1, 1, 0], [0, 0, 1, 1], [1, 0, 0, 1]]
    """
    if not 0 <= weave < len(WEAVES):
        raise ValueError(f"weave must index WEAVES, 0 to {len(WEAVES) - 1}, got {weave}")
    if weave == WELDED:
        return np.ones((1, 1), dtype=np.bool_)
    repeat, over = (_TWILL_REPEAT, _TWILL_OVER) if weave == TWILLED else (_PLAIN_REPEAT, 1)
    warp, shute = np.ogrid[:repeat, :repeat]
    lies_over: BoolArray = (shute - warp) % repeat < over
    return lies_over


def tiled(weave: int, wires: int) -> BoolArray:
    """Interlacing of `wires` warp and `wires` shute wires.

    Examples
    --------
    >>> tiled(0, 3).astype(int).tolist()
    [[1, 0, 1], [0, 1, 0], [1, 0, 1]]
    """
    repeat = interlacing(weave)
    times = -(-wires // len(repeat))
    return np.tile(repeat, (times, times))[:wires, :wires]
