"""The walks in DEVELOPERS.md, run command by command as they stand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from environments import Environment, make_environment

pytestmark = pytest.mark.install

_SECTION = re.compile(r"^#{2,3} (?P<title>.+)$", re.MULTILINE)
_COMMANDS = re.compile(r"^```sh\n(.*?)^```$", re.MULTILINE | re.DOTALL)


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory, wheel: Path) -> Environment:
    """An environment as a user has it: the project's wheel, nobody's plugins."""
    return make_environment(tmp_path_factory.mktemp("guide") / "env", [wheel])


def _script(guide: Path, title: str) -> str:
    """All commands of one section, in order."""
    parts = _SECTION.split(guide.read_text(encoding="utf-8"))
    sections = dict(zip(parts[1::2], parts[2::2], strict=True))
    commands = _COMMANDS.findall(sections[title])
    assert commands, f"{title}: no commands in fenced sh blocks"
    return "\n".join(["set -eu", *commands])


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("An alloy family, from an empty folder to a wheel", "base metal"),
        ("A pricing rule, from an empty folder to a wheel", "fine inspection"),
    ],
)
def test_walk_ends_in_an_installed_plugin(
    installed: Environment, project_root: Path, tmp_path: Path, title: str, expected: str
) -> None:
    script = _script(project_root / "DEVELOPERS.md", title)
    done = installed.command(["bash", "-c", script], tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    last_estimate = done.stdout.rpartition("Status")[2]
    assert "refused" not in last_estimate
    assert expected in last_estimate
    assert "set aside" not in done.stdout
