"""Running the code of plugins within a time: what takes longer is set aside, for good.

What ends late is judged when it has ended, and not called again. What does not end is broken off
by an exception that a second thread puts into the first; that reaches code of Python, in any
thread, but neither a call into C that does not return (a sleep, a wait for the network) nor code
that catches everything in an endless loop: no thread can be taken away from these from within.
"""

from __future__ import annotations

import ctypes
import os
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar
from weakref import WeakKeyDictionary

from meshcore.limits import most

T = TypeVar("T")
#: The first call loads what it needs, from a cold disk perhaps; the second tells how long it takes.
_TRIES = 2
#: How often the second thread looks whether anything is due [s]; calls are much shorter mostly.
_LOOKS_EVERY_S = 0.25


class OutOfTimeError(Exception):
    """A plugin's code took longer than it may."""


class _BrokenOff(BaseException):
    """Put into a thread whose call is due; no `except Exception` of a plugin catches it."""


@dataclass(slots=True, eq=False)
class _Call:
    thread: int
    due: float
    fired: bool = False
    ended: bool = False
    lock: threading.Lock = field(default_factory=threading.Lock)


@dataclass(slots=True)
class _Watch:
    """The second thread, and the calls that it watches."""

    calls: set[_Call] = field(default_factory=set)
    waking: threading.Condition = field(default_factory=threading.Condition)
    thread: threading.Thread | None = None
    process: int = 0

    def begin(self, seconds: float) -> _Call:
        call = _Call(threading.get_ident(), time.perf_counter() + seconds)
        with self.waking:
            if self.process != os.getpid() or self.thread is None or not self.thread.is_alive():
                # After a fork the other thread is not there.
                self.process, self.calls = os.getpid(), set()
                self.thread = threading.Thread(
                    target=self._look, daemon=True, name="watch of rules"
                )
                self.thread.start()
            was_idle = not self.calls
            self.calls.add(call)
            if was_idle:
                self.waking.notify()
        return call

    def end(self, call: _Call) -> None:
        with call.lock:
            call.ended = True
            if call.fired:
                # One that is still on its way is called back.
                _put_into(call.thread, None)
        with self.waking:
            self.calls.discard(call)

    def _look(self) -> None:
        while True:
            with self.waking:
                while not self.calls:
                    self.waking.wait()
                calls = list(self.calls)
            now = time.perf_counter()
            for call in calls:
                with call.lock:
                    if now >= call.due and not call.ended:
                        # Again and again: the first may be caught by whoever catches everything.
                        call.fired = True
                        _put_into(call.thread, _BrokenOff)
            time.sleep(_LOOKS_EVERY_S)


def _put_into(thread: int, exception: type[BaseException] | None) -> None:
    held = None if exception is None else ctypes.py_object(exception)
    ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread), held)


_WATCH = _Watch()
#: Functions that took too long, and what was said of them then.
_SLOW: WeakKeyDictionary[Callable[..., object], str] = WeakKeyDictionary()


def within_time(call: Callable[[], T], function: Callable[..., object], lines: int) -> T:
    """Run a plugin's code on some lines within the time of ``limits.toml``.

    Parameters
    ----------
    call
        Runs it.
    function
        The plugin's function; one that took too long is not called again in this process.
    lines
        How many lines it is given.

    Raises
    ------
    OutOfTimeError
        If it took longer than it may, now or before.
    """
    if before := _SLOW.get(function):
        raise OutOfTimeError(f"{before}; it is not called again")
    allowed = most("rule_ms") / 1e3 + most("rule_us_a_line") / 1e6 * lines
    taken = 0.0
    for _ in range(_TRIES):
        begun = time.perf_counter()
        try:
            made = broken_off_after(call, allowed * most("rule_stop_times"))
        except OutOfTimeError as error:
            _remember(function, str(error))
            raise
        taken = time.perf_counter() - begun
        if taken <= allowed:
            return made
    said = f"it took {taken:.1f} s where {allowed:.1f} s are allowed for {lines:,} lines"
    _remember(function, said)
    raise OutOfTimeError(said)


def broken_off_after(call: Callable[[], T], seconds: float) -> T:
    """Run a plugin's code, and break it off where it does not end.

    Raises
    ------
    OutOfTimeError
        If it was broken off.
    """
    watched = _WATCH.begin(seconds)
    try:
        try:
            return call()
        finally:
            _WATCH.end(watched)
    except _BrokenOff:
        _WATCH.end(watched)
        raise OutOfTimeError(f"it did not end in {seconds:.1f} s and was broken off") from None


def _remember(function: Callable[..., object], said: str) -> None:
    try:
        _SLOW[function] = said
    except TypeError:
        # What cannot be kept by weak reference is judged anew each time.
        return


def forget() -> None:
    """Call again what took too long: a plugin has gone, or come."""
    _SLOW.clear()
