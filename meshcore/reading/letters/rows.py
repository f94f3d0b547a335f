"""Rows of tables in letters, cell by cell to facts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from meshcore.reading.letters.broken_cells import cell_items
from meshcore.reading.letters.draft import Draft
from meshcore.reading.letters.facts import Fact, Said
from meshcore.reading.letters.item import Item
from meshcore.reading.letters.items import cut_items
from meshcore.reading.letters.lexicon import Lexicon
from meshcore.reading.letters.open_cells import left_open
from meshcore.reading.letters.reading import MARKS, read_passage
from meshcore.reading.letters.resolve import MM_OF
from meshcore.reading.letters.sides import other_size
from meshcore.reading.letters.tables import Cell
from meshcore.reading.vocabulary import fold

#: What a square is called in a column of shapes.
_SQUARE = frozenset({"square", "quadratisch", "carre", "cuadrado"})


def read_row(
    body: str, cells: Sequence[Cell], lexicon: Lexicon, above: dict[int, list[Fact]], spaced: bool
) -> tuple[Said, list[Item]]:
    """Read one row, and keep what its cells say for "ditto" below them."""
    said = Said()
    every: list[Item] = []
    for cell in cells:
        items = cell_items(body, cell, lexicon, spaced)
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
    if withdrawn or any(_is_none(cell, body) for cell in cells):
        said.marks.setdefault("withdraw", []).extend([] if withdrawn else every[:1])
        return said, every
    said.facts = []
    said.loose = []
    for cell in cells:
        if cell.column == "label":
            continue
        items = cell_items(body, cell, lexicon, spaced)
        again = Said()
        facts = _cell_facts(again, cell, items, body, lexicon)
        said.loose += again.loose
        if any("ditto" in i.tags for i in items) and not _names_row(items):
            carried = facts + _from_above(above.get(cell.heading, []), facts)
            facts = _with_size(carried, above.get(cell.heading, []), again, said)
        if facts:
            above[cell.heading] = facts
        said.facts += facts
    if not _names_row(every):
        _drop_ditto(said)
    _by_length(said, cells, body)
    return said, every


def _names_row(items: Sequence[Item]) -> bool:
    """Whether a "ditto" names the row that it means: "idem pos. 3"."""
    return any(
        _as_lettered(items, n)
        or ("item" in item.tags and any(i.whole for i in items[n + 1 : n + 3]))
        for n, item in enumerate(items)
        if item.kind == "word"
    )


def _is_none(cell: Cell, body: str) -> bool:
    """Whether a cell says that nothing is ordered: a dash or "nil" under the quantity."""
    written = body[cell.start : cell.end].strip().casefold()
    return cell.column == "quantity" and written in ("-", "--", "nil", "none", "n/a")


def _as_lettered(items: Sequence[Item], n: int) -> bool:
    """Whether an "as" stands before a row's letter: "do. as A but 316L"."""
    after = items[n + 1] if n + 1 < len(items) else None
    return (
        "as" in items[n].tags
        and after is not None
        and len(after.text) == 1
        and after.text.isalpha()
    )


def _from_above(above: Sequence[Fact], facts: Sequence[Fact]) -> list[Fact]:
    """Return what a "ditto" takes from the row above: all that the row does not say itself."""
    have = {f.name for f in facts} - {"dim"}
    roles = {f.role for f in facts if f.name == "dim"}
    keep = [
        f
        for f in (_placed(above) if roles else above)
        if f.name not in have and (f.name != "dim" or not roles or _beside_roles(f, roles))
    ]
    return [replace(f, origin="the row above") for f in keep]


def _with_size(facts: list[Fact], above: Sequence[Fact], again: Said, said: Said) -> list[Fact]:
    """Put the one size beside a "ditto" for the one it stands for, or ask: "ditto, 1500 mm"."""
    loose = [i for i in again.loose if i.unit in MM_OF]
    if len(loose) != 1 or not any(f.name == "dim" and f.origin for f in facts):
        return facts
    line = Draft(list(facts))
    other_size(line, Draft(list(above)), Said(loose=loose))
    if any(f.start == loose[0].start for f in line.facts):
        said.loose = [i for i in said.loose if i is not loose[0]]
        return line.facts
    why = f'"{loose[0].text}": in the place of which size?'
    return [replace(f, why=why) if f.name == "dim" else f for f in facts]


def _beside_roles(fact: Fact, roles: set[str]) -> bool:
    """Whether a width or a length of the row above stands beside the other one of this row."""
    sides = {"width", "length"}
    return roles <= sides and fact.role in sides and fact.role not in roles


def _placed(above: Sequence[Fact]) -> list[Fact]:
    """Name the two sizes of a roll or strip by their place: its width, and its length."""
    line = Draft(list(above))
    if line.value("form") not in ("roll", "strip"):
        return list(above)
    return [replace(f, role=line.place_of(f)) if f.name == "dim" else f for f in above]


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


