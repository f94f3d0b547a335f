"""How far each weave reaches: the wires it takes at a pitch, and what stops it on either side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from meshcore.arrays import FloatArray
from meshcore.enquiry import WEAVES
from meshcore.weave.cloth import ClothColumns, WeaveRule
from meshcore.weave.geometry.path import jam_wire_to_pitch
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, RuleResult, assess

#: Wire over pitch at which the rules are asked [-]: steps of a four-hundredth of the pitch.
_STEPS = np.arange(1, 400) / 400.0


@dataclass(frozen=True, slots=True)
class WeaveReach:
    """What each weave takes at one pitch, one row a weave in the order of ``WEAVES``.

    Parameters
    ----------
    pitch_m
        The pitch [m].
    least_wire_m, greatest_wire_m
        Ends of the longest run of wires that can be woven without a remark [m]; NaN where none can.
    below, above
        Rules that the next lighter and the next heavier wire is against; empty where none is.
    against
        Where no wire can be woven, the rules that the least hindered one is against; else empty.
    jam_wire_m
        Wire at which its path has no straight part left [m].
    open_area_at_jam
        Share of the area that is open there [-].
    """

    pitch_m: float
    least_wire_m: FloatArray
    greatest_wire_m: FloatArray
    below: tuple[str, ...]
    above: tuple[str, ...]
    against: tuple[str, ...]
    jam_wire_m: FloatArray
    open_area_at_jam: FloatArray


def weave_reach(pitch_m: float, rules: Sequence[tuple[str, WeaveRule]]) -> WeaveReach:
    """Try wires of every thickness in every weave at one pitch.

    Parameters
    ----------
    pitch_m
        [m]
    rules
        Weave rules, each with its plugin's name.

    Returns
    -------
    The reach of each weave by those rules, to a four-hundredth of the pitch. Limits of an alloy and
    of a width do not speak here.

    Raises
    ------
    ValueError
        If the pitch is not positive.

    Examples
    --------
    >>> reach = weave_reach(2.54e-3, ())
    >>> bool(np.isnan(reach.greatest_wire_m).any()), reach.jam_wire_m[:3].round(6).tolist()
    (False, [0.001466, 0.001466, 0.001466])
    """
    if not pitch_m > 0.0:
        raise ValueError(f"a pitch is positive, got {pitch_m}")
    cloth = _every_wire(pitch_m)
    judged = assess(cloth, rules)
    woven = (judged.verdict == CAN_BE_WOVEN) & np.isfinite(cloth.path_ratio)
    ends = [_longest_run(row) for row in woven.reshape(len(WEAVES), -1)]
    jam = np.array([jam_wire_to_pitch(code) for code in range(len(WEAVES))])
    return WeaveReach(
        pitch_m,
        np.array([_STEPS[low] * pitch_m if high > low else np.nan for low, high in ends]),
        np.array([_STEPS[high - 1] * pitch_m if high > low else np.nan for low, high in ends]),
        tuple(
            _against(judged.results, _row(code, low) - 1) if high > low > 0 else ""
            for code, (low, high) in enumerate(ends)
        ),
        tuple(
            _against(judged.results, _row(code, high)) if low < high < len(_STEPS) else ""
            for code, (low, high) in enumerate(ends)
        ),
        tuple(
            "" if high > low else _least_hindered(judged.results, code)
            for code, (low, high) in enumerate(ends)
        ),
        jam * pitch_m,
        (1.0 - jam) ** 2,
    )


def _row(code: int, step: int) -> int:
    return code * len(_STEPS) + step


def _least_hindered(results: Sequence[RuleResult], code: int) -> str:
    """Names of the rules against the wire that the fewest are against, of one weave."""
    rows = slice(_row(code, 0), _row(code + 1, 0))
    hindrances = np.sum([result.outside[rows] for result in results], axis=0)
    return _against(results, _row(code, int(np.argmin(hindrances))))


def _every_wire(pitch_m: float) -> ClothColumns:
    """Every weave in every thickness of wire, weave by weave."""
    weave = np.repeat(np.arange(len(WEAVES)), len(_STEPS))
    pitch = np.full(len(weave), pitch_m)
    wire = np.tile(_STEPS, len(WEAVES)) * pitch_m
    return specifications(weave, wire, pitch)


def _longest_run(woven: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> tuple[int, int]:
    """First place of the longest run, and the place after its last; both 0 where there is none."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], woven.astype(np.int8), [0]])))
    if not len(edges):
        return 0, 0
    starts, stops = edges[::2], edges[1::2]
    longest = int(np.argmax(stops - starts))
    return int(starts[longest]), int(stops[longest])


def _against(results: Sequence[RuleResult], row: int) -> str:
    """Names of the rules that a line is against."""
    return ", ".join(result.rule.name for result in results if result.outside[row])
