"""CI runs the command that the readme gives for the tests, and that leaves none out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from order import is_outside


def recipe(project_root: Path, target: str) -> str:
    made = (project_root / "Makefile").read_text("utf-8")
    [lines] = re.findall(rf"^{target}:.*\n((?:\t.*\n)+)", made, re.MULTILINE)
    return str(lines)


def test_ci_runs_the_tests_as_the_readme_says(project_root: Path) -> None:
    readme = (project_root / "README.md").read_text("utf-8")
    [command] = re.findall(r"^(make \S+) +# .*passes the tests$", readme, re.MULTILINE)
    assert command in (project_root / ".ci/run").read_text("utf-8").splitlines()
    target = command.split()[1]
    for left_out in (" -m ", " -k ", "--deselect", "--ignore"):
        assert left_out not in recipe(project_root, target).replace("python -m pytest", "")


def test_the_quick_tests_are_all_but_those_outside(project_root: Path) -> None:
    quick, every = recipe(project_root, "test"), recipe(project_root, "test-all")
    assert quick.replace(' -m "not outside"', "") == every


def test_what_needs_python_alone_is_not_outside(request: pytest.FixtureRequest) -> None:
    assert not is_outside(request.node)


@pytest.mark.usefixtures("make_path")
def test_what_asks_for_a_program_is_outside(request: pytest.FixtureRequest) -> None:
    assert is_outside(request.node)
    assert request.node.get_closest_marker("outside")


@pytest.mark.parametrize("place", ["postgresql"])
def test_what_asks_for_one_by_a_parameter_is_outside(
    request: pytest.FixtureRequest, place: str
) -> None:
    assert is_outside(request.node)
    assert place == "postgresql"
