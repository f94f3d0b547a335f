"""The tutorial, run block by block in order, in an empty folder."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from environments import make_environment

from meshcore.demo import BOOK_VARIABLE

pytestmark = pytest.mark.install

_BLOCK = re.compile(r"^```(?P<language>\w+)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)
_MARK = "@@ block"


@dataclass(frozen=True)
class Step:
    """A block that runs, and what the page shows of its output."""

    language: str
    body: str
    shown: str = ""


def _steps(page: str) -> list[Step]:
    steps: list[Step] = []
    for block in _BLOCK.finditer(page):
        if block["language"] == "text":
            last = steps.pop()
            assert not last.shown
            steps.append(Step(last.language, last.body, block["body"]))
        else:
            assert block["language"] in {"sh", "python"}, block["language"]
            steps.append(Step(block["language"], block["body"]))
    return steps


def _script(steps: list[Step]) -> str:
    """All steps as one script, since what one exports the next ones use."""
    # Who follows the page has named no book, as the tests have.
    parts = ["set -eu", "exec 2>&1", f"unset {BOOK_VARIABLE}"]
    for number, step in enumerate(steps):
        parts.append(f"echo '{_MARK} {number}'")
        python = f"python - <<'STEP'\n{step.body}STEP\n"
        parts.append(python if step.language == "python" else step.body)
    return "\n".join(parts)


def test_every_block_runs_in_order_in_an_empty_folder(
    tmp_path_factory: pytest.TempPathFactory, wheel: Path, project_root: Path, tmp_path: Path
) -> None:
    environment = make_environment(tmp_path_factory.mktemp("tutorial") / "env", [wheel])
    steps = _steps((project_root / "docs" / "tutorial.md").read_text("utf-8"))
    assert len(steps) >= 8
    done = environment.command(["bash", "-c", _script(steps)], tmp_path)
    assert done.returncode == 0, done.stdout
    assert "Traceback" not in done.stdout
    outputs = re.split(rf"^{_MARK} \d+\n", done.stdout, flags=re.MULTILINE)[1:]
    assert len(outputs) == len(steps)
    for step, output in zip(steps, outputs, strict=True):
        after = 0
        for line in step.shown.splitlines():
            found = output.find(line, after)
            assert found >= 0, f"not printed in its place: {line!r}\n{output}"
            after = found + len(line)


def test_blocks_are_taken_with_what_the_page_shows_of_them() -> None:
    page = "```sh\na\n```\n\n```text\nx\n```\n\n```python\nb\n```\n"
    assert _steps(page) == [Step("sh", "a\n", "x\n"), Step("python", "b\n")]
