"""How a list was read, and the places where each of it can be changed."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from meshcore.lists.mapping import ColumnMapping, ListMapping
from meshcore.lists.report import ReadingReport
from meshcore.reading.tables.cells import UNCOMPARED
from meshcore.reading.tables.headings import FIELDS, SEVERAL, heading_units
from meshcore_estimator.lists import source as lists
from meshcore_estimator.lists.source import Source
from meshcore_estimator.shared import settling
from meshcore_estimator.shared.parts import LABELS, soft, table

_SHEETS, _HEADED, _FIRST, _LAST, _FIELD, _UNIT = (
    "list_sheets", "list_headed", "list_first", "list_last", "list_field_", "list_unit_"
)  # fmt: skip
#: Headings side by side.
_ACROSS = 3
#: Rows set aside that are spelled out, and cells shown as examples.
_MOST_ASIDE, _EXAMPLES = 50, 2
#: Lines that examples are looked for in, and as much of each as is shown.
_LOOKED_AT, _EXAMPLE_LENGTH = 200, 40
#: What the screen calls the columns that the form has no field for.
_MORE_LABELS = {
    "line": "Line", "order": "Order", "uom": "Unit of the quantity",
    "size": "Size, as its form has it", "description": "Description of the line",
}  # fmt: skip


def label(field: str) -> str:
    """Enquiry column as the screen calls it."""
    return (LABELS | _MORE_LABELS).get(field, field) if field else "Not read"


def summary(source: Source) -> str:
    """Say in one line what was read."""
    report, rows = source.read.report, source.file_rows
    sheets = [t.sheet for t in report.tables if t.sheet]
    where = f"{'sheets' if len(sheets) > 1 else 'sheet'} {', '.join(sheets)}, " if sheets else ""
    span = f"rows {rows[0]} to {rows[-1]}" if rows else "no rows"
    every = _columns(report)
    read = [c for c in every if c.field]
    left = len(report.set_aside) + len(report.left_sheets)
    said = f"{where}{span}; {len(read)} of {len(every)} headings read"
    if source.changes.added:
        said += f"; {len(source.changes.added)} added below"
    if mended := sum(map(len, source.changes.cells.values())):
        said += f"; {mended} {'cell' if mended == 1 else 'cells'} mended"
    if left:
        said += f"; {left} {'row or sheet' if left == 1 else 'rows or sheets'} set aside"
    return said[0].upper() + said[1:] + "."


def draw(source: Source) -> None:
    """Draw the report with a field for everything that can be changed."""
    _rows(source)
    with st.container(key="list_heading_box"):
        _headings(source)
    _left(source)


def _columns(report: ReadingReport) -> list[ColumnMapping]:
    """Each heading once, as it is read."""
    every = [c for t in report.tables for c in t.columns]
    return list({c.heading: ColumnMapping(c.heading, c.field, c.unit) for c in every}.values())


def _rows(source: Source) -> None:
    """Draw which sheets and rows the list takes."""
    report, rows = source.read.report, lists.rows_of(source.read)
    chosen = list(dict.fromkeys(t.sheet for t in report.tables if t.sheet))
    sheets = list(dict.fromkeys([*chosen, *(one.name for one in report.left_sheets)]))
    with st.container(horizontal=True, vertical_alignment="bottom"):
        if len(sheets) > 1:
            settling.follow({_SHEETS: chosen})
            st.multiselect("Sheets", sheets, key=_SHEETS, on_change=_change_sheets, width=320,
                           select_all=False)  # fmt: skip
        if not rows:
            return
        changes = source.changes
        first = changes.first if changes.first in rows else rows[0]
        last = changes.last if changes.last in rows else rows[-1]
        settling.follow({_FIRST: first, _LAST: last})
        st.selectbox(
            "First row", rows, key=_FIRST, on_change=_change_rows, args=(_FIRST,), width=136
        )
        st.selectbox("Last row", rows[rows.index(first) :], key=_LAST,
                     on_change=_change_rows, args=(_LAST,), width=136)  # fmt: skip
        if source.upload.suffix.casefold() != ".parquet":
            settling.follow({_HEADED: not report.mapping.headless})
            st.checkbox("Has headings", key=_HEADED, on_change=_change_headed)


def _change_sheets() -> None:
    if not settling.is_meant(_SHEETS):
        return
    sheets: list[str] = st.session_state[_SHEETS]
    changes = lists.changes_now()
    mapping = changes.mapping or ListMapping((), whole=False)
    # Headings of a sheet that is read anew are not yet settled, and are recognised as usual.
    mapping = replace(mapping, sheets=tuple(sheets), whole=False)
    lists.change(replace(changes, mapping=mapping, first="", last=""))


def _change_headed() -> None:
    if not settling.is_meant(_HEADED):
        return
    if st.session_state[_HEADED]:
        lists.change(replace(lists.changes_now(), mapping=None, first="", last=""))
    else:
        lists.read_without_headings()


def _change_rows(key: str) -> None:
    source, _ = lists.current()
    if source is None:
        return
    rows = lists.rows_of(source.read)
    if not settling.is_meant(key, drawn_as=rows[0]):
        return
    first, last = st.session_state[_FIRST], st.session_state[_LAST]
    if rows.index(last) < rows.index(first):
        last = rows[-1]
    first, last = "" if first == rows[0] else first, "" if last == rows[-1] else last
    lists.change(replace(source.changes, first=first, last=last))


def _headings(source: Source) -> None:
    """Draw each heading with what it was read as."""
    columns = _columns(source.read.report)
    for start in range(0, len(columns), _ACROSS):
        for place, within in enumerate(st.columns(_ACROSS, gap="small")):
            number = start + place
            if number < len(columns):
                with within, st.container(key=f"list_heading_{number}"):
                    _heading(source, number, columns[number])


def _heading(source: Source, number: int, column: ColumnMapping) -> None:
    units = heading_units(column.field)
    with st.container(horizontal=True, vertical_alignment="bottom", gap="small"):
        settling.follow({f"{_FIELD}{number}": column.field})
        st.selectbox(
            column.heading, ["", *FIELDS], key=f"{_FIELD}{number}", format_func=label,
            on_change=_change_heading, args=(f"{_FIELD}{number}", number, column.heading),
        )  # fmt: skip
        if units:
            known = [column.unit] if column.unit and column.unit not in units else []
            settling.follow({f"{_UNIT}{number}": column.unit})
            st.selectbox(
                f"Unit of {column.heading}", ["", *units, *known], key=f"{_UNIT}{number}",
                format_func=lambda unit: unit or "no unit", on_change=_change_heading,
                args=(f"{_UNIT}{number}", number, column.heading), width=108,
                label_visibility="collapsed",
            )  # fmt: skip
    st.html(soft(_example(source, column.heading) or "blank").html)


def _example(source: Source, heading: str) -> str:
    if heading not in source.read.columns:
        return ""
    texts = (lists.cell_text(cell) for cell in source.enquiries[heading].head(_LOOKED_AT))
    some = [text for text in dict.fromkeys(texts) if text][:_EXAMPLES]
    return " · ".join(text[:_EXAMPLE_LENGTH] for text in some)


def _change_heading(key: str, number: int, heading: str) -> None:
    source, _ = lists.current()
    if source is None or not settling.is_meant(key):
        return
    field: str = st.session_state[f"{_FIELD}{number}"]
    unit: str = st.session_state.get(f"{_UNIT}{number}", "")
    settled = source.read.report.mapping
    columns = []
    for column in _columns(source.read.report):
        if column.heading == heading:
            own = unit if unit in heading_units(field) else ""
            columns.append(ColumnMapping(heading, field, own))
        elif field and column.field == field and field not in SEVERAL:
            # Only one heading can be it, and the one that a person chose is.
            columns.append(replace(column, field="", unit=""))
        else:
            columns.append(column)
    lists.change(replace(source.changes, mapping=replace(settled, columns=tuple(columns))))


def _left(source: Source) -> None:
    """Draw what is not priced, and why."""
    report = source.read.report
    rows: list[tuple[str, str, str]] = [
        (f"Heading {c.heading}", "", "not read; it comes back as it is")
        for c in _columns(report) if not c.field
    ]  # fmt: skip
    for place, name in source.read.headings.doubled.items():
        heading = str(source.read.columns[place])
        said = f"a second {label(name)}: taken where the first is blank, else held against it"
        if name in UNCOMPARED:
            said = f"not read: another heading is the {label(name)}"
        rows.append((f"Heading {heading}", "", said))
    for one in report.set_aside[:_MOST_ASIDE]:
        sheet = f" of {one.sheet}" if one.sheet else ""
        rows.append((f"Row {one.row}{sheet}", one.text, one.why))
    if len(report.set_aside) > _MOST_ASIDE:
        more = f"{len(report.set_aside) - _MOST_ASIDE} more rows"
        rows.append((more, "", "set aside"))
    for hidden in report.hidden:
        sheet = f" of {hidden.sheet}" if hidden.sheet else ""
        for what, numbers in (("rows", hidden.rows), ("columns", hidden.columns)):
            if numbers:
                named = ", ".join(map(str, numbers))
                rows.append((f"Hidden {what} {named}{sheet}", "", "not read; unhide what is asked"))
    rows += [
        (f"Sheet {one.name}", " ".join(one.texts[:1]),
         "hidden" if one.why.startswith("hidden") else "not read")
        for one in report.left_sheets
    ]  # fmt: skip
    before, after = _outside(source)
    rows += [(f"Row {row}", "", "left out here") for row in (*before, *after)][:_MOST_ASIDE]
    if report.repeated:
        rows.append((f"{report.repeated} cells", "", "ditto marks, filled from the line above"))
    if rows:
        softened = [(where, soft(what), why) for where, what, why in rows]
        st.html(table(("What was left", "What it says", "Why"), softened))
    if report.about:
        st.caption(f"{source.name}: {'; '.join(report.about)}.")


def _outside(source: Source) -> tuple[list[str], list[str]]:
    """Rows before the first that is priced, and after the last."""
    rows, changes = lists.rows_of(source.read), source.changes
    first = rows.index(changes.first) if changes.first in rows else 0
    last = rows.index(changes.last) + 1 if changes.last in rows else len(rows)
    return rows[:first], rows[last:]
