"""What is said of the rows of a file that are no lines.

Kept apart from the report of a list, whose words for services need pandas: the command line
starts without it.
"""

from __future__ import annotations

from collections.abc import Sequence

from meshcore.lists.table import SetAside

#: As many rows set aside as a report spells out, and as much of a row's text.
SPELLED, MOST_TEXT = 12, 90


def told_set_aside(rows: Sequence[SetAside]) -> list[str]:
    """Tell which rows are no lines: the first ones by what they say, and how many more."""
    told = [_set_aside(one) for one in rows[:SPELLED]]
    more = len(rows) - SPELLED
    return told + ([f"{more} more rows set aside."] if more > 0 else [])


def _set_aside(one: SetAside) -> str:
    sheet = f" of sheet {one.sheet}" if one.sheet else ""
    text = one.text if len(one.text) <= MOST_TEXT else f"{one.text[:MOST_TEXT]}…"
    return f'Row {one.row}{sheet} set aside, {one.why}: "{text}".'
