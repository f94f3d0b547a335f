"""Meshes and wires that might answer a line that gives only one size."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.units import METRES_PER_INCH
from meshcore.weave.judging.limits import length_text
from meshcore.weave.specification.series import SERIES, cloths

#: A customary wire or count is offered where the size given comes this near to the series [-].
NEAR = 0.03
#: Wire over pitch of light, usual and heavy cloth, to try lines by: common practice, no source.
TRIAL_WIRE_TO_PITCH = (0.25, 0.15, 0.40)
#: Cloth to try lines by that give no size at all: common, coarse and fine.
TRIAL_CLOTH = (("10 / in", "0.025 in"), ("2 / in", "0.063 in"), ("100 / in", "0.0045 in"))


def _ranked() -> Iterator[tuple[FloatArray, FloatArray]]:
    """Wire and pitch of the series of each rank, the most customary first."""
    for rank in sorted({series.rank for series in SERIES}):
        known = cloths(rank)
        yield known.wire_diameter, known.pitch


def usual_meshes(wire_m: float) -> Iterator[tuple[str, str]]:
    """Yield counts that are woven with a wire, as a cell holds them and as a letter says them.

    Examples
    --------
    >>> next(usual_meshes(0.635e-3))
    ('10 / in', '10 / in with this wire')
    """
    for wires, pitches in _ranked():
        for place in _near(wires, wire_m):
            count = f"{METRES_PER_INCH / pitches[place]:.4g} / in"
            yield count, f"{count} with this wire"


def usual_wires(value: Mapping[str, float]) -> Iterator[tuple[str, str]]:
    """Yield wires that are woven with a mesh, as a cell holds them and as a letter says them.

    Examples
    --------
    >>> sizes = dict.fromkeys(("mesh_count", "pitch", "aperture"), float("nan"))
    >>> next(usual_wires(sizes | {"pitch": 2.54e-3}))
    ('0.025 in', '0.025 in (0.635 mm) at 10 / in')
    """
    pitch = _pitch(value)
    for wires, pitches in _ranked():
        known, size = (pitches, pitch) if pitch > 0 else (pitches - wires, value["aperture"])
        for place in _near(known, size):
            wire = float(wires[place])
            answer = f"{wire / METRES_PER_INCH:.4g} in"
            count = f"{METRES_PER_INCH / pitches[place]:.4g} / in"
            if _is_metric(wire):
                answer = length_text(wire)
                yield answer, f"{answer} at {count}"
            else:
                yield answer, f"{answer} ({length_text(wire)}) at {count}"


def _is_metric(wire_m: float) -> bool:
    """Whether a wire is whole in thousandths of a millimetre, and not of an inch's quarters."""
    quarters = wire_m / METRES_PER_INCH * 4e4
    return abs(quarters - round(quarters)) > _WHOLE


#: Slack within which a size is whole in the last digit of its series.
_WHOLE = 1e-6


def _near(series: FloatArray, size: float) -> list[int]:
    """Places in `series` of what is near enough to `size` to be meant, the nearest first."""
    if not size > 0:
        return []
    off = np.abs(series / size - 1.0)
    order = np.argsort(off, kind="stable")
    return [place for place in order.tolist() if off[place] <= NEAR]


def _pitch(value: Mapping[str, float]) -> float:
    return value["pitch"] if np.isnan(value["mesh_count"]) else 1.0 / value["mesh_count"]


def trial_meshes(wire_m: float) -> tuple[str, str, str]:
    """Return counts to try a line by that gives a wire, or no size at all."""
    if not wire_m > 0:
        first, second, third = (count for count, _ in TRIAL_CLOTH)
        return first, second, third
    first, second, third = (
        f"{METRES_PER_INCH / wire_m * ratio:.4g} / in" for ratio in TRIAL_WIRE_TO_PITCH
    )
    return first, second, third


def trial_wires(value: Mapping[str, float]) -> tuple[str, str, str]:
    """Return wires to try a line by that gives a mesh, or no size at all."""
    pitch, aperture = _pitch(value), value["aperture"]
    if pitch > 0:
        sizes = [pitch * ratio for ratio in TRIAL_WIRE_TO_PITCH]
    elif aperture > 0:
        sizes = [aperture * ratio / (1.0 - ratio) for ratio in TRIAL_WIRE_TO_PITCH]
    else:
        first, second, third = (wire for _, wire in TRIAL_CLOTH)
        return first, second, third
    first, second, third = (f"{size * 1e3:.4g} mm" for size in sizes)
    return first, second, third
