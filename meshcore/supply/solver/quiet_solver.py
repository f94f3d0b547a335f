"""Keep the solver's own words off standard output, which belongs to the program's results."""

from __future__ import annotations

import ctypes
import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_STDOUT = 1
#: Standard output is one for all threads: while one has turned it away, none other may.
_lock = threading.Lock()


def _c_library() -> ctypes.CDLL:
    return ctypes.CDLL(None) if os.name == "posix" else ctypes.cdll.msvcrt


@contextmanager
def quiet_solver() -> Iterator[None]:
    """Turn standard output away while a solver runs.

    Notes
    -----
    The integer solver in scipy 1.17 sometimes prints a line of its own debugging
    (``HighsMipSolverData::transformNewIntegerFeasibleSolution``) whatever it is told, below the
    level at which Python could catch it.

    Examples
    --------
    >>> with quiet_solver():
    ...     _ = os.write(1, b"not seen")
    """
    with _lock:
        try:
            kept = os.dup(_STDOUT)
        except OSError:
            # A program without standard output has nothing to protect.
            yield
            return
        sys.stdout.flush()
        away = os.open(os.devnull, os.O_WRONLY)
        try:
            os.dup2(away, _STDOUT)
            yield
        finally:
            # What the C library still holds must go the same way before the way is restored.
            _c_library().fflush(None)
            os.dup2(kept, _STDOUT)
            os.close(away)
            os.close(kept)
