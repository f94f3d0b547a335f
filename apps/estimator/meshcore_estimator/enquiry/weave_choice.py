"""Which weave to take for what the cloth is to do."""

from __future__ import annotations

import numpy as np
import streamlit as st

from meshcore import plugins
from meshcore.enquiry import WEAVES
from meshcore.weave.cloth import take_cloth
from meshcore.weave.judging.practicality import NOT_JUDGED, VERDICTS, weave_rules
from meshcore.weave.judging.purpose import PURPOSES, recommend
from meshcore_estimator.enquiry import form as enquiry_form
from meshcore_estimator.shared.line import Line
from meshcore_estimator.shared.parts import VERDICT_TAGS, Markup, lines, soft, tag

_NO_MARK = Markup("")


def draw(line: Line) -> None:
    """Draw a choice of purposes, the weave recommended for the one chosen, and why."""
    with st.container(horizontal=True, vertical_alignment="bottom", key="recommendation"):
        purpose: str = st.selectbox(
            "What is the cloth to do?", PURPOSES, key="purpose", persist_state="session",
            format_func=str.capitalize, width=220,
        )  # fmt: skip
        _recommended(line, PURPOSES.index(purpose))


def _recommended(line: Line, purpose: int) -> None:
    cloth = take_cloth(line.estimates.orders.cloth, np.array([line.number]))
    advised = recommend(cloth, np.array([purpose]), weave_rules(plugins.installed()))
    weave, verdict = int(advised.weave[0]), int(advised.verdict[0])
    if verdict == NOT_JUDGED:
        st.html(_said("Recommended once the sizes are known.", ""))
        return
    reason = f"{advised.reason(0)}."
    if weave < 0:
        st.html(_said("No weave to recommend", reason))
        return
    asked = weave == int(cloth.weave[0])
    name = f"{WEAVES[weave].capitalize()} recommended{', as asked' if asked else ''}"
    st.html(_said(name, reason, tag(VERDICTS[verdict], VERDICT_TAGS[verdict])))
    if not asked:
        st.button("Use this weave", key="use_weave", on_click=enquiry_form.use,
                  args=({"weave": WEAVES[weave]},))  # fmt: skip


def _said(name: str, reason: str, mark: Markup = _NO_MARK) -> str:
    head = Markup(f"<b>{lines(name).html}</b> {mark.html}")
    return f"<div>{lines(head, soft(reason[:1].upper() + reason[1:])).html}</div>"
