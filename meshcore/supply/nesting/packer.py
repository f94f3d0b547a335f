"""Irregular and mixed shapes through the strip packer spyrrow, in a process of its own."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.supply.nesting.check import ALLOWED_M
from meshcore.supply.nesting.compaction import Strip, compacted
from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.patterns.profiles import widened
from meshcore.supply.nesting.plan import NestOrder
from meshcore.supply.nesting.postures import Posture, boxes, posture
from meshcore.supply.shapes.outlines import Shape
from meshcore.supply.stopping import Stop, never

#: Told the length reached so far [m].
Reached = Callable[[float], None]
#: Time that the packer is given beyond its budget to write down what it has [s].
_GRACE_S = 5.0
#: Longest that a run is waited for where it ends by its steps [s].
_MOST_S = 3600.0
#: How often it is asked whether to stop [s].
_ASK_S = 0.1
#: Distance between arcs and the polygons round them that the packer is given, as a share of the
#: shape's greater size [-].
_ARC_SHARE = 1e-3
#: Shortest nests of a run that are pushed together in turn until one is sound [-].
_TRIED = 3
#: Share of the time that pushing a nest together may take [-], and the least and most of it [s].
_COMPACTION_SHARE, _COMPACTION_S = 0.03, (0.2, 2.0)


@dataclass(frozen=True, slots=True)
class Packed:
    """What the packer found.

    Parameters
    ----------
    part
        The pieces.
    seed, step
        The run's seed and the step of it that found the nest.
    """

    part: FreePart
    seed: int
    step: int


def pack(
    order: NestOrder,
    postures: Sequence[tuple[Posture, ...]],
    usable_m: float,
    low_m: float,
    spacing_m: float,
    seconds: float,
    seed: int,
    reached: Reached,
    enough_m: float = 0.0,
    stop: Stop = never,
) -> Packed | None:
    """Nest pieces of any shapes on one strip.

    Parameters
    ----------
    order
        The pieces; shapes ordered 0 times are left out.
    postures
        How each shape may lie.
    usable_m, low_m
        Usable width, and where it begins [m].
    spacing_m
        Least distance between pieces [m].
    seconds
        Time budget [s].
    seed
        Of the first run; runs that follow in the time that is left count on from it.
    reached
        Told each length reached.
    enough_m
        Length at which it is done: none is shorter [m].
    stop
        Asked now and then whether to make do with what there is.

    Returns
    -------
    The nest, or None where the packer found none.

    Notes
    -----
    Where pieces may touch, the packer is given what it would be given alone, so that with the same
    seed and time it does what it would do alone. It works in single precision on outlines that it
    makes simpler and rounder; what it finds is then pushed together on the outlines themselves.
    """
    wanted = np.flatnonzero(order.quantity).tolist()
    corners = {n: _corners(order.shapes[n], spacing_m) for n in wanted}
    first = order.shapes[wanted[0]]
    reach = (float(np.ptp(corners[wanted[0]][:, 1])) - first.height_m) / 2 if spacing_m else 0.0
    job = {
        "height": usable_m + 2.0 * reach,
        "seconds": seconds,
        "seed": seed,
        "enough": enough_m,
        "items": [
            {
                "corners": corners[n].tolist(),
                "count": int(order.quantity[n]),
                "turns": [math.degrees(p.turn_rad) for p in postures[n]],
            }
            for n in wanted
        ],
    }
    nests = _run(json.dumps(job), seconds, reached, stop)
    strip = Strip(low_m, low_m + usable_m, spacing_m)
    least, most = _COMPACTION_S
    time_s = math.inf if math.isinf(seconds) else min(max(seconds * _COMPACTION_SHARE, least), most)
    tried: list[tuple[float, Packed]] = []
    for nest in list(nests)[::-1]:
        placed = _placements(nest["pieces"], wanted, postures)
        start = _on_cloth(order.shapes, placed, low_m - reach)
        part, off = compacted(order.shapes, start, strip, time_s)
        tried.append((off, Packed(part, nest["seed"], nest["step"])))
        if off <= ALLOWED_M / 2:
            break
    return min(tried, key=lambda one: one[0])[1] if tried else None


def _corners(shape: Shape, spacing_m: float) -> FloatArray:
    """Corners of what the packer is given for a shape, half the spacing round it [m]."""
    if spacing_m:
        return widened(shape, posture(shape, 0.0), spacing_m)[:-1]
    return np.array(shape.outline.points(_ARC_SHARE * max(shape.size_m), side="outside"))


def _run(job: str, seconds: float, reached: Reached, stop: Stop) -> deque[dict[str, Any]]:
    """Start the worker, pass on its news, and return its last nests, the shortest at the end."""
    worker = resources.files("meshcore.supply.nesting").joinpath("packer_worker.py")
    with (
        resources.as_file(worker) as path,
        subprocess.Popen(
            [sys.executable, str(path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
        ) as process,
    ):
        # A worker that hangs ends with its time, and the loop below with it.
        limit = threading.Timer(min(seconds, _MOST_S) + _GRACE_S, process.kill)
        asking = threading.Thread(target=_kill_when, args=(process, stop), daemon=True)
        limit.start()
        asking.start()
        try:
            return _read(process, job, reached)
        finally:
            limit.cancel()
            process.kill()


def _kill_when(process: subprocess.Popen[str], stop: Stop) -> None:
    """End a worker as soon as it is to stop."""
    while process.poll() is None:
        if stop():
            process.kill()
        time.sleep(_ASK_S)


def _read(process: subprocess.Popen[str], job: str, reached: Reached) -> deque[dict[str, Any]]:
    if process.stdin is None or process.stdout is None:
        raise RuntimeError("the packer was started without pipes")
    process.stdin.write(job)
    process.stdin.close()
    nests: deque[dict[str, Any]] = deque(maxlen=_TRIED)
    for line in process.stdout:
        # What was killed may leave half a line.
        if line.endswith("\n"):
            nests.append(json.loads(line))
            reached(float(nests[-1]["length"]))
    return nests


def _placements(
    pieces: Sequence[Sequence[float]],
    wanted: Sequence[int],
    postures: Sequence[tuple[Posture, ...]],
) -> Placements:
    """Pieces with the turns that they were given, not their single-precision copies."""
    rows = np.array(pieces, dtype=np.float64)
    shape = np.array(wanted, dtype=np.int64)[rows[:, 0].astype(np.int64)]
    turn = np.array(
        [_nearest(math.radians(t), postures[s]) for s, t in zip(shape, rows[:, 3], strict=True)]
    )
    return Placements(shape, rows[:, 1].copy(), rows[:, 2].copy(), turn)


def _nearest(turn_rad: float, postures: Sequence[Posture]) -> float:
    return min(
        (p.turn_rad for p in postures),
        key=lambda turn: abs(math.remainder(turn - turn_rad, 2.0 * math.pi)),
    )


def _on_cloth(shapes: tuple[Shape, ...], placed: Placements, shift_m: float) -> FreePart:
    """Shift the nest across, and to the start of the cloth."""
    y = placed.y_m + shift_m
    box = boxes(shapes, placed.shape, placed.x_m, y, placed.turn_rad)
    start = float(box[:, 0].min())
    pieces = Placements(placed.shape, placed.x_m - start, y, placed.turn_rad)
    return FreePart(pieces, float(box[:, 2].max()) - start)
