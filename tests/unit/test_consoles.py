"""The command line on consoles of few letters, on full disks, and with nowhere to write."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
from itertools import product
from pathlib import Path

import pytest
from thorough import share

import meshcore as mc
from meshcore.cli import COULD_NOT, main
from meshcore.costing.book.files import write_price_book
from meshcore.costing.book.price_book import in_currency

ESTIMATE = (
    "estimate", "--mesh-count", "10/in", "--wire", "0.025 in", "--alloy", "304",
    "--roll", "48 in x 100 ft", "--explain",
)  # fmt: skip


def run(command: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        ["bash", "-c", command],
        capture_output=True,
        check=False,
        env={**os.environ, **environment},
    )


def module(*words: str) -> str:
    return shlex.join([sys.executable, "-m", "meshcore", *words])


CONSOLES = (
    {"PYTHONIOENCODING": "cp1252"},
    {"PYTHONIOENCODING": "cp437"},
    {"PYTHONIOENCODING": "ascii"},
    {"LC_ALL": "POSIX", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
)
COMMANDS = (ESTIMATE, ("letter", "-o", "no.zzz", "żółć.txt"), ("plugins",), ("--help",))
#: Each command on one console; thoroughly, on all.
SHOWN = share(list(zip(COMMANDS, CONSOLES, strict=True)), list(product(COMMANDS, CONSOLES)))


@pytest.mark.thorough
@pytest.mark.parametrize(("words", "console"), SHOWN)
def test_a_console_of_few_letters_shows_what_it_can(
    words: tuple[str, ...], console: dict[str, str]
) -> None:
    ran = run(module(*words), **console)
    assert b"Traceback" not in ran.stderr
    assert ran.returncode == (COULD_NOT if words[0] == "letter" else 0)
    assert ran.stdout or ran.stderr


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full, the disk that is full")
@pytest.mark.parametrize(
    ("words", "unbuffered"),
    [
        (ESTIMATE, ""),
        (ESTIMATE, "1"),
        (("plugins",), ""),
        (("plugins",), "1"),
        (("--help",), ""),
        (("--version",), ""),
    ],
)
def test_a_full_disk_is_told_of_in_one_line(words: tuple[str, ...], unbuffered: str) -> None:
    ran = run(f"{module(*words)} > /dev/full", PYTHONUNBUFFERED=unbuffered)
    assert ran.returncode == COULD_NOT
    assert ran.stderr.decode().startswith("meshcore: the output cannot be written (")
    assert ran.stderr.count(b"\n") == 1


def test_closed_output_is_told_of_in_one_line() -> None:
    ran = run(f"{module(*ESTIMATE)} >&-")
    assert ran.returncode == COULD_NOT
    assert ran.stderr.startswith(b"meshcore: standard output is closed.")
    assert ran.stderr.count(b"\n") == 1
    assert run(f"{module(*ESTIMATE)} >&- 2>&-").returncode == COULD_NOT


def test_the_version_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"meshcore {mc.__version__}\n"


@pytest.mark.parametrize("demo", [False, True])
def test_a_command_for_an_offer_reproduces_its_price(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], project_root: Path, *, demo: bool
) -> None:
    book = tmp_path / "a book.toml"
    write_price_book(in_currency(mc.default_price_book(), "KWD"), book)
    policy = project_root / "demo_data" / "supply_policy.toml"
    priced_with = ["--book", str(book), "--policy", str(policy), "--path", "flat"]
    currency = "EUR" if demo else "KWD"
    priced_with = ["--demo"] if demo else priced_with
    asked = ["--mesh-count", "10/in", "--wire", "0.08 in", "--alloy", "304"]
    order = ["--roll", "48 in x 100 ft", "--quantity", "3"]
    assert main(["alternatives", *asked, *order, *priced_with, "--count", "3"]) == 0
    told = capsys.readouterr().out.splitlines()
    offers = [line.split() for line in told if line.strip()[:2] in ("1 ", "2 ", "3 ")]
    commands = [line.strip() for line in told if line.startswith("   python")]
    assert len(offers) == len(commands) == 3
    for offer, command in zip(offers, commands, strict=True):
        words = shlex.split(command)
        assert words[:3] == ["python", "-m", "meshcore"]
        assert main(words[3:]) == 0
        [price] = [r for r in capsys.readouterr().out.splitlines() if r.startswith("Price   ")]
        assert price.split()[1] in offer
        assert price.split()[2] == currency
