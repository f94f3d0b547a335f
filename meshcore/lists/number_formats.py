"""Units that stand in the number format of a cell alone."""

from __future__ import annotations

import re
from functools import lru_cache

from meshcore.reading.tables.heading_units import unit_word

_LITERAL = re.compile(r'"([^"]*)"|\\(.)|_.|\*.|\[[^\]]*\]')


def with_format(value: float, number_format: str) -> object:
    r"""Return a number as its format shows it where that adds a unit, else as it is.

    Examples
    --------
    >>> with_format(2, '0.00" mm"'), with_format(0.44, "0 %"), with_format(48, '0\\"')
    ('2 mm', '44 %', '48 in')
    >>> with_format(0.635, "0.00"), with_format(12.5, '#,##0.00" EUR"')
    (0.635, 12.5)
    """
    unit, percent = _format_unit(number_format)
    if percent:
        return f"{value * 100:.12g} %"
    return f"{value:.15g} {unit}" if unit else value


@lru_cache(maxsize=1024)
def changes_number(number_format: str) -> bool:
    """Whether a format shows other digits than the number has: more of them, or thousands left out.

    Examples
    --------
    >>> [changes_number(f) for f in ('0"00"', "0,", "#,##0.00", '0" m2"', "General")]
    [True, True, False, False, False]
    """
    first = _sections(number_format)[0]
    literal = "".join(a or b or "" for a, b in _LITERAL.findall(first)).strip()
    bare = _LITERAL.sub("", first)
    return literal.isdigit() or re.search(r"[0#],+(?![0#,])", bare) is not None


@lru_cache(maxsize=1024)
def _format_unit(number_format: str) -> tuple[str, bool]:
    """Return the unit that a number format shows, and whether it shows a percentage."""
    first = _sections(number_format)[0]
    literal = "".join(a or b or "" for a, b in _LITERAL.findall(first)).strip()
    bare = _LITERAL.sub("", first)
    return unit_word(literal) if literal else "", "%" in bare


def _sections(number_format: str) -> list[str]:
    """Parts of a format for positive, negative and zero numbers."""
    return re.findall(r'(?:"[^"]*"|\\.|[^;])+', number_format) or [""]
