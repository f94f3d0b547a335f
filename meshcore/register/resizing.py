"""Lines of a quotation in other quantities, priced with the book that it was quoted with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from meshcore.costing.set_prices import without_amounts
from meshcore.documents.cloth_lines import cloth_lines, labels_of
from meshcore.documents.facts import ClothLine, Quotation
from meshcore.reading.tables.headings import with_fields
from meshcore.register.entries import Entry
from meshcore.register.errors import RecordsError
from meshcore.register.offered import row_of, with_offered
from meshcore.register.packing import estimate_from
from meshcore.rounding import SLACK


def priced_anew(
    opened: Entry, facts: Quotation, quantities: Mapping[str, int], *, every: bool = False
) -> dict[str, ClothLine]:
    """Price lines as those of the order that comes of it, with the book of the quotation.

    Parameters
    ----------
    opened, facts
        The quotation: what it was made from is filed with it.
    quantities
        Label → quantity, where it is other than quoted; 0 for a line that is not ordered.
    every
        Whether lines whose quantity stays as quoted are priced anew too; else they keep their
        price.

    Returns
    -------
    Label → the line priced anew.

    Raises
    ------
    RecordsError
        If a line has no price at that quantity, or comes out as another thing.
    """
    from meshcore.estimates.pipeline import estimate_list  # noqa: PLC0415 - heavy: only when priced

    quoted = {line.label: line for line in (*facts.lines, *facts.offers)}
    counts = {label: quantities.get(label, line.quantity) for label, line in quoted.items()}
    changed = {
        label
        for label, count in counts.items()
        if count > 0 and (every or count != quoted[label].quantity)
    }
    if not changed:
        return {}
    saved = estimate_from(opened.body["estimate"])
    then = estimate_list(
        saved.enquiries, saved.book, saved.policy, saved.path_model, cutting=saved.cutting
    )
    names = labels_of(then)
    kept = sorted(
        (row, label)
        for label, count in counts.items()
        if count > 0 and (row := row_of(names, label)) >= 0
    )
    labels = [label for _, label in kept]
    enquiries = saved.enquiries.iloc[[row for row, _ in kept]].reset_index(drop=True)
    columns = then.headings.column
    offered = {n: quoted[one] for n, one in enumerate(labels) if quoted[one].role == "instead"}
    lines = with_fields(enquiries.astype(object), ["quantity"])
    asked = without_amounts(with_offered(lines, columns, offered))
    asked[columns.get("quantity", "quantity")] = [str(counts[label]) for label in labels]
    today = estimate_list(asked, saved.book, saved.policy, saved.path_model, cutting=saved.cutting)
    rows = [place for place, label in enumerate(labels) if label in changed]
    stopped = today.log.refused() | ~today.ledger.priced
    wrong = [labels[place] for place in rows if stopped[place]]
    if wrong:
        raise RecordsError(_cannot(wrong, "has no price at that quantity"))
    found: dict[str, ClothLine] = {}
    for place, line in zip(rows, cloth_lines(today, rows), strict=True):
        label = labels[place]
        old = quoted[label]
        if line.quantity != counts[label] or not _same(old, line):
            raise RecordsError(_cannot([label], "comes out as another thing at that quantity"))
        found[label] = replace(
            line, label=label, asked=old.asked, to_confirm=old.to_confirm,
            wanted_by=old.wanted_by, late=old.late,
        )  # fmt: skip
    return found


def _same(old: ClothLine, new: ClothLine) -> bool:
    first, second = ((one.pitch_m, one.wire_m, one.width_m, one.length_m) for one in (old, new))
    named = [(one.alloy, one.form, one.weave, one.sizes_text) for one in (old, new)]
    return named[0] == named[1] and bool(np.allclose(first, second, rtol=SLACK, atol=0.0))


def _cannot(labels: list[str], why: str) -> str:
    return (
        f"line {', '.join(labels)} {why}. Keep the unit price as quoted, or quote it anew as a "
        "revision."
    )
