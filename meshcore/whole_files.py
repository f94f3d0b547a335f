"""Files that are written as a whole or not at all, and by one at a time."""

from __future__ import annotations

import errno
import os
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

#: Signs of a name that what is written beside it keeps: names of 255 bytes are the longest on most
#: file systems, and a sign has up to four.
_STEM = 40
_PART = ".part"
#: Age from which what is left of a writer that was killed is taken away [s]: no writing lasts a
#: day (our choice).
_LEFT_OVER_S = 86_400.0
#: What a file system answers that cannot have a folder's names reach its disk (fsync(2)).
_NO_FOLDERS = frozenset({errno.EINVAL, errno.ENOTSUP, errno.EBADF, errno.EACCES})


def save(path: str | Path, content: bytes) -> None:
    """Write a file beside, have it reach the disk, and put it in the place of the old one.

    Whoever reads meanwhile, or after a kill, a full disk or a power cut, finds the old file or the
    new one. The file's permissions stay as they were; a link stays, and what it names is written.
    A pipe or a device is written to where it is.

    Raises
    ------
    OSError
        If it cannot be written; the old file is then left as it was.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save(Path(folder) / "note.txt", b"first")
    ...     save(Path(folder) / "note.txt", b"second")
    ...     [(one.name, one.read_bytes()) for one in Path(folder).iterdir()]
    [('note.txt', b'second')]
    """
    with whole_file(path) as file:
        file.write(content)


@contextmanager
def whole_file(path: str | Path) -> Iterator[BinaryIO]:
    """Open a file to be written piece by piece, that takes its place once all of it is written.

    What is raised meanwhile leaves the old file as it was.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    # A name behind a link, so that the link stays.
    place = Path(os.path.realpath(path))
    if is_apart(place):
        with place.open("wb") as file:
            yield file
        return
    part = beside(place)
    _clear(place)
    try:
        with os.fdopen(
            os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | _BINARY, _MODE), "wb"
        ) as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        if place.exists():
            part.chmod(stat.S_IMODE(place.stat().st_mode))
        os.replace(part, place)
    finally:
        part.unlink(missing_ok=True)
    _sync_folder(place.parent)


#: Rights that a new file has, less what the user's mask takes away, as any program's (open(2)).
_MODE = 0o666
#: Windows writes lines otherwise unless told not to.
_BINARY = getattr(os, "O_BINARY", 0)


def is_apart(path: Path) -> bool:
    """Whether a name is that of a pipe or a device, which nothing takes the place of."""
    return path.exists() and not path.is_file() and not path.is_dir()


def beside(path: Path) -> Path:
    """Return a name beside a file's own, with its ending, that no other writer has."""
    own = f"{os.getpid()}-{time.monotonic_ns()}"
    return path.with_name(f".{path.stem[:_STEM]}.{own}{_PART}{path.suffix}")


def _clear(path: Path) -> None:
    """Take away what writers of this file left that were killed long ago."""
    before = time.time() - _LEFT_OVER_S
    # Names have signs that a pattern would read as its own.
    head, tail = f".{path.stem[:_STEM]}.", f"{_PART}{path.suffix}"
    with suppress(OSError):  # what cannot be listed is told where the file itself is written
        for one in os.scandir(path.parent):
            is_part = one.name.startswith(head) and one.name.endswith(tail)
            if is_part and one.stat(follow_symlinks=False).st_mtime < before:
                os.unlink(one.path)


def _sync_folder(folder: Path) -> None:
    """Have the new name reach the disk too, where the system can."""
    if sys.platform == "win32":
        return
    try:
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
    except OSError as error:
        # The file is whole and in its place; some file systems have no more to offer.
        if error.errno not in _NO_FOLDERS:
            raise


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
