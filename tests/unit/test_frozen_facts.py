"""Facts are frozen: each dataclass of the source is written as the habits of the project want it.

A keyword is there only to depart from what dataclasses do by themselves, so its value follows.
"""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOMS = ("meshcore", "plugins", "apps")
#: What a keyword of a dataclass may say.
SAYS = {"frozen": True, "slots": True, "kw_only": True, "eq": False, "repr": False, "init": False}


def _written(decorator: ast.expr) -> dict[str, object] | None:
    """Keywords of a dataclass decorator; nothing, where it is another."""
    call = decorator if isinstance(decorator, ast.Call) else None
    name = ast.unparse(call.func if call else decorator)
    if name not in ("dataclass", "dataclasses.dataclass"):
        return None
    return {k.arg or "": ast.literal_eval(k.value) for k in call.keywords} if call else {}


def _wrong(decorated: ast.ClassDef, keywords: dict[str, object]) -> str:
    for name, value in keywords.items():
        if SAYS.get(name) is not value:
            return f"{decorated.name} says {name}={value}"
    if not keywords.get("frozen") and not keywords.get("slots"):
        return f"{decorated.name} is neither frozen nor of fixed fields"
    return ""


def _found(source: str) -> list[str]:
    classes = [node for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ClassDef)]
    written = [(c, k) for c in classes for d in c.decorator_list if (k := _written(d)) is not None]
    return [wrong for decorated, keywords in written if (wrong := _wrong(decorated, keywords))]


def test_every_dataclass_is_frozen_or_says_plainly_that_it_changes(project_root: Path) -> None:
    files = [path for room in ROOMS for path in (project_root / room).rglob("*.py")]
    assert len(files) > 100
    wrong = {path.name: found for path in files if (found := _found(path.read_text("utf-8")))}
    assert wrong == {}


@pytest.mark.parametrize(
    ("written", "says"),
    [
        ("@dataclass(frozen=False, slots=True)", ["A says frozen=False"]),
        ("@dataclass(frozen=True, slots=False)", ["A says slots=False"]),
        ("@dataclass(eq=True, slots=True)", ["A says eq=True"]),
        ("@dataclass", ["A is neither frozen nor of fixed fields"]),
        ("@dataclass(frozen=True)", []),
        ("@dataclass(slots=True)", []),
        ("@cache", []),
    ],
)
def test_what_is_wrong_is_named(written: str, says: list[str]) -> None:
    assert _found(f"{written}\nclass A: ...") == says
