"""Numbers of labels that are to stand on a cut sheet, given line by line."""

from __future__ import annotations

import re
from collections.abc import Iterable

from meshcore.documents.cloth_lines import labels_of
from meshcore.documents.terms import TermsError
from meshcore.estimates.results import EstimateSet

#: What stands between two lines' labels in one text.
_BETWEEN = re.compile(r"[,;\n]")


def labels_in(text: str) -> list[str]:
    """Part a text such as ``1=L-2026-0012, 2=L-2026-0013`` into what it says of each line.

    Examples
    --------
    >>> labels_in("1 = L-12, 2=L-13;")
    ['1 = L-12', '2=L-13']
    """
    return [part.strip() for part in _BETWEEN.split(text) if part.strip()]


def read_labels(given: Iterable[str], estimates: EstimateSet) -> dict[int, str]:
    """Read which label each line bears.

    Parameters
    ----------
    given
        Texts such as ``"2=L-2026-0013"``: a line as it is called, and the number of its label.
    estimates
        The lines.

    Returns
    -------
    Row → number of its label.

    Raises
    ------
    TermsError
        If a text is none of that kind, names no line or one that a plan does not cut, or a line
        is told two labels.
    """
    names = labels_of(estimates)
    cut = {row for plan in estimates.plans for row in plan.rows.tolist()}
    labels: dict[int, str] = {}
    for text in given:
        line, sign, number = (part.strip() for part in text.partition("="))
        if not (line and sign and number):
            raise TermsError(f'label: read "{text}"; a line and its label are due, as 2=L-0013.')
        row = names.index(line) if line in names else -1
        if row not in cut:
            known = ", ".join(names[n] for n in sorted(cut))
            raise TermsError(
                f'label: read "{text}"; no plan cuts a line {line}. There are lines {known}.'
            )
        if labels.setdefault(row, number) != number:
            raise TermsError(
                f'label: line {line} is told two labels, "{labels[row]}" and "{number}". Give one.'
            )
    return labels
