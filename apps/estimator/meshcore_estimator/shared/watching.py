"""What the server's log says of each page: who, what, how long; and of what failed, the trace."""

from __future__ import annotations

import json
import logging
import secrets
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager

import streamlit as st

from meshcore_estimator.shared import who
from meshcore_estimator.shared.parts import aside

LOG = logging.getLogger("meshcore_estimator")
#: Bytes of the number of a fault: as many as tell those of a year apart.
_NUMBER = 4


def log_to_stderr() -> None:
    """Write the log to standard error, a line of JSON each, from now on in this process."""
    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(message)s"))
    LOG.addHandler(handler)
    LOG.setLevel(logging.INFO)
    LOG.propagate = False


@contextmanager
def watched(page: str) -> Iterator[None]:
    """Run a page; what fails is logged under a number, and the page tells that and no more."""
    begun = time.perf_counter()
    try:
        yield
    except Exception as error:  # noqa: BLE001 - whatever it is, its trace is in the log
        _tell(page, error, _since(begun))
    else:
        note(page, ms=_since(begun))


def told_of_fault(error: Exception) -> bool:
    """Log what failed outside a page, as in what a click does, and tell its number.

    Returns
    -------
    That nothing else is to be shown of it.
    """
    _tell("a click or a choice", error, 0)
    return True


def note(what: str, **more: str | int) -> None:
    """Write one line of the log: when, who, what, and more of it."""
    said = {
        "time": time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()),
        "who": who.name(),
        "what": what,
        **more,
    }
    is_wrong = "fault" in more or "wrong" in more
    LOG.log(logging.ERROR if is_wrong else logging.INFO, json.dumps(said, ensure_ascii=True))


def _since(begun: float) -> int:
    return round((time.perf_counter() - begun) * 1e3)


def _tell(what: str, error: Exception, ms: int) -> None:
    number = secrets.token_hex(_NUMBER)
    trace = "".join(traceback.format_exception(error))
    note(what, ms=ms, fault=number, error=repr(error), trace=trace)
    with st.container(key="fault"):
        st.html(
            aside(
                "Something went wrong on this page. What you typed is kept; reload the page. "
                f"If it comes again, tell whoever runs the estimator this number: {number}.",
                "refused",
            )
        )
