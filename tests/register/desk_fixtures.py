"""A desk with a list and terms, where commands are typed."""

from __future__ import annotations

import shlex
from datetime import UTC, datetime
from pathlib import Path

import pytest

from meshcore.cli import main
from meshcore.demo import demo_data
from meshcore.register.connecting import REGISTER_VARIABLE

HEAD = "mesh_count,wire_diameter,alloy,form,width,length,quantity\n"
ROLLS = f"{HEAD}10 / in,0.025 in,304,roll,48 in,100 ft,3\n"
PIECES = f"{HEAD}4 / in,0.047 in,304,piece,12 in,9 in,12\n"
YEAR = datetime.now(UTC).year
Q1, A1, R1 = f"Q{YEAR}-000001", f"A{YEAR}-000001", f"R{YEAR}-000001"
QUOTE = "quote list.csv -o q.txt --terms terms.toml --demo --to Bakery"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv(REGISTER_VARIABLE, str(tmp_path / "register.sqlite"))
    (tmp_path / "list.csv").write_text(ROLLS)
    (tmp_path / "terms.toml").write_bytes((demo_data() / "terms.toml").read_bytes())
    return tmp_path


class Said:
    """Runs commands, and returns what they print; the code is the one that is due."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys

    def __call__(self, words: str, code: int = 0) -> str:
        self.capsys.readouterr()
        got = main(shlex.split(words))
        held = self.capsys.readouterr()
        assert got == code, held
        return held.err if code else held.out + held.err


@pytest.fixture
def run(desk: Path, capsys: pytest.CaptureFixture[str]) -> Said:
    assert desk.exists()
    return Said(capsys)


@pytest.fixture
def order(run: Said) -> str:
    run(QUOTE)
    run(f"register mark {Q1} sent")
    run(f"register order {Q1} --buyer PO-7 --accept")
    return A1
