"""Tables in letters: by bars, tabs, semicolons or spaces, under a row of headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from meshcore.reading.letters.lexicon import LANGUAGES, Lexicon, cut
from meshcore.reading.letters.lexicon import lexicon as lexicon_of
from meshcore.reading.vocabulary import fold

_SEPARATORS = (
    re.compile(r"\s*\|\s*"),
    re.compile(r"\s*\t\s*"),
    re.compile(r"\s*;\s*"),
    re.compile(r"\s{2,}"),
)
#: A rule drawn under headings.
_RULE = re.compile(r"^[\s|+:=_-]+$")
_FEWEST_CELLS, _FEWEST_KNOWN = 3, 2
#: What a word of a heading says of its column.
_COLUMN_OF_SIZE = {
    "aperture": "aperture",
    "wire": "wire_diameter",
    "pitch": "pitch",
    "open_area": "open_area",
    "width": "width",
    "length": "length",
    "diameter": "dimensions",
    "size": "dimensions",
    "kind": "alloy",
    "od": "od",
    "id": "id",
    "maille": "aperture",
}


#: Headings over a column of shapes.
_SHAPE_HEADINGS = frozenset(
    {"shape", "form", "kind", "type", "forme", "forma", "lieferform", "art"}
)


#: Headings that name no field of an enquiry: free text, the unit of the quantity, a price.
_OTHER_HEADINGS = {
    "text": frozenset({"description", "desc", "details", "goods", "article", "artikel", "item",
                       "bezeichnung", "beschreibung", "designation", "descripcion", "articulo",
                       "libelle", "product", "produkt", "produit", "producto", "specification"}),
    "unit": frozenset({"unit", "uom", "u/m", "um", "einheit", "unite", "unidad", "eh", "units",
                       "me"}),
    "price": frozenset({"price", "unit price", "preis", "einzelpreis", "prix", "precio", "total",
                        "amount", "prix unitaire", "precio unitario", "our price", "price each",
                        "your price", "e-preis", "p.u", "price/pc", "gesamt", "cost"}),
}  # fmt: skip


#: Headings of the numbers of the lines.
_LABELS = frozenset({"#", "no", "nr", "n°", "line", "lfd. nr", "item no", "s.no", "s. no", "sl.no",
                     "sl. no", "sr.no", "sr. no", "s/n", "sno", "serial", "serial no", "lfd.nr",
                     "lfd nr", "n.º", "nº", "num", "line no"})  # fmt: skip


#: Headings that number the lines where they stand first, and name the goods elsewhere.
_NUMBERED = frozenset(
    {"item", "artikel", "article", "articulo", "part", "mark", "tag", "ref", "teil", "repere", "ln"}
)


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a row: where it stands, its column, the unit of its heading, and where that is."""  # noqa: E501

    start: int
    end: int
    column: str
    unit: str
    heading: int
    under: tuple[int, int] = (0, 0)
    more: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Heading:
    """One heading: its place, its enquiry column (empty: free text) and its unit."""

    start: int
    end: int
    column: str
    unit: str


def split_cells(text: str, separator: re.Pattern[str]) -> list[tuple[int, int]]:
    """Start and end of each cell of a line; empty cells count between drawn separators."""
    out: list[tuple[int, int]] = []
    at = len(text) - len(text.lstrip())
    stop = len(text.rstrip())
    drawn = separator.pattern != r"\s{2,}"
    if drawn and text[at : at + 1] == "|":
        at += 1
        at += len(text[at:stop]) - len(text[at:stop].lstrip())
    if drawn and text[stop - 1 : stop] == "|":
        stop -= 1
    for found in separator.finditer(text, at, stop):
        out.append((at, found.start()))
        at = found.end()
    out.append((at, max(at, len(text[:stop].rstrip()))))
    return out if drawn else [one for one in out if one[1] > one[0]]


def find_headings(
    text: str, start: int, lexicon: Lexicon
) -> tuple[re.Pattern[str], list[Heading]] | None:
    """Return the headings of a line and its separator; None where it is no row of headings."""
    for separator in _SEPARATORS:
        cells = split_cells(text, separator)
        if len(cells) < _FEWEST_KNOWN:
            continue
        found = [Heading(start + a, start + b, *column_of(text[a:b], lexicon)) for a, b in cells]
        if fold(text[slice(*cells[0])]).strip(" .:") in _NUMBERED:
            found[0] = replace(found[0], column="label")
        drawn = separator is not _SEPARATORS[-1]
        texts = any(h.column in ("text", "price") for h in found)
        known = [h for h in found if h.column and (drawn or texts or h.column != "label")]
        numbers = sum(bool(re.search(r"\d", text[a:b])) for a, b in cells)
        short = all(b - a <= 40 for a, b in cells)  # noqa: PLR2004 - a heading is a few words
        if len(cells) < _FEWEST_CELLS and (len(known) < len(cells) or numbers):
            continue
        if len(known) >= _FEWEST_KNOWN and numbers * 3 <= len(cells) and short:
            return separator, found
    return None


def told_by_legend(headings: Sequence[Heading], body: str, lexicon: Lexicon) -> list[Heading]:
    """Give headings that name no field what a legend says of them: "spec = aperture/wire in mm"."""
    out = []
    for one in headings:
        name = re.escape(body[one.start : one.end].strip(" .:"))
        said = rf"(?im)(?:^|[.;,(])[ \t]*{name}[ ]*(?:=|:| means )[ ]*([^.;\n)]+)"
        legend = re.search(said, body) if name and one.column in ("", "text") else None
        column, unit = column_of(legend[1], lexicon) if legend else ("", "")
        out.append(replace(one, column=column, unit=unit) if "+" in column else one)
    return out


