"""Rows of a table that are no lines of it, and cells that repeat the one above."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.lists.grids import shown
from meshcore.reading.tables.field_names import DESCRIPTION
from meshcore.reading.texts import tidy

#: Words that begin a row of totals (common practice, no source).
_TOTAL = re.compile(
    r"(?:(?:grand|sub|over ?all|running)[ -]?)?totals?\b|sum\b|sums\b|summe\b|zwischensumme\b|"
    r"gesamt\w*|sous[ -]?total\b|somme\b|suma\b|subtotal\b|carried forward|übertrag\b|report\b|"
    r"[Σ∑]",
    re.IGNORECASE,
)
#: Why a row is set aside under which the lines cannot be read.
UNKNOWN_HEADINGS = "headings that are not known"
_RULED = re.compile(r"[\s\-=_*+|~·.]+")
#: Signs and words that stand for the cell above (common practice, no source).
_DITTO = frozenset(
    {'"', "″", "”", "“", "„", "''", "′′", "〃", "do", "do.", "ditto", "dto", "dto.", '-"-', '"-"',
     '--"--', "-”-", "-″-", "-''-", "-„-", "id.", "idem", "idem.", "dito", '" "', '," ,"', '."."',
     "wie oben", "as above", "same", "same as above", "s.o.", "ibid", "ibid.", "ídem"}
)  # fmt: skip
#: A lone text of as many words as this is a remark, whatever column it stands in [-].
_SENTENCE = 3


def is_ditto(cell: object) -> bool:
    """Whether a cell says that it repeats the one above.

    Examples
    --------
    >>> [is_ditto(cell) for cell in ('"', "do.", '-"-', "-", '4"')]
    [True, True, True, False, False]
    """
    return isinstance(cell, str) and tidy(cell).casefold() in _DITTO


def why_no_line(cells: Sequence[object], fields: Sequence[str]) -> str:
    """Return why a row is no line of its table; empty where it is one.

    Parameters
    ----------
    cells
        Cells of the table's columns.
    fields
        The enquiry column that each stands for, empty if none.

    Examples
    --------
    >>> why_no_line([None, "Total", 7], ["line", "mesh_count", "quantity"])
    'a total'
    >>> why_no_line([1, "10 mesh", 7], ["line", "mesh_count", "quantity"])
    ''
    """
    said = [(shown(cell), cell, name) for cell, name in zip(cells, fields, strict=True)]
    said = [one for one in said if one[0]]
    if all(_RULED.fullmatch(text) for text, cell, _ in said if isinstance(cell, str)) and all(
        isinstance(cell, str) for _, cell, _ in said
    ):
        return (
            ""
            if any(name not in ("", "note") and len(said) > 1 for _, _, name in said)
            and (not all(len(text) > 1 for text, _, _ in said))
            else "a ruled line"
        )
    words = [text for text, _, _ in said if not _is_number(text)]
    if len(words) == 1 and _TOTAL.match(words[0]) and not _is_cloth(said):
        return "a total"
    if len(said) == 1:
        return _why_alone(*said[0])
    return ""


def _is_cloth(said: Sequence[tuple[str, object, str]]) -> bool:
    """Whether a row of one word has numbers where a total has none."""
    sizes = {"mesh_count", "pitch", "aperture", "wire_diameter", "open_area", "alloy"}
    return sum(1 for text, _, name in said if name in sizes and _is_number(text)) > 0


def _why_alone(text: str, cell: object, name: str) -> str:
    """Why the one cell of a row makes no line; a description does."""
    if name == DESCRIPTION:
        return "" if any(c.isdigit() for c in text) else "a remark or a title"
    if not isinstance(cell, str) or _is_number(text):
        return "a number alone" if name in ("line", "quantity", "", "order", "note") else ""
    if name in ("line", "note", "", "order", "uom", "services"):
        return "a remark or a title"
    is_said = not any(c.isdigit() for c in text) or len(text.split()) >= _SENTENCE
    return "a remark or a title" if is_said and not text[0].isdigit() else ""


def _is_number(text: str) -> bool:
    return re.fullmatch(r"[+\-]?[\d.,' ]+", text) is not None
