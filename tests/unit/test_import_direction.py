"""Imports run one way, as the guide for developers says: up the day, never back."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import meshcore

ROOT = Path(meshcore.__file__).parent.parent
#: The rooms in the order of the day; a module imports from its own row and those above.
ROOMS = (
    (
        "units",
        "arrays",
        "rounding",
        "limits",
        "whole_files",
        "messages",
        "enquiry",
        "hookspecs",
        "plugins",
        "contained",
    ),
    ("reading",),
    ("alloys",),
    ("weave",),
    ("uses",),
    ("supply",),
    ("costing",),
    ("demo",),
    ("estimates",),
    ("lists", "documents"),
    ("register",),
    ("commands",),
    ("cli", "__main__"),
)
RANK = {room: rank for rank, row in enumerate(ROOMS) for room in row}
APP = "meshcore_estimator"


def modules() -> dict[str, Path]:
    """All modules of the library and of the app by their dotted names."""
    found = {}
    for base in (ROOT / "meshcore", ROOT / "apps" / "estimator" / APP):
        for path in base.rglob("*.py"):
            parts = path.relative_to(base.parent).with_suffix("").parts
            found[".".join(p for p in parts if p != "__init__")] = path
    return found


MODULES = modules()


def imports(module: str, *, types: bool) -> Iterator[str]:
    """Modules that one module imports; with `types`, those for annotations too."""
    tree = ast.parse(MODULES[module].read_text("utf-8"))
    typing = {
        id(inner)
        for node in ast.walk(tree)
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"
        for inner in ast.walk(node)
    }
    for node in ast.walk(tree):
        if id(node) in typing and not types:
            continue
        names: list[str] = []
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module:
            names = [f"{node.module}.{alias.name}" for alias in node.names]
        for name in names:
            known = next((n for n in (name, name.rpartition(".")[0]) if n in MODULES), module)
            if known not in {module, "meshcore"}:
                yield known


def rank_of(module: str) -> int:
    """Place of a module in the day; the app comes last."""
    return len(ROOMS) if module.startswith(APP) else RANK[module.split(".")[1]]


def test_no_module_imports_from_a_later_room() -> None:
    inner = [module for module in MODULES if module != "meshcore"]
    back = [
        f"{module} imports {used}"
        for module in inner
        for used in imports(module, types=False)
        if rank_of(used) > rank_of(module)
    ]
    assert not back


def test_no_circle_not_even_for_types() -> None:
    inner = {m: set(imports(m, types=True)) for m in MODULES if m != "meshcore"}
    order = list(TopologicalSorter(inner).static_order())  # raises CycleError with the circle
    assert len(order) >= len(inner)


def test_the_library_imports_neither_the_app_nor_streamlit() -> None:
    sources = [p.read_text("utf-8") for m, p in MODULES.items() if not m.startswith(APP)]
    assert not any("import streamlit" in s or f"import {APP}" in s for s in sources)


def test_every_room_has_its_place() -> None:
    rooms = {module.split(".")[1] for module in MODULES if module.startswith("meshcore.")}
    assert rooms == set(RANK)
