"""The rooms in the order of the day, as the test of imports holds them."""

from __future__ import annotations

import ast
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
_TEST = ROOT / "tests" / "unit" / "test_import_direction.py"


def rooms() -> tuple[tuple[str, ...], ...]:
    """Rows of rooms; each imports from its own row and those above.

    Examples
    --------
    >>> rooms()[1]
    ('reading',)
    """
    for node in ast.parse(_TEST.read_text("utf-8")).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "ROOMS":
            found: tuple[tuple[str, ...], ...] = ast.literal_eval(node.value)
            return found
    raise LookupError(f"{_TEST}: no table ROOMS")


def says(module: Path) -> str:
    """First line of the docstring of a module or of a package's folder."""
    source = module / "__init__.py" if module.is_dir() else module.with_suffix(".py")
    text = ast.get_docstring(ast.parse(source.read_text("utf-8"))) or ""
    return text.partition("\n")[0]
