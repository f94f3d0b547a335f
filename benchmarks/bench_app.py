"""The app: how long the server works on one change of an enquiry, and on a filter of a long list.

Each change is one run of the app's script, without the browser; the time of the process is told
beside the time by the clock, since a busy machine stretches the latter.
"""

from __future__ import annotations

import logging
import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
from streamlit.testing.v1 import AppTest
from streamlit.util import calc_hash

from meshcore.demo import DEMO_VARIABLE
from meshcore.register.connecting import RECORDS_VARIABLE
from meshcore_estimator.__main__ import SCRIPT
from meshcore_estimator.lists.source import Upload
from meshcore_estimator.shared.drafts import DRAFTS_VARIABLE

#: Changes of an enquiry that are timed, and before the first one [-].
CHANGES, WARM = 200, 5
#: Times that a list is filtered.
FILTERS = 8
PATIENCE_S = 600
_HEADINGS = "mesh;wire;alloy;form;width;length;quantity\n"
_LINE = "10 / in;0.025 in;304;roll;48 in;100 ft;{}\n"


def main(lines: int = 20_000) -> None:
    """Time changes of the demonstration's enquiry, and filters of a list of some lines."""
    with _alone():
        _tell(f"{CHANGES} changes of an enquiry", _changes())
        _tell(f"{FILTERS} filters of {lines:,} lines", _filters(lines))


@contextmanager
def _alone() -> Iterator[None]:
    """Keep drafts and records of the bench to itself."""
    logging.disable(logging.WARNING)
    with tempfile.TemporaryDirectory() as folder:
        own = {
            DEMO_VARIABLE: "1",
            DRAFTS_VARIABLE: str(Path(folder) / "drafts.sqlite"),
            RECORDS_VARIABLE: str(Path(folder) / "records.sqlite"),
        }
        before = {name: os.environ.get(name) for name in own}
        # The app's script is left as the main module, which other benches' processes would run.
        script = sys.modules["__main__"]
        os.environ.update(own)
        yield
        sys.modules["__main__"] = script
        for name, value in before.items():
            os.environ.pop(name)
            if value is not None:
                os.environ[name] = value
    logging.disable(logging.NOTSET)


def _opened(page: str) -> AppTest:
    app = AppTest.from_file(SCRIPT, default_timeout=PATIENCE_S)
    app._page_hash = calc_hash(page)
    app.run()
    app.session_state["settling_written"] = {}
    return app


def _timed(run: Callable[[], object]) -> tuple[float, float]:
    clock, process = time.perf_counter(), time.process_time()
    run()
    return time.perf_counter() - clock, time.process_time() - process


def _changes() -> np.ndarray:
    app = _opened("enquiry")
    times = []
    for number in range(WARM + CHANGES):
        app.text_input(key="ask_quantity").set_value(str(number + 2))
        times.append(_timed(app.run))
    return np.array(times[WARM:])


def _filters(lines: int) -> np.ndarray:
    app = _opened("list")
    text = _HEADINGS + "".join(_LINE.format(number % 90 + 1) for number in range(lines))
    app.session_state["list_file"] = Upload("long.csv", ".csv", text.encode(), "")
    app.run()
    times = []
    for number in range(FILTERS):
        wanted = ("ok", "all")[number % 2]
        app.segmented_control(key="status_filter").set_value(wanted)
        times.append(_timed(app.run))
    return np.array(times)


def _tell(what: str, times: np.ndarray) -> None:
    clock, process = (np.percentile(times[:, n] * 1e3, (50, 95)) for n in (0, 1))
    print(
        f"app: {what}: p50 {clock[0]:.0f} ms, p95 {clock[1]:.0f} ms by the clock; "
        f"{process[0]:.0f} and {process[1]:.0f} ms of the processor"
    )


if __name__ == "__main__":
    main()
