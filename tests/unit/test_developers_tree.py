"""The tree in DEVELOPERS.md and the folders say the same."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

_ENTRY = re.compile(r"^(?P<indent> *)(?P<names>[\w./]+(?:,? [\w./]+)*)(?: {2,}|$)")
#: Folders whose every folder and module beside them is to stand in the tree.
HELD = ("meshcore", "plugins", "apps/estimator/meshcore_estimator")


def _told(guide: Path) -> set[str]:
    """Paths that the tree names."""
    section = guide.read_text("utf-8").split("## The tree\n\n", 1)[1]
    lines = [line[4:] for line in section.split("\n\n", 1)[0].splitlines()]
    paths: set[str] = set()
    above: list[tuple[int, str]] = []
    for line in lines:
        found = _ENTRY.match(line)
        assert found, f"not a line of the tree: {line!r}"
        indent = len(found["indent"])
        above = [(depth, path) for depth, path in above if depth < indent]
        start = above[-1][1] if above else ""
        names = re.split(r",? ", found["names"])
        assert all(name.endswith(("/", ".py")) for name in names), line
        paths |= {start + name for name in names}
        above.append((indent, start + names[0]))
    return paths


def _inside(folder: Path) -> set[Path]:
    return {
        path
        for path in folder.rglob("*/")
        if path.is_dir() and not any(part.startswith(("__", ".")) for part in path.parts)
    }


@pytest.fixture
def told(project_root: Path) -> set[str]:
    return _told(project_root / "DEVELOPERS.md")


def test_every_folder_and_module_stands_in_the_tree(told: set[str], project_root: Path) -> None:
    there: set[str] = set()
    for held in HELD:
        folder = project_root / held
        there |= {f"{path.relative_to(project_root).as_posix()}/" for path in _inside(folder)}
    modules = (project_root / "meshcore").glob("*.py")
    there |= {f"meshcore/{path.name}" for path in modules if not path.name.startswith("__")}
    assert len(there) > 40
    assert sorted(there - told) == []


def test_nothing_stands_in_the_tree_that_is_not_there(told: set[str], project_root: Path) -> None:
    assert sorted(path for path in told if not (project_root / path).exists()) == []
    folders = {path for path in told if path.endswith("/")}
    assert all((project_root / path).is_dir() for path in folders)


def test_the_order_of_the_day_is_the_one_that_is_held(project_root: Path) -> None:
    from making.rooms import rooms  # noqa: PLC0415 - the site's own reading of the table

    text = (project_root / "DEVELOPERS.md").read_text("utf-8")
    line = next(row for row in text.splitlines() if row.startswith("    reading → "))
    told = [frozenset(re.split(r", ", step)) for step in line.strip().split(" → ")]
    held = [frozenset(row) for row in rooms()[1:] if not set(row) & {"demo", "cli"}]
    assert told == [*held, frozenset({"app"})]
