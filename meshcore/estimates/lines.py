"""Lines of a priced list, as the functions that look at them are told of them."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.estimates.results import Estimate, EstimateSet

_FIRST = (0,)


def lines_of(
    estimates: EstimateSet | Estimate, lines: Sequence[int] = _FIRST
) -> tuple[EstimateSet, tuple[int, ...]]:
    """Return the list and the row numbers, counted from its start.

    Parameters
    ----------
    estimates
        A priced list; or one line of it, which needs no row numbers.
    lines
        Row numbers; negative ones count from the end.

    Raises
    ------
    TypeError
        If it is neither, or row numbers are given besides one line.
    IndexError
        If there is no such line.

    Examples
    --------
    >>> import meshcore as mc
    >>> two = mc.estimate_list([mc.Enquiry(), mc.Enquiry()])
    >>> lines_of(two, (-1,))[1], lines_of(two[1])[1]
    ((1,), (1,))
    """
    if isinstance(estimates, Estimate):
        if tuple(lines) != _FIRST:
            raise TypeError("an Estimate is one line already: leave the row numbers out")
        return estimates.estimates, (estimates.line,)
    if not isinstance(estimates, EstimateSet):
        wrong = type(estimates).__name__
        raise TypeError(f"a {wrong}, where an EstimateSet or an Estimate is due")
    return estimates, tuple(estimates[line].line for line in lines)


def line_of(estimates: EstimateSet | Estimate, line: int = 0) -> tuple[EstimateSet, int]:
    """Return the list and the row number of one line, as `lines_of` does of several."""
    held, (row,) = lines_of(estimates, (line,))
    return held, row
