"""Every wire of a piece of cloth, laid where the interlacing has it.

`meshcore.weave.geometry.centreline` gives one repeat of one wire; here it is shifted along so that
the wire lies over where its row of the interlacing says, repeated, and cut off at the edges.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, TypeAlias

import numpy as np

from meshcore.arrays import BoolArray, FloatArray
from meshcore.enquiry import WELDED
from meshcore.rounding import SLACK
from meshcore.weave.geometry.centreline import Line, Segment, centreline
from meshcore.weave.geometry.interlacing import interlacing

#: Warp runs along the cloth, shute across it.
WireSet: TypeAlias = Literal["warp", "shute"]
WIRE_SETS: tuple[WireSet, ...] = ("warp", "shute")


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
    >>> x[[0, -1]].round(9).tolist(), z[[0, -1]].tolist()
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
    wire_diameter_m: float,
    pitch_m: float,
) -> tuple[Segment, ...]:
    """Axis of one wire of a piece of cloth, cut half a pitch beyond its outer crossings.

    Parameters
    ----------
    weave
        Index into ``WEAVES``.
    wire_set, number
        Which wire: of the warp or of the shute, counted from 0.
    pitches
        Crossings along the wire [-]; whole repeats of the weave.
    wire_diameter_m, pitch_m
        Sizes [m].

    Returns
    -------
    Its pieces in order; x along the wire, with its crossings at 0, 1, 2 … pitches.

    Raises
    ------
    ValueError
        If there is no such path, as `meshcore.weave.geometry.centreline.centreline` says.

    Examples
    --------
    >>> wire = laid_wire(0, "warp", 1, 4, 0.5, 2.0)
    >>> x, z = sampled(wire, 0.2)
    >>> x[[0, -1]].round(9).tolist(), float(np.interp(0.0, x, z).round(9))
    ([-1.0, 7.0], -0.25)
    """
    repeat = centreline(weave, wire_diameter_m, pitch_m)
    over, pattern = lies_over(weave, wire_set, number), interlacing(weave)[0]
    if weave == WELDED:
        height = 0.5 * wire_diameter_m if over.all() else -0.5 * wire_diameter_m
        return (Line(-0.5 * pitch_m, height, (pitches - 0.5) * pitch_m, height),)
    shift = next(s for s in range(len(pattern)) if (np.roll(pattern, s) == over).all())
    turns = range(-1, pitches // len(pattern) + 1)
    starts = [(turn * len(pattern) + shift) * pitch_m for turn in turns]
    low, high = -0.5 * pitch_m, (pitches - 0.5) * pitch_m
    cut = (_between(_moved(piece, x), low, high) for x in starts for piece in repeat)
    # A shorter piece is what rounding leaves where a cut meets a joint.
    return tuple(piece for piece in cut if piece.length > SLACK * pitch_m)


def _moved(piece: Segment, x: float) -> Segment:
    if isinstance(piece, Line):
        return replace(piece, x0=piece.x0 + x, x1=piece.x1 + x)
    return replace(piece, x=piece.x + x)


def _between(piece: Segment, low: float, high: float) -> Segment:
    """Return the part of a piece from one x to another; of no length where it lies outside."""
    ends, _ = piece.points(np.array([0.0, 1.0]))
    start, stop = (min(max(x, low), high) for x in ends.tolist())
    if (start, stop) == tuple(ends):
        return piece
    if isinstance(piece, Line):
        z = np.interp([start, stop], [piece.x0, piece.x1], [piece.z0, piece.z1])
        return Line(start, float(z[0]), stop, float(z[1]))
    # An arc goes from straight above or below its centre to less than a right angle from there, so
    # its x alone gives its angle.
    side = math.copysign(1.0, piece.start)
    shares = [min(max((x - piece.x) / piece.radius, -1.0), 1.0) for x in (start, stop)]
    first, last = (side * math.acos(share) for share in shares)
    return replace(piece, start=first, end=last)
