"""The nearest specifications that can be woven, holding what must hold and trading the rest."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from meshcore.arrays import BoolArray, FloatArray, IntArray
from meshcore.enquiry import WEAVES, WELDED
from meshcore.messages import Message
from meshcore.rounding import SLACK
from meshcore.units import METRES_PER_INCH
from meshcore.weave.cloth import ClothColumns, WeaveRule, take_cloth
from meshcore.weave.geometry.specifications import specifications
from meshcore.weave.judging.limits import length_text
from meshcore.weave.judging.practicality import CAN_BE_WOVEN, assess
from meshcore.weave.search.candidates import NOTHING, as_asked, as_meant, stocked
from meshcore.weave.search.grid import (
    PROPERTIES,
    Grid,
    joined,
    property_logs,
    taken,
    weavable,
)
from meshcore.weave.search.ladder import Rung, rungs
from meshcore.weave.search.meant import Meaning
from meshcore.weave.search.offers import Alternatives, as_ordered, offers

__all__ = ["PROPERTIES", "Alternatives", "find_alternatives", "wanted"]

#: What a change of each property by one per cent weighs in the ranking, in the order of
#: ``PROPERTIES``: what the cloth lets through counts most. A judgement, no source.
TRADE_WEIGHTS = np.array([1.0, 0.5, 0.25, 0.5, 0.5, 0.25])
#: A change of weave weighs as much as this change of aperture. A judgement, no source.
OTHER_WEAVE_WEIGHT = 0.05
#: Less customary series weigh a little more, so that of two near equals the one woven every day
#: comes first; in the order of ``SERIES``. A judgement, no source.
SERIES_WEIGHTS = np.array([0.0, 0.01, 0.01, 0.02, 0.02, 0.02, 0.0])
#: How far a held property may move by default, as a share.
HOLD_WITHIN = 0.01
#: Candidates judged afresh at first, and how many times more at each further go.
_SHORTLIST = 32


def wanted(
    *,
    weave: int = 0,
    aperture_m: float = np.nan,
    wire_diameter_m: float = np.nan,
    open_area: float = np.nan,
) -> ClothColumns:
    """Cloth of one line of which only some sizes are known, to search from.

    Examples
    --------
    >>> wanted(aperture_m=2e-3, wire_diameter_m=1e-3).pitch_m.tolist()
    [0.003]
    """
    aperture, wire = np.array([aperture_m]), np.array([wire_diameter_m])
    cloth = specifications(np.array([weave]), wire, aperture + wire)
    known = np.array([open_area]) if np.isnan(cloth.open_area[0]) else cloth.open_area
    return replace(cloth, aperture_m=aperture, open_area=known)


def find_alternatives(
    cloth: ClothColumns,
    row: int,
    rules: Sequence[tuple[str, WeaveRule]],
    *,
    hold: Sequence[str] = (),
    within: float = HOLD_WITHIN,
    weaves: Sequence[int] | None = None,
    count: int = 8,
    typed: Sequence[str] = (),
    meant: Sequence[Meaning] = (),
    on_hand: Sequence[tuple[int, float, float]] = (),
    weave_named: bool = False,
) -> Alternatives:
    """Find the nearest specifications that can be woven.

    Parameters
    ----------
    cloth, row
        What is asked for: line `row` of `cloth`. Sizes that are not known are NaN.
    rules
        Weave rules, each with its plugin's name; what any of them is against is not offered.
    hold
        Properties that must hold, of ``PROPERTIES``; all others are traded.
    within
        How far a held property may move [-].
    weaves
        Weaves to choose from; without it, all that interlace, and the one asked for.
    count
        Offers wanted.
    typed
        Sizes that were typed, of ``PROPERTIES``; without them, all are as good as typed.
    meant
        What else the sizes may have meant, see `meshcore.weave.search.meant`.
    on_hand
        Cloth in stock: weave, wire and pitch [m] of each.
    weave_named
        Whether the weave was asked for by its name.

    Returns
    -------
    The offers, in the order in which a practitioner gives them, each with its reason (see
    `meshcore.weave.search.ladder`); no two of them nearly alike. What was asked itself is never
    among them.

    Raises
    ------
    ValueError
        If `hold`, `weaves`, `within` or `count` is out of range.

    Notes
    -----
    The grid joins ISO 565 apertures and mesh counts with R20 and gauge wires, beside the
    customary series, and each size asked for with customary others (see
    `meshcore.weave.search.grid`). Nearness is the weighted sum of the relative changes of
    aperture, wire, count, open area, mass and strength, see ``TRADE_WEIGHTS``. Each offer has been
    judged in its own alloy and width.
    """
    codes = _checked_weaves(int(cloth.weave[row]), weaves)
    _check(hold, within, count)
    asked = take_cloth(cloth, np.array([row]))
    target = property_logs(asked)[:, 0]
    if (fault := _cannot_start(target, hold)) is not None:
        return offers(asked, NOTHING, np.zeros(0), hold, fault)
    rules = tuple(rules)
    grid = joined(
        [
            weavable(rules, codes),
            as_asked(asked, rules, codes),
            as_meant(meant, rules, codes),
            stocked(on_hand, rules, codes),
        ]
    )
    allowed = _holding(grid, target, hold, within) & ~_is_asked(grid, target, asked)
    distance = _distance(grid, target, int(asked.weave[0]))
    ladder = rungs(
        grid, allowed, distance, target, int(asked.weave[0]), typed, meant,
        held=bool(hold), weave_named=weave_named,
    )  # fmt: skip
    rows, why = _climbed(grid, ladder, asked, rules, count)
    fault = None if len(rows) else _nothing_holds(grid, target, asked, hold, within)
    found = offers(asked, taken(grid, rows), distance[rows], hold, fault, why)
    return replace(found, weave_named=weave_named)


def _checked_weaves(asked: int, weaves: Sequence[int] | None) -> tuple[int, ...]:
    if weaves is None:
        return tuple(c for c in range(len(WEAVES)) if c != WELDED or asked == WELDED)
    if not weaves or not all(0 <= code < len(WEAVES) for code in weaves):
        raise ValueError(f"weaves must index WEAVES, 0 to {len(WEAVES) - 1}, got {weaves!r}")
    return tuple(sorted(set(weaves)))


def _check(hold: Sequence[str], within: float, count: int) -> None:
    if strange := [name for name in hold if name not in PROPERTIES]:
        raise ValueError(f"hold must be of {', '.join(PROPERTIES)}; got {', '.join(strange)}")
    if not 0.0 <= within < 1.0 or count < 1:
        raise ValueError(f"0 ≤ within < 1 and count ≥ 1 are needed, got {within} and {count}")


def _cannot_start(target: FloatArray, hold: Sequence[str]) -> Message | None:
    known = np.isfinite(target)
    if not known.any():
        return Message(
            "aperture",
            "",
            "no size to start from. Give an aperture or a wire.",
            code="search.no_start",
        )
    for name in hold:
        if not known[PROPERTIES.index(name)]:
            mend = "it is to hold, but it is not known. Give it, or let it go."
            return Message(name, "", mend, code="search.held_size_unknown")
    return None


def _holding(grid: Grid, target: FloatArray, hold: Sequence[str], within: float) -> BoolArray:
    allowed = np.ones(len(grid.series), dtype=np.bool_)
    reach = np.log1p(within) + SLACK
    for name in hold:
        place = PROPERTIES.index(name)
        allowed &= np.abs(grid.logs[place] - target[place]) <= reach
    return allowed


def _is_asked(grid: Grid, target: FloatArray, asked: ClothColumns) -> BoolArray:
    """Candidates that are what was asked: the same weave, wire and aperture."""
    aperture, wire = PROPERTIES.index("aperture"), PROPERTIES.index("wire_diameter")
    same: BoolArray = (
        (np.abs(grid.logs[aperture] - target[aperture]) < SLACK)
        & (np.abs(grid.logs[wire] - target[wire]) < SLACK)
        & (grid.cloth.weave == asked.weave[0])
    )
    return same


def _distance(grid: Grid, target: FloatArray, weave: int) -> FloatArray:
    distance = SERIES_WEIGHTS[grid.series]
    distance += OTHER_WEAVE_WEIGHT * (grid.cloth.weave != weave)
    for logs, wish, weight in zip(grid.logs, target, TRADE_WEIGHTS, strict=True):
        if np.isfinite(wish):
            distance += weight * np.abs(logs - wish)
    return distance


def _climbed(
    grid: Grid,
    ladder: Sequence[Rung],
    asked: ClothColumns,
    rules: tuple[tuple[str, WeaveRule], ...],
    count: int,
) -> tuple[IntArray, tuple[str, ...]]:
    """Rows to offer, rung by rung, each judged in the alloy and width asked for, and why."""
    kept: list[int] = []
    why: list[str] = []
    for rung in ladder:
        wanted = min(count, len(kept) + rung.most)
        for row in _good(grid, rung.rows, asked, rules, 1 if rung.most == 1 else _SHORTLIST):
            if len(kept) == wanted:
                break
            if not _is_twin(grid, row, kept, rung.apart):
                kept.append(row)
                why.append(rung.why)
    return np.array(kept, dtype=np.int64), tuple(why)


def _good(
    grid: Grid,
    rows: IntArray,
    asked: ClothColumns,
    rules: tuple[tuple[str, WeaveRule], ...],
    size: int,
) -> Iterator[int]:
    """Rows that can be woven in the alloy and width asked for, judged a growing part at a time."""
    start = 0
    while start < len(rows):
        part = rows[start : start + size]
        cloth = as_ordered(take_cloth(grid.cloth, part), asked)
        yield from part[assess(cloth, rules).verdict == CAN_BE_WOVEN].tolist()
        start, size = start + size, size * _SHORTLIST


def _is_twin(grid: Grid, row: int, kept: list[int], apart: float) -> bool:
    """Whether a row differs too little from one that is kept to be worth reading."""
    sizes = grid.logs[: PROPERTIES.index("wire_diameter") + 1]
    off = np.abs(sizes[:, kept] - sizes[:, [row]]).max(axis=0)
    return bool((off < apart).any())


def _nothing_holds(
    grid: Grid, target: FloatArray, asked: ClothColumns, hold: Sequence[str], within: float
) -> Message:
    """Say which held property to let go: the one without which most can be woven."""
    if not hold:
        weave = WEAVES[int(asked.weave[0])]
        return Message(
            "weave",
            weave,
            "nothing can be woven so. Let the weave be another.",
            code="search.weave_not_weavable",
        )
    left = {
        name: int(_holding(grid, target, [h for h in hold if h != name], within).sum())
        for name in hold
    }
    freed = max(left, key=lambda name: left[name])
    text = (
        f"nothing that can be woven holds {' and '.join(hold)} within {within * 100:.3g} %. "
        f"Let {freed} go, or hold it less closely."
    )
    return Message(freed, _asked_text(freed, asked), text, code="search.nothing_holds")


def _asked_text(name: str, asked: ClothColumns) -> str:
    if name == "mesh_count":
        return f"{METRES_PER_INCH / float(asked.pitch_m[0]):.4g} / in"
    if name == "open_area":
        return f"{float(asked.open_area[0]):.1%}"
    sizes = {"aperture": asked.aperture_m, "wire_diameter": asked.wire_diameter_m}
    return length_text(float(sizes[name][0])) if name in sizes else "as asked"
