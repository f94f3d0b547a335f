"""The workbook of a long list, made in the background: how far it is, taken away, or given up."""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import streamlit as st

from meshcore.estimates.results import EstimateSet
from meshcore.lists.reading import ListError
from meshcore.lists.workbook import workbook_bytes
from meshcore_estimator.shared.files import XLSX
from meshcore_estimator.shared.parts import aside

#: Lines whose workbook is made at the click; longer lists take longer than one waits for.
MOST_AT_ONCE = 2_000
_JOB, _TICKS = "workbook_job", "workbook_ticks"
_SCRIPT = Path(__file__).parent / "ticks.js"


class _GivenUpError(Exception):
    """Ends the making of a workbook that nobody wants any more."""


@dataclass(slots=True)
class _Job:
    """A workbook in the making, and what has come of it."""

    estimates: EstimateSet
    share: float = 0.0
    content: bytes | None = None
    problem: str = ""
    given_up: threading.Event = field(default_factory=threading.Event)

    def tell(self, share: float) -> None:
        if self.given_up.is_set():
            raise _GivenUpError
        self.share = share

    def make(self, made_from: str) -> None:
        try:
            self.content = workbook_bytes(self.estimates, made_from, progress=self.tell)
        except _GivenUpError:
            return
        except (ListError, MemoryError) as error:
            self.problem = str(error) or "There is not enough memory for this workbook."
        except Exception as error:
            # Else the page would wait for ever; the server's log has the whole of it.
            self.problem = f"The workbook was not made: {error!r}"
            raise


def is_long(estimates: EstimateSet) -> bool:
    """Whether the workbook of a list is made in the background."""
    return len(estimates) > MOST_AT_ONCE


def draw(estimates: EstimateSet, made_from: Callable[[], str], name: str) -> None:
    """Draw the button that begins the workbook, how far it is, or the file.

    Parameters
    ----------
    estimates
        The list as it is priced now; a workbook of another state is given up.
    made_from
        Says what the workbook is made from; called when it is begun.
    name
        Of the file.
    """
    job: _Job | None = st.session_state.get(_JOB)
    if job is not None and job.estimates is not estimates:
        _give_up()
        job = None
    if job is None:
        st.button("Make the workbook", icon=":material/table_view:", key="workbook_begin",
                  on_click=_begin, args=(estimates, made_from))  # fmt: skip
    elif job.problem:
        st.html(aside(job.problem, "refused"))
        st.button("Make it again", key="workbook_begin", on_click=_begin,
                  args=(estimates, made_from))  # fmt: skip
    elif job.content is None:
        st.progress(job.share, f"Workbook: {job.share:.0%} of {len(estimates):,} lines", width=260)
        st.button("Cancel", icon=":material/close:", key="workbook_cancel", on_click=_give_up)
        _tick()
    else:
        content = job.content
        st.download_button("Workbook", lambda: content, file_name=name, mime=XLSX,
                           on_click="ignore", icon=":material/download:",
                           key="download_xlsx")  # fmt: skip


def _begin(estimates: EstimateSet, made_from: Callable[[], str]) -> None:
    _give_up()
    job = st.session_state[_JOB] = _Job(estimates)
    threading.Thread(target=job.make, args=(made_from(),), daemon=True).start()


def _give_up() -> None:
    job: _Job | None = st.session_state.pop(_JOB, None)
    if job is not None:
        job.given_up.set()


def _tick() -> None:
    """Have the page look again each second, whenever it is at rest."""
    component = st.components.v2.component(_TICKS, js=_SCRIPT.read_text(encoding="utf-8"))
    component(key=_TICKS, on_at_change=lambda: None)
