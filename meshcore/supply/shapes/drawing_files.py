"""Drawings that cells of a list name: which files of this computer may be read for them."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from meshcore.limits import beyond

#: Folder below which a server reads drawings; without it, a program's own may lie anywhere.
DRAWINGS_VARIABLE = "MESHCORE_DRAWINGS"
#: Folders below which drawings may lie; none while anywhere will do.
_FOLDERS: list[Path] = []


class DrawingFileError(ValueError):
    """A drawing that may not be read or cannot be; the message says what to do."""


@contextmanager
def drawings_below(folder: Path) -> Iterator[None]:
    """Read drawings that a list names below one folder only; names begin there too.

    A list comes from others: what it names elsewhere on this computer is no business of theirs.
    It holds for the whole process.
    """
    _FOLDERS.append(folder)
    try:
        yield
    finally:
        _FOLDERS.pop()


def drawing_bytes(path: Path) -> bytes:
    """Return the content of a drawing.

    Raises
    ------
    DrawingFileError
        If it lies elsewhere than is allowed, is no plain file, or is too large.
    OSError
        If it cannot be opened.
    """
    held = os.environ.get(DRAWINGS_VARIABLE)
    folder = _FOLDERS[-1] if _FOLDERS else Path(held) if held else None
    place = path if folder is None else _allowed(path, folder)
    # A pipe would be waited for.
    handle = os.open(place, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        about = os.fstat(handle)
        if not stat.S_ISREG(about.st_mode):
            raise DrawingFileError("it is no plain file. Name a drawing, .dxf.")
        if wrong := beyond("drawing_bytes", about.st_size):
            raise DrawingFileError(wrong)
        return file.read()


def _allowed(path: Path, folder: Path) -> Path:
    """Return where a drawing lies below a folder, without links on the way."""
    above = Path(os.path.realpath(folder))
    for named in (above / path, Path(os.path.abspath(path))):
        place = Path(os.path.abspath(named))
        if place.is_relative_to(above):
            if os.path.realpath(place) != str(place):
                break
            return place
    raise DrawingFileError(
        "a list names drawings in its own folder, or below it, and no links. Put it there."
    )