def _drop_ditto(said: Said) -> None:
    """Hold that a "ditto" of a table is done: the row refers to nothing more by it."""
    said.marks.pop("ditto", None)
    said.marks["same"] = [i for i in said.marks.get("same", []) if "ditto" not in i.tags]


def _mark(said: Said, items: Sequence[Item]) -> None:
    for item in items:
        for mark in MARKS:
            if mark in item.tags:
                said.marks.setdefault(mark, []).append(item)


#: A heading over counts that are for each of something: "off per unit", "Stück je Maschine".
_PER = re.compile(
    r"(?i)\b(?:per|pro|je|par|por) (?!roll|order|line|item|size)[^\W\d]{2}"
    r"|/ ?(?:set|unit|machine)\b"
)


#: An article's number alone in its cell: "A-11", "7730-04".
_ARTICLE = re.compile(r"^(?=.*\d)[A-Za-z]{0,5}[-/.]?\d[\w./-]*$")


def _cell_facts(  # noqa: PLR0911, PLR0912
    said: Said, cell: Cell, items: list[Item], body: str, lexicon: Lexicon
) -> list[Fact]:
    bare = [i for i in items if i.kind == "num" and not i.unit and "alloy" not in i.tags]
    if cell.column == "price":
        return []
    if not bare and (later := left_open(cell, items)):
        return later
    if cell.column == "unit":
        return [replace(f, weak=True) for f in read_passage(items).of("form")]
    if ("+" in cell.column or cell.column in ("od", "id")) and (several := _several(cell, items)):
        return [*several, *_named_by(cell, body, lexicon)]
    if cell.column == "text" and _ARTICLE.match(body[cell.start : cell.end]):
        return []
    if cell.column == "quantity" and len(bare) == 1 and bare[0].values:
        one = bare[0]
        read = read_passage([i for i in items if i is not one])
        heading = body[slice(*cell.under)]
        why = f'"{heading}": {one.text} for each: how many in all?' if _PER.search(heading) else ""
        whole = max((v for v in one.values if v == int(v)), default=0.0)
        _mark(said, items)
        return [
            Fact("quantity", whole, one.text, one.start, one.end, one, why=why),
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
    if cell.column == "mesh_count" and len(bare) == 2 and len(items) == 3:  # noqa: PLR2004
        one, other = bare
        if one.values == other.values and fold(items[1].text) in ("x", "*"):
            size = replace(one, unit="/in")
            return [Fact("mesh_count", "", one.text, one.start, one.end, size)]
    if cell.unit and cell.column:
        items = [replace(i, unit=cell.unit) if i in bare else i for i in items]
    if cell.column == "shape" and len(items) == 1 and fold(items[0].text) in _SQUARE:
        where = (items[0].text, items[0].start, items[0].end)
        return [Fact("form", "piece", *where), Fact("shape", "rectangle", *where, role="square")]
    read = read_passage(items, False, cell.column)
    if cell.column == "dimensions" and len(read.of("dim")) == 1 and _is_across(cell, body, lexicon):
        read.facts = [
            replace(f, role=f.role or "diameter") if f.name == "dim" else f for f in read.facts
        ]
    if cell.column in ("dimensions", "width", "length") and read.of("dim"):
        read.facts = [*_named_by(cell, body, lexicon), *read.facts]
    for mark, marked in read.marks.items():
        have = said.marks.setdefault(mark, [])
        have += [one for one in marked if one not in have]
    said.loose += read.loose
    if cell.column not in ("quantity",):
        read.facts = [f for f in read.facts if f.name != "quantity" or not f.weak]
    return read.facts


def _is_across(cell: Cell, body: str, lexicon: Lexicon) -> bool:
    """Whether a heading says that the sizes under it are diameters."""
    items = cut_items(body, lexicon, *cell.under)
    return bool(items) and items[0].tags.get("size") == "diameter"


def _several(cell: Cell, items: Sequence[Item]) -> list[Fact]:
    """Sizes of a cell whose heading names several, in its order: "Opening x wire"."""
    columns = cell.column.split("+")
    sizes = [i for i in items if i.kind == "num" and i.values and "alloy" not in i.tags]
    if len(sizes) != len(columns):
        return []
    unit = cell.unit or next((i.unit for i in reversed(sizes) if i.unit in MM_OF), "")
    out = []
    for column, size in zip(columns, sizes, strict=True):
        where = (size.text, size.start, size.end)
        if column == "mesh_count":
            counted = size if size.unit.startswith("/") else replace(size, unit="/in")
            out.append(Fact(column, "", *where, counted))
        elif column in ("width", "length", "od", "id"):
            out.append(
                Fact("dim", "", *where, replace(size, unit=size.unit or unit), column, group=1)
            )
        else:
            out.append(Fact(column, "", *where, replace(size, unit=size.unit or unit)))
    return out


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
