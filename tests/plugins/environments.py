"""Environments of their own for the install tests, made without the network."""

from __future__ import annotations

import fcntl
import json
import os
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True)
class Environment:
    """A virtual environment with the project's wheel and perhaps some plugins in it."""

    folder: Path

    @property
    def python(self) -> Path:
        return self.folder / "bin" / "python"

    def command(self, words: Sequence[str], cwd: Path) -> subprocess.CompletedProcess[str]:
        """Run a command that finds this environment's programs first, and never asks.

        Builds use the backend at hand: the tests fetch nothing.
        """
        path = f"{self.python.parent}{os.pathsep}{os.environ['PATH']}"
        kept = {k: v for k, v in os.environ.items() if not k.startswith(("PYTEST_", "PYTHON"))}
        return subprocess.run(
            list(words),
            cwd=cwd,
            env=kept | {"PATH": path, "PIP_NO_BUILD_ISOLATION": "0", "PIP_NO_INDEX": "1"},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=300,
            check=False,
        )

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run this environment's Python; a traceback is never an answer."""
        done = self.command([str(self.python), *words], self.folder)
        assert "Traceback" not in done.stderr, done.stderr
        return done

    def output(self, *words: str) -> str:
        """Return what a run of Python that must succeed prints on stdout."""
        done = self.run(*words)
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout

    def evaluate(self, script: str) -> Any:
        """Return what a script prints as JSON on its last line."""
        return json.loads(self.output("-c", script).splitlines()[-1])


def build_wheel(source: Path, target: Path) -> Path:
    """Build the wheel of one source tree with pip, by the build backend at hand."""
    _pip("wheel", "--quiet", "--no-deps", "--no-build-isolation", "--no-index",
         "--wheel-dir", str(target), str(source))  # fmt: skip
    (wheel,) = target.glob("*.whl")
    return wheel


def project_wheel(shared: Path, root: Path) -> Path:
    """The project's wheel, built once for all test processes that share a folder."""
    shared.mkdir(parents=True, exist_ok=True)
    with (shared / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        built = list((shared / "built").glob("*.whl"))
        return built[0] if built else build_wheel(root, shared / "built")


def make_environment(folder: Path, wheels: Sequence[Path]) -> Environment:
    """Make an environment with these wheels; their dependencies are lent from this one.

    The lent folder comes last on the path and its own ``.pth`` files are not read there, so an
    editable install of the project in it is not seen.
    """
    venv.create(folder, with_pip=False)
    made = Environment(folder)
    _pip("--python", str(made.python), "install", "--quiet", "--no-deps", "--no-index",
         *map(str, wheels))  # fmt: skip
    purelib = made.output("-c", "import sysconfig; print(sysconfig.get_paths()['purelib'])")
    lent = sysconfig.get_paths()["purelib"]
    (Path(purelib.strip()) / "lent.pth").write_text(lent + "\n", encoding="utf-8")
    return made


def _pip(*words: str) -> None:
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
