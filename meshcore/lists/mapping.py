"""A mapping of headings to enquiry columns, as data: what a sender's lists are read with."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from meshcore.limits import parse_toml
from meshcore.lists.grids import ListError
from meshcore.reading.tables.heading_units import unit_word
from meshcore.reading.tables.heading_words import folded
from meshcore.reading.tables.headings import FIELDS, heading_meaning
from meshcore.whole_files import save


@dataclass(frozen=True, slots=True)
class ColumnMapping:
    """What the column under one heading holds.

    Parameters
    ----------
    heading
        As it stands in the file; ``column 8`` for the eighth column where none does.
    field
        The enquiry column; empty to leave it unread.
    unit
        Unit of its bare numbers; empty if they have none.
    """

    heading: str
    field: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class ListMapping:
    """How the lists of one sender are read.

    Parameters
    ----------
    columns
        What each heading stands for.
    sheets
        The only sheets to be read; all visible ones that hold a list where there are none.
    headless
        Whether the lists have no headings.
    whole
        Whether headings that are not named stay unread; else they are recognised as usual.
    """

    columns: tuple[ColumnMapping, ...]
    sheets: tuple[str, ...] = ()
    headless: bool = False
    whole: bool = True

    def meaning(self, heading: str) -> tuple[str, str]:
        """Return the enquiry column and the unit that a heading stands for here.

        Examples
        --------
        >>> mapping = as_mapping({"Foo": "wire_diameter [mm]", "Mesh": ""})
        >>> mapping.meaning("foo"), mapping.meaning("Mesh"), mapping.meaning("Qty")
        (('wire_diameter', 'mm'), ('', ''), ('quantity', ''))
        """
        for column in self.columns:
            if folded(column.heading) == folded(heading) and folded(heading):
                return column.field, column.unit
        return ("", "") if self.whole else heading_meaning(heading)

    def to_dict(self) -> dict[str, object]:
        """Return it as plain data, as it is saved."""
        columns = [{"heading": c.heading, "field": c.field, "unit": c.unit} for c in self.columns]
        return {
            "sheets": list(self.sheets), "headless": self.headless, "whole": self.whole,
            "columns": columns,
        }  # fmt: skip

    def save(self, path: str | Path) -> None:
        """Write it as TOML or JSON, as the name ends.

        Raises
        ------
        ListError
            If the name ends in neither, or the file cannot be written.
        """
        target = Path(path)
        match target.suffix.casefold():
            case ".json":
                text = json.dumps(self.to_dict(), ensure_ascii=False, indent=1) + "\n"
            case ".toml":
                text = _as_toml(self)
            case _:
                raise ListError(
                    f"{path}: a mapping is .toml or .json; end its name in one of them."
                )
        try:
            save(target, text.encode())
        except OSError as error:
            raise ListError(f"{path}: cannot be written ({error.strerror}).") from error


def read_mapping(path: str | Path) -> ListMapping:
    """Read a mapping that was saved, or written by hand.

    Raises
    ------
    ListError
        If it cannot be read, or names a column that there is not.
    """
    source = Path(path)
    try:
        text = source.read_text(encoding="utf-8")
        data = parse_toml(text) if source.suffix.casefold() == ".toml" else json.loads(text)
    except OSError as error:
        raise ListError(f"{path}: cannot be opened ({error.strerror}).") from error
    except (ValueError, RecursionError) as error:
        raise ListError(f"{path}: not a mapping in TOML or JSON ({error}).") from error
    try:
        return as_mapping(data)
    except ListError as error:
        raise ListError(f"{path}: {error}") from error


def as_mapping(given: ListMapping | Mapping[str, object] | str | Path) -> ListMapping:
    """Return a mapping from what a caller gives: one, its data, a file, or heading → column.

    Raises
    ------
    ListError
        If it names a column or a unit that there is not.

    Examples
    --------
    >>> as_mapping({"Draht mm": "wire_diameter [mm]"}).columns
    (ColumnMapping(heading='Draht mm', field='wire_diameter', unit='mm'),)
    """
    if isinstance(given, ListMapping):
        return given
    if isinstance(given, str | Path):
        return read_mapping(given)
    columns = given.get("columns")
    if not isinstance(columns, Sequence) or isinstance(columns, str):
        return ListMapping(
            tuple(_column(heading, str(field)) for heading, field in given.items()), whole=False
        )
    sheets = given.get("sheets", ())
    return ListMapping(
        tuple(_column_of(column) for column in columns),
        tuple(map(str, sheets)) if isinstance(sheets, Sequence) else (),
        bool(given.get("headless", False)),
        bool(given.get("whole", True)),
    )


def _column_of(data: object) -> ColumnMapping:
    if not isinstance(data, Mapping) or "heading" not in data:
        raise ListError("each of a mapping's columns has a heading, a field and perhaps a unit.")
    text, unit = str(data.get("field", "")), str(data.get("unit", ""))
    return _column(str(data["heading"]), f"{text} [{unit}]" if unit else text)


def _column(heading: str, written: str) -> ColumnMapping:
    """Column of a mapping from ``"wire_diameter [mm]"``."""
    name, _, rest = written.partition("[")
    target, unit = name.strip(), rest.strip(" ]")
    if target and target not in FIELDS:
        raise ListError(f'"{target}" is no enquiry column. There are: {", ".join(FIELDS)}.')
    # What stands in a heading's brackets and is no unit is kept, since pricing asks about it.
    is_headings_own = (target, unit) == heading_meaning(heading)
    if unit and not unit_word(unit) and not is_headings_own:
        raise ListError(f'"{unit}" is no unit that is known here, for "{heading}".')
    return ColumnMapping(heading, target, unit_word(unit) or unit)


def _as_toml(mapping: ListMapping) -> str:
    """TOML of a mapping: its strings are written as JSON writes them, which TOML reads."""

    def quoted(text: str) -> str:
        return json.dumps(text, ensure_ascii=False)

    rows = [
        f"sheets = [{', '.join(map(quoted, mapping.sheets))}]",
        f"headless = {str(mapping.headless).lower()}",
        f"whole = {str(mapping.whole).lower()}",
    ]
    for column in mapping.columns:
        rows += [
            "", "[[columns]]", f"heading = {quoted(column.heading)}",
            f"field = {quoted(column.field)}", f"unit = {quoted(column.unit)}",
        ]  # fmt: skip
    return "\n".join(rows) + "\n"
