"""Whether who waits for a plan makes do with the best so far."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeAlias

#: Whether to make do with what there is.
Stop: TypeAlias = Callable[[], bool]


def never() -> bool:
    """Go on to the end."""
    return False


_STOP: ContextVar[Stop] = ContextVar("stop", default=never)


@contextmanager
def until(stop: Stop) -> Iterator[None]:
    """Have plans that are made meanwhile end with the best so far as soon as `stop` says so.

    Examples
    --------
    >>> with until(lambda: True):
    ...     stop_asked()
    True
    >>> stop_asked()
    False
    """
    token = _STOP.set(stop)
    try:
        yield
    finally:
        _STOP.reset(token)


def stop_asked() -> bool:
    """Whether to make do with what there is."""
    return _STOP.get()()


def asked() -> Stop:
    """Return what to ask, for another thread."""
    return _STOP.get()
