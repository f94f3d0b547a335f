"""The unit that a size was typed in, where what else it may have meant is looked for."""

from __future__ import annotations

import re

from meshcore.reading.vocabulary import fold, words

_WORD = re.compile(r"[^\W\d_]+|[\"″”“]|''|′′")
#: Units of one system: what is typed in one of these may have been meant in the other system.
_METRIC, _INCH = frozenset({"mm", "cm", "µm", "m"}), frozenset({"in", "mil", "thou"})


def unit_typed(text: str, field: str) -> str:
    """Return the unit of a size as typed.

    Parameters
    ----------
    text
        The cell, with the unit of its heading where it has none of its own.
    field
        Enquiry column of the size.

    Returns
    -------
    Of a length ``"mm"`` or ``"in"``, of a count ``"in"`` or ``"cm"``; empty where none is typed. A
    count without a unit is per inch.

    Examples
    --------
    >>> [unit_typed(t, "wire_diameter") for t in ("0.025 in", '3/4"', "1.6 mm", "36 µm", "0.6")]
    ['in', 'in', 'mm', 'mm', '']
    >>> unit_typed("4 / cm", "mesh_count"), unit_typed("10 mesh", "mesh_count")
    ('cm', 'in')
    """
    named = {words("unit_length").get(word) for word in _WORD.findall(fold(text))}
    if field == "mesh_count":
        return "cm" if "cm" in named else "in"
    if named & _INCH:
        return "in"
    return "mm" if named & _METRIC else ""
