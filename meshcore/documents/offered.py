"""Lines of a list that are in no sum: those of a choice, and what is offered beside the others."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from string import ascii_letters

from meshcore.documents.buyers_words import cells_of
from meshcore.documents.cloth_lines import cloth_lines, labels_of
from meshcore.documents.facts import ClothLine
from meshcore.estimates.results import EstimateSet
from meshcore.reading.tables.standing import choice_of, line_standing

#: What parts the words of a line's own name or remark: "1a (option)", "alternative to line 1".
_PARTED = re.compile(r"\W+")


def offered_lines(
    estimates: EstimateSet,
    rows: Sequence[int],
    breaks: Sequence[int] = (),
    confirmed: Collection[str] = (),
) -> list[ClothLine]:
    """Return lines that are in no sum, each with what it stands beside.

    Parameters
    ----------
    estimates
        The priced list.
    rows
        Its options, all of them with a price.
    breaks, confirmed
        As for `cloth_lines`.
    """
    choices = [choice_of(text) for text in cells_of(estimates, "order")]
    lines = cloth_lines(estimates, rows, breaks, "beside", confirmed)
    return [
        replace(line, role="choice", beside=choices[row])
        if choices[row]
        else replace(line, beside=_stands_beside(estimates, row))
        for row, line in zip(rows, lines, strict=True)
    ]


def least_of_choices(estimates: EstimateSet) -> int:
    """Sum what the least dear order of each choice comes to [minor units]; 0 where none is offered.

    Examples
    --------
    >>> import pandas as pd
    >>> from meshcore.estimates.pipeline import estimate_list
    >>> roll = {"mesh_count": "10 / in", "wire_diameter": "0.025 in", "alloy": "304",
    ...         "form": "roll", "width": "48 in", "length": "100 ft"}
    >>> lines = [roll | {"quantity": q, "order": f"{n} (one of 1, 2)"} for n, q in ((1, 3), (2, 1))]
    >>> held = estimate_list(pd.DataFrame(lines))
    >>> bool(least_of_choices(held) == held.ledger.price_minor[1])
    True
    """
    sums: dict[str, dict[str, int]] = {}
    good = ~estimates.log.refused() & estimates.ledger.priced
    for row, text in enumerate(cells_of(estimates, "order")):
        if good[row] and (names := choice_of(text)):
            orders = sums.setdefault(names, {})
            orders[text] = orders.get(text, 0) + int(estimates.ledger.price_minor[row])
    return sum(min(orders.values()) for orders in sums.values())


def _stands_beside(estimates: EstimateSet, row: int) -> str:
    """Return the label of the line that an option names, or of the last one before it."""
    labels = labels_of(estimates)
    asked = [n for n in range(len(labels)) if not estimates.options[n]]
    note = cells_of(estimates, "note")[row]
    # Another remark may hold any number.
    named = f"{note if line_standing(note)[0] else ''} {labels[row]}"
    known = {labels[n] for n in asked}
    words = [form for word in _PARTED.split(named) for form in (word, word.rstrip(ascii_letters))]
    told = [word for word in words if word in known]
    before = [labels[n] for n in asked if n < row]
    return (told or before[-1:] or [""])[0]
