"""Nothing that a solver writes below Python reaches standard output; what follows does."""

from __future__ import annotations

import subprocess
import sys

import pytest

PROGRAM = """
import ctypes, os
from meshcore.supply.solver.quiet_solver import quiet_solver
{before}
try:
    with quiet_solver():
        os.write(1, b"unbuffered noise\\n")
        ctypes.CDLL(None).puts(b"buffered noise")
        {fails}
except ZeroDivisionError:
    pass
print("the result")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="speaks to the C library of a POSIX system")
@pytest.mark.parametrize("fails", ["pass", "1 / 0"])
def test_only_the_program_is_heard(fails: str) -> None:
    program = PROGRAM.format(before='print("before")', fails=fails)
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdin=subprocess.DEVNULL, capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert done.stdout.splitlines() == ["before", "the result"]


def test_a_program_without_standard_output_is_left_alone() -> None:
    program = """
import os, sys
os.close(1)
from meshcore.supply.solver.quiet_solver import quiet_solver
with quiet_solver():
    sys.stderr.write("ran")
"""
    done = subprocess.run(
        [sys.executable, "-c", program],
        stdin=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, check=False,
    )  # fmt: skip
    assert done.stderr.startswith("ran")
