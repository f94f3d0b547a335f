"""Tables and code of Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

#: Columns that a phone can show beside each other.
_SIDE_BY_SIDE = 2


def table(headings: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    r"""Return a table; a bar in a cell is escaped.

    One of three columns or more is marked, so that a phone shows its cells one under another.

    Examples
    --------
    >>> print(table(["a", "b"], [["1", "x|y"]]))
    | a | b |
    | --- | --- |
    | 1 | x\|y |
    """
    lines = [list(headings), ["---"] * len(headings), *(list(row) for row in rows)]
    text = "\n".join(f"| {' | '.join(_cell(c) for c in line)} |" for line in lines)
    return f"```{{container}} stacked\n{text}\n```" if len(headings) > _SIDE_BY_SIDE else text


def _cell(text: str) -> str:
    return " ".join(text.split()).replace("|", "\\|")


def code(text: object) -> str:
    """Return text as code, or nothing for nothing."""
    return f"`{text}`" if str(text) else ""


def block(text: str, language: str = "text") -> str:
    """Return a fenced block."""
    return f"```{language}\n{text.rstrip()}\n```"


def from_docstring(text: str) -> str:
    """Return text of a docstring as Markdown: double backticks become single ones."""
    return text.replace("``", "`")
