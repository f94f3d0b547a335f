"""Quantities to choose from: "for 1, 3 and 10 rolls" are three lines, of which one is ordered."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.reading.letters.facts import Fact
from meshcore.reading.letters.finished import Finished
from meshcore.reading.vocabulary import fold

#: What a line says of itself that was priced again in another quantity.
_PRICED_AGAIN = "its first price"
#: Words between the quantities of a choice, besides the form: whoever splits a quantity by place
#: or day says more than these.
_BETWEEN = re.compile(
    r"(?:[\W\d_]|\b(?:and|or|und|oder|et|ou|y|o|e|for|fur|pour|para|also|auch|aussi|tambien|"
    r"alternatively|bzw|off|qty|pcs|each|rolls?|strips?|pieces?|rollen?|stucke?|stk|streifen|"
    r"rouleaux?|bandes?|rollos?|piezas?|tiras?)\b)*"
)
#: Words right before a further quantity of what stands: "200 discs …; also for 500".
_ALSO_FOR = re.compile(r"\b(?:also|auch|aussi|tambien)\s+(?:for|at|fur|bei|pour|para)\s*$")
#: Words that stand with each quantity, and tell nothing of the goods.
_COUNTED = ("quantity", "form", "shape")


def choice_orders(text: str, done: Sequence[Finished]) -> list[str]:
    """Name the order of each line: "1", or that of a choice of quantities, each of its own.

    Parameters
    ----------
    text
        The letter.
    done
        Its lines, in their order.

    Returns
    -------
    ``"1"`` for lines that are ordered together; ``"2 (one of 1, 2, 3)"`` for the second line where
    the first three differ in their quantity alone, and one of them is to be ordered.
    """
    orders = ["1"] * len(done)
    groups: list[list[int]] = []
    for n, one in enumerate(done):
        if groups and _is_choice(text, [done[k] for k in groups[-1]], one):
            groups[-1].append(n)
        else:
            groups.append([n])
    for group in groups:
        if len(group) > 1:
            names = ", ".join(str(n + 1) for n in group)
            for n in group:
                orders[n] = f"{n + 1} (one of {names})"
    return orders


def _is_choice(text: str, before: Sequence[Finished], one: Finished) -> bool:
    last = before[-1]
    if _but_quantity(one.cells) != _but_quantity(last.cells):
        return False
    counts = [other.cells.get("quantity", "") for other in (*before, one)]
    if not all(counts) or len(set(counts)) < len(counts):
        return False
    first, second = _quantity(last), _quantity(one)
    if first is None or second is None:
        return False
    if any(fact.origin == _PRICED_AGAIN for _, fact in one.evidence):
        return True
    if _spans(last) != _spans(one):
        return False
    between = fold(text[min(first.end, second.end) : max(first.start, second.start)])
    return _BETWEEN.fullmatch(between) is not None or _ALSO_FOR.search(between) is not None


def _but_quantity(cells: dict[str, str]) -> dict[str, str]:
    return {name: cell for name, cell in cells.items() if name != "quantity"}


def _quantity(one: Finished) -> Fact | None:
    return next((fact for column, fact in one.evidence if column == "quantity"), None)


def _spans(one: Finished) -> set[tuple[str, int, int]]:
    """Where the cells of a line were read, but for those that stand with its quantity."""
    return {(name, f.start, f.end) for name, f in one.evidence if name not in _COUNTED}
