"""What is delivered out of proportion to what was ordered: by label, and by line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from meshcore.documents.facts import ClothLine
from meshcore.rounding import SLACK

#: A roll delivered at less or more of its length than this is likelier a slip of the pen or of the
#: unit than a roll: feet taken for metres are 3.28 times as long (our choice) [-].
_LEAST_SHARE, _MOST_SHARE = 0.5, 1.5


def is_in_proportion(length_m: float, ordered_m: float) -> bool:
    """Tell whether a length [m] can be that of a roll of the length ordered [m].

    Examples
    --------
    >>> is_in_proportion(29.87, 30.48), is_in_proportion(98.0, 30.48)
    (True, False)
    """
    return _LEAST_SHARE <= length_m / ordered_m <= _MOST_SHARE


def label_doubts(number: str, line: ClothLine, held: Sequence[dict[str, Any]]) -> Iterable[str]:
    """Tell what of the deliveries under one label is out of all proportion."""
    standing_ = [one for one in held if not one["taken_back"]]
    if line.form != "roll":
        count = sum(one["count"] for one in standing_)
        if count > line.quantity:
            yield f"{number} comes to {count}, of {line.quantity} ordered."
        return
    length = sum(one["length_m"] for one in standing_)
    share = length / line.length_m
    if not is_in_proportion(length, line.length_m):
        yield (
            f"{number} comes to {length:.3f} m, {share:.3g} times the {line.length_m:.3f} m "
            "ordered: check the unit."
        )


def over_ordered(line: ClothLine, size: float) -> Iterable[str]:
    """Tell where a line comes to more than was ordered and its tolerance allows.

    Parameters
    ----------
    line
        As it was ordered.
    size
        Length [m] of rolls, or count of strips or pieces, of all its deliveries.
    """
    if line.form != "roll":
        if size > line.quantity:
            yield f"line {line.label} comes to {size:.0f}, of {line.quantity} ordered."
        return
    ordered_m = line.length_m * line.quantity
    over = size / ordered_m - 1.0
    if over > line.over[0] + SLACK:
        yield (
            f"line {line.label} comes to {size:.3f} m, {over * 100:.3g} % over the "
            f"{ordered_m:.3f} m ordered; the tolerance is +{line.over[0] * 100:g} %."
        )
