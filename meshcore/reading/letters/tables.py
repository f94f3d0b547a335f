"""Tables in letters: by bars, tabs, semicolons or spaces, under a row of headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.lexicon import Lexicon, cut
from meshcore.reading.letters.reading import MARKS, read_passage
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


#: Headings over a column of shapes, and what a square is called there.
_SHAPE_HEADINGS = frozenset(
    {"shape", "form", "kind", "type", "forme", "forma", "lieferform", "art"}
)
_SQUARE = frozenset({"square", "quadratisch", "carre", "cuadrado"})


#: Headings that name no field of an enquiry: free text, the unit of the quantity, a price.
_OTHER_HEADINGS = {
    "text": frozenset({"description", "desc", "details", "goods", "article", "artikel", "item",
                       "bezeichnung", "beschreibung", "designation", "descripcion", "articulo",
                       "libelle", "product", "produkt", "produit", "producto", "specification"}),
    "unit": frozenset({"unit", "uom", "um", "einheit", "unite", "unidad", "eh", "units", "me"}),
    "price": frozenset({"price", "unit price", "preis", "einzelpreis", "prix", "precio", "total",
                        "amount", "prix unitaire", "precio unitario", "our price", "price each",
                        "your price", "e-preis", "p.u", "price/pc", "gesamt", "cost"}),
}  # fmt: skip


#: Headings that number the lines where they stand first, and name the goods elsewhere.
_NUMBERED = frozenset({"item", "artikel", "article", "articulo"})


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of a row: where it stands, its column, the unit of its heading, and where that is."""  # noqa: E501

    start: int
    end: int
    column: str
    unit: str
    heading: int
    under: tuple[int, int] = (0, 0)


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


def column_of(text: str, lexicon: Lexicon) -> tuple[str, str]:
    """Enquiry column and unit that a heading names."""
    words = cut(text)
    bare = fold(text).strip(" .:")
    if bare in ("#", "no", "nr", "n°", "line", "lfd. nr", "item no"):
        return "label", ""
    for column, names in _OTHER_HEADINGS.items():
        if bare in names:
            return column, ""
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
    if column in ("quantity",) and any(
        w in ("last", "min", "old", "stock", "previous") for w in words
    ):
        column = ""
    return column, unit


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
            at = _under(a, headings, text)
        if at is not None:
            head = headings[at]
            under = (head.start, head.end)
            out.append(Cell(start + a, start + b, head.column, head.unit, at, under))
    return tuple(out)


def _under(low: int, headings: Sequence[Heading], text: str) -> int:
    """Heading that a cell stands under, by its place in the line."""
    origin = headings[0].start - _margin(text)
    places = [h.start - origin for h in headings]
    return min(range(len(places)), key=lambda n: abs(places[n] - low))


def _margin(text: str) -> int:
    return len(text) - len(text.lstrip())


def read_row(
    body: str, cells: Sequence[Cell], lexicon: Lexicon, above: dict[int, list[Fact]], spaced: bool
) -> tuple[Said, list[Item]]:
    """Read one row, and keep what its cells say for "ditto" below them."""
    said = Said()
    every: list[Item] = []
    for cell in cells:
        items = cut_items(body, lexicon, cell.start, cell.end, spaced)
        every += items
        if cell.column == "label":
            _mark(said, items)
            continue
        facts = _cell_facts(said, cell, items, body, lexicon)
        said.facts += facts
    said.items = every
    withdrawn = said.has("withdraw") or any(
        f.name == "quantity" and not f.value for f in said.facts
    )
    if withdrawn:
        return said, every
    said.facts = []
    said.loose = []
    for cell in cells:
        if cell.column == "label":
            continue
        items = cut_items(body, lexicon, cell.start, cell.end, spaced)
        again = Said()
        facts = _cell_facts(again, cell, items, body, lexicon)
        said.loose += again.loose
        if any("ditto" in i.tags for i in items):
            have = {f.name for f in facts}
            old = [f for f in above.get(cell.heading, []) if f.name not in have]
            facts = facts + [replace(f, origin="the row above") for f in old]
        if facts:
            above[cell.heading] = facts
        said.facts += facts
    _drop_ditto(said)
    _by_length(said, cells, body)
    return said, every


#: Units in which cloth is ordered by its length.
_RUNNING = {"m": "m", "mtr": "m", "mtrs": "m", "metres": "m", "meter": "m", "lfm": "m", "ml": "m",
            "ft": "ft", "feet": "ft", "yd": "yd"}  # fmt: skip


