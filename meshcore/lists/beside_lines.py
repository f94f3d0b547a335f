"""What a file says beside the lines of its list, and which lines each of it may concern."""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.lists.report import LeftSheet, ReadingReport
from meshcore.lists.tables import SetAside, Table
from meshcore.reading.tables.headings import priced_from
from meshcore.reading.tables.list_remarks import ListRemark

#: Why a row is set aside that may say something of the lines.
_TITLE, _REMARK = "above the headings", "a remark or a title"
#: A sheet of more rows than this is no page of conditions [-] (our choice).
_MOST_ROWS = 40
#: A line, where it stands: sheet, row, label.
_Line = tuple[str, int, object]


def beside_lines(
    tables: Sequence[Table], report: ReadingReport, labels: Sequence[object]
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
    """
    rows = [(table.sheet, row) for table in tables for row, _ in table.lines]
    lines = [(*place, label) for place, label in zip(rows, labels, strict=True)]
    asides = [one for one in report.set_aside if one.why in (_TITLE, _REMARK)]
    remarks = [_remark(one, lines, asides) for one in asides]
    # The other sheets of a workbook that pricing wrote say how it was priced.
    headings = [[c.heading for c in table.columns] for table in tables]
    priced = any(priced_from(own) < len(own) for own in headings)
    left = [one for one in report.left_sheets if one.texts and not priced]
    sheets = [_of_sheet(one, labels) for one in left]
    return tuple(one for one in (*remarks, *sheets) if one is not None and one.lines)


def _remark(one: SetAside, lines: Sequence[_Line], asides: Sequence[SetAside]) -> ListRemark:
    """Return a row's remark: a title's of all lines below, a last one's of all, others' of some."""
    where = f"row {one.row} of {one.sheet}" if one.sheet else f"row {one.row}"
    own = [line for line in lines if line[0] == one.sheet]
    after = [line for line in own if line[1] > one.row]
    if one.why == _TITLE or not after:
        concerned = after if one.why == _TITLE else own
        return ListRemark(where, one.text, frozenset(label for _, _, label in concerned))
    others = [o.row for o in asides if o.sheet == one.sheet and o.row > one.row]
    following = [line for line in after if line[1] < min(others, default=line[1] + 1)]
    before = [line for line in own if line[1] < one.row][-1:]
    is_section = bool(following)
    concerned = [*following] if is_section and not _may_go_on(one.text) else [*before, *following]
    return ListRemark(where, one.text, frozenset(label for _, _, label in concerned), is_section)


def _may_go_on(text: str) -> bool:
    """Whether a text may go on with the line above it: a sentence does, a heading does not."""
    return text[:1].islower()


def _of_sheet(sheet: LeftSheet, labels: Sequence[object]) -> ListRemark | None:
    if len(sheet.texts) > _MOST_ROWS:
        return None
    return ListRemark(f"sheet {sheet.name}", "; ".join(sheet.texts), frozenset(labels))