def column_of(text: str, lexicon: Lexicon) -> tuple[str, str]:
    """Enquiry column and unit that a heading names."""
    words = cut(text)
    bare = fold(text).strip(" .:")
    if bare in _LABELS:
        return "label", ""
    for column, names in _OTHER_HEADINGS.items():
        if bare in names:
            return column, ""
    if several := _several(words, lexicon):
        return several
    unit, column = "", "shape" if fold(text).strip(" .:") in _SHAPE_HEADINGS else ""
    at = 0
    while at < len(words):
        tags, size = _tags(words, at, lexicon)
        if "unit" in tags and column and not unit:
            unit = tags["unit"]
        elif not column:
            column = _of_tags(tags)
        at += max(size, 1)
    if not column:
        forms = [_tags(words, n, lexicon)[0] for n in range(len(words))][:1]
        column = "quantity" if any({"form", "shape"} & t.keys() for t in forms) else ""
    if not column and not unit:
        column = next((c for one in LANGUAGES if (c := _told_in(words, one))), "")
    if column in ("quantity",) and any(
        w in ("last", "min", "old", "stock", "previous") for w in words
    ):
        column = ""
    return column, unit


def _told_in(words: Sequence[str], language: str) -> str:
    """Column that a short heading names in a language."""
    if len(words) > _SHORT_HEADING:
        return ""
    tags, size = _tags(words, 0, lexicon_of(language)) if words else ({}, 0)
    return _of_tags(tags) if size == len([w for w in words if w != "."]) else ""


#: A heading of another language is told by no more words than this (our choice).
_SHORT_HEADING = 3


#: Columns that one heading may name together: "Opening x wire (mm)".
_TOGETHER = frozenset(
    {"mesh_count", "aperture", "pitch", "wire_diameter", "width", "length", "od", "id"}
)
_CROSSED = frozenset({"x", "/", "*", "&", "+", "and", "und", "et", "y"})


def _several(words: Sequence[str], lexicon: Lexicon) -> tuple[str, str] | None:
    """Columns of a heading that names several sizes with a cross between, joined by "+"."""
    columns: list[str] = []
    unit, at, crossed = "", 0, False
    while at < len(words):
        tags, size = _tags(words, at, lexicon)
        column = _of_tags(tags)
        if column in _TOGETHER and (not columns or crossed):
            columns.append(column)
            crossed = False
        elif columns and words[at] in _CROSSED and size <= 1:
            crossed = True
        elif "unit" in tags and columns:
            unit = tags["unit"]
        at += max(size, 1)
    return ("+".join(columns), unit) if len(set(columns)) > 1 else None


def _of_tags(tags: Mapping[str, str]) -> str:
    if tags.get("quantity") in ("before", "after"):
        return "quantity"
    if "item" in tags:
        return "label"
    if "count" in tags:
        return "mesh_count"
    if "size" in tags:
        return _COLUMN_OF_SIZE.get(tags["size"], "")
    return ""


def _tags(words: Sequence[str], at: int, lexicon: Lexicon) -> tuple[Mapping[str, str], int]:
    for phrase, tags in lexicon.phrases.get(words[at], ()):
        if tuple(words[at : at + len(phrase)]) == phrase:
            return tags, len(phrase)
    return {}, 1


def row_cells(
    text: str, start: int, separator: re.Pattern[str], headings: Sequence[Heading]
) -> tuple[Cell, ...]:
    """Cells of a row under their headings; empty where the line is no row of this table."""
    if _RULE.match(text):
        return ()
    cells = split_cells(text, separator)
    if len(cells) < 2:  # noqa: PLR2004
        return ()
    out = []
    for n, (a, b) in enumerate(cells):
        if len(cells) == len(headings) or separator.pattern != r"\s{2,}":
            at = n if n < len(headings) else None
        else:
            at = heading_under(a, headings, text)
        if at is not None:
            head = headings[at]
            under = (head.start, head.end)
            out.append(Cell(start + a, start + b, head.column, head.unit, at, under))
    return tuple(out)


def heading_under(low: int, headings: Sequence[Heading], text: str) -> int:
    """Heading that a cell stands under, by its place in the line."""
    origin = headings[0].start - _margin(text)
    places = [h.start - origin for h in headings]
    return min(range(len(places)), key=lambda n: abs(places[n] - low))


def _margin(text: str) -> int:
    return len(text) - len(text.lstrip())


#: "Quantity   50   200   1000": one price for each number.
_QUANTITIES = re.compile(
    r"^[ \t]*(?P<key>[^\W\d][^\d:|]{1,24}?)[ \t]*(?:[:|]|[ \t]{2,}|\t)[ \t]*"
    r"(?P<counts>\d[\d,.]*(?:(?:[ ]{2,}|[ ]*[|/;\t][ ]*)\d[\d,.]*)+)[ \t|]*$"
)


def quantity_cells(text: str, start: int, lexicon: Lexicon) -> tuple[Cell, ...]:
    """Cells of a row of quantities under one cloth; empty where the line is none."""
    found = _QUANTITIES.match(text)
    if not found or column_of(found["key"], lexicon)[0] != "quantity":
        return ()
    key = (start + found.start("key"), start + found.end("key"))
    low = start + found.start("counts")
    return tuple(
        Cell(low + one.start(), low + one.end(), "quantity", "", n, key)
        for n, one in enumerate(re.finditer(r"\d[\d,.]*", found["counts"]))
    )


def is_price_break(cells: Sequence[Cell]) -> bool:
    """Whether a row says only how many, and leaves room for a price."""
    columns = {c.column for c in cells}
    return "quantity" in columns and columns <= {"quantity", "price", "unit", ""} and len(cells) > 1
