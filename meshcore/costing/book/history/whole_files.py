"""Files that are written as a whole or not at all, and by one at a time."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write a file beside, have it reach the disk, and put it in the place of the old one.

    Whoever reads meanwhile, or after a power cut, finds the old file or the new one. The file's
    permissions stay as they were.

    Raises
    ------
    OSError
        If it cannot be written; the old file is then left as it was.
    """
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            part.chmod(path.stat().st_mode)
        os.replace(part, path)
    except OSError:
        part.unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Have the new name reach the disk too, where the system can."""
    if sys.platform == "win32":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


@contextmanager
def locked(path: Path) -> Iterator[None]:
    """Hold a file against others that would change it by this means; they wait.

    The system lets go of it when the process ends, however it ends.

    Raises
    ------
    OSError
        If the lock cannot be made.
    """
    with path.open("ab") as file:
        if sys.platform == "win32":
            import msvcrt  # noqa: PLC0415 - of that system alone

            msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)
        else:
            import fcntl  # noqa: PLC0415 - of these systems alone

            fcntl.flock(file, fcntl.LOCK_EX)
        yield
