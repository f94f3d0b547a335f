"""Strangers' plugins, installed by pip into an environment of their own, beside the project.

One is well behaved; the others raise at import, raise in their rules, or return nonsense. Each
fault is named, and what the well-behaved part of the program computes stays as it was.
"""

from __future__ import annotations

import json
import subprocess
import sys
import sysconfig
import venv
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.install

DISTRIBUTIONS = Path(__file__).parent / "distributions"
PLUGINS = ("fellside-extras", "fails-at-import", "raises-in-rule", "returns-nonsense")
NEW_ALLOY = "fellside 18-9"
EVERYDAY = ("--mesh-count", "10/in", "--wire", "0.025 in", "--roll", "48 in x 100 ft")


@dataclass(frozen=True)
class Environment:
    """A virtual environment with the project's wheel and perhaps some plugins in it."""

    folder: Path

    @property
    def python(self) -> Path:
        return self.folder / "bin" / "python"

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [str(self.python), *words],
            cwd=self.folder,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            text=True,
            encoding="utf-8",
            timeout=300,
            check=False,
        )

    def output(self, *words: str) -> str:
        """Return what a command that must succeed prints on stdout."""
        done = self.run(*words)
        assert done.returncode == 0, done.stderr
        assert "Traceback" not in done.stderr
        return done.stdout

    def evaluate(self, script: str) -> Any:
        """Return what a script prints as JSON on its last line."""
        return json.loads(self.output("-c", script).splitlines()[-1])


def _pip(*words: str) -> None:
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def _environment(folder: Path, wheels: list[Path]) -> Environment:
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


@pytest.fixture(scope="session")
def wheels(tmp_path_factory: pytest.TempPathFactory, project_root: Path) -> list[Path]:
    """Wheels of the project and of each plugin, the project's first."""
    built: list[Path] = []
    for source in (project_root, *(DISTRIBUTIONS / name for name in PLUGINS)):
        target = tmp_path_factory.mktemp("wheel")
        _pip("wheel", "--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", str(target),
             str(source))  # fmt: skip
        built.extend(target.glob("*.whl"))
    assert len(built) == 1 + len(PLUGINS)
    return built


@pytest.fixture(scope="session")
def bare(tmp_path_factory: pytest.TempPathFactory, wheels: list[Path]) -> Environment:
    """An environment with the project alone."""
    return _environment(tmp_path_factory.mktemp("bare") / "env", wheels[:1])


@pytest.fixture(scope="session")
def crowded(tmp_path_factory: pytest.TempPathFactory, wheels: list[Path]) -> Environment:
    """An environment with the project and all the plugins, good and bad."""
    return _environment(tmp_path_factory.mktemp("crowded") / "env", wheels)
