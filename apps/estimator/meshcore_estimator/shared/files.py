"""Files as the core writes them, for the browser to take away."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from pathlib import Path

#: Media types (IANA registry).
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
TOML = "application/toml"


def written(suffix: str, write: Callable[[Path], object]) -> bytes:
    """Return the bytes of a file that `write` makes.

    Parameters
    ----------
    suffix
        Of the file's name, which tells `write` the kind.
    write
        Called with the path to write.
    """
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"file{suffix}"
        write(path)
        return path.read_bytes()
