"""What a quotation has for lines without a price: offers instead, and what is to be asked."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from meshcore.documents.cloth_lines import asked_text, cloth_lines, labels_of
from meshcore.documents.facts import ClothLine, OpenQuestion
from meshcore.estimates.nearest import nearest_weavable, offer_lines
from meshcore.estimates.pipeline import priced_as
from meshcore.estimates.questions import questions
from meshcore.estimates.results import EstimateSet


def offers_instead(estimates: EstimateSet, stopped: Sequence[int], count: int) -> list[ClothLine]:
    """Find what can be woven instead of lines that cannot, where it has a price."""
    found: list[ClothLine] = []
    labels = labels_of(estimates)
    for row in stopped if count else ():
        if estimates.orders.cloth.alloy[row] < 0:
            continue
        offered = nearest_weavable(estimates, row, count=count)
        if not len(offered):
            continue
        priced = priced_as(estimates, offer_lines(estimates, row, offered))
        good = np.flatnonzero(~priced.log.refused() & priced.ledger.priced)
        lines = cloth_lines(priced, [n for n in good.tolist() if n > 0], (), "instead")
        asked = asked_text(estimates, row)
        named = [*labels, *(line.label for line in found)]
        for place, line in enumerate(lines):
            label = labels[row] if place == 0 else _free_label(labels[row], named)
            named.append(label)
            found.append(replace(line, asked=asked, label=label))
    return found


def _free_label(label: str, named: Sequence[str]) -> str:
    """Return what a further offer for a line is ordered by: the line's label and a number."""
    numbers = (f"{label}-{n}" for n in itertools.count(2))
    return next(name for name in numbers if name not in named)


def open_questions(
    estimates: EstimateSet, rows: Sequence[int], stopped: set[int]
) -> list[OpenQuestion]:
    """List what must be answered before a line without a price has one."""
    if not stopped:
        return []
    asked = questions(estimates.enquiries, estimates.messages, estimates.policy, estimates.book)
    labels = labels_of(estimates)
    return [
        OpenQuestion(labels[row], one.field, one.ask, one.kind)
        for row in rows
        if row in stopped
        for one in asked.lines[row]
        if one.needed
    ]
