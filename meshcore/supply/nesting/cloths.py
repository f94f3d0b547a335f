"""Parts of a nest laid end to end on lengths of cloth no longer than a roll."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from meshcore.rounding import SLACK
from meshcore.supply.nesting.parts import Cloth, FreePart, LanePart
from meshcore.supply.nesting.patterns.lanes import Lanes
from meshcore.supply.nesting.plan import NestTerms

Part = LanePart | FreePart


def lane_parts(
    shape: int, lanes: Lanes, pieces: int, terms: NestTerms
) -> list[tuple[Part, int]] | None:
    """Parts of one shape in lanes: full rolls, then the rest; None where no piece fits a roll."""
    a_roll = lanes.capacity(terms.max_length_m)
    if a_roll == 0:
        return None
    full, rest = divmod(pieces, a_roll)
    parts: list[tuple[Part, int]] = [(LanePart(shape, lanes, a_roll), full)] if full else []
    return [*parts, (LanePart(shape, lanes, rest), 1)] if rest else parts


def cloths_of(parts: Sequence[tuple[Part, int]], terms: NestTerms) -> tuple[Cloth, ...]:
    """Lay parts end to end, each as often as it says.

    Full cloths of one part come first; what is left over of each is laid together by first fit,
    the longest first. A cloth ends one spacing after its last piece, where it is cut off, or
    where the roll ends.
    """
    cloths: list[Cloth] = []
    loose: list[Part] = []
    for part, count in parts:
        step = part.length_m + terms.spacing_m
        together = max(1, int((terms.max_length_m + terms.spacing_m) * (1.0 + SLACK) / step))
        full, rest = divmod(count, together)
        if full:
            cloths.append(_cloth([part] * together, terms, full))
        loose += [part] * rest
    return (*cloths, *(_cloth(group, terms, 1) for group in _first_fit(loose, terms)))


def _first_fit(loose: Sequence[Part], terms: NestTerms) -> list[list[Part]]:
    groups: list[list[Part]] = []
    room: list[float] = []
    most = terms.max_length_m * (1.0 + SLACK) + terms.spacing_m
    for part in sorted(loose, key=lambda p: -p.length_m):
        step = part.length_m + terms.spacing_m
        for number, left in enumerate(room):
            if step <= left:
                groups[number].append(part)
                room[number] -= step
                break
        else:
            groups.append([part])
            room.append(most - step)
    return groups


def _cloth(parts: Sequence[Part], terms: NestTerms, repeats: int) -> Cloth:
    laid: list[Part] = []
    at = 0.0
    for part in parts:
        laid.append(replace(part, shift_m=at))
        at += part.length_m + terms.spacing_m
    return Cloth(min(at, terms.max_length_m), tuple(laid), repeats)
