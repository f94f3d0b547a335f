"""Write a file in processes that are killed at it: ``killing.py NAME PATH ROUNDS``.

A program of its own, since a process with threads is not to be split; each process begins with
nothing but what is imported. After each round the file is copied to ``PATH.0``, ``PATH.1``, …, and
a line says whether the writer was killed before it ended.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import select
import shutil
import signal
import sys
from pathlib import Path

from writers import WRITERS

#: Longer than any of them takes on a busy machine [s].
PATIENCE_S = 120.0


def write(name: str, path: Path, told: int) -> None:
    """Write, and tell each time a file is opened for it."""

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        if event == "open" and str(arguments[0]).startswith(str(path.parent)):
            flags = arguments[2] if isinstance(arguments[2], int) else 0
            if flags & (os.O_WRONLY | os.O_RDWR):
                os.write(told, b"x")

    sys.addaudithook(hook)
    with contextlib.redirect_stdout(io.StringIO()):
        WRITERS[name][1](path)


def be_killed(name: str, path: Path, rng: random.Random) -> bool:
    """Write in a child that is killed soon after it opened a file; whether it was."""
    read, told = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            write(name, path, told)
        finally:
            os._exit(0)
    os.close(told)
    opened = b""
    if select.select([read], [], [], PATIENCE_S)[0]:
        opened = os.read(read, 1)
    for _ in range(rng.randrange(rng.choice((1, 100, 1_000, 10_000, 100_000)))):
        pass
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    os.close(read)
    if not opened:
        raise RuntimeError(f"{name} opened nothing to write")
    return os.WIFSIGNALED(status)


if __name__ == "__main__":
    path, rng = Path(sys.argv[2]), random.Random(31)
    for number in range(int(sys.argv[3])):
        sys.stdout.write("killed\n" if be_killed(sys.argv[1], path, rng) else "ended\n")
        shutil.copyfile(path, path.with_name(f"{path.name}.{number}"))