def _by_length(said: Said, cells: Sequence[Cell], body: str) -> None:
    """Take a quantity in metres for the length of a roll: how many rolls is to be asked."""
    unit = next(
        (_RUNNING.get(fold(body[c.start : c.end])) for c in cells if c.column == "unit"), None
    )
    counts = [f for f in said.of("quantity") if f.item is not None]
    if unit is None or len(counts) != 1 or any(f.name == "shape" for f in said.facts):
        return
    one = counts[0]
    if one.item is None:
        return
    item = replace(one.item, unit=unit)
    said.facts = [f for f in said.facts if f is not one]
    said.facts.append(replace(one, name="dim", value="", item=item, role="length", group=0))
    if not said.of("form"):
        said.facts.append(replace(one, name="form", value="roll", item=None))


def is_price_break(cells: Sequence[Cell]) -> bool:
    """Whether a row says only how many, and leaves room for a price."""
    columns = {c.column for c in cells}
    return "quantity" in columns and columns <= {"quantity", "price", "unit", ""} and len(cells) > 1


def _drop_ditto(said: Said) -> None:
    """Hold that a "ditto" of a table is done: the row refers to nothing more by it."""
    said.marks.pop("ditto", None)
    said.marks["same"] = [i for i in said.marks.get("same", []) if "ditto" not in i.tags]


def _mark(said: Said, items: Sequence[Item]) -> None:
    for item in items:
        for mark in MARKS:
            if mark in item.tags:
                said.marks.setdefault(mark, []).append(item)


#: An article's number alone in its cell: "A-11", "7730-04".
_ARTICLE = re.compile(r"^(?=.*\d)[A-Za-z]{0,5}[-/.]?\d[\w./-]*$")


def _cell_facts(  # noqa: PLR0911
    said: Said, cell: Cell, items: list[Item], body: str, lexicon: Lexicon
) -> list[Fact]:
    bare = [i for i in items if i.kind == "num" and not i.unit and "alloy" not in i.tags]
    if cell.column in ("price", "unit"):
        return []
    if cell.column == "text" and _ARTICLE.match(body[cell.start : cell.end]):
        return []
    if cell.column == "quantity" and len(bare) == 1 and bare[0].values:
        one = bare[0]
        read = read_passage([i for i in items if i is not one])
        whole = max((v for v in one.values if v == int(v)), default=0.0)
        _mark(said, items)
        return [
            Fact("quantity", whole, one.text, one.start, one.end, one),
            *(read.of("form") or _named_by(cell, body, lexicon)),
            *read.of("shape"),
        ]
    if cell.column == "quantity" and len(bare) > 1 and _is_break(items, bare):
        _mark(said, items)
        wholes = [(i, max(v for v in i.values if v == int(v))) for i in bare]
        return [Fact("quantity", v, i.text, i.start, i.end, i, group=1) for i, v in wholes] + (
            _named_by(cell, body, lexicon)
        )
    if cell.column == "mesh_count" and len(items) == 1 and bare:
        one = bare[0]
        return [Fact("mesh_count", "", one.text, one.start, one.end, replace(one, unit="/in"))]
    if cell.unit and cell.column:
        items = [replace(i, unit=cell.unit) if i in bare else i for i in items]
    if cell.column == "shape" and len(items) == 1 and fold(items[0].text) in _SQUARE:
        where = (items[0].text, items[0].start, items[0].end)
        return [Fact("form", "piece", *where), Fact("shape", "rectangle", *where, role="square")]
    read = read_passage(items, False, cell.column)
    if cell.column in ("dimensions", "width", "length") and read.of("dim"):
        read.facts = [*_named_by(cell, body, lexicon), *read.facts]
    for mark, marked in read.marks.items():
        have = said.marks.setdefault(mark, [])
        have += [one for one in marked if one not in have]
    said.loose += read.loose
    if cell.column not in ("quantity",):
        read.facts = [f for f in read.facts if f.name != "quantity" or not f.weak]
    return read.facts


def _is_break(items: Sequence[Item], bare: Sequence[Item]) -> bool:
    """Whether the numbers of a cell are several quantities: "1, 5 and 10", "3 (also for 6, 12)"."""
    joined = any(i.text in ",/" or {"and", "also"} & i.tags.keys() for i in items)
    plain = all(i.kind in ("num", "word", "mark") and not i.unit for i in items)
    return (
        joined
        and plain
        and all(i.whole for i in bare)
        and not any(
            fold(i.text) in ("x", "*") or "not" in i.tags or "correct" in i.tags for i in items
        )
    )


def _named_by(cell: Cell, body: str, lexicon: Lexicon) -> list[Fact]:
    """Form that a heading names beside its size: "Panel size", "Roll width"."""
    read = read_passage(cut_items(body, lexicon, *cell.under))
    return [replace(f, weak=True) for f in read.facts if f.name in ("form", "shape")]
