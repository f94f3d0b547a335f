"""Every command on old consoles, into a pipe that nobody reads and onto a device that is full."""

from __future__ import annotations

import argparse
import os
import shlex
import subprocess
import sys
from itertools import product

import pytest
from thorough import share

from meshcore.cli import COULD_NOT, _parser


def commands() -> list[tuple[str, ...]]:
    """Every command and subcommand there is, from the parser itself."""
    return list(_below(_parser(), ()))


def _below(parser: argparse.ArgumentParser, named: tuple[str, ...]) -> list[tuple[str, ...]]:
    below = [
        one
        for action in parser._actions
        if isinstance(action, argparse._SubParsersAction)
        for name, inner in action.choices.items()
        for one in _below(inner, (*named, name))
    ]
    return below or [named]


EVERY = commands()
#: One command each in `make test`, and under `make thorough` all on all.
TURN = [EVERY[n * 7 % len(EVERY)] for n in range(3)]


def run(words: tuple[str, ...], into: str = "", **environment: str) -> tuple[int, str, str]:
    command = shlex.join([sys.executable, "-m", "meshcore", *words, "--help"]) + into
    ran = subprocess.run(["bash", "-c", command], capture_output=True, check=False, timeout=120,
                         env=os.environ | environment)  # fmt: skip
    return ran.returncode, ran.stdout.decode("latin-1"), ran.stderr.decode("latin-1")


def test_all_commands_are_found() -> None:
    assert {("price",), ("estimate",), ("register", "backup"), ("plugins",)} <= set(EVERY)
    assert len(EVERY) > 15


@pytest.mark.thorough
@pytest.mark.parametrize(("words", "letters"), share(
    list(zip(TURN, ("cp437", "cp1252", "ascii"), strict=True)),
    list(product(EVERY, ("cp437", "cp1252", "ascii"))),
))  # fmt: skip
def test_an_old_console_shows_what_it_can(words: tuple[str, ...], letters: str) -> None:
    code, out, err = run(words, PYTHONIOENCODING=letters)
    assert (code, err) == (0, "")
    assert "usage:" in out


@pytest.mark.thorough
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full, the disk that is full")
@pytest.mark.parametrize("words", share(TURN[:2], EVERY))
def test_a_full_device_is_told_of_in_one_line(words: tuple[str, ...]) -> None:
    code, _, err = run(words, " > /dev/full")
    assert code == COULD_NOT
    assert err.startswith("meshcore: the output cannot be written (")
    assert err.count("\n") == 1


@pytest.mark.thorough
@pytest.mark.parametrize("words", share(TURN[1:], EVERY))
def test_a_pipe_that_nobody_reads_is_no_fault(words: tuple[str, ...]) -> None:
    _, _, err = run(words, " | true")
    assert "Traceback" not in err
    assert "BrokenPipe" not in err
