"""Irregular and mixed shapes through the strip packer spyrrow, in a process of its own."""

from __future__ import annotations

import json
import math
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np

from meshcore.supply.nesting.parts import FreePart, Placements
from meshcore.supply.nesting.patterns.profiles import widened
from meshcore.supply.nesting.plan import NestOrder
from meshcore.supply.nesting.postures import Posture, boxes, posture
from meshcore.supply.shapes.outlines import Shape

#: Told the length reached so far [m].
Reached = Callable[[float], None]
#: The packer works in single precision: pieces are kept this much further apart [m], which is
#: more than its rounding on 60 m of cloth and less than any cutter sees.
_CLEAR_M = 2e-5
#: How far pieces may lie over an edge before they are moved back inside [m].
_EDGE_M = 4e-6
#: Time that the packer is given beyond its budget to write down what it has [s].
_GRACE_S = 5.0
#: Longest that a run is waited for where it ends by its steps [s].
_MOST_S = 3600.0


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

    Returns
    -------
    The nest, or None where the packer found none.
    """
    corners = [
        widened(shape, posture(shape, 0.0), spacing_m + 2.0 * _CLEAR_M) for shape in order.shapes
    ]
    reach = (float(np.ptp(corners[0][:, 1])) - order.shapes[0].height_m) / 2
    wanted = np.flatnonzero(order.quantity).tolist()
    height = usable_m + 2.0 * (reach + _EDGE_M)
    job = {
        "height": height,
        "seconds": seconds,
        "seed": seed,
        "enough": enough_m,
        "items": [
            {
                "corners": corners[n][:-1].tolist(),
                "count": int(order.quantity[n]),
                "turns": [math.degrees(p.turn_rad) for p in postures[n]],
            }
            for n in wanted
        ],
    }
    answer = _run(json.dumps(job), seconds, reached)
    if answer is None or not answer["pieces"]:
        return None
    placed = _placements(answer["pieces"], wanted, postures)
    shift = low_m + (usable_m - height) / 2
    part = _on_cloth(order.shapes, placed, shift, low_m, low_m + usable_m)
    return Packed(part, answer["seed"], answer["step"])


def _run(job: str, seconds: float, reached: Reached) -> dict[str, Any] | None:
    """Start the worker, pass on its news, and return its last line."""
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
        limit.start()
        try:
            return _read(process, job, reached)
        finally:
            limit.cancel()
            process.kill()


def _read(process: subprocess.Popen[str], job: str, reached: Reached) -> dict[str, Any] | None:
    if process.stdin is None or process.stdout is None:
        raise RuntimeError("the packer was started without pipes")
    process.stdin.write(job)
    process.stdin.close()
    answer: dict[str, Any] | None = None
    for line in process.stdout:
        said = json.loads(line)
        if "pieces" in said:
            answer = said
        else:
            reached(float(said["length"]))
    return answer


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


def _on_cloth(
    shapes: tuple[Shape, ...], placed: Placements, shift_m: float, low_m: float, high_m: float
) -> FreePart:
    """Shift the nest across, move it to the start of the cloth, and just inside its edges."""
    y = placed.y_m + shift_m
    box = boxes(shapes, placed.shape, placed.x_m, y, placed.turn_rad)
    y += np.maximum(low_m - box[:, 1], 0.0) - np.maximum(box[:, 3] - high_m, 0.0)
    start = float(box[:, 0].min())
    pieces = Placements(placed.shape, placed.x_m - start, y, placed.turn_rad)
    return FreePart(pieces, float(box[:, 2].max()) - start)
