"""The figure of the architecture, drawn from the rooms, their folders and the hooks."""

from __future__ import annotations

import ast
import textwrap
from dataclasses import dataclass
from html import escape

from making.markdown import from_docstring, table
from making.rooms import ROOT, rooms, says

#: Sizes of the drawing [px]; narrow, so that it can be read on a phone without turning it.
_WIDTH, _EDGE, _PAD, _GAP, _LINE = 440, 2, 8, 14, 17
#: Letters of a description in one line.
_LETTERS = 62
_APP = "apps/estimator/meshcore_estimator"


@dataclass(frozen=True, slots=True)
class Box:
    """A row of rooms: their names, what they do, and the hooks by which plugins reach them."""

    names: tuple[str, ...]
    does: tuple[str, ...]
    hooks: tuple[str, ...]


def boxes() -> tuple[Box, ...]:
    """Rows of the drawing, from what all stand on to the app."""
    found = [
        Box(row, tuple(says(ROOT / "meshcore" / name) for name in row), _hooks(row))
        for row in rooms()
        if not set(row) & {"demo", "cli"}
    ]
    base, *inner = found
    app = Box(("app",), (says(ROOT / _APP),), ())
    return (Box(base.names, (), base.hooks), *inner, app)


def _hooks(row: tuple[str, ...]) -> tuple[str, ...]:
    """Hooks that give what is at home in one of these rooms: an alloy, a rule, a service."""
    tree = ast.parse((ROOT / "meshcore" / "hookspecs.py").read_text("utf-8"))
    homes = {
        name.name: str(node.module).split(".")[1]
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and str(node.module).startswith("meshcore.")
        for name in node.names
    }
    return tuple(
        hook.name
        for hook in tree.body
        if isinstance(hook, ast.FunctionDef) and hook.returns is not None
        for given in ast.walk(hook.returns)
        if isinstance(given, ast.Name) and homes.get(given.id) in row
    )


def svg() -> str:
    """Draw the rooms from top to bottom; colours come from the page's style sheet."""
    parts: list[str] = []
    top = float(_EDGE)
    for number, box in enumerate(boxes()):
        if number:
            parts.append(_arrow(top, top + _GAP))
            top += _GAP
        lines = _lines(box)
        height = len(lines) * _LINE + 2 * _PAD
        frame = f'x="{_EDGE}" y="{top:g}" width="{_WIDTH - 2 * _EDGE}" height="{height:g}"'
        parts.append(f'<rect {frame} rx="4"/>')
        for place, (kind, text) in enumerate(lines, 1):
            x, y = _EDGE + _PAD, top + _PAD + place * _LINE - 4
            parts.append(f'<text class="{kind}" x="{x}" y="{y:g}">{escape(text)}</text>')
        top += height
    head = (
        f'<svg class="architecture" viewBox="0 0 {_WIDTH} {top + _EDGE:g}" role="img" '
        'aria-label="The rooms in the order of the day; each imports only from those above it">'
    )
    return "\n".join([head, *parts, "</svg>"])


def _lines(box: Box) -> list[tuple[str, str]]:
    """Lines of a box, each with its kind; names of many rooms are broken as text is."""
    names = textwrap.wrap(", ".join(box.names), _LETTERS - 12)
    does = [line for text in box.does for line in textwrap.wrap(_plain(text), _LETTERS)]
    hooks = [f"hook {', '.join(box.hooks)}"] if box.hooks else []
    return (
        [("name", line) for line in names]
        + [("does", line) for line in does]
        + [("hook", line) for line in hooks]
    )


def _plain(text: str) -> str:
    return text.replace("``", "")


def _arrow(start: float, end: float) -> str:
    x = _WIDTH / 2
    return f'<path d="M{x:g} {start:g}V{end:g}m-4 -6l4 6l4 -6"/>'


def rooms_table() -> str:
    """Return the rooms of the library, what each is for, and the folders in it."""
    rows = []
    for name in (name for row in rooms() for name in row):
        folder = ROOT / "meshcore" / name
        if folder.is_dir():
            inner = sorted(p.name for p in folder.iterdir() if (p / "__init__.py").is_file())
            rows.append([f"`{name}/`", from_docstring(says(folder)), ", ".join(inner) or "–"])
    return table(["Room", "What it is for", "Folders"], rows)
