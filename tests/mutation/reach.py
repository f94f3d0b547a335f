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

#: Tests that start other programs are slow, and what they start is not measured.
QUICK = "not install and not browser and not office"
_FAILED = re.compile(r"^(?:FAILED|ERROR) (\S+?::.+?)(?: - .*)?$", re.MULTILINE)
_PLUGIN = """
import coverage
import pytest


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item):
    measured = coverage.Coverage.current()
    if measured is not None:
        measured.switch_context(item.nodeid)
    return (yield)
"""


@dataclass(frozen=True)
class Reach:
    """Tests by file and line, the most particular first."""

    root: Path
    by_line: dict[str, dict[int, frozenset[str]]]
    width: Counter[str]

    @property
    def count(self) -> int:
        """How many tests reach any line."""
        return len(self.width)

    def tests(self, point: Point) -> list[str]:
        """Tests that reach a point; all of its file's for what runs as the module is imported."""
        lines = self.by_line.get(str(point.path), {})
        first, last = point.statement
        reached = frozenset[str]().union(
            *(lines.get(n, frozenset()) for n in range(first, last + 1))
        )
        if not reached:
            reached = frozenset[str]().union(*lines.values())
        return sorted(reached, key=lambda test: (self.width[test], test))


def measure(root: Path, scratch: Path, parts: int, environment: dict[str, str]) -> Reach:
    """Run the quick tests of a tree under coverage, in some processes side by side.

    What an earlier run left in `scratch` is used again. Tests that fail as they are, as those do
    that count seconds on a busy machine, are named and left out.
    """
    held = [scratch / f"coverage{part}" for part in range(parts)]
    if not all(data.exists() for data in held):
        _run_under_coverage(root, held, environment)
    by_line: dict[str, dict[int, set[str]]] = {}
    width: Counter[str] = Counter()
    for data in held:
        failing = set(_FAILED.findall(data.with_suffix(".log").read_text("utf-8")))
        for test in sorted(failing):
            sys.stdout.write(f"left out, as it fails without any change: {test}\n")
        measured = CoverageData(str(data))
        measured.read()
        for file in measured.measured_files():
            name = str(Path(file).relative_to(root))
            for line, contexts in measured.contexts_by_lineno(file).items():
                tests = set(filter(None, contexts)) - failing
                by_line.setdefault(name, {}).setdefault(line, set()).update(tests)
                width.update(tests)
    frozen = {f: {n: frozenset(t) for n, t in lines.items()} for f, lines in by_line.items()}
    return Reach(root, frozen, width)


def _run_under_coverage(root: Path, held: list[Path], environment: dict[str, str]) -> None:
    scratch, parts = held[0].parent, len(held)
    scratch.mkdir(parents=True, exist_ok=True)
    (scratch / "reach_contexts.py").write_text(_PLUGIN)
    listed = subprocess.run(
        [sys.executable, "-P", "-m", "pytest", "--collect-only", "-q", "-m", QUICK],
        cwd=root, env=environment, capture_output=True, text=True, check=False,
    ).stdout.splitlines()  # fmt: skip
    names = list(dict.fromkeys(line.split("::")[0] for line in listed if "::" in line))
    path = f"{environment['PYTHONPATH']}:{scratch}"
    running = []
    for part, data in enumerate(held):
        command = [
            sys.executable, "-P", "-m", "coverage", "run", f"--data-file={data}",
            "--source=meshcore,plugins,apps", "-m", "pytest", "-q", "-rfE", "-m", QUICK,
            "-p", "reach_contexts", "-p", "no:cacheprovider", *names[part::parts],
        ]  # fmt: skip
        with data.with_suffix(".log").open("w") as log:
            running.append(subprocess.Popen(
                command, cwd=root, env={**environment, "PYTHONPATH": path},
                stdout=log, stderr=subprocess.STDOUT,
            ))  # fmt: skip
    for process in running:
        process.wait()
