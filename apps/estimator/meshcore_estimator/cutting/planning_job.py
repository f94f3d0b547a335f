"""A cutting plan made in the background, so that it can be stopped with the best so far."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field

import streamlit as st

from meshcore.estimates.results import EstimateSet
from meshcore.supply.stopping import until

_JOB = "cutting_job"
#: How often the page looks how far it is [s].
_LOOK_S = 0.1
#: Share that the bar shows at most while a plan is not there [-].
_NOT_THERE = 0.99


@dataclass(slots=True, eq=False)
class Job:
    """An order that is being planned, and what has come of it."""

    order: object
    seconds: float
    stop: threading.Event = field(default_factory=threading.Event)
    began: float = field(default_factory=time.monotonic)
    stage: str = "Starting"
    estimates: EstimateSet | None = None
    fault: BaseException | None = None
    thread: threading.Thread | None = None

    def tell(self, stage: str, _share: float) -> None:
        """Keep what is being done."""
        self.stage = stage

    def make(self, plan: Callable[[Job], EstimateSet]) -> None:
        """Plan, and keep what comes of it: a fault is raised again where the page waits."""
        try:
            with until(self.stop.is_set):
                self.estimates = plan(self)
        except BaseException as fault:  # noqa: BLE001 - raised again in the page's own run
            self.fault = fault


def running(is_same: Callable[[object], bool]) -> Job | None:
    """Return the job under way, if it is for the order of now; another one is given up."""
    job: Job | None = st.session_state.get(_JOB)
    if job is not None and not is_same(job.order):
        job.stop.set()
        st.session_state[_JOB] = job = None
    return job


def begin(order: object, seconds: float, plan: Callable[[Job], EstimateSet]) -> Job:
    """Begin to plan an order."""
    job = Job(order, seconds)
    job.thread = threading.Thread(target=job.make, args=(plan,), daemon=True)
    st.session_state[_JOB] = job
    job.thread.start()
    return job


def awaited(job: Job) -> EstimateSet:
    """Show how far a job is, and wait for it; a click on the page meanwhile breaks the wait off.

    The job itself goes on, and the next run of the page waits for it again.
    """
    with st.container(key="cutting_progress", horizontal=True, vertical_alignment="center"):
        bar = st.progress(0.0, job.stage)
        st.button("Stop and keep the best so far", key="cutting_stop", on_click=job.stop.set,
                  icon=":material/stop_circle:", disabled=job.stop.is_set())  # fmt: skip
        while job.thread is not None and job.thread.is_alive():
            gone = time.monotonic() - job.began
            stage = "Stopping" if job.stop.is_set() else job.stage
            bar.progress(min(gone / job.seconds, _NOT_THERE), f"{stage} · {gone:.0f} s")
            job.thread.join(_LOOK_S)
    st.session_state[_JOB] = None
    if job.fault is not None:
        raise job.fault
    if job.estimates is None:
        raise RuntimeError("a plan ended with neither estimates nor a fault")
    return job.estimates
