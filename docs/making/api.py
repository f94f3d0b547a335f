"""The reference of the Python interface: public names by room, and what a plugin's author uses."""

from __future__ import annotations

import ast
import importlib
import inspect
from collections.abc import Iterable
from pathlib import Path
from types import ModuleType

from making.docstrings import first_line
from making.markdown import from_docstring, table
from making.rooms import ROOT, rooms, says

#: Modules that a plugin's author imports from, and what for.
PLUGIN_MODULES: tuple[str, ...] = (
    "meshcore.hookspecs",
    "meshcore.enquiry",
    "meshcore.alloys.record",
    "meshcore.alloys.reading",
    "meshcore.weave.cloth",
    "meshcore.costing.items",
    "meshcore.costing.order_columns",
    "meshcore.costing.rates",
)


def homes() -> dict[str, str]:
    """Public names of the library → the modules that they come from."""
    import meshcore  # noqa: PLC0415 - the site's other parts do without

    return {name: _home(name, getattr(meshcore, name)) for name in meshcore.__all__}


def _home(name: str, thing: object) -> str:
    module = str(getattr(thing, "__module__", ""))
    if module.startswith("meshcore."):
        return module
    listed: dict[str, str] = vars(importlib.import_module("meshcore")).get("_HOME", {})
    return listed.get(name, "meshcore")


def by_room() -> dict[str, list[str]]:
    """Public names by room, in the order of the day."""
    order = [room for row in rooms() for room in row]
    gathered: dict[str, list[str]] = {room: [] for room in ("", *order)}
    for name, module in sorted(homes().items()):
        gathered[module.partition(".")[2].partition(".")[0]].append(name)
    return {room: names for room, names in gathered.items() if names}


def public_names() -> str:
    """Return the public names, first as a table and then one by one."""
    import meshcore  # noqa: PLC0415

    listed = [
        [f"{{py:obj}}`~meshcore.{name}`", room or "meshcore", _says(getattr(meshcore, name))]
        for room, names in by_room().items()
        for name in names
    ]
    parts = [table(["Name", "Room", "What it is"], listed)]
    for room, names in by_room().items():
        title = room or "meshcore"
        about = says(ROOT / "meshcore" / room) if room else ""
        parts += [f"## {title}", from_docstring(about)]
        parts += [_directive("meshcore", name, getattr(meshcore, name)) for name in names]
    return "\n\n".join(parts)


def name_list() -> str:
    """Return the public names in one sentence's length."""
    import meshcore  # noqa: PLC0415

    return ", ".join(f"{{py:obj}}`~meshcore.{name}`" for name in meshcore.__all__)


def module_list() -> str:
    """Return the modules that a plugin's author imports from."""
    return ", ".join(f"`{name}`" for name in PLUGIN_MODULES)


def _says(thing: object) -> str:
    return from_docstring(first_line(thing)) if _kind(thing) != "data" else ""


def plugin_modules() -> str:
    """Return the modules that a plugin's author uses, each with its names."""
    public = homes()
    parts = []
    for dotted in PLUGIN_MODULES:
        module = importlib.import_module(dotted)
        about = (inspect.getdoc(module) or "").strip()
        parts += [f"## {dotted}", from_docstring(about)]
        elsewhere = []
        for name in own_names(module):
            if public.get(name) == dotted:
                elsewhere.append(name)
            else:
                parts.append(_directive(dotted, name, getattr(module, name)))
        if elsewhere:
            links = ", ".join(f"{{py:obj}}`~meshcore.{name}`" for name in elsewhere)
            parts.append(f"Also here, and public as names of `meshcore`: {links}.")
    return "\n\n".join(parts)


def own_names(module: ModuleType) -> list[str]:
    """Public names that a module itself defines, in its order.

    Examples
    --------
    >>> import meshcore.alloys.record
    >>> own_names(meshcore.alloys.record)
    ['RatingLevel', 'Rating', 'Alloy']
    """
    found: list[str] = []
    for node in ast.parse(Path(str(module.__file__)).read_text("utf-8")).body:
        found += [name for name in _defined(node) if not name.startswith("_")]
    return found


def _defined(node: ast.stmt) -> Iterable[str]:
    if isinstance(node, ast.ClassDef | ast.FunctionDef):
        return [node.name]
    if isinstance(node, ast.AnnAssign):
        return [node.target.id] if isinstance(node.target, ast.Name) else []
    if isinstance(node, ast.Assign):
        return [
            name.id
            for target in node.targets
            for name in ast.walk(target)
            if isinstance(name, ast.Name)
        ]
    return []


def hooks() -> str:
    """Return the hooks, and what each takes."""
    from meshcore import hookspecs  # noqa: PLC0415

    rows = []
    for name, hook in inspect.getmembers(hookspecs, inspect.isfunction):
        if name.startswith("meshcore_"):
            given = str(inspect.signature(hook).return_annotation)
            rows.append([f"`{name}`", f"`{given}`", first_line(hook)])
    return table(["Hook", "Gives", "What for"], rows)


def _kind(thing: object) -> str:
    if inspect.isclass(thing):
        return "exception" if issubclass(thing, BaseException) else "class"
    return "function" if inspect.isroutine(thing) else "data"


def _directive(module: str, name: str, thing: object) -> str:
    kind = _kind(thing)
    options = {"class": "   :members:\n", "exception": "", "function": "", "data": ""}[kind]
    text = f".. auto{kind}:: {module}.{name}\n{options}"
    return f"```{{eval-rst}}\n{text}```"
