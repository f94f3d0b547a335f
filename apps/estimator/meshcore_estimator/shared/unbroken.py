"""What a click is to do is done whole, whatever the page sends next.

Streamlit breaks a run off at the first of its calls after the next message has come, and asks for
that at every look into the session: also while it carries out what a click or a choice has to do.
That is then never done, since the next run finds the click spent and the choice no longer new.
Public settings do not reach there, so the question is left out until the script itself begins.

The other half is ``runner.fastReruns = false`` (`meshcore_estimator.__main__`): with it, a message
that comes before the run for a click has begun is joined to the click, and not put in its place.
"""

from __future__ import annotations

from streamlit.runtime.scriptrunner import get_script_run_ctx
from streamlit.runtime.scriptrunner.script_runner import ScriptRunner

_MARK = "meshcore_unbroken"


def install() -> None:
    """Have callbacks carried out whole, in every session of this process."""
    asks = ScriptRunner._maybe_handle_execution_control_request
    if hasattr(asks, _MARK):
        return

    def asks_in_the_script(runner: ScriptRunner) -> None:
        context = get_script_run_ctx(suppress_warning=True)
        if context is None or context.has_script_started:
            asks(runner)

    setattr(asks_in_the_script, _MARK, True)
    ScriptRunner._maybe_handle_execution_control_request = asks_in_the_script  # type: ignore[method-assign, assignment]
