"""The app as it is served: its script, an address for its health, and what is said of faults."""

from __future__ import annotations

from pathlib import Path

import streamlit as st
from starlette.requests import Request
from starlette.responses import JSONResponse
from starlette.routing import Route

from meshcore_estimator import set_up
from meshcore_estimator.shared import watching


def _health(_request: Request) -> JSONResponse:
    """Tell whether all that the app rests on can be read; what is wrong stands in the log alone."""
    found = set_up.health()
    for one in found:
        if one.wrong:
            watching.note("health", wrong=str(one))
    told = {one.what: "wrong" if one.wrong else "good" for one in found}
    is_well = not any(one.wrong for one in found)
    return JSONResponse({"status": "good" if is_well else "wrong", **told}, 200 if is_well else 503,
                        headers={"Cache-Control": "no-store"})  # fmt: skip


app = st.App(
    Path(__file__).parent / "app.py",
    routes=[Route(set_up.HEALTH, _health)],
    on_script_error=watching.told_of_fault,
)
