"""What a file says beside the lines of its list, and which lines each of it may concern."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.lists.grids import Mark, column_letters
from meshcore.lists.report import LeftSheet, ReadingReport
from meshcore.lists.rows import UNKNOWN_HEADINGS
from meshcore.lists.table import SetAside, Table
from meshcore.reading.tables.headings import priced_from
from meshcore.reading.tables.list_remarks import ListRemark

#: Why a row is set aside that may say something of the lines.
_TITLE, _REMARK = "above the headings", "a remark or a title"
#: A sheet of more rows than this is no page of conditions [-] (our choice).
_MOST_ROWS = 40
#: A line, where it stands: sheet, row, label.
_Line = tuple[str, int, object]


def beside_lines(
    tables: Sequence[Table],
    report: ReadingReport,
    labels: Sequence[object],
    marks: Sequence[Mark] = (),
) -> tuple[ListRemark, ...]:
    """Return the remarks of a file, each with the lines that it may concern.

    Parameters
    ----------
    tables
        Tables that were read, with their lines.
    report
        How they were read: what was set aside, which sheets were left.
    labels
        What each line is called, in the order of the tables.
    marks
        What is marked at single cells: struck through, a comment.
    """
    rows = [(table.sheet, row) for table in tables for row, _ in table.lines]
    lines = [(*place, label) for place, label in zip(rows, labels, strict=True)]
    asides = [one for one in report.set_aside if one.why in (_TITLE, _REMARK, UNKNOWN_HEADINGS)]
    remarks = [_remark(one, lines, asides, tables) for one in asides]
    marked = [_of_mark(one, lines) for one in marks]
    named = [_of_sheet_name(name, lines) for name in dict.fromkeys(t.sheet for t in tables)]
    # The other sheets of a workbook that pricing wrote say how it was priced.
    headings = [[c.heading for c in table.columns] for table in tables]
    priced = any(priced_from(own) < len(own) for own in headings)
    left = [one for one in report.left_sheets if one.texts and not priced]
    sheets = [_of_sheet(one, labels) for one in left]
    return tuple(
        one for one in (*remarks, *marked, *named, *sheets) if one is not None and one.lines
    )


def _of_mark(one: Mark, lines: Sequence[_Line]) -> ListRemark:
    """Return the remark of a marked cell: of its line, or of all below where it is no line's."""
    own = [line for line in lines if line[0] == one.sheet]
    concerned = [line for line in own if line[1] == one.row]
    concerned = concerned or [line for line in own if line[1] > one.row]
    sheet = f" of {one.sheet}" if one.sheet and {line[0] for line in lines} != {one.sheet} else ""
    where = f"{one.what} {column_letters(one.place + 1)}{one.row}{sheet}"
    return ListRemark(where, one.text, frozenset(label for _, _, label in concerned), "mark")


def _of_sheet_name(name: str, lines: Sequence[_Line]) -> ListRemark:
    own = frozenset(label for sheet, _, label in lines if sheet == name)
    return ListRemark("the name of the sheet", name, own, "sheet")


def _remark(
    one: SetAside, lines: Sequence[_Line], asides: Sequence[SetAside], tables: Sequence[Table]
) -> ListRemark:
    """Return a row's remark: a title's of all lines below, a last one's of all, others' of some."""
    where = f"row {one.row} of {one.sheet}" if one.sheet else f"row {one.row}"
    own = [line for line in lines if line[0] == one.sheet]
    after = [line for line in own if line[1] > one.row]
    if one.why == UNKNOWN_HEADINGS:
        heads = [row for t in tables if t.sheet == one.sheet for row in t.heading_rows]
        heads += [o.row for o in asides if o.why == UNKNOWN_HEADINGS and o.sheet == one.sheet]
        ends = min((row for row in heads if row > one.row), default=None)
        below = [line for line in after if ends is None or line[1] < ends]
        return ListRemark(where, one.text, frozenset(line[2] for line in below), "headings")
    if one.why == _TITLE or not after:
        concerned = after if one.why == _TITLE else own
        kind = "title" if one.why == _TITLE else "below"
        return ListRemark(where, one.text, frozenset(label for _, _, label in concerned), kind)
    others = [o.row for o in asides if o.sheet == one.sheet and o.row > one.row]
    following = [line for line in after if line[1] < min(others, default=line[1] + 1)]
    before = [line for line in own if line[1] < one.row][-1:]
    is_section = bool(following)
    concerned = [*following] if is_section and not _may_go_on(one.text) else [*before, *following]
    kind = "section" if is_section else "below"
    return ListRemark(where, one.text, frozenset(label for _, _, label in concerned), kind)


def _may_go_on(text: str) -> bool:
    """Whether a text may go on with the line above it: a sentence does, a heading does not."""
    return text[:1].islower()


def _of_sheet(sheet: LeftSheet, labels: Sequence[object]) -> ListRemark | None:
    if len(sheet.texts) > _MOST_ROWS:
        return None
    return ListRemark(f"sheet {sheet.name}", "; ".join(sheet.texts), frozenset(labels))
