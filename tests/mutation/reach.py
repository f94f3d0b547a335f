"""Which tests reach which line: the quick tests run once under coverage, each its own context."""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from coverage import CoverageData

from mutation.points import Point

#: Tests that start other programs are slow, and what they start is not measured; tests that hold a
#: time fail where the machine is busy, with a mutant or without.
QUICK = "not install and not browser and not office and not timed"
#: Files by their place in the tree, so that what was measured in one copy serves for another.
_SETTINGS = "[run]\nrelative_files = true\nsource =\n  meshcore\n  plugins\n  apps\n"
#: Tests that stand for all, where it is not known which reach a file.
BROADEST = 25
_FAILED = re.compile(r"^(?:FAILED|ERROR) (\S+?::.+?)(?: - .*)?$", re.MULTILINE)
#: The plugin measures, and not ``coverage run``, whose main module a process pool would run again.
_PLUGIN = """
import os

import coverage
import pytest

measured = coverage.Coverage(
    data_file=os.environ["REACH_DATA"], config_file=os.environ["REACH_SETTINGS"]
)
measured.start()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item):
    measured.switch_context(item.nodeid)
    return (yield)


def pytest_unconfigure():
    measured.stop()
    measured.save()
"""


@dataclass(frozen=True)
class Reach:
    """Tests by file and line, the most particular first."""

    by_line: dict[str, dict[int, frozenset[str]]]
    width: Counter[str]

    @property
    def count(self) -> int:
        """How many tests reach any line."""
        return len(self.width)

    def tests(self, point: Point) -> list[str]:
        """Tests that reach a point; all of its file's for what runs as the module is loaded."""
        lines = self.by_line.get(str(point.path), {})
        first, last = point.statement
        reached = frozenset[str]().union(
            *(lines.get(n, frozenset()) for n in range(first, last + 1))
        )
        if not reached:
            reached = frozenset[str]().union(*lines.values())
        if not reached:
            # A file of constants alone runs in no test: the broadest go through whoever uses them.
            return [test for test, _ in self.width.most_common(BROADEST)]
        return sorted(reached, key=lambda test: (self.width[test], test))


def measure(root: Path, scratch: Path, parts: int, environment: dict[str, str]) -> Reach:
    """Run the quick tests of a tree under coverage, in some processes side by side.

    What an earlier run left in `scratch` is used again, without the tests that are no more. Tests
    that fail as they are, in a copy of the tree, are named and left out.
    """
    held = [scratch / f"coverage{part}" for part in range(parts)]
    there = _tests(root, environment)
    if not all(data.exists() for data in held):
        _run_under_coverage(root, held, there, environment)
    by_line: dict[str, dict[int, set[str]]] = {}
    width: Counter[str] = Counter()
    for data in held:
        failing = set(_FAILED.findall(data.with_suffix(".log").read_text("utf-8")))
        for test in sorted(failing):
            sys.stdout.write(f"left out, as it fails without any change: {test}\n")
        measured = CoverageData(str(data))
        measured.read()
        for file in measured.measured_files():
            for line, contexts in measured.contexts_by_lineno(file).items():
                tests = (set(contexts) & there.keys()) - failing
                by_line.setdefault(file, {}).setdefault(line, set()).update(tests)
                width.update(tests)
    frozen = {f: {n: frozenset(t) for n, t in lines.items()} for f, lines in by_line.items()}
    return Reach(frozen, width)


def _tests(root: Path, environment: dict[str, str]) -> dict[str, str]:
    """List the quick tests of a tree, each with its file, in their order."""
    listed = subprocess.run(
        [sys.executable, "-P", "-m", "pytest", "--collect-only", "-q", "-m", QUICK],
        cwd=root, env=environment, capture_output=True, text=True, check=False,
    ).stdout.splitlines()  # fmt: skip
    return {line: line.split("::")[0] for line in listed if "::" in line}


def _run_under_coverage(
    root: Path, held: list[Path], tests: dict[str, str], environment: dict[str, str]
) -> None:
    scratch, parts = held[0].parent, len(held)
    scratch.mkdir(parents=True, exist_ok=True)
    (scratch / "reach_contexts.py").write_text(_PLUGIN)
    (scratch / "coveragerc").write_text(_SETTINGS)
    names = list(dict.fromkeys(tests.values()))
    path = f"{environment['PYTHONPATH']}:{scratch}"
    own = environment | {"PYTHONPATH": path, "REACH_SETTINGS": str(scratch / "coveragerc")}
    running = []
    for part, data in enumerate(held):
        command = [
            sys.executable, "-P", "-m", "pytest", "-q", "-rfE", "-m", QUICK,
            "-p", "reach_contexts", "-p", "no:cacheprovider", *names[part::parts],
        ]  # fmt: skip
        with data.with_suffix(".log").open("w") as log:
            running.append(subprocess.Popen(
                command, cwd=root, env=own | {"REACH_DATA": str(data)},
                stdout=log, stderr=subprocess.STDOUT,
            ))  # fmt: skip
    for process in running:
        process.wait()
