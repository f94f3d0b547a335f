"""Forms in letters: lines of a key and a value, as a row of a table."""

from __future__ import annotations

import re
from collections.abc import Sequence

from meshcore.reading.letters.lexicon import Lexicon, cut
from meshcore.reading.letters.tables import Cell, column_of

_KEYED = re.compile(
    r"^\s*(?:[-*]\s+)?(?P<key>[^\W\d][^:;|,\t\d=?.]{0,30}?)"
    r"\s*(?::(?=\s)|=(?=\s)|\?(?:\s*:)?(?=\s)|\.{3,}|(?:\s\.){3,}|\t)\s*(?P<value>\S.*?)\s*$"
)
#: "Wire (mm)    0.30": a key and its value in two columns, without a sign between them.
_SPACED = re.compile(
    r"^\s*(?P<key>[^\W\d][^:;|,\t\d=?]{0,30}?)(?:[ ]{2,}|\t+)(?P<value>[^\s:=](?:\S|[ ](?! ))*)\s*$"
)
#: So many lines of two columns, each known or not, are a form.
_FEWEST_SPACED = 4


def _spaced_lines(lines: Sequence[tuple[int, str]], lexicon: Lexicon) -> bool:
    """Whether all lines are keys and values in two columns, most of the keys known."""
    found = [_SPACED.match(text) for _, text in lines if text.strip()]
    signed = any(_KEYED.match(text) and "\t" not in text for _, text in lines)
    if len(found) < _FEWEST_SPACED or not all(found) or signed:
        return False
    columns = [column_of(hit["key"], lexicon)[0] for hit in found if hit is not None]
    known = {one for one in columns if one and one != "label"}
    return len(known) >= _FEWEST_KEYS and 2 * sum(map(bool, columns)) >= len(columns)


#: A form has so many lines "Wire: 0.5 mm"; a longer value is a remark, read as prose.
_FEWEST_KEYS, _LONGEST_VALUE = 3, 60
#: A description is longer.
_LONGEST_TEXT = 250
#: A form of so many keys of any kind needs one known key less.
_LONG_FORM = 5


_KEY_ALONE = re.compile(r"^\s*[^\W\d][^:;|,\t\d=?]{0,30}:\s*$")


def _values_below(lines: Sequence[tuple[int, str]]) -> dict[int, tuple[int, int]]:
    """Where the value of a key that stands alone is: set in on the line below it."""
    out: dict[int, tuple[int, int]] = {}
    for n, (_, text) in enumerate(lines[:-1]):
        start, below = lines[n + 1]
        indent = len(below) - len(below.lstrip())
        if _KEY_ALONE.match(text) and indent > len(text) - len(text.lstrip()):
            out[n] = (start + indent, start + len(below.rstrip()))
    return out if len(out) >= _FEWEST_KEYS else {}


def _is_sized(key: str, value: str, lexicon: Lexicon) -> bool:
    """Whether a key names a form and its value the sizes of it: "Roll: 36 in x 50 ft"."""
    formed = any(
        {"form", "shape"} & tags.keys()
        for word in cut(key)
        for phrase, tags in lexicon.phrases.get(word, ())
        if phrase == (word,)
    )
    return formed and bool(re.search(r"\d\D*\S", value)) and not re.fullmatch(r"[\d ,/&]+", value)


def form_cells(
    lines: Sequence[tuple[int, str]], lexicon: Lexicon
) -> list[tuple[dict[int, Cell], str]]:
    """Cells of each form of lines "Wire: 0.5 mm", by the number of their line, and its label.

    A key that comes again begins the next item's form.
    """
    forms: list[tuple[dict[int, Cell], str]] = [({}, "")]
    seen: set[str] = set()
    below = _values_below(lines)
    keyed = _SPACED if _spaced_lines(lines, lexicon) else _KEYED
    for n, (start, text) in enumerate(lines):
        found = keyed.match(text)
        if n in below:
            column, unit = column_of(text.strip(" :"), lexicon)
            low, high = below[n]
            under = (start, start + len(text))
            forms[-1][0][n] = Cell(low, high, column, unit, n, under)
            continue
        if n - 1 in below or not found:
            continue
        told = column_of(found["key"], lexicon)[0] == "text"
        if len(found["value"]) > (_LONGEST_TEXT if told else _LONGEST_VALUE):
            continue
        column, unit = column_of(found["key"], lexicon)
        if column == "quantity" and _is_sized(found["key"], found["value"], lexicon):
            column = "dimensions"
        if column == "label":
            forms.append(({}, found["value"].strip(" ().").casefold().lstrip("0")))
            seen = set()
        elif column and column in seen and column not in ("shape", "dimensions"):
            forms.append(({}, ""))
            seen = set()
        seen.add(column)
        under = (start + found.start("key"), start + found.end("key"))
        forms[-1][0][n] = Cell(
            start + found.start("value"), start + found.end("value"), column, unit, n, under
        )
    keys = len(below) + sum(bool(keyed.match(text)) for _, text in lines)
    fewest = _FEWEST_KEYS - (keys >= _LONG_FORM)
    return [
        (cells, label)
        for cells, label in forms
        if sum(bool(c.column) and c.column != "label" for c in cells.values()) >= fewest
        or {"quantity", "text"} <= {c.column for c in cells.values()}
    ]
