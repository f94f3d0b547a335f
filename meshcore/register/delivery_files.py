"""Lengths delivered, from a file: its columns by their headings, whatever else stands there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from meshcore.messages import Message
from meshcore.reading.texts import is_blank, read_text
from meshcore.register.deliveries import Delivery, delivery_of
from meshcore.register.errors import RecordsError

#: Formats of files of deliveries.
ENDINGS = (".csv", ".tsv", ".txt", ".xlsx", ".xlsm", ".xls", ".ods")
#: Words of a heading that name each column, and words that only hint at it, as people write them in
#: four languages.
_NAMES: Mapping[str, tuple[str, ...]] = {
    "label": ("label", "etikett", "rollennummer", "étiquette", "etiqueta"),
    "length": ("length", "länge", "istlänge", "longueur", "longitud"),
    "count": ("count", "pieces", "pcs", "strips", "stück", "stückzahl", "pièces", "piezas"),
    "heat": ("heat", "batch", "melt", "schmelze", "schmelzennummer", "charge", "chargennummer",
             "coulée", "colada"),
}  # fmt: skip
_HINTS: Mapping[str, tuple[str, ...]] = {
    "label": ("roll", "rolle", "rouleau", "rollo"),
    "length": ("delivered", "measured", "actual", "metres", "meters", "feet", "geliefert",
               "gemessen", "ist", "livré", "livrée", "mesurée", "entregado", "entregada", "largo"),
    "count": ("quantity", "qty", "anzahl", "menge", "quantité", "cantidad"),
    "heat": ("lot", "lote"),
}  # fmt: skip
#: Words of a heading by which its column is of the order or a day, and not of what came.
_OF_OTHERS = frozenset({
    "ordered", "order", "nominal", "bestellt", "auftrag", "soll", "solllänge", "commandé",
    "commandée", "commande", "pedido", "pedida", "date", "on", "datum", "am", "fecha",
})  # fmt: skip
#: Words that head a column of labels where they stand alone.
_NUMBER = frozenset({"number", "no", "nummer", "nr", "numéro", "número"})
#: What begins a row that sums the others up.
_SUM = ("total", "sum", "summe", "gesamt", "somme", "suma")
#: Rows among which the headings are looked for: what is above them tells of the delivery.
_HEAD_ROWS = 20
_WORD = re.compile(r"[^\W\d_]+")
_BRACKETS = re.compile(r"[\[(](.+?)[\])]")
#: What the file needs, in any refusal of it.
_NEEDS = (
    "It needs a column headed length (or delivered, Länge, longueur, longitud; with the unit, as "
    "length [ft]), or pieces for strips and pieces. Columns headed label and heat are read where "
    "they are there."
)


@dataclass(frozen=True, slots=True)
class _Columns:
    """The place of each column in a row, -1 where there is none, and the heading of lengths."""

    label: int
    length: int
    count: int
    heat: int
    heading: str


def is_delivery_file(text: str) -> bool:
    """Tell whether what was typed names a file, rather than lengths.

    Examples
    --------
    >>> is_delivery_file("rolls.csv"), is_delivery_file("3 x 100 ft; 98")
    (True, False)
    """
    return Path(text.strip()).suffix.casefold() in ENDINGS


def read_deliveries(source: Path | BinaryIO, unit: str = "", *, name: str = "") -> list[Delivery]:
    """Read lengths from a file: a column of lengths or counts, and of labels and heats.

    Parameters
    ----------
    source
        A text file or a workbook; the headings may stand below lines that tell of the delivery.
    unit
        Of bare numbers, where the heading tells none.
    name
        Of an open file, whose ending tells its format.

    Raises
    ------
    RecordsError
        If it cannot be read, or has no column of lengths or counts; it names what is needed. If a
        length cannot be read; it names the row.
    """
    from meshcore.lists.grids import ListError, shown  # noqa: PLC0415 - only for a file
    from meshcore.lists.reading import read_grids  # noqa: PLC0415

    path = str(source) if isinstance(source, Path) else name
    try:
        held = read_grids(source, Path(path).suffix)
    except ListError as error:
        # What would mend a list of cloth, which the rest of it tells, mends no list of lengths.
        told = str(error).partition(". ")[0].removesuffix(".")
        raise RecordsError(f"{told}. {_NEEDS}") from error
    grids = [grid for grid in held if grid.rows and not grid.hidden]
    for grid in grids:
        rows = [(number, [shown(cell) for cell in cells]) for number, cells in grid.rows]
        for place, (_, cells) in enumerate(rows[:_HEAD_ROWS]):
            columns = _columns(path, cells)
            if columns is not None:
                return list(_deliveries(path, rows[place + 1 :], columns, unit))
    first = [cell for grid in grids[:1] for cell in map(shown, grid.rows[0][1]) if cell]
    raise RecordsError(
        f"{path}: no column of lengths among its headings ({', '.join(first[:_TOLD])}). {_NEEDS}"
    )


#: Headings that a refusal tells.
_TOLD = 8


def _columns(path: str, cells: Sequence[str]) -> _Columns | None:
    """Return the columns of a row of headings; None if it is none."""
    found: dict[str, int] = {}
    # A roll's length is headed "roll length" too: it is no label.
    for what in ("length", "count", "heat", "label"):
        places = [n for n in _best(cells, what) if n not in found.values()]
        if len(places) > 1:
            named = " and ".join(f'"{cells[n]}"' for n in places)
            raise RecordsError(
                f"{path}: {named} may both be the {what}. Leave one of them, headed {what}."
            )
        found[what] = places[0] if places else -1
    if found["length"] < 0 and found["count"] < 0:
        return None
    heading = cells[found["length"]] if found["length"] >= 0 else ""
    return _Columns(found["label"], found["length"], found["count"], found["heat"], heading)


def _best(cells: Sequence[str], what: str) -> list[int]:
    """Return the places whose headings say best that a column is of a kind."""
    scores = [_score(cell, what) for cell in cells]
    best = max(scores, default=0)
    return [place for place, score in enumerate(scores) if score == best > 0]


def _score(cell: str, what: str) -> int:
    words = {word.casefold() for word in _WORD.findall(_BRACKETS.sub(" ", cell))}
    if words & _OF_OTHERS:
        return 0
    if what == "label" and words and words <= _NUMBER:
        return 1
    return 2 * bool(words & set(_NAMES[what])) + bool(words & set(_HINTS[what]))


def _deliveries(
    path: str, rows: Iterable[tuple[int, Sequence[str]]], columns: _Columns, unit: str
) -> Iterable[Delivery]:
    usual = _unit_of(columns.heading) or unit
    for number, cells in rows:
        told = {
            what: "" if place < 0 or place >= len(cells) or is_blank(cells[place]) else cells[place]
            for what, place in (("label", columns.label), ("length", columns.length),
                                ("count", columns.count), ("heat", columns.heat))
        }  # fmt: skip
        size = told["length"] or _counted(told["count"])
        if not size:
            continue
        if any(cell.strip().casefold().startswith(_SUM) for cell in cells):
            raise RecordsError(
                f'{path}, row {number}: reads as a sum ("{size}"), and would be a delivery of its '
                "own. Leave it out."
            )
        try:
            yield delivery_of(size, told["label"].strip(), told["heat"].strip(), usual)
        except RecordsError as error:
            raise RecordsError(f"{path}, row {number}: {error}") from error


def _counted(text: str) -> str:
    return f"{text.strip()} pcs" if text.strip().isdecimal() else text.strip()


def _unit_of(heading: str) -> str:
    """Return the unit that a heading tells, in brackets or as its last word."""
    own = _BRACKETS.search(heading)
    words = _WORD.findall(heading)
    for text in ([own[1].strip()] if own else []) + words[-1:]:
        read = read_text(f"1 {text}", "length", "length")
        if not isinstance(read, Message):
            return text
    return ""
