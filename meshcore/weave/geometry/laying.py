"""Every wire of a piece of cloth, laid where the interlacing has it.

`meshcore.weave.geometry.centreline` gives one repeat of one wire; here it is shifted along so that
the wire lies over where its row of the interlacing says, repeated, and cut off at the edges.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import WELDED
from meshcore.weave.geometry.centreline import Line, Segment
from meshcore.weave.geometry.interlacing import interlacing

#: Warp runs along the cloth, shute across it.
WireSet: TypeAlias = Literal["warp", "shute"]
WIRE_SETS: tuple[WireSet, ...] = ("warp", "shute")

#: Points of a curve nearer to one another than this share of the pitch are one point.
_ONE_POINT = 1e-9


def sampled(path: Sequence[Segment], chord_rad: float) -> tuple[FloatArray, FloatArray]:
    """Points along one repeat of a wire, from the crossing at x = 0.

    Parameters
    ----------
    path
        Pieces in order, as `meshcore.weave.geometry.centreline.centreline` gives them.
    chord_rad
        Greatest angle of an arc between one point and the next [rad].

    Returns
    -------
    x along the wire and z above mid-plane [m]; the ends of all pieces are among them.

    Examples
    --------
    >>> from meshcore.weave.geometry.centreline import centreline
    >>> x, z = sampled(centreline(0, 0.5, 2.0), 0.2)
    >>> x[[0, -1]].tolist(), z[[0, -1]].tolist()
    ([0.0, 4.0], [0.25, 0.25])
    """
    pieces = [piece.points(np.linspace(0.0, 1.0, _chords(piece, chord_rad) + 1)) for piece in path]
    x = np.concatenate([pieces[0][0], *(x[1:] for x, _ in pieces[1:])])
    z = np.concatenate([pieces[0][1], *(z[1:] for _, z in pieces[1:])])
    return x, z


def _chords(piece: Segment, chord_rad: float) -> int:
    if isinstance(piece, Line):
        return 1
    return max(1, math.ceil(abs(piece.end - piece.start) / chord_rad))


def lies_over(weave: int, wire_set: WireSet, number: int) -> BoolArray:
    """Whether one wire lies over at each crossing of a repeat.

    Examples
    --------
    >>> lies_over(0, "warp", 0).tolist(), lies_over(0, "shute", 0).tolist()
    ([True, False], [False, True])
    """
    pattern = interlacing(weave)
    row = number % len(pattern)
    over: BoolArray = pattern[row] if wire_set == "warp" else ~pattern[:, row]
    return over


def laid_wire(
    weave: int,
    wire_set: WireSet,
    number: int,
    pitches: int,
    pitch_m: float,
    repeat: tuple[FloatArray, FloatArray],
) -> tuple[FloatArray, FloatArray]:
    """Axis of one wire of a piece of cloth, cut half a pitch beyond its outer crossings.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_set, number
        Which wire: of the warp or of the shute, counted from 0.
    pitches
        Crossings along the wire [-].
    pitch_m
        [m]
    repeat
        One repeat of a wire that lies over at x = 0, as `sampled` gives it.

    Returns
    -------
    x along the wire, with its crossings at 0, 1, 2 … pitches, and z above mid-plane [m].

    Examples
    --------
    >>> from meshcore.weave.geometry.centreline import centreline
    >>> one = sampled(centreline(0, 0.5, 2.0), 0.2)
    >>> x, z = laid_wire(0, "warp", 1, 4, 2.0, one)
    >>> x[[0, -1]].tolist(), float(np.interp(0.0, x, z))
    ([-1.0, 7.0], -0.25)
    """
    over = lies_over(weave, wire_set, number)
    if weave == WELDED:
        height = repeat[1] if over.all() else -repeat[1]
        return np.array([-0.5, pitches - 0.5]) * pitch_m, height[[0, -1]]
    pattern = interlacing(weave)[0]
    shift = next(s for s in range(len(pattern)) if (np.roll(pattern, s) == over).all())
    length = len(pattern) * pitch_m
    turns = range(-2, pitches // len(pattern) + 2)
    x = np.concatenate([repeat[0][:-1] + length * turn + shift * pitch_m for turn in turns])
    z = np.tile(repeat[1][:-1], len(turns))
    ends = np.array([-0.5, pitches - 0.5]) * pitch_m
    inside = (x > ends[0] + _ONE_POINT * pitch_m) & (x < ends[1] - _ONE_POINT * pitch_m)
    start, stop = np.interp(ends, x, z)
    return (
        np.concatenate([ends[:1], x[inside], ends[1:]]),
        np.concatenate([[start], z[inside], [stop]]),
    )
