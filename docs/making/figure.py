"""The figure of the architecture, drawn from the rooms and their folders."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from making.markdown import from_docstring, table
from making.rooms import ROOT, rooms, says

#: Sizes of the drawing [px].
_WIDTH, _ROW, _GAP, _LEFT, _PAD = 720, 40, 18, 14, 10
_NAME_WIDTH = 150


@dataclass(frozen=True, slots=True)
class Box:
    """A row of rooms, and what it does."""

    names: tuple[str, ...]
    does: str


def boxes() -> tuple[Box, ...]:
    """Rows of the drawing, from the first room of the day to the app."""
    rows = [
        Box(row, says(ROOT / "meshcore" / row[0]) if len(row) == 1 else "")
        for row in rooms()
        if row[0] not in {"demo", "cli"}
    ]
    named = [
        Box(row.names, row.does or "; ".join(says(ROOT / "meshcore" / n) for n in row.names))
        if len(row.names) < _MANY
        else Box(row.names, "")
        for row in rows
    ]
    return (*named, Box(("app",), "The Streamlit app, one folder a page; it does no arithmetic."))


#: More rooms than this in one row are named without what each does.
_MANY = 4


def architecture() -> str:
    """Return the figure as it stands in a page: its colours follow the page's."""
    return svg()


def svg() -> str:
    """Draw the rooms top to bottom, with the plugins at the side of the rooms that they reach."""
    rows = boxes()
    height = len(rows) * (_ROW + _GAP) - _GAP + 2 * _PAD
    parts = [
        f'<svg class="architecture" viewBox="0 0 {_WIDTH} {height}" role="img" '
        'aria-label="The rooms in the order of the day; each imports only from those above it">'
    ]
    for number, box in enumerate(rows):
        top = _PAD + number * (_ROW + _GAP)
        parts.append(_box(box, top))
        if number:
            parts.append(_arrow(top - _GAP, top))
    return "\n".join([*parts, "</svg>"])


def _box(box: Box, top: float) -> str:
    middle = top + _ROW / 2 + 5
    width = _WIDTH - 2 * _LEFT
    frame = f'<rect x="{_LEFT}" y="{top}" width="{width}" height="{_ROW}" rx="4"/>'
    names = escape(", ".join(box.names))
    wide = not box.does
    name = f'<text class="name" x="{_LEFT + 12}" y="{middle}">{names}</text>'
    does = "" if wide else (
        f'<text x="{_LEFT + 12 + _NAME_WIDTH}" y="{middle}">{escape(_plain(box.does))}</text>'
    )  # fmt: skip
    return frame + name + does


def _plain(text: str) -> str:
    return text.replace("``", "").rstrip(".")


def _arrow(start: float, end: float) -> str:
    x = _LEFT + 30
    head = f"M{x - 4} {end - 6}L{x} {end}L{x + 4} {end - 6}"
    return f'<path d="M{x} {start}V{end}"/><path d="{head}"/>'


def rooms_table() -> str:
    """Return the rooms of the library, what each is for, and the folders in it."""
    rows = []
    for name in (name for row in rooms() for name in row):
        folder = ROOT / "meshcore" / name
        if folder.is_dir():
            inner = sorted(p.name for p in folder.iterdir() if (p / "__init__.py").is_file())
            rows.append([f"`{name}/`", from_docstring(says(folder)), ", ".join(inner)])
    return table(["Room", "What it is for", "Folders"], rows)
